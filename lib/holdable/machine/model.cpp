// SPDX-License-Identifier: MIT
#include "holdable/machine/model.hpp"

#include "holdable/base/error.hpp"
#include "holdable/machine/corrections.hpp"
#include "holdable/machine/typical.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cassert>
#include <cmath>
#include <numbers>

namespace holdable {
namespace {

/// Change in a year, one standard deviation; from repeated checks in shops (common practice, no
/// source).
struct YearlyChange {
    std::string_view machine_class;
    double squareness; ///< (rad)
};

constexpr YearlyChange yearly_changes[] = {{"benchtop", 45e-6},
                                           {"knee mill", 30e-6},
                                           {"entry vmc", 10e-6},
                                           {"good vmc", 10e-6},
                                           {"jig borer", 5e-6}};
constexpr double yearly_change_of_scale = 3e-6;       // m/m, the same source
constexpr double yearly_change_of_tram = 20e-6;       // (rad), the same source
constexpr double yearly_change_of_lost_motion = 1e-6; // (m), the same source
constexpr double typical_lag_mismatch = 1e-3; // of two axes, 95 % point (s), the same source

double yearly_squareness(std::string_view machine_class) {
    for (const auto& row : yearly_changes)
        if (row.machine_class == machine_class)
            return row.squareness;
    return yearly_changes[0].squareness;
}

bool is_angle(int index) {
    return index % 6 >= 3;
}

bool is_positioning(int index) {
    return index % 6 == index / 6;
}

/// The figure of the class that bounds a curve (m or rad).
double upper_of(const MachineClass& c, int index, const Travel& travel) {
    if (is_angle(index))
        return c.angular.high;
    if (is_positioning(index))
        return c.lead_per_300_mm.high * std::max(1.0, (travel.high - travel.low) / 0.300);
    return c.straightness.high;
}

/// Whether an event changes the error motions of an axis.
bool changes_curves(const Event& event, int index) {
    if (event.kind == EventKind::adjustment)
        return !event.axis || static_cast<int>(*event.axis) == index / 6;
    return is_angle(index) && (event.kind == EventKind::move || event.kind == EventKind::relevel);
}

/// Whether an event changes a squareness.
bool changes_squareness(const Event& event, int index) {
    switch (event.kind) {
    case EventKind::crash:
        return true;
    case EventKind::move:
    case EventKind::relevel:
        return index != c0y_index;
    case EventKind::adjustment: {
        if (!event.axis)
            return true;
        const int axis = static_cast<int>(*event.axis);
        return index == c0y_index ? axis != 2 : axis == 2 || axis == (index == b0z_index ? 0 : 1);
    }
    case EventKind::spindle_work:
        return false;
    }
    return true;
}

/// Whether an event changes how the spindle stands in the head.
bool changes_tram(const Event& event, int) {
    return event.kind == EventKind::crash || event.kind == EventKind::spindle_work ||
           (event.kind == EventKind::adjustment && event.axis.value_or(Axis::z) == Axis::z);
}

/// Whether an event changes how true the spindle runs.
bool changes_run_out(const Event& event, int) {
    return event.kind == EventKind::crash || event.kind == EventKind::spindle_work;
}

/// Whether an event changes the lost motion of an axis.
bool changes_lost_motion(const Event& event, int axis) {
    return event.kind == EventKind::crash ||
           (event.kind == EventKind::adjustment &&
            (!event.axis || static_cast<int>(*event.axis) == axis));
}

/// Whether an event changes how X and Y lag.
bool changes_lag(const Event& event, int) {
    return event.kind == EventKind::adjustment && event.axis.value_or(Axis::x) != Axis::z;
}

} // namespace

MachineModel::MachineModel(const Shop& shop, Date job, std::string_view prior, double prior_factor)
    : shop_(shop), job_(job), class_(prior.empty() ? &class_of(shop) : &machine_class(prior)),
      prior_factor_(prior_factor) {
    add_squarenesses();
    add_curves();
    add_spindle();
    add_table();
    add_lost_motion();
    add_lag();
}

int MachineModel::add(Input input) {
    const int index = static_cast<int>(unknowns_.size());
    const bool fresh = by_name_.emplace(input.name, index).second;
    assert(fresh && "an unknown has one name");
    (void)fresh;
    unknowns_.push_back(std::move(input));
    return index;
}

int MachineModel::shared(const Input& input) {
    const auto there = by_name_.find(input.name);
    return there != by_name_.end() ? there->second : add(input);
}

void MachineModel::scale_doubt(int unknown, double factor) {
    auto& law = unknowns_[static_cast<std::size_t>(unknown)].law;
    if (auto* normal = std::get_if<stats::Normal>(&law))
        normal->standard *= factor;
    else if (auto* rectangular = std::get_if<stats::Rectangular>(&law))
        rectangular->half_width *= factor;
}

double MachineModel::prior_variance(const Eigen::RowVectorXd& row) const {
    double sum = 0;
    for (Eigen::Index j = 0; j < row.size(); ++j)
        sum += row[j] * row[j] * variance(unknowns_[static_cast<std::size_t>(j)]);
    return sum;
}

Eigen::RowVectorXd MachineModel::zero() const {
    return Eigen::RowVectorXd::Zero(static_cast<Eigen::Index>(unknowns_.size()));
}

MachineModel::Ageing MachineModel::add_scalar(const std::string& name,
                                              const std::string& meaning,
                                              double sigma,
                                              std::optional<double> yearly,
                                              bool (*changes)(const Event&, int),
                                              int index) {
    Ageing age;
    age.value = add(job_input(name, name, meaning, normal_law(sigma), Evidence::assumed));
    if (yearly)
        age.rate = add(job_input(name + " change in a year",
                                 name + " change in a year",
                                 meaning + ": change since its check",
                                 normal_law(*yearly),
                                 Evidence::typical));
    int count = 0;
    for (const auto& event : shop_.events)
        if (event.date <= job_ && changes(event, index))
            age.jumps.emplace_back(
                add(job_input(
                    fmt::format("{} jump {}", name, ++count),
                    name + " since an event",
                    fmt::format("{}: change by the event of {}", meaning, to_string(event.date)),
                    normal_law(sigma),
                    Evidence::assumed)),
                event.date);
    return age;
}

void MachineModel::add_squarenesses() {
    for (int i = 0; i < 3; ++i) {
        const int index = c0y_index + i;
        const auto name = parameter_name(index);
        const auto meaning = parameter_meaning(index);
        auto& age = squareness_[static_cast<std::size_t>(i)];
        age = add_scalar(name,
                         meaning,
                         prior_factor_ * class_->squareness.high / 2,
                         yearly_squareness(class_->name),
                         changes_squareness,
                         index);
        for (const auto& [correction, what] : corrections_of(shop_, index, job_))
            age.corrections.emplace_back(add(job_input(what,
                                                       {},
                                                       meaning + ": corrected",
                                                       stats::Fixed{correction.applied},
                                                       Evidence::specification)),
                                         correction.date);
    }
}

void MachineModel::add_spindle() {
    const double tilt = prior_factor_ * class_->tram.high / 2;
    spindle_tilt_[0] =
        add_scalar("A0C", "spindle's tilt in YZ", tilt, yearly_change_of_tram, changes_tram, 0);
    spindle_tilt_[1] =
        add_scalar("B0C", "spindle's tilt in XZ", tilt, yearly_change_of_tram, changes_tram, 1);
    for (std::size_t i = 0; i < 2; ++i)
        for (const auto& [correction, what] :
             corrections_of(shop_, i == 0 ? a0c_index : b0c_index, job_))
            spindle_tilt_[i].corrections.emplace_back(
                add(job_input(what,
                              {},
                              fmt::format("spindle's tilt in {}: corrected", i == 0 ? "YZ" : "XZ"),
                              stats::Fixed{correction.applied},
                              Evidence::specification)),
                correction.date);
    const double nose = class_->runout_nose.high / 2 / magnitude_point;
    const double far = class_->runout_300_mm.high / 2 / magnitude_point;
    const double bar = std::sqrt(far * far - nose * nose) / 0.300;
    constexpr std::array<const char*, 2> parts = {"cosine", "sine"};
    for (std::size_t i = 0; i < 2; ++i) {
        run_out_[i] = add_scalar(fmt::format("run-out at the nose, {}", parts[i]),
                                 "run-out of the spindle at its nose",
                                 prior_factor_ * nose,
                                 std::nullopt,
                                 changes_run_out,
                                 0);
        run_out_[2 + i] = add_scalar(fmt::format("run-out, tilt of a bar, {}", parts[i]),
                                     "tilt of a bar in the spindle",
                                     prior_factor_ * bar,
                                     std::nullopt,
                                     changes_run_out,
                                     0);
    }
}

void MachineModel::add_lost_motion() {
    const auto& figures = class_->reversal;
    const double low = figures.low < figures.high ? figures.low : 0;
    const double half = prior_factor_ * (figures.high - low) / 2;
    for (int axis = 0; axis < 3; ++axis) {
        auto& age = lost_motion_[static_cast<std::size_t>(axis)];
        age = add_scalar(fmt::format("lost motion {}", "XYZ"[axis]),
                         fmt::format("lost motion of {}", "XYZ"[axis]),
                         half / std::numbers::sqrt3,
                         yearly_change_of_lost_motion,
                         changes_lost_motion,
                         axis);
        unknowns_[static_cast<std::size_t>(age.value)].law =
            stats::Rectangular{(low + figures.high) / 2, half, std::nullopt};
    }
}

void MachineModel::add_lag() {
    lag_ = add_scalar("lag of X behind Y",
                      "lag of X behind Y",
                      prior_factor_ * typical_lag_mismatch / 2,
                      std::nullopt,
                      changes_lag,
                      0);
    unknowns_[static_cast<std::size_t>(lag_.value)].evidence = Evidence::typical;
}

void MachineModel::add_curves() {
    for (int index = 0; index < 18; ++index) {
        auto& curve = curves_[static_cast<std::size_t>(index)];
        const auto& travel = shop_.travel[static_cast<std::size_t>(index / 6)];
        const auto kind = is_angle(index) ? CurveKind::angle : CurveKind::straightness;
        const auto name = parameter_name(index);
        const auto meaning = parameter_meaning(index);
        const auto add_shapes = [&](const std::string& stem, const std::string& what) {
            const int first = static_cast<int>(unknowns_.size());
            for (Eigen::Index k = 0; k < curve.basis.cols(); ++k)
                add(job_input(fmt::format("{} shape {}", stem, k + 1),
                              stem,
                              what,
                              normal_law(1),
                              Evidence::assumed));
            return first;
        };
        curve.basis = curve_basis(
            travel, kind, prior_factor_ * curve_sigma(kind, upper_of(*class_, index, travel)));
        curve.first = add_shapes(name, meaning);
        int count = 0;
        for (const auto& event : shop_.events)
            if (event.date <= job_ && changes_curves(event, index))
                curve.jumps.emplace_back(add_shapes(fmt::format("{} jump {}", name, ++count),
                                                    fmt::format("{}: change by the event of {}",
                                                                meaning,
                                                                to_string(event.date))),
                                         event.date);
        if (is_positioning(index)) {
            const double sigma = prior_factor_ * class_->lead_per_300_mm.high / 0.300 / 2;
            curve.scale = add(job_input(name + " scale",
                                        name + " scale",
                                        fmt::format("scale of {}", "XYZ"[index / 6]),
                                        normal_law(sigma),
                                        Evidence::assumed));
            curve.scale_rate =
                add(job_input(name + " scale change in a year",
                              name + " scale change in a year",
                              fmt::format("scale of {}: change since its check", "XYZ"[index / 6]),
                              normal_law(yearly_change_of_scale),
                              Evidence::typical));
            for (const auto& [correction, what] : corrections_of(shop_, index, job_))
                add(job_input(what,
                              {},
                              fmt::format("scale of {}: corrected", "XYZ"[index / 6]),
                              stats::Fixed{correction.applied},
                              Evidence::specification));
        }
    }
}

Eigen::RowVectorXd MachineModel::scalar(const Ageing& scalar, Date day) const {
    Eigen::RowVectorXd row = zero(); // what it was then: now - rate · age - jumps
    row[scalar.value] = 1;
    if (scalar.rate >= 0)
        row[scalar.rate] = -years_between(day, job_);
    for (const auto& [jump, when] : scalar.jumps)
        if (day < when)
            row[jump] = -1;
    for (const auto& [correction, when] : scalar.corrections)
        if (day >= when)
            row[correction] = 1;
    return row;
}

void MachineModel::add_table() {
    auto area = travel_area(shop_.travel[0], shop_.travel[1]);
    bool mapped = false;
    for (const auto& check : shop_.table_checks)
        if (check.date <= job_) {
            mapped = true;
            area.include(mapped_area(check));
        }
    if (!mapped)
        return;
    table_.emplace(area, prior_factor_ * table_sigma(class_->table_flatness.high));
    first_table_shape_ = static_cast<int>(unknowns_.size());
    for (Eigen::Index k = 0; k < table_->shapes(); ++k)
        add(job_input(fmt::format("table shape {}", k + 1),
                      "form of the table",
                      "form of the table",
                      normal_law(1),
                      Evidence::assumed));
}

Eigen::RowVectorXd MachineModel::table_form(double x, double y) const {
    assert(table_);
    Eigen::RowVectorXd row = zero();
    row.segment(first_table_shape_, table_->shapes()) = table_->weights(x, y);
    return row;
}

Eigen::RowVectorXd MachineModel::parameter(int index, double coordinate, Date day) const {
    if (index >= c0y_index)
        return scalar(squareness_[static_cast<std::size_t>(index - c0y_index)], day);
    Eigen::RowVectorXd row = zero();
    const double age = years_between(day, job_);
    const auto& curve = curves_[static_cast<std::size_t>(index)];
    const auto& travel = shop_.travel[static_cast<std::size_t>(index / 6)];
    const Eigen::RowVectorXd shapes = knot_weights(travel, coordinate) * curve.basis;
    row.segment(curve.first, shapes.size()) = shapes;
    for (const auto& [first, when] : curve.jumps)
        if (day < when)
            row.segment(first, shapes.size()) = -shapes;
    if (curve.scale >= 0) {
        row[curve.scale] = coordinate - travel.reference;
        row[curve.scale_rate] = -age * (coordinate - travel.reference);
        for (const auto& [correction, what] : corrections_of(shop_, index, job_))
            if (day >= correction.date)
                row[by_name_.at(what)] = coordinate - travel.reference;
    }
    return row;
}

Input MachineModel::table_against_motion(Axis axis) const {
    return job_input(fmt::format("table against the motion of {}", letter(axis)),
                     {},
                     fmt::format("table not parallel to the motion of {}", letter(axis)),
                     normal_law(class_->squareness.high / 2),
                     Evidence::assumed);
}

Eigen::MatrixXd MachineModel::point_error(const Eigen::Vector3d& position,
                                          const Eigen::Vector3d& tool,
                                          Date day) const {
    Eigen::MatrixXd parameters(geometric_parameters, static_cast<Eigen::Index>(unknowns_.size()));
    for (int i = 0; i < geometric_parameters; ++i)
        parameters.row(i) = parameter(i, i < c0y_index ? position[i / 6] : 0, day);
    Eigen::Vector3d from_reference = position;
    for (int axis = 0; axis < 3; ++axis)
        from_reference[axis] -= shop_.travel[static_cast<std::size_t>(axis)].reference;
    return point_rows(shop_.order, from_reference, tool) * parameters;
}

Eigen::RowVectorXd MachineModel::spindle_tilt(Axis about, Date day) const {
    assert(about != Axis::z && "a spindle turns about Z");
    return scalar(spindle_tilt_[static_cast<std::size_t>(about)], day);
}

Eigen::RowVectorXd MachineModel::lost_motion(Axis axis, Date day) const {
    return scalar(lost_motion_[static_cast<std::size_t>(axis)], day);
}

Eigen::RowVectorXd MachineModel::lag_mismatch(Date day) const {
    return scalar(lag_, day);
}

Eigen::MatrixXd MachineModel::run_out(double length, Date day) const {
    Eigen::MatrixXd rows(2, static_cast<Eigen::Index>(unknowns_.size()));
    for (std::size_t i = 0; i < 2; ++i)
        rows.row(static_cast<Eigen::Index>(i)) =
            scalar(run_out_[i], day) + length * scalar(run_out_[2 + i], day);
    return rows;
}

} // namespace holdable
