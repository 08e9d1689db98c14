// SPDX-License-Identifier: MIT
// What the readings say about a machine. The page against one proof-read line by line, of a summary
// made by hand; the JSON against the summary, read back by the reader of files; the summary against
// the mill that the readings were made from. Texts are compared exactly. Readings of a square
// turned round, with its leg swept, give back the lean to three of its standard uncertainties, and
// what cannot be seen in them (positioning, roll, the YZ plane) must have learnt nothing.
#include "holdable/base/error.hpp"
#include "holdable/files/document.hpp"
#include "holdable/report/machine_json.hpp"
#include "holdable/report/machine_text.hpp"

#include <boost/test/unit_test.hpp>

#include <chrono>
#include <cmath>
#include <limits>
#include <numbers>
#include <sstream>

using namespace holdable;

namespace {

using namespace std::chrono;

/// Invented: a mill whose Z leans by 40 µrad to +X going up, read against a square turned round.
Shop mill() {
    Shop s;
    s.name = "Harbor Tool";
    s.machine = "the white mill";
    s.travel = {Travel{0, 0.4, 0.2}, Travel{0, 0.3, 0.15}, Travel{0, 0.3, 0}};
    s.nose_to_table = 0.15;
    s.machine_class = "entry vmc";
    s.inch = true;
    Indicator& lever = s.indicators.emplace_back();
    lever.name = "lever";
    lever.resolution = 1e-6;
    lever.gain_doubt = 0.02;
    lever.repeatability = 1e-6;
    Square& granite = s.squares.emplace_back();
    granite.name = "granite";
    granite.length = 0.3;
    granite.limit = 20e-6;
    granite.edge_form = 1e-6;
    SquareCheck c;
    c.name = "ZX";
    c.date = sys_days(year(2026) / 11 / 1);
    c.across = Axis::x;
    c.square = "granite";
    c.indicator = "lever";
    c.place = {0.2, 0.15, 0};
    c.gauge_length = 0.1;
    c.base = 0.2;
    c.stations = {0.0, 0.05, 0.1, 0.15, 0.2, 0.25};
    const double lean = 40e-6;
    const double sigma = 8e-6;
    for (const bool plus : {true, false}) {
        SquareSetting setting;
        setting.leg_towards_plus = plus;
        for (int i = 0; i < 5; ++i) {
            setting.leg_stations.push_back(0.2 + (plus ? 0.04 : -0.04) * i);
            setting.leg_readings.push_back(0);
        }
        for (const double z : c.stations)
            setting.edge_readings.push_back((plus ? sigma : -sigma) * z - lean * z);
        c.settings.push_back(setting);
    }
    s.square_checks.push_back(c);
    return s;
}

/// Invented numbers.
MachineSummary by_hand() {
    MachineSummary s;
    s.shop = "Harbor Tool";
    s.machine = "the white mill";
    s.machine_class = "entry vmc";
    s.day = sys_days(year(2026) / 11 / 20);
    for (int i = 0; i < geometric_parameters; ++i) {
        auto& m = s.motions[static_cast<std::size_t>(i)];
        m.name = parameter_name(i);
        m.meaning = parameter_meaning(i);
        m.curve = i < c0y_index;
        m.angle = !m.curve || i % 6 >= 3;
        m.standard = m.standard_by_class = m.curve ? m.angle ? 22e-6 : 4.9e-6 : 30e-6;
    }
    auto& lean = s.motions[b0z_index];
    lean.value = 41e-6;
    lean.standard = 9.1e-6;
    lean.learnt = 0.908;
    lean.assumed_only = false;
    lean.in_words = "going up the tool moves to +X";
    lean.without_class = 44e-6;
    lean.sources = {{"error of the square \"granite\"", 0.62, Evidence::certificate},
                    {"Z square to X", 0.25, Evidence::assumed},
                    {"low spot of the table under the square", 0.08, Evidence::measured},
                    {"drift", 0.05, Evidence::typical}};
    auto& roll = s.motions[3];
    roll.value = 38e-6;
    roll.standard = 7e-6;
    roll.learnt = 0.88;
    roll.assumed_only = false;
    roll.where = 0.4;
    for (int i = 0; i < 2; ++i) {
        auto& tilt = s.tilts[static_cast<std::size_t>(i)];
        tilt.name = i == 0 ? "A0C" : "B0C";
        tilt.meaning = i == 0 ? "spindle's tilt in YZ" : "spindle's tilt in XZ";
        tilt.curve = false;
        tilt.angle = true;
        tilt.standard = tilt.standard_by_class = 30e-6;
    }
    auto& tram = s.tilts[1];
    tram.value = -22e-6;
    tram.standard = 8e-6;
    tram.learnt = 0.929;
    tram.assumed_only = false;
    tram.in_words = "the spindle's nose leans to +X";
    tram.sources = {{"form of the table where it was swept", 0.7, Evidence::assumed}};
    s.run_out = {
        {{0, 4e-6, 0.9e-6, 2.45e-6, 0.5, 1.2e-6, true},
         0.865,
         false,
         false,
         {{"seating of the test bar", 0.8, Evidence::measured}}},
        {{0.15, 7.9e-6, 1.6e-6, 4e-6, 1.4, 1.6e-6, true}, 0.84, false, true, {}},
        {{0.3, 14e-6, 2.9e-6, 8.2e-6, 1.7, 2.9e-6, true}, 0, true, false, {}},
    };
    s.instruments = {{"error of the square \"granite\"", true, 8.3e-6, 2.2e-6, 0, 11.5e-6},
                     {"gain of the indicator \"lever\"", false, 0.002, 0.0113, 0, 0.0115}};
    s.checks = {{"ZX", 22, 19.3, 18, 1, {}},
                {"roll X", 9, 41.2, 7, 5.886, {{"roll X, reading 4", 61e-6, 4.4}}}};
    s.checks[0].residuals = {{"ZX, setting 1, edge reading 1", -0.4e-6}};
    s.checks[0].closures = {0.6e-6, -1.3e-6};
    s.checks[1].angle = true;
    s.checks[1].closures = {0};
    s.doubts = {{"ZX",
                 "Z square to X there",
                 true,
                 44e-6,
                 16e-6,
                 {{"straightness of X in Z", 0.5, Evidence::assumed},
                  {"reading noise of the check ZX", 0.3, Evidence::measured},
                  {"drift", 0.1, Evidence::typical}},
                 2}};
    s.next = {{"Z square to Y by granite", true, 0.87},
              {"pitch of Y by a level", false, 0.96},
              {"roll of X by a level", true, 0.995}};
    s.disagreement = true;
    s.notes = {"roll X, reading 4 is off by 4.4 of its standard deviations from what all other "
               "readings say: read it again"};
    return s;
}

const std::string metric_page =
    R"(the white mill of Harbor Tool, as of 2026-11-20; what nobody measured is taken
from the class "entry vmc"
Doubt is one standard uncertainty: the truth lies within twice it in about 95
cases of 100. "readings 90 %": they removed 90 % of the variance that the class
leaves.

