// SPDX-License-Identifier: MIT
/// A machine whose errors are set by hand, a process without any, and what a callout then comes to.
#pragma once

#include "holdable/part/features.hpp"
#include "holdable/propagate/first_order.hpp"
#include "machine/workshop.hpp"

#include <Eigen/QR>
#include <boost/test/unit_test.hpp>

#include <algorithm>
#include <functional>
#include <string>

namespace holdable::tests {

inline const Date cutting_day = parse_date("2026-11-25");

/// A machine of which nothing was measured, all its errors at zero.
inline MachineState still(const Shop& shop = workshop()) {
    return solve(shop, cutting_day);
}

inline void set(MachineState& state, const std::string& name, double value) {
    const auto& all = state.model.unknowns();
    const auto at =
        std::find_if(all.begin(), all.end(), [&](const Input& u) { return u.name == name; });
    BOOST_REQUIRE_MESSAGE(at != all.end(), "no unknown " << name);
    state.estimate[at - all.begin()] = value;
}

/// Gives an error motion the shape f(coordinate) over the axis, by the smallest change of its
/// unknowns. @param index as in kinematics.hpp
inline void set_curve(MachineState& state, int index, const std::function<double(double)>& f) {
    const auto& travel = state.model.shop().travel[static_cast<std::size_t>(index / 6)];
    constexpr int knots = 41;
    Eigen::MatrixXd rows(knots, state.model.zero().size());
    Eigen::VectorXd wanted(knots);
    for (int k = 0; k < knots; ++k) {
        const double q = travel.low + (travel.high - travel.low) * k / (knots - 1);
        rows.row(k) = state.model.parameter(index, q, cutting_day);
        wanted[k] = f(q);
    }
    const Eigen::VectorXd missing = wanted - rows * state.estimate;
    state.estimate += rows.completeOrthogonalDecomposition().solve(missing);
}

/// A process that adds nothing of its own, all of it known.
inline Process silent() {
    const auto none = Evidence::measured;
    Process p;
    for (auto* a : {&p.work_zero,
                    &p.location,
                    &p.line_up,
                    &p.pick_up,
                    &p.reversal,
                    &p.short_wave,
                    &p.drift,
                    &p.seat,
                    &p.lobes,
                    &p.tool_size,
                    &p.tool_length,
                    &p.first_piece,
                    &p.distortion})
        *a = Allowance{0, none, ""};
    for (auto* s : {&p.axis_repeat, &p.hole_direction, &p.hole_place, &p.size_repeat})
        *s = Scatter{0, 0, 0, 0, none, ""};
    for (auto* s : {&p.hole_size, &p.tool_run_out, &p.wear, &p.side_force})
        *s = Span{0, 0, none, ""};
    return p;
}

/// A job of some callouts in steel at exactly 20 °C.
inline Job job_of(std::vector<Callout> callouts, const Process& process = silent()) {
    Job job;
    job.name = "test";
    job.material = "steel";
    job.quantity = 5;
    job.process = process;
    job.temperatures = {293.15, 293.15, 0, Evidence::measured, true};
    job.callouts = std::move(callouts);
    return job;
}

inline Callout callout(Requirement kind, Feature feature, Datum datum = {}) {
    Callout c;
    c.kind = kind;
    c.name = "asked";
    c.tolerance = 20e-6;
    c.size = {0.06, -20e-6, 20e-6, {}, ""};
    c.feature = std::move(feature);
    c.datum = std::move(datum);
    return c;
}

inline Hole hole_at(double x, double y, double top = 0.15, double depth = 0.04) {
    Hole hole;
    hole.x = x;
    hole.y = y;
    hole.top = top;
    hole.depth = depth;
    hole.tool_length = 0.15;
    hole.diameter = 0.06;
    return hole;
}

/// A wall 100 mm long and `depth` high, facing + or - along an axis.
inline Wall wall_at(Axis axis, double sign, double at, double from = 0.15, double depth = 0.05) {
    Wall wall;
    const bool x = axis == Axis::x;
    wall.normal = x ? Eigen::Vector2d(sign, 0) : Eigen::Vector2d(0, sign);
    wall.from = x ? Eigen::Vector2d(at, from) : Eigen::Vector2d(from, at);
    wall.to = x ? Eigen::Vector2d(at, from + 0.1) : Eigen::Vector2d(from + 0.1, at);
    wall.top = 0.2;
    wall.depth = depth;
    wall.tool_length = 0.12;
    wall.tool_diameter = 0.016;
    wall.tool_reach = 0.06;
    return wall;
}

inline const PlaneDatum seat{PlaneDatum::Kind::seat, "A", {}};

/// What the first callout of a job comes to with every input at its mean (m).
inline double value(const MachineState& state, const Job& job) {
    return propagate::first_order(question(state, job).model, 0, 0.95).value;
}

/// Effect of an input on element `e` of the first callout, 0 if it has none.
inline double effect(const PartQuestion& q, const std::string& name, Eigen::Index e = 0) {
    const auto& all = q.model.inputs;
    const auto at =
        std::find_if(all.begin(), all.end(), [&](const Input& i) { return i.name == name; });
    return at == all.end() ? 0 : q.model.characteristics.at(0).effect(e, at - all.begin());
}

} // namespace holdable::tests
