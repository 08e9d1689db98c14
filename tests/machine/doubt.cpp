// SPDX-License-Identifier: MIT
// How good a check is by itself. Against what it must do: a lean put into the readings comes back
// whole, whatever the class says; against least squares on paper, where the only doubt is that of
// the readings; shares add up. Exact algebra to 1e-6 relative (the freed direction has a variance
// of 1e6 times the class's), else as said beside.
#include "holdable/machine/doubt.hpp"

#include "machine/workshop.hpp"

#include <Eigen/Dense>
#include <boost/test/unit_test.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>

using namespace holdable;
using namespace holdable::tests;
namespace tt = boost::test_tools;

namespace {

const Date job_day = parse_date("2026-11-25");

/// One setting whose edge readings show a lean of the travel.
SquareCheck leaning(double lean) {
    auto check = square_check(Axis::x);
    SquareSetting setting;
    for (const double z : check.stations)
        setting.edge_readings.push_back(-lean * (z - check.stations.front()));
    check.settings = {setting};
    return check;
}

LevelCheck rolling(double slope_at_end) {
    auto check = level_check(Axis::y);
    check.stations = {0.1, 0.3, 0.5};
    check.readings = {0, slope_at_end / 2, slope_at_end};
    return check;
}

CheckDoubt only(const Shop& shop) {
    const auto doubts = check_doubts(shop, job_day);
    BOOST_REQUIRE(doubts.size() == 1U);
    return doubts[0];
}

} // namespace

BOOST_AUTO_TEST_SUITE(doubt_of_checks)

BOOST_AUTO_TEST_CASE(the_class_does_not_shrink_what_is_measured) {
    auto shop = workshop();
    shop.square_checks = {leaning(0)};
    const auto straight = only(shop);
    shop.square_checks = {leaning(100e-6)};
    const auto lean = only(shop);
    BOOST_TEST(lean.meaning == "Z square to X there");
    BOOST_TEST(lean.angle);
    // The gain of the indicator, known to 1 %, hardly moves it.
    BOOST_TEST(lean.value - straight.value == 100e-6, tt::tolerance(0.001));
    // The joint solve, which believes the class, takes a part of it only.
    const auto state = solve(shop, job_day);
    BOOST_TEST(state.of(state.model.parameter(b0z_index, 0, job_day)).value < 60e-6);
}

BOOST_AUTO_TEST_CASE(a_level_run_gives_the_rotation_with_its_sign) {
    auto shop = workshop();
    shop.level_checks = {rolling(50e-6)};
    const auto up = only(shop);
    // A table whose +Y end rises turns the tool the other way about X.
    BOOST_TEST(up.value == -50e-6, tt::tolerance(0.02)); // the gain, the straight line of the drift
    BOOST_TEST(up.meaning.find("roll of X") == 0U);
}

BOOST_AUTO_TEST_CASE(nothing_but_readings_is_least_squares) {
    auto shop = workshop();
    // No doubt but that of the readings: 0.5 µm each and the last digit of 1 µm.
    shop.indicators[0].gain_doubt = 0;
    shop.squares[0].limit = 1e-12;
    shop.squares[0].edge_form = 1e-12;
    auto check = leaning(0);
    check.low_spot = 1e-12;
    check.settings[0].closing = 0.0; // the drift is then as free as the offset
    check.settings[0].leg_stations = {0.31, 0.34, 0.37, 0.40};
    check.settings[0].leg_readings = {0, 0, 0, 0};
    shop.square_checks = {check};
    const auto doubt = only(shop);
    double readings = 0;
    for (const auto& s : doubt.sources)
        if (s.meaning.find("reading noise") != std::string::npos)
            readings += s.share;
    // By hand, of a line with drift along the edge: five readings at times 0, ¼, … and the first
    // again at the end. Unknown: offset, slope, drift.
    const double u2 = 0.25e-12 + 1e-12 / 12;
    Eigen::MatrixXd a(6, 3);
    for (int i = 0; i < 6; ++i) {
        const double time = i / 5.0;
        a.row(i) << 1, i < 5 ? 0.06 * i : 0.0, time;
    }
    const Eigen::Matrix3d covariance = u2 * (a.transpose() * a).inverse();
    const double edge = std::sqrt(covariance(1, 1));
    const double from_readings = doubt.standard * std::sqrt(readings);
    // The leg adds to it, and a smooth axis, which the class says it is, takes a little off.
    BOOST_TEST(from_readings > 0.9 * edge);
    BOOST_TEST(from_readings < 2.5 * edge);
}

BOOST_AUTO_TEST_CASE(shares_add_up_and_the_fewest_halve_it) {
    auto shop = workshop();
    shop.square_checks = {leaning(20e-6)};
    const auto doubt = only(shop);
    double sum = 0;
    double largest = 1;
    for (const auto& s : doubt.sources) {
        BOOST_TEST(s.share <= largest);
        largest = s.share;
        sum += s.share;
    }
    BOOST_TEST(sum <= 1 + 1e-9);
    BOOST_TEST(sum > 0.9);
    BOOST_REQUIRE(doubt.to_halve > 0U);
    double gone = 0;
    for (std::size_t i = 0; i + 1 < doubt.to_halve; ++i)
        gone += doubt.sources[i].share;
    BOOST_TEST(gone < 0.75);
    BOOST_TEST(gone + doubt.sources[doubt.to_halve - 1].share >= 0.75);
}

BOOST_AUTO_TEST_CASE(a_check_after_the_day_of_the_job_says_nothing_yet) {
    auto shop = workshop();
    shop.square_checks = {leaning(0)};
    BOOST_TEST(check_doubts(shop, parse_date("2026-11-01")).empty());
}