  Squareness, mm/300mm               value     doubt   arcsec  rests on
  Y square to X            C0Y           -    0.0090           class only
  Z square to X            B0Z     +0.0123    0.0027     +8.5  readings 90 %
  Z square to Y            A0Z           -    0.0090           class only

  Peak to valley, µm                 value     doubt           rests on
  positioning of X         EXX           -       4.9           class only
  straightness of X in Y   EYX           -       4.9           class only
  straightness of X in Z   EZX           -       4.9           class only
  straightness of Y in X   EXY           -       4.9           class only
  positioning of Y         EYY           -       4.9           class only
  straightness of Y in Z   EZY           -       4.9           class only
  straightness of Z in X   EXZ           -       4.9           class only
  straightness of Z in Y   EYZ           -       4.9           class only
  positioning of Z         EZZ           -       4.9           class only

  Peak to valley, mm/300mm           value     doubt   arcsec  rests on
  roll of X                EAX      0.0114    0.0021      7.8  readings 88 %
  pitch of X               EBX           -    0.0066           class only
  yaw of X                 ECX           -    0.0066           class only
  pitch of Y               EAY           -    0.0066           class only
  roll of Y                EBY           -    0.0066           class only
  yaw of Y                 ECY           -    0.0066           class only
  nod of Z in the YZ plane EAZ           -    0.0066           class only
  nod of Z in the XZ plane EBZ           -    0.0066           class only
  roll of Z                ECZ           -    0.0066           class only

  Spindle, mm/300mm                  value     doubt   arcsec  rests on
  spindle's tilt in YZ     A0C           -    0.0090           class only
  spindle's tilt in XZ     B0C     -0.0066    0.0024     -4.5  readings 92 %

