// SPDX-License-Identifier: MIT
#include "holdable/machine/plan_check.hpp"

#include "holdable/standards/expansion.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string_view>

namespace holdable {
namespace {

constexpr std::string_view planned = "the planned check";
constexpr double best_supports = 0.1; // of the sag on its ends; on 2/9 it is less than a 40th
constexpr double bar_length = 0.300;  // of a test bar (m)
constexpr double link = 0.100;        // of a link for circles (m)

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

bool inside(const Shop& shop, Axis axis, double coordinate) {
    const auto& travel = travel_of(shop, axis);
    return coordinate >= travel.low && coordinate <= travel.high;
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

} // namespace

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

SquareCheck plan_square(const Shop& shop, Axis across, const Square& square, Date day) {
    SquareCheck check;
    check.name = planned;
    check.date = day;
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

FlatSquareCheck plan_flat_square(const Shop& shop, const Square& square, Date day) {
    FlatSquareCheck check;
    check.name = planned;
    check.date = day;
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

LevelCheck plan_level(const Shop& shop, Axis axis, Axis points, const Level& level, Date day) {
    LevelCheck check;
    check.name = planned;
    check.date = day;
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

std::optional<PositioningCheck> plan_positioning(
    const Shop& shop, Axis axis, const LengthStandard& standard, double scatter, Date day) {
    const auto& travel = travel_of(shop, axis);
    PositioningCheck check;
    check.name = planned;
    check.date = day;
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
    for (int run = 0; run < 10; ++run)
        check.runs.push_back(
            {run % 2 == 0,
             std::vector<double>(check.targets.size(), run / 2 % 2 == 0 ? scatter : -scatter)});
    check.closing = scatter;
    return check;
}

StraightnessCheck plan_straightness(
    const Shop& shop, Axis axis, Axis direction, const Straightedge& straightedge, Date day) {
    const auto& travel = travel_of(shop, axis);
    StraightnessCheck check;
    check.name = planned;
    check.date = day;
    check.axis = axis;
    check.direction = direction;
    check.straightedge = straightedge.name;
    check.indicator = shop.indicators.front().name;
    check.gauge_length = usual_gauge_length(shop);
    check.place = usual_place(shop, check.gauge_length);
    const double reach = std::min(travel.high - travel.low, 0.95 * straightedge.length);
    check.marked_end = travel.low;
    check.stations = spaced(travel.low, travel.low + reach, 9);
    if (direction == Axis::z)
        check.sag = best_supports * typical_sag(straightedge.length);
    for (const bool plus : {true, false}) {
        if (direction == Axis::z && !plus)
            continue; // nobody reads its lower face
        StraightnessSetting setting;
        setting.faces_plus = plus;
        setting.readings.assign(9, 0.0);
        setting.closing = 0.0;
        check.settings.push_back(setting);
    }
    return check;
}

TableCheck plan_table(const Shop& shop, const Level& level, Date day) {
    TableCheck check;
    check.name = planned;
    check.date = day;
    check.level = level.name;
    const auto& x = shop.travel[0];
    const auto& y = shop.travel[1];
    constexpr int steps = 3;
    check.foot = std::min(x.high - x.low, y.high - y.low) / steps;
    for (const auto along : {Axis::x, Axis::y})
        for (int line = 0; line <= 2; ++line) {
            const auto& t = along == Axis::x ? x : y;
            const auto& across = along == Axis::x ? y : x;
            const int count = static_cast<int>((t.high - t.low) / check.foot + 1e-9);
            const double from = (t.low + t.high - count * check.foot) / 2;
            // feet of all lines on one grid, so that loops close
            const auto rows = static_cast<int>((across.high - across.low) / check.foot + 1e-9);
            const double side =
                (across.low + across.high - rows * check.foot) / 2 + line * rows / 2 * check.foot;
            TableLine walked;
            walked.along = along;
            walked.from =
                along == Axis::x ? Eigen::Vector2d(from, side) : Eigen::Vector2d(side, from);
            walked.readings.assign(static_cast<std::size_t>(count), 0.0);
            check.lines.push_back(walked);
        }
    return check;
}

TramCheck plan_tram(const Shop& shop, Date day) {
    TramCheck check;
    check.name = planned;
    check.date = day;
    check.indicator = shop.indicators.front().name;
    check.against = SweptSurface::block;
    check.gauge_length = usual_gauge_length(shop);
    check.place = usual_place(shop, check.gauge_length);
    const auto& x = shop.travel[0];
    const auto& y = shop.travel[1];
    check.sweep_diameter = std::min({0.200, x.high - x.low, y.high - y.low});
    check.both_ways = true;
    for (int i = 0; i < 4; ++i)
        check.angles.push_back(i * std::numbers::pi / 2);
    check.readings.assign(4, 0.0);
    check.closing = 0.0;
    return check;
}

TestBarCheck plan_test_bar(const Shop& shop, Axis across, Date day) {
    TestBarCheck check;
    check.name = planned;
    check.date = day;
    check.across = across;
    check.indicator = shop.indicators.front().name;
    const auto place = usual_place(shop, usual_gauge_length(shop));
    check.x = place.x();
    check.y = place.y();
    const auto& z = shop.travel[2];
    const double run = std::min(0.8 * bar_length, z.high - z.low);
    const double low = (z.low + z.high - run) / 2;
    check.stations = spaced(low, low + run, 5);
    check.height = low + shop.nose_to_table - 0.1 * bar_length; // near the nose when Z is lowest
    for (const double turned : {0.0, std::numbers::pi}) {
        TestBarSetting setting;
        setting.turned = turned;
        setting.readings.assign(5, 0.0);
        setting.closing = 0.0;
        check.settings.push_back(setting);
    }
    return check;
}

RunOutCheck plan_run_out(const Shop& shop, Date day) {
    RunOutCheck check;
    check.name = planned;
    check.date = day;
    check.indicator = shop.indicators.front().name;
    check.length = 0.250;
    check.seats.resize(5);
    for (auto& seat : check.seats)
        seat.at_length = RunOutReading{};
    return check;
}

CircleCheck plan_circle(const Shop& shop, Date day) {
    CircleCheck check;
    check.name = planned;
    check.date = day;
    check.indicator = shop.indicators.front().name;
    check.gauge_length = usual_gauge_length(shop);
    check.centre = usual_place(shop, check.gauge_length);
    const auto& x = shop.travel[0];
    const auto& y = shop.travel[1];
    check.radius = std::min({link, 0.45 * (x.high - x.low), 0.45 * (y.high - y.low)});
    const auto& scale = expansion_of("ball-screw steel");
    check.scale_expansion = scale.coefficient;
    check.scale_expansion_doubt = scale.half_width;
    for (int i = 0; i < 12; ++i)
        check.stations.push_back(i * std::numbers::pi / 6);
    const double scatter = class_of(shop).repeatability.high;
    for (const bool way : {true, false})
        for (const double sign : {1.0, -1.0})
            check.runs.push_back(
                {way, 0, std::vector<double>(12, sign * scatter / std::numbers::sqrt2)});
    return check;
}

SquareSetting turned_round(const Shop& shop, const SquareCheck& check) {
    auto setting = check.settings.front();
    const double edge = check.place[static_cast<int>(check.across)];
    setting.leg_towards_plus = !setting.leg_towards_plus;
    for (double& at : setting.leg_stations)
        at = 2 * edge - at;
    if (!std::all_of(setting.leg_stations.begin(), setting.leg_stations.end(), [&](double at) {
            return inside(shop, check.across, at);
        })) {
        setting.leg_stations.clear();
        setting.leg_readings.clear();
    }
    return setting;
}

std::vector<double>
along_leg(const Shop& shop, const SquareCheck& check, const SquareSetting& setting) {
    const double edge = check.place[static_cast<int>(check.across)];
    const double sign = setting.leg_towards_plus ? 1 : -1;
    std::vector<double> places;
    for (const double at : spaced(0.15 * check.base, 0.95 * check.base, 5))
        if (inside(shop, check.across, edge + sign * at))
            places.push_back(edge + sign * at);
    if (places.size() < 2 || !inside(shop, Axis::z, check.place.z()))
        places.clear();
    return places;
}

} // namespace holdable
