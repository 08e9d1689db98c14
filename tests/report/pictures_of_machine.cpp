// SPDX-License-Identifier: MIT
// The pictures of a machine, against its state and against readings made from a known truth. The
// picture finds through the equations of the readings where each of them sees a curve and with
// which sign; here stations and signs are written by hand, and what is left of a reading is what
// the solve itself says. Marks and curves are compared by the scale as it is printed beside them,
// to 0.6 of a unit of the sheet, less than a hundredth of the drawing's height; texts are exact.
#include "holdable/machine/checks.hpp"
#include "holdable/report/pictures.hpp"
#include "machine/workshop.hpp"
#include "report/svg_reader.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <sstream>

using namespace holdable;
using namespace holdable::tests;

namespace {

const Date day = parse_date("2026-11-25");
constexpr double micro = 1e-6;
constexpr int eyx = motion_index(1, Axis::x), eax = motion_index(3, Axis::x);

/// X winds by 8 µm to either side over its travel of 600 mm. Read against an edge both ways round,
/// which is itself bent by 3 µm. Noise: none.
double wind(double x) {
    return 8 * micro * std::sin(2 * std::numbers::pi * (x - 0.3) / 0.6);
}

Shop winding_axis() {
    auto shop = workshop();
    shop.straightedges.push_back({"bar", 0.6, 4 * micro, Evidence::specification, {}});
    StraightnessCheck check;
    check.name = "edge";
    check.date = parse_date("2026-11-20");
    check.axis = Axis::x;
    check.direction = Axis::y;
    check.straightedge = "bar";
    check.indicator = "lever";
    check.place = {0.3, 0.2, -0.3};
    check.gauge_length = 0.1;
    check.marked_end = 0;
    check.stations = {0.03, 0.15, 0.3, 0.45, 0.57};
    for (const bool plus : {true, false}) {
        StraightnessSetting setting{plus, {}, {}, {}, {}};
        for (const double x : check.stations) {
            const double form = 3 * micro * std::sin(std::numbers::pi * x / 0.6);
            setting.readings.push_back((plus ? form : -form) - wind(x));
        }
        check.settings.push_back(setting);
    }
    shop.straightness_checks.push_back(check);
    return shop;
}

/// A table walked by the level, low in its middle.
Shop mapped_table() {
    auto shop = workshop();
    TableCheck check;
    check.name = "map";
    check.date = parse_date("2026-11-20");
    check.level = "long";
    check.foot = 0.1;
    const auto height = [](double x, double y) {
        const double u = (x - 0.3) / 0.2, v = (y - 0.2) / 0.2;
        return -40 * micro * std::exp(-u * u - v * v);
    };
    const auto walk = [&](Axis along, double x, double y, int steps) {
        TableLine line{along, {x, y}, {}, {}, {}, {}};
        for (int i = 0; i < steps; ++i) {
            const double dx = along == Axis::x ? check.foot : 0, dy = check.foot - dx;
            line.readings.push_back((height(x + dx, y + dy) - height(x, y)) / check.foot);
            x += dx;
            y += dy;
        }
        check.lines.push_back(line);
    };
    for (const double y : {0.0, 0.1, 0.2, 0.3, 0.4})
        walk(Axis::x, 0, y, 6);
    for (const double x : {0.0, 0.3, 0.6})
        walk(Axis::y, x, 0, 4);
    shop.table_checks.push_back(check);
    auto square = square_check(Axis::x);
    square.settings = {{true, {}, {}, {0, 1e-6, 2e-6, 3e-6, 4e-6}, {}, {}, {}}};
    shop.square_checks.push_back(square);
    return shop;
}

bool has(const std::string& text, const std::string& what) {
    return text.find(what) != std::string::npos;
}

/// Marks of readings: circles with an outline, below the legend.
std::vector<Tree> marks(const Tree& root) {
    auto all = shapes(root, "circle");
    all.erase(all.begin()); // that of the legend
    return all;
}

} // namespace

BOOST_AUTO_TEST_SUITE(pictures_of_machine)