  Run-out, total, mm                 value     doubt   a seat  rests on
  at the nose                      0.00400   0.00090  0.00120  readings 86 %
  150.00 mm from it                 0.0079    0.0016   0.0016  between, 84 %
  300.00 mm from it                      -    0.0029   0.0029  class only

In words    - Z square to X: going up the tool moves to +X
            - Z square to X: 0.013 mm/300mm (9.1 arcsec) by the readings alone,
              without the class
            - spindle's tilt in XZ: the spindle's nose leans to +X
Doubt from  - Z square to X: error of the square "granite" 62 % (certificate),
              what the readings leave open of it 25 % (assumed, not measured),
              low spot of the table under the square 8 % (measured here)
            - spindle's tilt in XZ: form of the table where it was swept 70 %
              (assumed, not measured)
            - run-out at the nose: seating of the test bar 80 % (measured here)
Instruments - error of the square "granite": +0.00249 mm/300mm, doubt 0.00066;
              stated as 0.0000, doubt 0.0035
            - gain of the indicator "lever": +0.2 %, doubt 1.1; stated as 0.0,
              doubt 1.2
Checks      - ZX: 22 readings, chi-squared 19.3 where about 18 is expected;
              agrees; came back to its start within 1.3 µm (.000051 in)
            - roll X: 9 readings, chi-squared 41.2 where about 7 is expected; 1
              does not fit; disagrees, its doubt is multiplied by 2.5; came back
              to its start
By itself   ZX: Z square to X there +0.013 mm/300mm (9.1 arcsec), doubt 0.0048
            mm/300mm (3.3 arcsec); half of that without straightness of X in Z
            (50 %) and reading noise of the check ZX (30 %)
Next check  - Z square to Y by granite: takes 13 % off the doubt about the tool
              point
            - pitch of Y by a level (not among the instruments): takes 4 % off
              the doubt about the tool point
Note        - checks disagree: answers are MARGINAL at best until that is
              resolved
            - roll X, reading 4 is off by 4.4 of its standard deviations from
              what all other readings say: read it again
Caution     Not a calibration certificate. Before reading any of it again: lock
            out, and block a vertical head, before reaching between table,
            column and spindle.
)";

/// The value at a key or, of an array, at a number.
const Node& at(const Node& node, const std::string& key) {
    if (node.kind == Node::Kind::array)
        return node.elements.at(std::stoul(key));
    for (const auto& member : node.members)
        if (member.key == key)
            return member.value;
    throw std::out_of_range(key);
}

void require_narrow(const std::string& page) {
    std::istringstream lines(page);
    for (std::string line; std::getline(lines, line);) {
        int width = 0;
        for (std::size_t i = 0; i < line.size(); ++width) {
            const auto lead = static_cast<unsigned char>(line[i]);
            i += lead < 0x80 ? 1 : lead < 0xE0 ? 2 : lead < 0xF0 ? 3 : 4;
        }
        BOOST_TEST(width <= 80, line);
    }
}

} // namespace

BOOST_AUTO_TEST_SUITE(machine_report)

BOOST_AUTO_TEST_CASE(the_page) {
    const auto page = machine_text(by_hand());
    require_narrow(page);
    BOOST_TEST(page == metric_page);
}

BOOST_AUTO_TEST_CASE(the_page_in_inches) {
    auto s = by_hand();
    s.inch = true;
    const auto page = machine_text(s);
    require_narrow(page);
    // 41 µrad = .000 492 in/ft = 8.46 arcsec, 9.1 µrad = .000 109 in/ft = 1.88 arcsec
    BOOST_TEST(page.find("  Z square to X            B0Z     +.00049    .00011     +8.5  readings "
                         "90 %\n") != std::string::npos);
    s.checks.clear();
    BOOST_TEST(machine_text(s).find("Checks      none\n") != std::string::npos);
}

BOOST_AUTO_TEST_CASE(a_sweep_that_does_not_close_is_said) {
    auto s = by_hand();
    s.checks[0].balance = Balance{-12e-6, 3e-6, false};
    BOOST_TEST(machine_text(s) == metric_page);
    s.checks[0].balance->fails = true;
    const auto page = machine_text(s);
    require_narrow(page);
    BOOST_TEST(page.find("sweep does not close, by 0.012 mm") != std::string::npos, page);
    BOOST_TEST(page.find("3.0 µm is expected") != std::string::npos, page);
}

