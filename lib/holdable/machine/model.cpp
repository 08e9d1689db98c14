// SPDX-License-Identifier: MIT
#include "holdable/machine/model.hpp"

#include "holdable/base/error.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cassert>

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
constexpr double yearly_change_of_scale = 3e-6; // m/m, the same source

double yearly_squareness(std::string_view machine_class) {
    for (const auto& row : yearly_changes)
        if (row.machine_class == machine_class)
            return row.squareness;
    return yearly_changes[0].squareness;
}

/// Without a class declared the coarsest one is computed with; the answer says that none was.
std::string_view class_name(const Shop& shop) {
    return shop.machine_class.empty() ? machine_classes().front().name
                                      : std::string_view(shop.machine_class);
}

stats::Distribution normal(double sigma) {
    return stats::Normal{0, sigma, std::nullopt};
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

} // namespace

MachineModel::MachineModel(const Shop& shop, Date job, std::string_view prior, double prior_factor)
    : shop_(shop), job_(job), class_(&machine_class(prior.empty() ? class_name(shop) : prior)),
      prior_factor_(prior_factor) {
    add_squarenesses();
    add_curves();
    add_table();
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

Eigen::RowVectorXd MachineModel::zero() const {
    return Eigen::RowVectorXd::Zero(static_cast<Eigen::Index>(unknowns_.size()));
}

void MachineModel::add_squarenesses() {
    for (int i = 0; i < 3; ++i) {
        const int index = c0y_index + i;
        const auto name = parameter_name(index);
        const auto meaning = parameter_meaning(index);
        const double sigma = prior_factor_ * class_->squareness.high / 2;
        squareness_[static_cast<std::size_t>(i)] =
            add({name, name, meaning, normal(sigma), Evidence::assumed, Sharing::job, {}, 0});
        auto& age = squareness_ageing_[static_cast<std::size_t>(i)];
        age.rate = add({name + " change in a year",
                        name + " change in a year",
                        meaning + ": change since its check",
                        normal(yearly_squareness(class_->name)),
                        Evidence::typical,
                        Sharing::job,
                        {},
                        0});
        int count = 0;
        for (const auto& event : shop_.events)
            if (event.date <= job_ && changes_squareness(event, index))
                age.jumps.emplace_back(
                    add({fmt::format("{} jump {}", name, ++count),
                         name + " since an event",
                         fmt::format(
                             "{}: change by the event of {}", meaning, to_string(event.date)),
                         normal(sigma),
                         Evidence::assumed,
                         Sharing::job,
                         {},
                         0}),
                    event.date);
        count = 0;
        for (const auto& correction : shop_.corrections)
            if (correction.parameter == index && correction.date <= job_)
                age.corrections.emplace_back(add({fmt::format("{} correction {}", name, ++count),
                                                  {},
                                                  meaning + ": corrected",
                                                  stats::Fixed{correction.applied},
                                                  Evidence::specification,
                                                  Sharing::job,
                                                  {},
                                                  0}),
                                             correction.date);
    }
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
                add({fmt::format("{} shape {}", stem, k + 1),
                     stem,
                     what,
                     normal(1),
                     Evidence::assumed,
                     Sharing::job,
                     {},
                     0});
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
            curve.scale = add({name + " scale",
                               name + " scale",
                               fmt::format("scale of {}", "XYZ"[index / 6]),
                               normal(sigma),
                               Evidence::assumed,
                               Sharing::job,
                               {},
                               0});
            curve.scale_rate =
                add({name + " scale change in a year",
                     name + " scale change in a year",
                     fmt::format("scale of {}: change since its check", "XYZ"[index / 6]),
                     normal(yearly_change_of_scale),
                     Evidence::typical,
                     Sharing::job,
                     {},
                     0});
        }
    }
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
        add({fmt::format("table shape {}", k + 1),
             "form of the table",
             "form of the table",
             normal(1),
             Evidence::assumed,
             Sharing::job,
             {},
             0});
}

Eigen::RowVectorXd MachineModel::table_form(double x, double y) const {
    assert(table_);
    Eigen::RowVectorXd row = zero();
    row.segment(first_table_shape_, table_->shapes()) = table_->weights(x, y);
    return row;
}

int MachineModel::table_slope(Axis along) {
    const char letter = along == Axis::x ? 'X' : 'Y';
    return shared({fmt::format("table against the motion of {}", letter),
                   {},
                   fmt::format("table not parallel to the motion of {}", letter),
                   normal(class_->squareness.high / 2),
                   Evidence::assumed,
                   Sharing::job,
                   {},
                   0});
}

Eigen::RowVectorXd MachineModel::parameter(int index, double coordinate, Date day) const {
    Eigen::RowVectorXd row = zero();
    const double age = years_between(day, job_); // the parameter then was: now - rate · age - jumps
    if (index >= c0y_index) {
        const auto i = static_cast<std::size_t>(index - c0y_index);
        row[squareness_[i]] = 1;
        row[squareness_ageing_[i].rate] = -age;
        for (const auto& [jump, when] : squareness_ageing_[i].jumps)
            if (day < when)
                row[jump] = -1;
        for (const auto& [correction, when] : squareness_ageing_[i].corrections)
            if (day >= when)
                row[correction] = 1;
        return row;
    }
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
    }
    return row;
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

} // namespace holdable