BOOST_AUTO_TEST_CASE(a_curve_with_its_readings) {
    const auto state = solve(winding_axis(), day);
    const auto picture = axis_picture(state, eyx);
    const auto root = svg_root(picture.svg);
    const auto x = [&](double at) { return scaled(root, "0", 0, "600", 0.6, at, "x"); };
    const auto y = [&](double at) { return scaled(root, "0", 0, "10", 10 * micro, at, "y") - 5; };
    const auto seen = marks(root);
    // at the reference the curve is nothing, and a reading there says nothing of it
    BOOST_REQUIRE(seen.size() == 8u);
    // A reading is surface minus tool, so what is left of it is that much less of the error.
    const double stations[] = {0.03, 0.15, 0.3, 0.45, 0.57};
    const auto& left = state.checks.at(0).residuals;
    BOOST_REQUIRE(left.size() == 10u);
    std::size_t mark = 0;
    for (std::size_t i = 0; i < 10; ++i) {
        const double at = stations[i % 5];
        if (at == 0.3)
            continue;
        const auto curve = state.of(state.model.parameter(eyx, at, day));
        BOOST_TEST(std::abs(number(seen[mark], "cx") - x(at)) < 0.6);
        BOOST_TEST(std::abs(number(seen[mark], "cy") - y(curve.value - left[i].value)) < 0.6);
        ++mark;
    }
    // the curve is that of the state, and the band twice 1.96 standard uncertainties wide
    const auto paths = shapes(root, "path");
    const auto band = corners(paths[0]), line = corners(paths[1]);
    for (const double at : {0.1, 0.33, 0.6}) {
        const auto curve = state.of(state.model.parameter(eyx, at, day));
        BOOST_TEST(std::abs(height_at(line, x(at)) - y(curve.value)) < 0.6);
        const std::vector upper(band.begin(),
                                band.begin() + static_cast<std::ptrdiff_t>(line.size()));
        BOOST_TEST(std::abs(height_at(upper, x(at)) -
                            y(curve.value + 1.96 * curve.standard_uncertainty)) < 0.6);
    }
    BOOST_TEST(picture.title == "Straightness of X in Y (EYX)");
    BOOST_TEST(has(picture.caption, "8 readings of edge"));
    BOOST_TEST(has(picture.text, "   300.00 mm"));
    BOOST_TEST(has(picture.text, "read: edge\n"));
}

BOOST_AUTO_TEST_CASE(what_no_reading_sees) {
    const auto state = solve(winding_axis(), day);
    const auto picture = axis_picture(state, eax);
    BOOST_TEST(has(picture.caption, "no reading sees it"));
    BOOST_TEST(shapes(svg_root(picture.svg), "circle").empty());
    const auto read = motions_read(state);
    BOOST_TEST((std::find(read.begin(), read.end(), eyx) != read.end()));
    BOOST_TEST((std::find(read.begin(), read.end(), motion_index(1, Axis::y)) == read.end()));
    BOOST_TEST(motions_read(solve(workshop(), day)).empty());
}

BOOST_AUTO_TEST_CASE(a_level_sees_a_roll) {
    auto shop = workshop();
    auto check = level_check(Axis::y);
    const double roll[] = {-30, -15, 0, 18, 40}; // µrad; EAX = - slope along Y
    for (const double r : roll)
        check.readings.push_back(-r * micro);
    shop.level_checks.push_back(check);
    const auto state = solve(shop, day);
    const auto picture = axis_picture(state, eax);
    // by the text: the readings at their stations less the one at the reference, mm over 300 mm
    std::istringstream in(picture.text);
    std::vector<std::pair<double, double>> seen;
    for (std::string line; std::getline(in, line);)
        if (has(line, "read: run")) {
            std::istringstream words(line);
            double at = 0, value = 0;
            std::string unit;
            words >> at >> unit >> value;
            seen.emplace_back(at, value);
        }
    // at the reference the curve is nothing, and a reading there says nothing of it
    BOOST_REQUIRE(seen.size() == 4u);
    const double stations[] = {0, 150, 450, 600}, truth[] = {-30, -15, 18, 40};
    for (std::size_t i = 0; i < 4; ++i) {
        BOOST_TEST(seen[i].first == stations[i]);
        BOOST_TEST(std::abs(seen[i].second - truth[i] * 300e-6) <
                   0.0015); // 5 µrad: noise, and what the prior holds back
    }
}