BOOST_AUTO_TEST_CASE(the_way_a_spindle_leans) {
    // A sweep that finds the surface high at +X and at -Y: B0C and A0C plus, so that a tool's tip,
    // at (-L B0C, +L A0C), is off to -X and +Y.
    auto shop = mill();
    TramCheck sweep;
    sweep.name = "tram";
    sweep.date = sys_days(year(2026) / 11 / 1);
    sweep.indicator = "lever";
    sweep.place = {0.2, 0.15, 0};
    sweep.gauge_length = 0.15;
    sweep.sweep_diameter = 0.2;
    sweep.low_spot = 1e-6;
    sweep.angles = {0, std::numbers::pi / 2, std::numbers::pi, 3 * std::numbers::pi / 2};
    sweep.readings = {5e-6, -5e-6, -5e-6, 5e-6};
    shop.tram_checks = {sweep};
    const auto day = sys_days(year(2026) / 11 / 20);
    auto s = summary(solve(shop, day));
    BOOST_TEST(s.tilts[0].name == "A0C");
    BOOST_TEST(s.tilts[0].value > 0);
    BOOST_TEST(s.tilts[0].in_words == "the spindle's nose leans to +Y");
    BOOST_TEST(s.tilts[1].value > 0);
    BOOST_TEST(s.tilts[1].in_words == "the spindle's nose leans to -X");
    BOOST_TEST(s.run_out.size() == 3U);
    BOOST_TEST(s.run_out[2].at.length == 0.3);
    BOOST_TEST(s.run_out[2].assumed_only);
    require_narrow(machine_text(s));
    for (auto& reading : shop.tram_checks[0].readings)
        reading = -reading;
    s = summary(solve(shop, day));
    BOOST_TEST(s.tilts[0].in_words == "the spindle's nose leans to -Y");
    BOOST_TEST(s.tilts[1].in_words == "the spindle's nose leans to +X");
}

namespace {

/// X of the mill by a step gauge: 4 µm lost, three runs each way.
Shop mill_with_positioning(bool both_ways) {
    auto shop = mill();
    LengthStandard& bar = shop.length_standards.emplace_back();
    bar.name = "bar";
    bar.kind = LengthKind::step_gauge;
    bar.lengths = {0, 0.06, 0.13, 0.19, 0.28};
    bar.deviations.assign(5, 0.0);
    bar.standard = 0.3e-6;
    PositioningCheck check;
    check.name = "X by steps";
    check.date = sys_days(year(2026) / 11 / 1);
    check.standard = "bar";
    check.indicator = "lever";
    check.place = {0, 0.15, 0};
    check.gauge_length = 0.1;
    check.targets = {0.06, 0.12, 0.19, 0.25, 0.34};
    check.lengths = bar.lengths;
    check.skew = 0;
    for (const double noise : {-1e-6, 0.0, 1e-6})
        for (const bool plus : {true, false})
            if (plus || both_ways)
                check.runs.push_back({plus, std::vector<double>(5, (plus ? 2e-6 : -2e-6) + noise)});
    for (auto& run : check.runs)
        run.readings.back() += 1e-6;
    shop.positioning_checks = {check};
    return shop;
}

} // namespace

