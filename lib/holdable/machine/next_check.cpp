// SPDX-License-Identifier: MIT
#include "holdable/machine/next_check.hpp"

#include "holdable/machine/checks.hpp"
#include "holdable/machine/equations.hpp"
#include "holdable/machine/plan_check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

namespace holdable {
namespace {

/// The error of the tool point over the travel against its middle, shape 78 × n.
Eigen::MatrixXd tool_point_forms(const MachineModel& model) {
    const auto& travel = model.shop().travel;
    const Eigen::Vector3d tool(0, 0, -0.1);
    const auto at = [&](int i, int j, int k) {
        Eigen::Vector3d p;
        const int step[] = {i, j, k};
        for (int axis = 0; axis < 3; ++axis) {
            const auto& t = travel[static_cast<std::size_t>(axis)];
            p[axis] = t.low + (t.high - t.low) * step[axis] / 2;
        }
        return model.point_error(p, tool, model.job());
    };
    const auto middle = at(1, 1, 1);
    Eigen::MatrixXd forms(78, middle.cols());
    Eigen::Index row = 0;
    for (int i = 0; i < 3; ++i)
        for (int j = 0; j < 3; ++j)
            for (int k = 0; k < 3; ++k)
                if (i != 1 || j != 1 || k != 1) {
                    forms.middleRows(row, 3) = at(i, j, k) - middle;
                    row += 3;
                }
    return forms;
}

} // namespace

std::vector<NextCheck> next_checks(const Shop& shop, Date job) {
    Shop geared = shop;
    add_usual_gear(geared);
    MachineModel model(geared, job);
    const auto forms = tool_point_forms(model);
    const auto observations = observe(model);
    const auto left = [&](const MachineModel& of, const std::vector<Observation>& all) {
        return std::sqrt(variance_left(equations(of, all), forms));
    };
    const double now = left(model, observations);
    std::vector<NextCheck> checks;
    const auto weigh = [&](std::string what, bool own, const auto& check) {
        auto with = model;
        auto all = observations;
        observe(with, check, all);
        checks.push_back({std::move(what), own, now > 0 ? left(with, all) / now : 1});
    };
    for (const auto across : {Axis::x, Axis::y})
        for (const auto& square : geared.squares)
            weigh(fmt::format("Z square to {} by {}, turned round, its leg swept both times",
                              letter(across),
                              square.name),
                  !shop.squares.empty() && !shop.indicators.empty(),
                  plan_square(geared, across, square, job));
    for (const auto& square : geared.squares)
        weigh(fmt::format("Y square to X by {} lying flat, turned over", square.name),
              !shop.squares.empty() && !shop.indicators.empty(),
              plan_flat_square(geared, square, job));
    for (const auto axis : {Axis::x, Axis::y})
        for (const auto points : {Axis::x, Axis::y})
            for (const auto& level : geared.levels)
                weigh(fmt::format("{} by {} on the table",
                                  parameter_meaning(motion_index(points == Axis::x ? 4 : 3, axis)),
                                  level.name),
                      !shop.levels.empty(),
                      plan_level(geared, axis, points, level, job));
    for (const auto axis : {Axis::x, Axis::y, Axis::z})
        for (const auto& standard : geared.length_standards)
            if (const auto check = plan_positioning(
                    geared, axis, standard, model.assumed_class().repeatability.high, job))
                weigh(fmt::format("positioning of {} by {}, five runs each way",
                                  letter(axis),
                                  standard.name),
                      !shop.length_standards.empty() && !shop.indicators.empty(),
                      *check);
    for (const auto axis : {Axis::x, Axis::y})
        for (const auto& straightedge : geared.straightedges)
            weigh(fmt::format("straightness of {} in {} by {}, turned over",
                              letter(axis),
                              axis == Axis::x ? 'Y' : 'X',
                              straightedge.name),
                  !shop.straightedges.empty() && !shop.indicators.empty(),
                  plan_straightness(
                      geared, axis, axis == Axis::x ? Axis::y : Axis::x, straightedge, job));
    std::stable_sort(
        checks.begin(), checks.end(), [](const auto& a, const auto& b) { return a.left < b.left; });
    return checks;
}

std::string check_that_shows(std::string_view unknown) {
    constexpr std::string_view letters = "XYZ";
    const auto begins = [&](std::string_view word) { return unknown.starts_with(word); };
    if (unknown.size() >= 3 && begins("E")) {
        const char motion = unknown[1];
        const char axis = unknown[2];
        if (letters.find(axis) == std::string_view::npos)
            return {};
        if (motion == axis)
            return fmt::format("a positioning check of {}", axis);
        if (letters.find(motion) != std::string_view::npos)
            return fmt::format("a straightness check of {} in {}", axis, motion);
        if (motion != 'A' && motion != 'B' && motion != 'C')
            return {};
        // a level shows what tips its bubble: no turn about the vertical
        return motion == 'C' ? fmt::format("positioning checks of {} along two lines", axis)
                             : fmt::format("a level check along {}", axis);
    }
    constexpr std::pair<std::string_view, std::string_view> others[] = {
        {"C0Y", "a check by square in XY, or a circle"},
        {"B0Z", "a check by square in ZX"},
        {"A0Z", "a check by square in ZY"},
        {"A0C", "a tram check"},
        {"B0C", "a tram check"},
        {"run-out", "a run-out check"},
        {"lost motion", "a positioning check from both sides"},
        {"lag of X behind Y", "a circle check"},
        {"short wave", "a positioning check with targets within a turn of the screw"},
        {"table against the motion", "a sweep of the table by a tram check"}};
    for (const auto& [word, check] : others)
        if (begins(word))
            return std::string(check);
    return {};
}

} // namespace holdable