// A sweep of four, worked by hand: B0C = (12 + 8) / 250, A0C = (7 + 5) / 250, in µm and mm; drift
// while it was swept and the class of what stands beside move it by a few hundredths.
BOOST_AUTO_TEST_CASE(a_sweep_says_two_tilts) {
    TramCheck check;
    check.name = "tram";
    check.date = parse_date("2026-11-20");
    check.indicator = "lever";
    check.place = {0.3, 0.2, -0.2};
    check.gauge_length = 0.15;
    check.sweep_diameter = 0.25;
    check.low_spot = 4e-6;
    for (int i = 0; i < 4; ++i)
        check.angles.push_back(i * std::numbers::pi / 2);
    check.readings = {12e-6, -5e-6, -8e-6, 7e-6};
    auto shop = workshop();
    shop.tram_checks = {check};
    const auto doubts = check_doubts(shop, job_day);
    BOOST_REQUIRE(doubts.size() == 2U);
    BOOST_TEST(doubts[0].meaning == "spindle's tilt in XZ");
    BOOST_TEST(doubts[0].value == 80e-6, tt::tolerance(0.06));
    BOOST_TEST(doubts[1].meaning == "spindle's tilt in YZ");
    BOOST_TEST(doubts[1].value == 48e-6, tt::tolerance(0.06));
}

// The bar seen leaning by 40 µrad at half a turn and by -20 µrad at none: half of their sum is the
// tilt of the spindle against the motion of Z, half of their difference that of the bar.
BOOST_AUTO_TEST_CASE(a_test_bar_says_the_tilt_of_its_plane) {
    TestBarCheck check;
    check.name = "bar";
    check.date = parse_date("2026-11-20");
    check.indicator = "lever";
    check.x = 0.3;
    check.y = 0.2;
    check.height = 0.2;
    check.stations = {-0.35, -0.25, -0.15};
    const auto leaning_by = [&](double slope) {
        std::vector<double> readings;
        for (const double z : check.stations)
            readings.push_back(-slope * (z - check.stations.front()));
        return readings;
    };
    check.settings = {{0, leaning_by(-20e-6), {}, {}, {}},
                      {std::numbers::pi, leaning_by(40e-6), {}, {}, {}}};
    auto shop = workshop();
    shop.test_bar_checks = {check};
    const auto doubt = only(shop);
    BOOST_TEST(doubt.meaning == "spindle's tilt in XZ");
    BOOST_TEST(doubt.value == 10e-6, tt::tolerance(0.05));
}

BOOST_AUTO_TEST_CASE(a_seat_says_the_run_out_at_both_places) {
    RunOutCheck check;
    check.name = "run";
    check.date = parse_date("2026-11-20");
    check.indicator = "lever";
    check.length = 0.3;
    check.seats = {{0, {8e-6, 0.5}, RunOutReading{20e-6, 2.0}}};
    auto shop = workshop();
    shop.run_out_checks = {check};
    const auto doubts = check_doubts(shop, job_day);
    BOOST_REQUIRE(doubts.size() == 2U);
    BOOST_TEST(!doubts[0].angle);
    BOOST_TEST(doubts[0].meaning == "run-out at the nose");
    // Read as a total, told as a total; what a typical bar adds moves it by a hundredth.
    BOOST_TEST(doubts[0].value == 8e-6, tt::tolerance(0.02));
    BOOST_TEST(doubts[1].meaning == "run-out at the length");
    BOOST_TEST(doubts[1].value == 20e-6, tt::tolerance(0.02));
}

/// The table read by an indicator: a vault over X, 20 µm high in the middle.
TableCheck vaulted() {
    TableCheck check;
    check.name = "map";
    check.date = parse_date("2026-11-20");
    check.indicator = "lever";
    check.gauge_length = 0.3;
    check.x = {0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6};
    check.y = {0.1, 0.2, 0.3};
    for (std::size_t j = 0; j < check.y.size(); ++j)
        for (const double x : check.x)
            check.readings.push_back(20e-6 * (1 - std::pow((x - 0.3) / 0.3, 2)));
    return check;
}

BOOST_AUTO_TEST_CASE(a_map_says_how_high_its_middle_is) {
    auto shop = workshop();
    shop.table_checks = {vaulted()};
    const auto doubt = only(shop);
    BOOST_TEST(doubt.meaning == "middle of the table over its corners");
    BOOST_TEST(!doubt.angle);
    // The motion of X may be bent as well: of that the indicator knows nothing, so it is doubt.
    BOOST_TEST(std::abs(doubt.value - 20e-6) < doubt.standard);
    BOOST_TEST(doubt.standard < 8e-6);
    BOOST_REQUIRE(!doubt.sources.empty());
    BOOST_TEST(doubt.sources[0].meaning == "straightness of X in Z");
}

BOOST_AUTO_TEST_CASE(a_square_by_itself_stands_on_the_map) {
    auto shop = workshop();
    shop.square_checks = {leaning(0)};
    const auto guessed = only(shop);
    shop.table_checks = {vaulted()};
    const auto doubts = check_doubts(shop, job_day);
    BOOST_REQUIRE(doubts.size() == 2U);
    const auto names = [](const CheckDoubt& doubt, const char* what) {
        return std::any_of(doubt.sources.begin(), doubt.sources.end(), [&](const auto& s) {
            return s.meaning.find(what) != std::string::npos;
        });
    };
    BOOST_TEST(names(guessed, "low spot"));
    BOOST_TEST(!names(doubts[0], "low spot"));
}

BOOST_AUTO_TEST_SUITE_END()
