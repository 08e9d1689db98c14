// SPDX-License-Identifier: MIT
// The record of checks, from a shop whose checks were written here: days in order, instruments,
// what a reversal shows, and the span of each axis, all known beforehand. Exact.
#include "holdable/machine/check_record.hpp"

#include "machine/workshop.hpp"

#include <boost/test/unit_test.hpp>

using namespace holdable;
using namespace holdable::tests;

namespace {

Shop recorded() {
    auto shop = workshop();
    auto square = square_check(Axis::x);
    square.settings.resize(2);
    square.settings[1].leg_towards_plus = false;
    square.settings[0].leg_stations = {0.1, 0.25};
    shop.square_checks = {square, square_check(Axis::y)};
    shop.square_checks[1].settings.resize(1);
    auto level = level_check(Axis::y);
    level.date = parse_date("2026-11-01");
    level.turned = LevelTurned{0.3, 0};
    shop.level_checks = {level};
    CircleCheck circle;
    circle.name = "round";
    circle.date = parse_date("2026-12-01");
    circle.indicator = "lever";
    circle.centre = {0.3, 0.2, -0.2};
    circle.radius = 0.1;
    circle.stations = {0, 1.5707963267948966, 3.141592653589793, 4.71238898038469};
    circle.runs = {{true, 0, {0, 0, 0, 0}}, {false, 0, {0, 0, 0, 0}}};
    shop.circle_checks = {circle};
    ThermalLog log;
    log.name = "warm";
    log.date = parse_date("2026-11-10");
    log.spindle_runs = true;
    log.traces = {{Axis::z, "lever", {0, 1e-6}}};
    shop.thermal_logs = {log};
    return shop;
}

} // namespace

BOOST_AUTO_TEST_SUITE(check_record)

BOOST_AUTO_TEST_CASE(in_the_order_of_days) {
    const auto records = check_records(recorded());
    BOOST_REQUIRE(records.size() == 5U);
    BOOST_TEST(records[0].name == "run");
    BOOST_TEST(records[0].kind == "tilt of X by a level");
    BOOST_TEST(records[0].self_check == "level turned end for end: its zero shows");
    BOOST_TEST(records[1].kind == "warm-up log");
    BOOST_TEST(records[2].kind == "Z square to X");
    BOOST_TEST(records[2].self_check == "square turned round: its own error drops out");
    BOOST_TEST(records[2].instruments.size() == 2U);
    BOOST_TEST(records[2].instruments[0] == "black");
    BOOST_TEST(records[3].self_check == ""); // one way round only
    BOOST_TEST(records[4].self_check == "gone round both ways");
}

BOOST_AUTO_TEST_CASE(how_far_each_axis_was_read) {
    const auto spans = checked_travel(recorded());
    BOOST_REQUIRE((spans[0] && spans[1] && spans[2]));
    BOOST_TEST(spans[0]->low == 0.0); // the level
    BOOST_TEST(spans[0]->high == 0.6);
    BOOST_TEST(spans[1]->low == 0.1, boost::test_tools::tolerance(1e-12)); // the circle alone
    BOOST_TEST(spans[1]->high == 0.3, boost::test_tools::tolerance(1e-12));
    BOOST_TEST(spans[2]->low == -0.34);
    BOOST_TEST(spans[2]->high == -0.10);
    const auto none = checked_travel(workshop());
    BOOST_TEST((!none[0] && !none[1] && !none[2]));
}

BOOST_AUTO_TEST_CASE(instruments_that_were_used) {
    auto shop = recorded();
    shop.straightedges.push_back({"never used", 0.5, 5e-6, Evidence::typical, {}});
    shop.squares[0].certificate = Certificate{"D-1", parse_date("2027-01-31"), {}};
    const auto records = instruments_used(shop);
    BOOST_REQUIRE(records.size() == 3U);
    BOOST_TEST(records[0].name == "lever");
    BOOST_TEST(records[1].kind == "square");
    BOOST_TEST(records[1].certificate->reference == "D-1");
    BOOST_TEST(records[1].grade_or_limit == "limit of its grade");
    BOOST_TEST(records[2].name == "long");
}

BOOST_AUTO_TEST_SUITE_END()
