// SPDX-License-Identifier: MIT
#include "holdable/machine/square_unknowns.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace holdable {
namespace {

constexpr double square_wear_a_year = 1e-6; // a year in the shop, standard uncertainty over its
                                            // edge (m); common practice, no source

/// From the calibration to the check; where its day is not known, a year before it is due, or a
/// year (years).
double since_calibration(const Certificate& certificate, Date day) {
    if (certificate.date)
        return std::max(0.0, years_between(*certificate.date, day));
    return certificate.due ? std::max(0.0, 1 - years_between(day, *certificate.due)) : 1;
}

std::string stem_of(const Square& square) {
    return fmt::format("square \"{}\"", square.name);
}

} // namespace

Input square_error(const Square& square) {
    return job_input(
        stem_of(square),
        {},
        fmt::format("error of the square \"{}\"", square.name),
        square.standard > 0
            ? stats::Distribution(stats::Normal{square.lean, square.standard, std::nullopt})
            : stats::Distribution(stats::Rectangular{square.lean, square.limit, std::nullopt}),
        square.evidence);
}

std::optional<std::pair<Input, double>> square_wear(const Square& square, Date day) {
    if (!square.certificate)
        return std::nullopt;
    return std::pair(
        job_input(stem_of(square) + ", change in a year",
                  {},
                  fmt::format("wear of the square \"{}\" since its certificate", square.name),
                  normal_law(square_wear_a_year / square.length),
                  Evidence::typical),
        since_calibration(*square.certificate, day));
}

SquareUnknowns::SquareUnknowns(MachineModel& model, const Square& square, Date day)
    : model_(&model), square_(&square), lean_(model.shared(square_error(square))) {
    if (auto wear = square_wear(square, day)) {
        years_ = wear->second;
        wear_ = model.shared(std::move(wear->first));
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
