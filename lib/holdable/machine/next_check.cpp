// SPDX-License-Identifier: MIT
#include "holdable/machine/next_check.hpp"

#include "holdable/machine/checks.hpp"
#include "holdable/machine/equations.hpp"
#include "holdable/standards/expansion.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

namespace holdable {
namespace {

constexpr std::string_view planned = "the planned check";

const Travel& travel_of(const Shop& shop, Axis axis) {
    return shop.travel[static_cast<std::size_t>(axis)];
}

/// Places from `from` to `to`, ends included.
std::vector<double> spaced(double from, double to, int count) {
    std::vector<double> places;
    for (int i = 0; i < count; ++i)
        places.push_back(from + (to - from) * i / (count - 1));
    return places;
}

/// What a shop without the gear would buy or borrow (common practice, no source).
void add_usual_gear(Shop& shop) {
    if (shop.indicators.empty())
        shop.indicators.push_back({"an indicator of 1 µm",
                                   1e-6,
                                   0.03,
                                   Evidence::typical,
                                   0.5e-6,
                                   0,
                                   Evidence::typical,
                                   {}});
    if (shop.squares.empty())
        shop.squares.push_back({"a square of grade 0, 200 mm",
                                0.200,
                                0,
                                0,
                                35e-6,
                                3.5e-6,
                                Evidence::specification,
                                Evidence::typical,
                                {}});
    if (shop.straightedges.empty())
        shop.straightedges.push_back(
            {"a straightedge of 500 mm", 0.500, 5e-6, Evidence::typical, {}});
    if (shop.length_standards.empty()) {
        LengthStandard blocks;
        blocks.name = "gauge blocks of grade 1";
        blocks.lengths = {0, 0.1, 0.2, 0.3};
        blocks.deviations.assign(4, 0.0);
        blocks.limit = 1.4e-6; // grade 1 at 300 mm: ISO 3650, from memory
        blocks.setting = 0.5e-6;
        const auto& steel = expansion_of("gauge-block steel");
        blocks.expansion = steel.coefficient;
        blocks.expansion_doubt = steel.half_width;
        shop.length_standards.push_back(blocks);
    }
    if (shop.levels.empty())
        shop.levels.push_back({"a level of 20 µm/m", 20e-6, 0.2, 0.05, Evidence::typical, {}});
}

/// Spindle gauge point to the tip of an indicator (m).
double usual_gauge_length(const Shop& shop) {
    return std::min(0.1, shop.nose_to_table / 2);
}

/// The middle of the travel, the indicator just above the table where it can be.
Eigen::Vector3d usual_place(const Shop& shop, double gauge_length) {
    const auto& z = shop.travel[2];
    return {(shop.travel[0].low + shop.travel[0].high) / 2,
            (shop.travel[1].low + shop.travel[1].high) / 2,
            std::clamp(0.02 + gauge_length - shop.nose_to_table, z.low, z.high)};
}

/// Z against X or Y: the square in the middle of the table, turned round, its leg swept.
SquareCheck plan_square(const MachineModel& model, Axis across, const Square& square) {
    const auto& shop = model.shop();
    SquareCheck check;
    check.name = planned;
    check.date = model.job();
    check.across = across;
    check.square = square.name;
    check.indicator = shop.indicators.front().name;
    check.gauge_length = usual_gauge_length(shop);
    check.base = 0.7 * square.length;
    const auto& z = travel_of(shop, Axis::z);
    const double leg = 0.02 + check.gauge_length - shop.nose_to_table;
    const double low = std::max(z.low, leg);
    const double high = std::min(z.high, leg + 0.95 * square.length);
    check.place = {(shop.travel[0].low + shop.travel[0].high) / 2,
                   (shop.travel[1].low + shop.travel[1].high) / 2,
                   low};
    check.stations = spaced(low, high, 5);
    for (const bool plus : {true, false}) {
        SquareSetting setting;
        setting.leg_towards_plus = plus;
        const double edge = check.place[static_cast<int>(across)];
        const auto& u = travel_of(shop, across);
        const double far = std::clamp(edge + (plus ? 0.9 : -0.9) * check.base, u.low, u.high);
        setting.leg_stations = spaced(edge + (far - edge) / 10, far, 5);
        setting.leg_readings.assign(5, 0.0);
        setting.edge_readings.assign(5, 0.0);
        setting.closing = 0.0;
        check.settings.push_back(setting);
    }
    return check;
}

/// Y against X: the square lying in the middle of the table, turned over.
FlatSquareCheck plan_flat_square(const MachineModel& model, const Square& square) {
    const auto& shop = model.shop();
    FlatSquareCheck check;
    check.name = planned;
    check.date = model.job();
    check.square = square.name;
    check.indicator = shop.indicators.front().name;
    check.gauge_length = usual_gauge_length(shop);
    const auto& x = shop.travel[0];
    const auto& y = shop.travel[1];
    check.z = usual_place(shop, check.gauge_length).z();
    const double leg = std::min(0.7 * square.length, x.high - x.low);
    const double edge = std::min(0.95 * square.length, y.high - y.low);
    const double left = (x.low + x.high - leg) / 2;
    const double front = (y.low + y.high - edge) / 2;
    for (const bool plus : {true, false}) {
        FlatSquareSetting setting;
        setting.leg_towards_plus = plus;
        setting.corner = {plus ? left : left + leg, front};
        setting.leg = {spaced(left, left + leg, 5), std::vector<double>(5, 0.0), 0.0, {}, {}};
        setting.edge = {spaced(front, front + edge, 5), std::vector<double>(5, 0.0), 0.0, {}, {}};
        check.settings.push_back(setting);
    }
    return check;
}

/// Roll or pitch of X or Y by a level on the table, over the whole travel.
LevelCheck plan_level(const MachineModel& model, Axis axis, Axis points, const Level& level) {
    const auto& shop = model.shop();
    LevelCheck check;
    check.name = planned;
    check.date = model.job();
    check.axis = axis;
    check.points = points;
    check.level = level.name;
    check.rides = level_stands_still(shop, axis, LevelRides::table).empty() ? LevelRides::table
                                                                            : LevelRides::head;
    for (int i = 0; i < 3; ++i)
        check.place[i] = shop.travel[static_cast<std::size_t>(i)].reference;
    const auto& travel = travel_of(shop, axis);
    check.stations = spaced(travel.low, travel.high, 7);
    check.readings.assign(7, 0.0);
    check.closing = 0.0;
    return check;
}

/// An axis along a standard as far as both reach, five times from either side; nothing where fewer
/// than two lengths fit.
std::optional<PositioningCheck>
plan_positioning(const MachineModel& model, Axis axis, const LengthStandard& standard) {
    const auto& shop = model.shop();
    const auto& travel = travel_of(shop, axis);
    PositioningCheck check;
    check.name = planned;
    check.date = model.job();
    check.axis = axis;
    check.standard = standard.name;
    check.gauge_length = usual_gauge_length(shop);
    check.place = usual_place(shop, check.gauge_length);
    constexpr double usual_lead = 0.005; // of a screw, where no check names it (m)
    check.lead = usual_lead;
    for (const auto& made : shop.positioning_checks)
        if (made.axis == axis)
            check.lead = made.lead;
    if (standard.kind == LengthKind::displacement)
        check.targets = spaced(travel.low, travel.high, 7);
    else {
        check.indicator = shop.indicators.front().name;
        for (const double length : standard.lengths)
            if (check.lengths.empty() ||
                length - check.lengths.front() <= travel.high - travel.low) {
                check.lengths.push_back(length);
                check.targets.push_back(travel.low + length - check.lengths.front());
            }
    }
    if (check.targets.size() < 2)
        return std::nullopt;
    const auto& scale = expansion_of("ball-screw steel");
    check.scale_expansion = scale.coefficient;
    check.scale_expansion_doubt = scale.half_width;
    // Runs that scatter by the class's figure, each half of them above the mean and half below.
    const double scatter = model.assumed_class().repeatability.high;
    for (int run = 0; run < 10; ++run)
        check.runs.push_back(
            {run % 2 == 0,
             std::vector<double>(check.targets.size(), run / 2 % 2 == 0 ? scatter : -scatter)});
    check.closing = scatter;
    return check;
}

/// How straight an axis goes in a direction, the straightedge turned over.
StraightnessCheck plan_straightness(const MachineModel& model,
                                    Axis axis,
                                    Axis direction,
                                    const Straightedge& straightedge) {
    const auto& shop = model.shop();
    const auto& travel = travel_of(shop, axis);
    StraightnessCheck check;
    check.name = planned;
    check.date = model.job();
    check.axis = axis;
    check.direction = direction;
    check.straightedge = straightedge.name;
    check.indicator = shop.indicators.front().name;
    check.gauge_length = usual_gauge_length(shop);
    check.place = usual_place(shop, check.gauge_length);
    const double reach = std::min(travel.high - travel.low, 0.95 * straightedge.length);
    check.marked_end = travel.low;
    check.stations = spaced(travel.low, travel.low + reach, 9);
    for (const bool plus : {true, false}) {
        StraightnessSetting setting;
        setting.faces_plus = plus;
        setting.readings.assign(9, 0.0);
        setting.closing = 0.0;
        check.settings.push_back(setting);
    }
    return check;
}

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
                  plan_square(model, across, square));
    for (const auto& square : geared.squares)
        weigh(fmt::format("Y square to X by {} lying flat, turned over", square.name),
              !shop.squares.empty() && !shop.indicators.empty(),
              plan_flat_square(model, square));
    for (const auto axis : {Axis::x, Axis::y})
        for (const auto points : {Axis::x, Axis::y})
            for (const auto& level : geared.levels)
                weigh(fmt::format("{} by {} on the table",
                                  parameter_meaning(motion_index(points == Axis::x ? 4 : 3, axis)),
                                  level.name),
                      !shop.levels.empty(),
                      plan_level(model, axis, points, level));
    for (const auto axis : {Axis::x, Axis::y, Axis::z})
        for (const auto& standard : geared.length_standards)
            if (const auto check = plan_positioning(model, axis, standard))
                weigh(fmt::format("positioning of {} by {}, five runs each way",
                                  letter(axis),
                                  standard.name),
                      !shop.length_standards.empty() && !shop.indicators.empty(),
                      *check);
    for (const auto axis : {Axis::x, Axis::y})
        for (const auto& straightedge : geared.straightedges)
            weigh(
                fmt::format("straightness of {} in {} by {}, turned over",
                            letter(axis),
                            axis == Axis::x ? 'Y' : 'X',
                            straightedge.name),
                !shop.straightedges.empty() && !shop.indicators.empty(),
                plan_straightness(model, axis, axis == Axis::x ? Axis::y : Axis::x, straightedge));
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