BOOST_AUTO_TEST_CASE(a_map_of_the_table) {
    const auto state = solve(mapped_table(), day);
    const auto machine = summary(state);
    BOOST_REQUIRE(machine.table);
    BOOST_REQUIRE(!machine.table->low_spots.empty());
    const auto picture = table_picture(state, machine);
    const auto root = svg_root(picture.svg);
    const auto x = [&](double at) { return scaled(root, "0", 0, "600", 0.6, at, "x"); };
    const auto& low = machine.table->low_spots[0];
    const auto spots = shapes(root, "circle");
    BOOST_TEST(std::any_of(spots.begin(), spots.end(), [&](const Tree& c) {
        return attribute(c, "fill").starts_with("url(#") &&
               std::abs(number(c, "cx") - x(low.x)) < 0.6;
    }));
    // the square's footprint: 100 mm along X from its edge at X 300
    const auto paths = shapes(root, "path");
    BOOST_TEST(std::any_of(paths.begin(), paths.end(), [&](const Tree& p) {
        const auto c = corners(p);
        return attribute(p, "stroke-dasharray") == "7 4" && c.size() == 4 &&
               std::abs(c[0].first - x(0.3)) < 0.6 && std::abs(c[1].first - x(0.4)) < 0.6;
    }));
    // darker where lower: the last of the areas holds the low spot
    std::vector<Tree> areas;
    for (const auto& p : paths)
        if (attribute(p, "stroke").empty())
            areas.push_back(p);
    BOOST_REQUIRE(areas.size() >= 3u);
    double nearest = 1e9;
    for (const auto& [at, height] : corners(areas.back()))
        nearest = std::min(nearest, std::abs(at - x(low.x)));
    BOOST_TEST(nearest < 60);
    BOOST_TEST(attribute(areas.front(), "d").size() > attribute(areas.back(), "d").size() / 2);
    BOOST_TEST(has(picture.text, "low spot at X 300.00 mm, Y 200.00 mm: "));
    BOOST_TEST(has(picture.text, "square 1: "));
    BOOST_TEST(has(picture.caption, "Flat within "));
}

BOOST_AUTO_TEST_CASE(a_table_that_nobody_mapped) {
    const auto state = solve(winding_axis(), day);
    const auto picture = table_picture(state, summary(state));
    svg_root(picture.svg);
    BOOST_TEST(has(picture.caption, "No check maps the table"));
}

BOOST_AUTO_TEST_CASE(checks_and_what_they_taught) {
    const auto state = solve(winding_axis(), day);
    const auto machine = summary(state);
    const auto picture = checks_picture(machine);
    const auto root = svg_root(picture.svg);
    // a bar an error, filled as far as its doubt is removed
    std::size_t frames = 0, dashed = 0;
    std::vector<double> filled;
    for (const auto& r : shapes(root, "rect")) {
        if (number(r, "height") != 12)
            continue;
        if (attribute(r, "fill") != "none") {
            filled.push_back(number(r, "width"));
            continue;
        }
        ++frames;
        dashed += attribute(r, "stroke-dasharray").empty() ? 0 : 1;
    }
    BOOST_TEST(frames == 28u); // 21 and two tilts, run-out, table, lost motion of three axes
    BOOST_TEST(filled.size() == frames - dashed);
    const double learnt = machine.motions[eyx].learnt;
    BOOST_TEST(learnt > 0.5);
    BOOST_TEST(std::any_of(filled.begin(), filled.end(), [&](double width) {
        return std::abs(width - 62 * learnt) < 0.02;
    }));
    BOOST_TEST(has(picture.caption,
                   std::to_string(filled.size()) + " of 28 errors; the other " +
                       std::to_string(dashed) + " are by the class \"entry vmc\" alone"));
    BOOST_TEST(has(picture.text, "positioning of Z               class only\n"));
    BOOST_TEST(has(picture.text, "Checks: edge (10 readings)."));
}

BOOST_AUTO_TEST_CASE(names_stay_text) {
    auto shop = mapped_table();
    const std::string name = "<b>&\"'\x02";
    shop.machine = shop.name = name;
    shop.table_checks[0].name = shop.square_checks[0].name = name;
    const auto state = solve(shop, day);
    const auto machine = summary(state);
    for (const auto& picture : {table_picture(state, machine),
                                checks_picture(machine),
                                axis_picture(state, motion_index(0, Axis::z))}) {
        svg_root(standalone_svg(picture));
        BOOST_TEST(!has(picture.svg, "<b>"));
        BOOST_TEST(!has(picture.text, "\x02"));
    }
}

BOOST_AUTO_TEST_SUITE_END()