BOOST_AUTO_TEST_CASE(what_an_axis_loses_and_how_it_repeats) {
    const auto day = sys_days(year(2026) / 11 / 20);
    auto s = summary(solve(mill_with_positioning(true), day));
    BOOST_REQUIRE(s.axes.size() == 3U);
    const auto& x = s.axes[0];
    BOOST_TEST(x.lost_motion.meaning == "lost motion of X");
    BOOST_TEST(std::abs(x.lost_motion.value - 4e-6) < 2 * x.lost_motion.standard);
    BOOST_TEST(!x.lost_motion.assumed_only);
    BOOST_TEST(x.lost_motion.in_words == "turning round, X stops short of where it is sent");
    BOOST_TEST(x.repeatability.standard == 1e-6, boost::test_tools::tolerance(1e-9));
    BOOST_TEST(x.repeatability.degrees_of_freedom == 20);
    BOOST_TEST(s.axes[1].lost_motion.assumed_only);
    BOOST_TEST(s.axes[1].lost_motion.value == 5e-6, boost::test_tools::tolerance(1e-9));
    BOOST_TEST(s.axes[1].lost_motion.in_words.empty());
    BOOST_TEST(!s.motions[0].assumed_only);
    BOOST_REQUIRE(s.positioning.size() == 1U);
    const auto page = machine_text(s);
    require_narrow(page);
    BOOST_TEST(page.find("  lost motion of Y                +.000197") != std::string::npos, page);
    BOOST_TEST(page.find("ISO 230-2   X by steps (X):") != std::string::npos, page);
    // means of -2 and -3 µm towards +, 2 and 1 µm towards -, s = 1 µm
    s.inch = false;
    const auto metric = machine_text(s);
    std::string flat;
    for (const char c : metric)
        if (c != ' ' && c != '\n')
            flat += c;
    BOOST_TEST(flat.find("A9.0µm,R8.0µm,E5.0µm,M1.0µm,B4.0µm,meanB-4.0µm;E↑1.0µm,R↑4.0µm,A↑5.0µm;E↓"
                         "1.0µm,R↓4.0µm,A↓5.0µm;at20°C") != std::string::npos,
               metric);
    const auto root = parse_document(machine_json(s), "machine");
    const auto& axis = at(at(root, "axes"), "0");
    BOOST_TEST(at(axis, "axis").text == "X");
    BOOST_TEST(at(at(at(axis, "lost_motion"), "value"), "value").number == x.lost_motion.value);
    BOOST_TEST(at(at(axis, "repeatability"), "degrees_of_freedom").number == 20);
    const auto& iso = at(at(root, "iso_230_2"), "0");
    BOOST_TEST(at(iso, "check").text == "X by steps");
    BOOST_TEST(std::abs(at(at(iso, "both_ways"), "A").number - 9e-6) < 1e-12);
    BOOST_TEST(at(at(iso, "towards_plus"), "mean").elements.size() == 5U);
    // it may go beyond where it is sent
    auto beyond = mill_with_positioning(true);
    for (auto& run : beyond.positioning_checks[0].runs)
        for (auto& reading : run.readings)
            reading = -reading;
    BOOST_TEST(summary(solve(beyond, day)).axes[0].lost_motion.in_words ==
               "turning round, X goes beyond where it is sent");
}

BOOST_AUTO_TEST_CASE(one_direction_has_no_reversal) {
    const auto day = sys_days(year(2026) / 11 / 20);
    const auto s = summary(solve(mill_with_positioning(false), day));
    BOOST_TEST(s.axes[0].lost_motion.assumed_only);
    const auto page = machine_text(s);
    require_narrow(page);
    BOOST_TEST(page.find("no B") != std::string::npos, page);
    const auto root = parse_document(machine_json(s), "machine");
    const auto& iso = at(at(root, "iso_230_2"), "0");
    BOOST_CHECK(at(iso, "both_ways").kind == Node::Kind::null);
    BOOST_CHECK(at(iso, "towards_minus").kind == Node::Kind::null);
}

