// SPDX-License-Identifier: MIT
#include "holdable/machine/square_unknowns.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace holdable {
namespace {

constexpr double square_wear = 1e-6; // a year in the shop, standard uncertainty over its edge (m);
                                     // common practice, no source

/// From the calibration to the check; where its day is not known, a year before it is due, or a
/// year (years).
double since_calibration(const Certificate& certificate, Date day) {
    if (certificate.date)
        return std::max(0.0, years_between(*certificate.date, day));
    return certificate.due ? std::max(0.0, 1 - years_between(day, *certificate.due)) : 1;
}

} // namespace

SquareUnknowns::SquareUnknowns(MachineModel& model, const Square& square, Date day)
    : model_(&model), square_(&square) {
    const auto stem = fmt::format("square \"{}\"", square.name);
    lean_ = model.shared(job_input(
        stem,
        {},
        fmt::format("error of the square \"{}\"", square.name),
        square.standard > 0
            ? stats::Distribution(stats::Normal{square.lean, square.standard, std::nullopt})
            : stats::Distribution(stats::Rectangular{square.lean, square.limit, std::nullopt}),
        square.evidence));
    if (square.certificate) {
        years_ = since_calibration(*square.certificate, day);
        wear_ = model.shared(
            job_input(stem + ", change in a year",
                      {},
                      fmt::format("wear of the square \"{}\" since its certificate", square.name),
                      normal_law(square_wear / square.length),
                      Evidence::typical));
    }
}

void SquareUnknowns::apply(Row& row, double turned, double distance) const {
    row.add(lean_, turned * distance);
    if (wear_ >= 0)
        row.add(wear_, turned * distance * years_);
    // The same unknown whenever this square is read there.
    row.add(model_->shared(job_input(
                fmt::format("square \"{}\", form at {:.1f} mm", square_->name, distance * 1e3),
                fmt::format("square \"{}\", form", square_->name),
                fmt::format("form of the edge of the square \"{}\"", square_->name),
                rectangular_law(square_->edge_form / 2),
                square_->form_evidence)),
            turned);
}

} // namespace holdable
