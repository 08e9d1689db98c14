// SPDX-License-Identifier: MIT
// Bores, holes and round bosses: their size and how round they are.
#include "holdable/part/kinds.hpp"
#include "holdable/stats/distribution.hpp"

#include <fmt/format.h>

#include <cmath>
#include <numbers>

namespace holdable {
namespace {

using Eigen::Index;
using Eigen::Vector3d;
using Eigen::VectorXd;

constexpr double turn = 2 * std::numbers::pi;
constexpr Index usual_round = 40; // points round a section, with those at 45°
constexpr Index usual_sections = 5;
constexpr Index usual_round_each = 24;

// Lobes of two and three, four normal amplitudes of this σ: half of their peak-to-valley is below
// 1 in 95 of 100 draws (found by simulation, tests/part/round_features.cpp).
constexpr double lobe_sigma = 1 / 3.884;

/// Longest lag of an axis behind where it is sent: a gain of 2 m/min/mm. Common practice, no
/// source.
constexpr double longest_lag = 0.004; // half of it is the mean (s)

VectorXd round_angles(Index n) {
    return VectorXd::LinSpaced(n, 0, turn * static_cast<double>(n - 1) / static_cast<double>(n));
}

Vector3d normal_at(double angle) {
    return {std::cos(angle), std::sin(angle), 0};
}

} // namespace

namespace {

/// How far the place of a milling tool is beyond the surface it cuts (m).
double beyond_surface(const Hole& hole) {
    return hole.tool_diameter / 2 * (hole.outside ? 1 : -1);
}

/// Where the spindle stands as a point of a section is cut.
Spot at_section(const Hole& hole, double height, double angle) {
    Vector3d tip(hole.x, hole.y, height);
    if (hole.making == HoleMaking::interpolated)
        tip += (hole.diameter / 2 + beyond_surface(hole)) * normal_at(angle);
    return {tip, hole.tool_length, "the path of the tool"};
}

} // namespace

void add_section_point(
    Collector& c, Index e, const Hole& hole, double height, double angle, double weight) {
    if (hole.making == HoleMaking::interpolated)
        c.length(e, -weight * beyond_surface(hole)); // the part is as long as its surface is wide
    c.spot(e, at_section(hole, height, angle), normal_at(angle), weight);
}

void add_point_across(Collector& c, Index e, const Hole& hole, double height, double angle) {
    c.spot(e, at_section(hole, height, angle), {-std::sin(angle), std::cos(angle), 0});
}

void add_path(Collector& c, const Hole& hole, const VectorXd& angles) {
    if (c.probing()) // it stands still where it touches
        return;
    const double way = hole.outside ? -1 : 1;
    VectorXd by_half[2] = {c.zero(), c.zero()};
    VectorXd lag = c.zero();
    for (Index k = 0; k < angles.size(); ++k) {
        const double cosine = std::cos(angles[k]);
        const double sine = std::sin(angles[k]);
        const double velocity[2] = {-way * sine, way * cosine}; // per unit of feed
        const double n[2] = {cosine, sine};
        for (int axis = 0; axis < 2; ++axis)
            if (std::abs(velocity[axis]) > 1e-9)
                by_half[axis][k] = velocity[axis] > 0 ? -n[axis] : n[axis];
        // δ = -v τ, τ_X - τ_Y = m: half of it each
        lag[k] = hole.feed * (-velocity[0] * n[0] + velocity[1] * n[1]) / 2;
    }
    c.turning(Axis::x, by_half[0]);
    c.turning(Axis::y, by_half[1]);
    c.machine(lag, c.state().model.lag_mismatch(c.state().model.job()));
    c.given(fmt::format("one pass round at {:.4g} mm/min without a stop", hole.feed * 60e3));
}

namespace {

void say_size(Collector& c, const Hole& hole) {
    c.leave_out("clamping marks, burrs");
    switch (hole.making) {
    case HoleMaking::bored:
        c.given("head set by a trial cut, edge fresh");
        break;
    case HoleMaking::reamed:
        c.given("reamed after a bored pilot, reamer measured");
        break;
    case HoleMaking::interpolated:
        c.given("tool measured, entered with its diameter");
        break;
    case HoleMaking::drilled:
    case HoleMaking::tapped:
        break;
    }
}

} // namespace

/// D - nominal = (aim - nominal) + what the making adds. Of a path: twice the mean of n·δ, tool
/// diameter and run-out, which both open a hole and eat a boss; bending, wear and lag the other
/// way.
void add_diameter(
    Collector& c, Index e, const std::string& who, const Hole& hole, const SizeLimits& size) {
    const auto& process = c.process();
    const VectorXd one = c.unit(e);
    c.aim(e, size);
    if (hole.making == HoleMaking::interpolated) {
        const double sign = hole.outside ? -1 : 1;
        const auto around = usual_round;
        const auto angles = round_angles(around);
        for (Index k = 0; k < around; ++k)
            add_section_point(c, e, hole, hole.top - hole.depth / 2, angles[k], 2.0 / around);
        add_tool_size(c, "milling tool", sign * one);
        add_tool_run_out(c, "milling tool", sign * one);
        add_wear(c, "wear of the edge", -2 * sign * one);
        if (hole.tool_reach) {
            const double give = bending(hole.tool_diameter,
                                        *hole.tool_reach,
                                        600e9,
                                        VectorXd::Constant(1, hole.depth / 2))[0];
            add_side_force(c, -2 * sign * give * one);
        } else {
            c.leave_out("bending of the tool: its reach is not stated");
        }
        // An axis that lags by τ cuts a circle smaller by F²τ²/R in diameter.
        const double smaller = std::pow(hole.feed * longest_lag, 2) / (hole.diameter / 2);
        c.span("lag of both axes",
               "lag of both axes on the circle",
               {-smaller, 0, Evidence::typical, "gain of the axes"},
               Sharing::job,
               one);
    } else {
        c.length(e, hole.diameter);
        c.need(process.hole_size.has_value(), "hole_size", "how the size of the hole is set");
        if (process.hole_size)
            c.span(who + ", setting of the size",
                   hole.making == HoleMaking::bored    ? "setting of the size"
                   : hole.making == HoleMaking::reamed ? "how large the reamer cuts"
                                                       : "how large the drill cuts",
                   *process.hole_size,
                   Sharing::tool,
                   one);
        if (hole.making == HoleMaking::bored) {
            add_wear(c, "wear of the boring edge", -2 * one);
        }
        if (hole.making == HoleMaking::bored)
            c.leave_out("bending of the boring bar other than at the trial cut");
    }
    c.need(
        process.size_repeat.has_value(), "size_repeat", "how the size repeats from part to part");
    if (process.size_repeat)
        c.scatter(
            who + ", size from part to part", "size from part to part", *process.size_repeat, one);
    say_size(c, hole);
}

SizeLimits aimed(const Hole& hole, SizeLimits size) {
    if (!size.aim && (hole.making == HoleMaking::drilled || hole.making == HoleMaking::tapped))
        size.aim = size.nominal;
    return size;
}

void diameter(Collector& c) {
    c.shape(Reduction::signed_value, 1);
    const auto& hole = c.callout().hole();
    if (std::get<Holes>(c.callout().feature).size() > 1)
        c.note("answered for each hole by itself, at the place of the first");
    add_diameter(c, 0, c.callout().name, hole, aimed(hole, c.callout().size));
}

void add_lobes(Collector& c, const Hole& hole, const VectorXd& angles) {
    const auto& process = c.process();
    if (hole.making != HoleMaking::interpolated) {
        c.need(process.lobes.has_value(), "lobes", "how round this machine bores");
        for (int lobe = 2; lobe <= 3; ++lobe)
            for (const bool sine : {false, true}) {
                VectorXd column = c.zero();
                for (Index k = 0; k < angles.size(); ++k)
                    column[k] = sine ? std::sin(lobe * angles[k]) : std::cos(lobe * angles[k]);
                if (process.lobes)
                    c.affect({fmt::format("{} lobes, {}", lobe, sine ? "sine" : "cosine"),
                              "lobes",
                              "out of round by the spindle",
                              normal_law(lobe_sigma * process.lobes->half_width),
                              process.lobes->evidence,
                              Sharing::job,
                              {},
                              0},
                             column);
            }
    }
    // A part held in a vise springs back to two lobes.
    VectorXd oval = c.zero();
    for (Index k = 0; k < angles.size(); ++k)
        oval[k] = std::cos(2 * angles[k]);
    add_spring(c, "round", oval);
}

/// Points round the middle section, the centre free: width = max - min.
void roundness(Collector& c) {
    const auto& hole = c.callout().hole();
    const Index around = c.points_round(usual_round);
    const auto angles = round_angles(around);
    c.shape(Reduction::width, around);
    if (hole.diameter > 0)
        c.bend(hole.diameter / 2);
    const bool bends = c.elements() > around;
    c.current().free.resize(around, 2);
    Eigen::MatrixXd across(around, 2);
    const double middle = hole.top - hole.depth / 2;
    for (Index k = 0; k < around; ++k) {
        add_section_point(c, k, hole, middle, angles[k], 1);
        c.current().free.row(k) << std::cos(angles[k]), std::sin(angles[k]);
        across.row(k) << -std::sin(angles[k]), std::cos(angles[k]);
        if (bends)
            add_point_across(c, around + k, hole, middle, angles[k]);
    }
    if (bends)
        c.across_of_free(std::move(across));
    if (hole.making == HoleMaking::interpolated)
        add_path(c, hole, angles);
    add_lobes(c, hole, angles);
}

/// Points over the whole surface, the axis free: centre and lean.
void cylindricity(Collector& c) {
    const auto& hole = c.callout().hole();
    const Index sections = c.points(usual_sections);
    const Index around_each = c.points_round(usual_round_each);
    const auto each = round_angles(around_each);
    const Index points = sections * around_each;
    c.shape(Reduction::width, points);
    if (hole.diameter > 0)
        c.bend(hole.diameter / 2);
    const bool bends = c.elements() > points;
    c.current().free.resize(points, 4);
    Eigen::MatrixXd across(points, 4);
    VectorXd angles(points), above(points);
    for (Index s = 0; s < sections; ++s)
        for (Index k = 0; k < around_each; ++k) {
            const Index e = s * around_each + k;
            const double t = static_cast<double>(s) / static_cast<double>(sections - 1);
            angles[e] = each[k];
            above[e] = t * hole.depth;
            const double height = hole.top - hole.depth + above[e];
            add_section_point(c, e, hole, height, each[k], 1);
            if (bends)
                add_point_across(c, points + e, hole, height, each[k]);
            const double cosine = std::cos(each[k]);
            const double sine = std::sin(each[k]);
            c.current().free.row(e) << cosine, sine, (t - 0.5) * cosine, (t - 0.5) * sine;
            across.row(e) << -sine, cosine, -(t - 0.5) * sine, (t - 0.5) * cosine;
        }
    if (bends)
        c.across_of_free(std::move(across));
    if (hole.making == HoleMaking::interpolated) {
        add_path(c, hole, angles);
        if (hole.tool_reach) {
            VectorXd by_force = c.zero();
            by_force.head(points) = (hole.outside ? 1 : -1) *
                                    bending(hole.tool_diameter, *hole.tool_reach, 600e9, above);
            add_side_force(c, by_force);
        } else {
            c.given("milled round in steps of Z that leave little to cut");
            c.leave_out("bending of the tool: its reach is not stated");
        }
    } else {
        c.leave_out("wear of the edge within one bore");
    }
    add_lobes(c, hole, angles);
}

} // namespace holdable