BOOST_AUTO_TEST_CASE(for_programs) {
    auto s = by_hand();
    s.checks[0].balance = Balance{2e-6, 3e-6, false};
    const auto root = parse_document(machine_json(s), "machine");
    BOOST_TEST(at(root, "holdable").text == "machine-result/1");
    BOOST_TEST(at(root, "disagreement").boolean);
    BOOST_TEST(at(root, "motions").elements.size() == 21U);
    const auto& lean = at(at(root, "motions"), "19");
    BOOST_TEST(at(lean, "name").text == "B0Z");
    BOOST_TEST(at(lean, "unit").text == "rad");
    BOOST_TEST(at(at(lean, "value"), "value").number == 41e-6);
    BOOST_TEST(at(at(lean, "value"), "text").text == "0.0123 mm/300mm");
    BOOST_TEST(at(at(lean, "standard_uncertainty"), "value").number == 9.1e-6);
    BOOST_TEST(at(at(lean, "without_class"), "value").number == 44e-6);
    BOOST_TEST(at(at(at(lean, "sources"), "0"), "evidence").text == "certificate");
    const auto& roll = at(at(root, "motions"), "3");
    BOOST_TEST(at(at(roll, "peak_to_valley"), "value").number == 38e-6);
    BOOST_TEST(at(roll, "where").number == 0.4);
    BOOST_TEST(!at(roll, "assumed_only").boolean);
    BOOST_TEST(at(at(at(root, "instruments"), "0"), "value").number == 8.3e-6);
    const auto& tram = at(at(at(root, "spindle"), "tilts"), "1");
    BOOST_TEST(at(tram, "name").text == "B0C");
    BOOST_TEST(at(at(tram, "value"), "value").number == -22e-6);
    BOOST_TEST(at(tram, "in_words").text == "the spindle's nose leans to +X");
    const auto& run_out = at(at(root, "spindle"), "run_out");
    BOOST_TEST(run_out.elements.size() == 3U);
    BOOST_TEST(at(at(at(run_out, "1"), "total"), "value").number == 7.9e-6);
    BOOST_TEST(at(at(run_out, "1"), "interpolated").boolean);
    BOOST_TEST(at(at(run_out, "2"), "length").number == 0.3);
    BOOST_TEST(at(at(run_out, "0"), "high_at").number == 0.5);
    BOOST_TEST(at(at(at(run_out, "0"), "seat_scatter"), "value").number == 1.2e-6);
    const auto& check = at(at(root, "checks"), "1");
    BOOST_TEST(at(at(at(at(root, "checks"), "0"), "balance"), "fails").boolean == false);
    BOOST_TEST(at(at(at(at(root, "checks"), "0"), "balance"), "value").number == 2e-6);
    BOOST_TEST(at(check, "noise_factor").number == 5.886);
    BOOST_TEST(at(at(at(check, "outliers"), "0"), "residual").number == 61e-6);
    BOOST_TEST(at(check, "unit").text == "rad");
    BOOST_TEST(at(check, "by_itself").elements.empty());
    const auto& square = at(at(root, "checks"), "0");
    BOOST_TEST(at(at(at(square, "residuals"), "0"), "value").number == -0.4e-6);
    BOOST_TEST(at(at(square, "closures"), "1").number == -1.3e-6);
    const auto& alone = at(at(square, "by_itself"), "0");
    BOOST_TEST(at(alone, "to_halve").number == 2);
    BOOST_TEST(at(at(alone, "value"), "value").number == 44e-6);
    BOOST_TEST(at(at(alone, "standard_uncertainty"), "value").number == 16e-6);
    BOOST_TEST(at(at(at(alone, "sources"), "1"), "share").number == 0.3);
    const auto& next = at(at(root, "next_checks"), "1");
    BOOST_TEST(at(next, "doubt_left").number == 0.96);
    BOOST_TEST(!at(next, "own_gear").boolean);
}

BOOST_AUTO_TEST_CASE(what_is_no_number_is_refused) {
    auto s = by_hand();
    s.motions[4].standard = std::numeric_limits<double>::quiet_NaN();
    BOOST_CHECK_THROW(machine_text(s), NumericError);
    BOOST_CHECK_THROW(machine_json(s), NumericError);
}

BOOST_AUTO_TEST_CASE(a_mill_that_was_read) {
    const auto day = sys_days(year(2026) / 11 / 20);
    const auto state = solve(mill(), day);
    const auto without = solve_with_prior(mill(), day, 30);
    const auto s = summary(state, &without);
    require_narrow(machine_text(s));
    const auto& lean = s.motions[b0z_index];
    BOOST_TEST(std::abs(lean.value - 40e-6) < 3 * lean.standard);
    BOOST_TEST(lean.standard < lean.standard_by_class);
    BOOST_TEST(lean.learnt == 1 - std::pow(lean.standard / lean.standard_by_class, 2),
               boost::test_tools::tolerance(1e-9));
    BOOST_TEST(lean.in_words == "going up the tool moves to +X");
    BOOST_TEST(lean.without_class.has_value());
    double shares = 0;
    for (const auto& source : lean.sources)
        shares += source.share;
    BOOST_TEST(shares > 0.9);
    BOOST_TEST(shares <= 1 + 1e-9);
    for (const int unseen : {0, 3, 7, 12 + 1, 12 + 5, c0y_index, a0z_index})
        BOOST_TEST(s.motions[static_cast<std::size_t>(unseen)].assumed_only, unseen);
    BOOST_TEST(!s.motions[12].assumed_only); // straightness of Z in X
    BOOST_TEST(s.instruments.size() == 2U);
    BOOST_TEST(s.instruments[0].standard < s.instruments[0].standard_before);
    BOOST_TEST(s.checks.size() == 1U);
}

