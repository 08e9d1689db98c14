// SPDX-License-Identifier: MIT
#include "holdable/machine/observation.hpp"

#include "holdable/base/error.hpp"

#include <fmt/format.h>

#include <cmath>

namespace holdable {
namespace {

constexpr double drift_curvature = 0.12; // of the drift, left by a straight line (warm-up, T = τ)

} // namespace

Input offset_input(std::string name, double size) {
    return job_input(std::move(name), "offsets", "offset", normal_law(size), Evidence::measured);
}

void require_shape(bool holds, const std::string& check, const std::string& what) {
    if (!holds)
        throw InputError("check-shape", fmt::format("check \"{}\": {}", check, what));
}

void require_repeats(const std::string& check,
                     std::size_t readings,
                     const std::vector<double>& spread,
                     const std::vector<int>& repeats) {
    require_shape((repeats.empty() || repeats.size() == readings) &&
                      (spread.empty() || spread.size() == repeats.size()),
                  check,
                  "repeats and their spread are given for every reading or for none");
}

void instrument_missing(const std::string& name, std::string_view kind, const std::string& check) {
    throw InputError(
        "instrument-unknown",
        fmt::format("check \"{}\" names the {} \"{}\", which is not among the instruments",
                    check,
                    kind,
                    name));
}

void Row::add(int unknown, double coefficient) {
    if (unknown >= row_.size()) {
        const auto old = row_.size();
        row_.conservativeResize(unknown + 1);
        row_.tail(unknown + 1 - old).setZero();
    }
    row_[unknown] += coefficient;
}

void Row::add(const Eigen::RowVectorXd& form, double factor) {
    for (Eigen::Index j = 0; j < form.size(); ++j)
        if (form[j] != 0)
            add(static_cast<int>(j), factor * form[j]);
}

std::optional<double> moved(const std::optional<double>& closing,
                            const std::vector<double>& readings) {
    return closing ? std::optional(*closing - readings.front()) : std::nullopt;
}

Drift::Drift(MachineModel& model,
             const std::string& stem,
             double typical,
             double free_size,
             std::optional<double> closing)
    : closed_(closing.has_value()) {
    linear_ = model.add(job_input(stem + ", drift",
                                  stem + ", drift",
                                  "drift while reading " + stem,
                                  closed_ ? normal_law(free_size / 10) : rectangular_law(typical),
                                  closed_ ? Evidence::measured : Evidence::typical));
    if (closed_)
        bend_ = model.add(job_input(stem + ", bend of the drift",
                                    stem + ", drift",
                                    "drift while reading " + stem,
                                    rectangular_law(drift_curvature * std::abs(*closing)),
                                    Evidence::typical));
}

void Drift::apply(Row& row, double time, double weight) const {
    row.add(linear_, weight * time);
    if (closed_)
        row.add(bend_, weight * 4 * time * (1 - time));
}

IndicatorNoise::IndicatorNoise(std::string check, const Indicator& indicator)
    : check_(std::move(check)), step_(indicator.resolution), step_in_single_(false),
      single_(indicator.repeatability), single_dof_(indicator.repeatability_dof),
      single_scale_(fmt::format("indicator \"{}\", repeatability", indicator.name)),
      single_evidence_(indicator.repeatability_evidence) {}

IndicatorNoise::IndicatorNoise(std::string check, const Level& level)
    : check_(std::move(check)), step_(level.read_to * level.division), step_in_single_(true),
      single_(step_), single_dof_(0), single_evidence_(Evidence::typical) {}

void IndicatorNoise::pool(const std::vector<double>& spread, const std::vector<int>& repeats) {
    expected_ = expected_ || (spread.empty() && !repeats.empty());
    for (std::size_t i = 0; i < spread.size(); ++i) {
        const double dof = repeats[i] - 1;
        sum_ += dof * spread[i] * spread[i];
        dof_ += dof;
    }
}

std::vector<Input> IndicatorNoise::operator()(const std::string& what, int repeats) const {
    const double spread = dof_ > 0 ? std::sqrt(sum_ / dof_) : 0;
    const auto group = check_ + ", reading noise";
    const auto meaning = "reading noise of the check " + check_;
    const bool repeated = repeats > 1 && spread > 0;
    const double s = repeated ? spread : single_;
    // Nothing else is new in this reading.
    const bool whole = (repeats == 1 || expected_) && step_in_single_;
    std::vector<Input> parts;
    Input repeat = job_input(whole ? what : what + ", repeat",
                             group,
                             meaning,
                             normal_law(s / std::sqrt(static_cast<double>(repeats))),
                             repeated ? Evidence::measured : single_evidence_);
    if (repeated) {
        repeat.scale = check_ + ", spread of repeats";
        repeat.scale_dof = dof_;
    } else if (single_dof_ > 0) {
        repeat.scale = single_scale_;
        repeat.scale_dof = single_dof_;
    }
    parts.push_back(std::move(repeat));
    // Repeats do not average what the last digit hides unless they wander over it.
    if (!whole && (repeats == 1 || (expected_ ? single_ : spread) < step_ / 2))
        parts.push_back(job_input(
            what + ", last digit", group, meaning, rectangular_law(step_ / 2), Evidence::measured));
    return parts;
}

} // namespace holdable