BOOST_AUTO_TEST_CASE(a_mapped_table_and_what_stands_on_it) {
    auto s = by_hand();
    s.table =
        TableSummary{0.05, 0.35, 0.05, 0.25, 12.34e-6, 1.9e-6, 8e-6, {{0.2, 0.1, 7e-6, 1e-6}}};
    s.seats = {{"ZX, setting 1", true, 53e-6, 11e-6, 0.43, 80e-6},
               {"ZY, setting 1", false, 0, 0, 0, {}}};
    s.stands = {{"level", Axis::y, -41e-6, 9e-6}};
    const auto page = machine_text(s);
    require_narrow(page);
    std::string words; // whatever the breaks of its lines
    std::istringstream stream(page);
    for (std::string word; stream >> word;)
        words += (words.empty() ? "" : " ") + word;
    for (const char* expected :
         {"Table - flat within 0.0123 mm, doubt 0.0019, X 50.00 mm to 350.00 "
          "mm, "
          "Y 50.00 mm to 250.00 mm - low spot at X 200.00 mm, Y 100.00 mm: 0.0070 mm deep, doubt "
          "0.0010",
          "Square - ZX, setting 1: tilted by +0.0159 mm/300mm on the mapped table, doubt 0.0033; "
          "on "
          "which points it rests is not sure (43 %); a finger rocks it by 0.024 mm/300mm: put it "
          "elsewhere, or on parallels",
          "ZY, setting 1: its place has no map of the table; the tilt of the square by low spots "
          "is "
          "a guess by the class",
          "Level level: the -Y end stands high by 0.0123 mm/300mm, doubt 0.0027"})
        BOOST_TEST(words.find(expected) != std::string::npos, words << "\nhas not " << expected);
    const auto json = parse_document(machine_json(s), "json");
    const auto& table = at(json, "table");
    BOOST_TEST(at(at(table, "flatness"), "value").number == 12.34e-6);
    BOOST_TEST(at(at(at(at(table, "low_spots"), "0"), "depth"), "value").number == 7e-6);
    BOOST_TEST(at(at(at(json, "seats"), "0"), "rocks_by").number == 80e-6);
    BOOST_TEST(!at(at(at(json, "seats"), "1"), "mapped").boolean);
    BOOST_TEST(at(at(at(json, "stands"), "0"), "slope").number == -41e-6);
    s.table->standard = std::numeric_limits<double>::quiet_NaN();
    BOOST_CHECK_THROW(machine_json(s), NumericError);
}

BOOST_AUTO_TEST_CASE(a_table_that_was_walked) {
    // A trough of 9 µm across the middle, walked by a level that reads it fully.
    Shop s = mill();
    s.levels.push_back({"long", 20e-6, 0.2, 0.05, Evidence::typical, {}});
    const auto h = [](double x) { return -9e-6 * std::exp(-std::pow((x - 0.2) / 0.06, 2)); };
    TableCheck map;
    map.name = "map";
    map.date = sys_days(year(2026) / 11 / 1);
    map.level = "long";
    map.foot = 0.05;
    for (const double y : {0.05, 0.15, 0.25}) {
        TableLine line;
        line.from = {0, y};
        for (int i = 0; i < 8; ++i)
            line.readings.push_back((h(0.05 * i + 0.05) - h(0.05 * i)) / 0.05);
        map.lines.push_back(line);
    }
    map.lines.push_back({Axis::y, {0, 0.05}, {0, 0, 0, 0}, {}, {}, {}});
    s.table_checks = {map};
    s.square_checks[0].settings[0].leg_stations.clear();
    s.square_checks[0].settings[0].leg_readings.clear();
    const auto found = summary(solve(s, sys_days(year(2026) / 11 / 20)));
    BOOST_REQUIRE(found.table.has_value());
    BOOST_TEST(found.table->standard < found.table->standard_by_class);
    BOOST_TEST(std::abs(found.table->flatness - 9e-6) < 3 * found.table->standard);
    BOOST_REQUIRE(!found.table->low_spots.empty());
    BOOST_TEST(std::abs(found.table->low_spots[0].x - 0.2) < 0.03);
    BOOST_TEST(found.seats.size() > 0U);
}

BOOST_AUTO_TEST_SUITE_END()
