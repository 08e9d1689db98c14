// SPDX-License-Identifier: MIT
// Machine files: the demonstration shop against SI numbers typed by hand as arithmetic on the inch;
// the sign of every side, direction and end against a sketch of the machine (comments below);
// the ways to write readings against each other; what is wrong, in full, with places looked up in
// the text. Tolerance 1e-12 relative: some roundings of a double, far below any reading. The
// wording of the diagnostics is recorded from the program after reading it.
#include "holdable/files/read_machine.hpp"

#include "files/shop_text.hpp"
#include "holdable/files/read_minutes.hpp"
#include "holdable/machine/corrections.hpp"

#include <boost/test/data/test_case.hpp>
#include <boost/test/unit_test.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>
#include <vector>

using namespace holdable;
namespace tt = boost::test_tools;

namespace {

constexpr double in = 0.0254;
constexpr double t = 2.54e-6; // a ten-thousandth of an inch

const Date day = parse_date("2025-05-01");

Shop read(const std::string& text) {
    return read_machine(parse_document(text, "f"), "f", day);
}

std::string said(const std::string& text) {
    return holdable::said<Shop>(text,
                                [](const Node& root) { return read_machine(root, "f", day); });
}

void equal(const std::vector<double>& found, const std::vector<double>& expected) {
    BOOST_REQUIRE(found.size() == expected.size());
    for (std::size_t i = 0; i < found.size(); ++i)
        BOOST_TEST(std::abs(found[i] - expected[i]) <=
                       1e-12 * std::max(1e-6, std::abs(expected[i])),
                   found[i] << " is " << expected[i]);
}

/// A shop in millimetres with a check of each kind, small enough to count its lines.
const std::string base = R"({
  "holdable": "machine/1", "shop": "S", "machine": "M", "axes": "XYZ",
  "travel": {
    "X": {"from": "0 mm", "to": "400 mm"},
    "Y": {"from": "0 mm", "to": "300 mm", "reference": "100 mm"},
    "Z": {"from": "-300 mm", "to": "0 mm"}
  },
  "nose_to_table": "450 mm", "class": "entry vmc",
  "instruments": [
    {"id": "I", "kind": "indicator", "resolution": "2 µm"},
    {"id": "S", "kind": "square", "length": "200 mm", "grade": "0"},
    {"id": "L", "kind": "level", "division": "20 µm/m"}
  ],
  "checks": [
    {"id": "C", "kind": "square", "plane": "ZX", "date": "2025-04-01", "square": "S",
     "indicator": "I", "place": ["200 mm", "150 mm"], "gauge_length": "150 mm",
     "base": "100 mm", "leg_height": "20 mm", "heights": ["50 mm", "100 mm", "150 mm"],
     "settings": [{"leg_points": "+X",
       "edge": {"touches": "+X face", "pressed_reads": "plus", "unit": "µm",
                "readings": "0 -2 3", "closing": 1},
       "leg": {"from_edge": ["20 mm", "60 mm"], "pressed_reads": "plus", "unit": "µm",
               "readings": "0 5"}}]},
    {"id": "D", "kind": "level", "date": "2025-04-02", "level": "L", "axis": "Y",
     "rides": "table", "points": "X", "plus_when_high": "+X end",
     "stations": ["50 mm", "150 mm", "250 mm"], "unit": "division", "readings": "0 1 3"}
  ],
  "events": [{"kind": "crash", "date": "2025-03-01"}],
  "corrections": [{"plane": "ZX", "by": "40 µm/m", "toward": "+X", "date": "2025-04-10"}]
}
)";

} // namespace

BOOST_AUTO_TEST_SUITE(reading_machines)

BOOST_AUTO_TEST_CASE(the_demonstration_shop) {
    const auto shop = read_machine(tree("budgets/demo/machine.json"), "machine.json", day);
    BOOST_TEST(shop.name == "Hollow Oak Machine Shop (invented)");
    BOOST_TEST(shop.machine == "the small mill by the window");
    BOOST_TEST(shop.inch);
    BOOST_TEST((shop.order == AxisOrder{Axis::x, Axis::y, Axis::z}));
    equal({shop.travel[0].low, shop.travel[0].high, shop.travel[0].reference},
          {0, 16 * in, 8 * in});
    equal({shop.travel[1].low, shop.travel[1].high, shop.travel[1].reference},
          {0, 12 * in, 6 * in});
    equal({shop.travel[2].low, shop.travel[2].high, shop.travel[2].reference},
          {-14 * in, 0, -7 * in});
    BOOST_TEST(shop.nose_to_table == 18 * in, tt::tolerance(1e-12));
    BOOST_TEST(shop.machine_class == "entry vmc");

    BOOST_REQUIRE(shop.indicators.size() == 1U);
    const auto& indicator = shop.indicators[0];
    BOOST_TEST(indicator.name == "tenths indicator");
    BOOST_TEST(indicator.resolution == 0.5 * t, tt::tolerance(1e-12));
    // Seven zeros, two +½, one -½: mean 0.05, sum of squares 0.75 - 10 · 0.05².
    BOOST_TEST(indicator.repeatability == std::sqrt((0.75 - 0.025) / 9) * t, tt::tolerance(1e-12));
    BOOST_TEST(indicator.repeatability_dof == 9);
    BOOST_TEST((indicator.repeatability_evidence == Evidence::measured));
    BOOST_TEST(indicator.gain_doubt == 0.03);
    BOOST_TEST((indicator.gain_evidence == Evidence::typical));

    BOOST_REQUIRE(shop.squares.size() == 1U);
    const auto& square = shop.squares[0];
    BOOST_TEST(square.length == 8 * in, tt::tolerance(1e-12));
    BOOST_TEST(square.lean == -0.0001 / 8, tt::tolerance(1e-12)); // away from the leg
    BOOST_TEST(square.standard == 0.00012 / 2 / 8, tt::tolerance(1e-12));
    BOOST_TEST(square.limit == 0);
    BOOST_TEST(square.edge_form == 0.6 * t, tt::tolerance(1e-12));
    BOOST_TEST((square.evidence == Evidence::certificate));
    BOOST_TEST((square.form_evidence == Evidence::specification));
    BOOST_REQUIRE(square.certificate.has_value());
    BOOST_TEST(square.certificate->reference == "D-2287");
    BOOST_TEST((square.certificate->due == parse_date("2026-01-31")));

    BOOST_REQUIRE(shop.levels.size() == 1U);
    BOOST_TEST(shop.levels[0].division == 0.0005 / 12, tt::tolerance(1e-12));
    BOOST_TEST(shop.levels[0].read_to == 0.2);
    BOOST_TEST(shop.levels[0].gain_doubt == 0.05);

    BOOST_REQUIRE(shop.square_checks.size() == 2U);
    const auto& zx = shop.square_checks[0];
    BOOST_TEST(zx.name == "ZX turned");
    BOOST_TEST((zx.date == parse_date("2025-03-08")));
    BOOST_TEST((zx.across == Axis::x));
    BOOST_TEST(zx.square == "8 in square");
    BOOST_TEST(zx.indicator == "tenths indicator");
    // Z = h + 5.2 - 18.
    equal({zx.place.x(), zx.place.y(), zx.place.z()}, {8 * in, 6 * in, -11.8 * in});
    equal(zx.stations, {-11.3 * in, -9.8 * in, -8.3 * in, -6.8 * in, -5.3 * in});
    BOOST_TEST(zx.gauge_length == 5.2 * in, tt::tolerance(1e-12));
    BOOST_TEST(zx.base == 6 * in, tt::tolerance(1e-12));
    BOOST_TEST(!zx.low_spot.has_value());
    BOOST_REQUIRE(zx.settings.size() == 2U);
    const auto& first = zx.settings[0]; // touches the - side: minus the readings
    BOOST_TEST(first.leg_towards_plus);
    equal(first.edge_readings, {0, -t, -2.5 * t, -3.5 * t, -4.5 * t});
    equal({first.closing.value()}, {0.5 * t});
    BOOST_TEST(first.edge_spread.empty());
    BOOST_TEST(first.edge_repeats.empty());
    equal(first.leg_stations, {9 * in, 10 * in, 11 * in, 12 * in, 13 * in});
    equal(first.leg_readings, {0, 0, 0, 0.5 * t, 0.5 * t});
    const auto& second = zx.settings[1];
    BOOST_TEST(!second.leg_towards_plus);
    // Means of (0 ½ 0), (-1 -1 -½), (-2 -2 -2½), (-3 -3 -2½), (-4 -4 -4½): sixths of a tenth.
    equal(second.edge_readings, {t / 6, -5 * t / 6, -13 * t / 6, -17 * t / 6, -25 * t / 6});
    // Two of three alike, one half a tenth off: s = ½/√3 of it.
    equal(second.edge_spread, std::vector<double>(5, 0.5 / std::sqrt(3.0) * t));
    BOOST_TEST(second.edge_repeats == std::vector<int>(5, 3), tt::per_element());
    equal({second.closing.value()}, {0.5 * t});
    equal(second.leg_stations, {7 * in, 6 * in, 5 * in, 4 * in, 3 * in});
    equal(second.leg_readings, {0, -0.5 * t, -0.5 * t, -t, -t});

    const auto& zy = shop.square_checks[1];
    BOOST_TEST((zy.across == Axis::y));
    BOOST_TEST(zy.low_spot.value() == 0.5 * t, tt::tolerance(1e-12));
    BOOST_REQUIRE(zy.settings.size() == 1U);
    BOOST_TEST(!zy.settings[0].leg_towards_plus);
    // - side and the needle backwards: the sign stays.
    equal(zy.settings[0].edge_readings, {0, t, 1.5 * t, 2.5 * t, 4 * t});
    equal({zy.settings[0].closing.value()}, {0.5 * t});
    BOOST_TEST(zy.settings[0].leg_stations.empty());

    BOOST_REQUIRE(shop.level_checks.size() == 2U);
    const auto& roll = shop.level_checks[0];
    const double division = 0.0005 / 12;
    BOOST_TEST((roll.axis == Axis::x));
    BOOST_TEST((roll.points == Axis::y));
    BOOST_TEST((roll.rides == LevelRides::table));
    BOOST_TEST(roll.level == "long level");
    equal(roll.stations, {2 * in, 5 * in, 8 * in, 11 * in, 14 * in});
    equal(roll.readings,
          {0.4 * division, 0.4 * division, 0.6 * division, 0.8 * division, division});
    equal({roll.closing.value()}, {0.4 * division});
    equal({roll.place.y(), roll.place.z()}, {6 * in, -7 * in});
    const auto& pitch = shop.level_checks[1]; // plus when the - end is high
    equal(pitch.readings, {0.2 * division, 0, -0.2 * division, -0.6 * division, -0.8 * division});
    equal({pitch.closing.value()}, {0.2 * division});

    BOOST_REQUIRE(shop.events.size() == 1U);
    BOOST_TEST((shop.events[0].kind == EventKind::move));
    BOOST_TEST((shop.events[0].date == parse_date("2025-02-20")));
    BOOST_TEST(shop.events[0].note == "to the corner by the window, levelled there");
    BOOST_TEST(shop.corrections.empty());
    BOOST_TEST(shop.notes.empty());
}

// ------------------------------------------------------------------ signs

// An indicator on the + side of a face is pressed when the face moves towards +: surface minus tool
// grows. On the - side it is pressed when the face moves towards -. A needle that goes backwards
// when pressed turns both.
BOOST_AUTO_TEST_CASE(side_and_needle_make_the_sign) {
    for (const std::string plane : {"ZX", "ZY"})
        for (const bool plus_side : {true, false})
            for (const bool plus_needle : {true, false}) {
                const std::string axis = plane.substr(1);
                const auto shop =
                    read(changed(base,
                                 {{"\"ZX\", \"date\"", "\"" + plane + "\", \"date\""},
                                  {"\"+X\",\n", "\"+" + axis + "\",\n"},
                                  {"+X face", (plus_side ? "+" : "-") + axis + " face"},
                                  {"\"plus\", \"unit\"",
                                   plus_needle ? "\"plus\", \"unit\"" : "\"minus\", \"unit\""}}));
                const auto& check = shop.square_checks.at(0);
                const auto& setting = check.settings.at(0);
                const double sign = plus_side == plus_needle ? 1 : -1;
                BOOST_TEST((check.across == (axis == "X" ? Axis::x : Axis::y)));
                equal(setting.edge_readings, {0, sign * -2e-6, sign * 3e-6});
                equal({setting.closing.value()}, {sign * 1e-6});
                equal(setting.leg_readings, {0, 5e-6}); // touched from above
                equal(setting.leg_stations,
                      axis == "X" ? std::vector{0.220, 0.260} : std::vector{0.170, 0.210});
            }
}

BOOST_AUTO_TEST_CASE(a_base_that_may_hang_off_the_table_is_remarked_on) {
    const auto at = [](const std::string& x) {
        return said(changed(base,
                            {{"[\"200 mm\", \"150 mm\"]", "[\"" + x + " mm\", \"150 mm\"]"},
                             {"\"leg_points\": \"+X\"", "\"leg_points\": \"-X\""},
                             {",\n       \"leg\": {\"from_edge\": [\"20 mm\", \"60 mm\"], "
                              "\"pressed_reads\": \"plus\", \"unit\": \"µm\",\n               "
                              "\"readings\": \"0 5\"}",
                              ""}}));
    };
    // a base of 100 mm: from 10 mm it ends at -90, from 60 mm at -40
    BOOST_TEST(at("10").find("the base of the square reaches 90 mm beyond the travel of X") !=
               std::string::npos);
    BOOST_TEST(at("60") == "nothing");
}

BOOST_AUTO_TEST_CASE(a_leg_is_swept_from_above_and_its_needle_may_go_backwards) {
    const auto setting = read(changed(base,
                                      {{"\"leg_points\": \"+X\"", "\"leg_points\": \"-X\""},
                                       {"\"60 mm\"], \"pressed_reads\": \"plus\"",
                                        "\"60 mm\"], \"pressed_reads\": \"minus\""}}))
                             .square_checks.at(0)
                             .settings.at(0);
    BOOST_TEST(!setting.leg_towards_plus);
    equal(setting.leg_stations, {0.180, 0.140});
    equal(setting.leg_readings, {0, -5e-6});
    equal(setting.edge_readings, {0, -2e-6, 3e-6});
}

BOOST_AUTO_TEST_CASE(a_level_reads_plus_with_its_plus_end_high) {
    const auto plus = read(base).level_checks.at(0);
    BOOST_TEST((plus.axis == Axis::y));
    BOOST_TEST((plus.points == Axis::x));
    equal(plus.readings, {0, 20e-6, 60e-6});
    equal({plus.place.x(), plus.place.z()}, {0.2, -0.15});
    const auto minus = read(changed(base,
                                    {{"\"+X end\"", "\"-X end\""},
                                     {"\"XYZ\"", "\"XYZ\", \"ground\": \"work\""},
                                     {"\"rides\": \"table\"",
                                      "\"place\": {\"X\": \"50 mm\", \"Z\": \"-10 mm\"}, "
                                      "\"closing\": \"10 µm/m\", \"rides\": \"head\""}}))
                           .level_checks.at(0);
    BOOST_TEST((minus.rides == LevelRides::head));
    equal(minus.readings, {0, -20e-6, -60e-6});
    equal({minus.closing.value()}, {-10e-6});
    equal({minus.place.x(), minus.place.z()}, {0.05, -0.01});
}

// The + end of Y leans to -X for C0Y > 0, the top of Z to +X for B0Z > 0 and to -Y for A0Z > 0.
BOOST_AUTO_TEST_CASE(a_correction_says_where_the_end_went) {
    const auto applied = [](const std::string& plane, const std::string& toward) {
        return read(changed(base,
                            {{"{\"plane\": \"ZX\"", "{\"plane\": \"" + plane + "\""},
                             {"\"toward\": \"+X\"", "\"toward\": \"" + toward + "\""}}))
            .corrections.at(0);
    };
    BOOST_TEST(applied("ZX", "+X").parameter == b0z_index);
    BOOST_TEST(applied("ZY", "+Y").parameter == a0z_index);
    BOOST_TEST(applied("XY", "+X").parameter == c0y_index);
    equal({applied("ZX", "+X").applied, applied("ZX", "-X").applied}, {40e-6, -40e-6});
    equal({applied("ZY", "+Y").applied, applied("ZY", "-Y").applied}, {-40e-6, 40e-6});
    equal({applied("XY", "+X").applied, applied("XY", "-X").applied}, {-40e-6, 40e-6});
    BOOST_TEST((applied("ZX", "+X").date == parse_date("2025-04-10")));
}

// A scale is longer where the axis goes too far to +, the upper end of the spindle goes to +X for
// B0C > 0 and to -Y for A0C > 0.
BOOST_AUTO_TEST_CASE(a_correction_may_be_of_a_scale_or_of_the_spindle) {
    const auto applied = [](const std::string& what) {
        return read(changed(base,
                            {{R"("corrections": [{"plane": "ZX")", R"("corrections": [{)" + what},
                             {R"("40 µm/m", "toward": "+X")", R"("40 µm/m")"}}))
            .corrections.at(0);
    };
    BOOST_TEST(applied(R"("axis": "X", "made": "longer")").parameter == motion_index(0, Axis::x));
    BOOST_TEST(applied(R"("axis": "Z", "made": "longer")").parameter == motion_index(2, Axis::z));
    equal({applied(R"("axis": "Y", "made": "longer")").applied,
           applied(R"("axis": "Y", "made": "shorter")").applied},
          {40e-6, -40e-6});
    const auto xz = applied(R"("spindle": "XZ", "toward": "-X")");
    BOOST_TEST(xz.parameter == b0c_index);
    BOOST_TEST(xz.applied == -40e-6, boost::test_tools::tolerance(1e-12));
    const auto yz = applied(R"("spindle": "YZ", "toward": "+Y")");
    BOOST_TEST(yz.parameter == a0c_index);
    BOOST_TEST(yz.applied == -40e-6, boost::test_tools::tolerance(1e-12));
}

BOOST_AUTO_TEST_CASE(minutes_are_read_by_the_names_of_works) {
    const auto with = [](const std::string& minutes) {
        return changed(base,
                       {{"\"corrections\"", "\"minutes\": {" + minutes + "}, \"corrections\""}});
    };
    const auto text = with(R"("turn the square": 12.5)");
    BOOST_TEST(read_minutes(parse_document(text, "f"), "f").at("turn the square") == 12.5);
    BOOST_TEST(read_minutes(parse_document(base, "f"), "f").empty());
    read(text);
    BOOST_TEST(said(with(R"("turn the sqare": 12)")).find("did you mean \"turn the square\"?") !=
               std::string::npos);
    BOOST_TEST(said(with(R"("turn the sqare": 12)")).find("[key-unknown]") != std::string::npos);
    BOOST_TEST(said(with(R"("warm up": -1)")).find("[value-range]") != std::string::npos);
}

BOOST_AUTO_TEST_CASE(what_stands_on_a_page_for_customers) {
    const auto with = [](const std::string& card) {
        return changed(base,
                       {{"\"corrections\"", "\"statement\": {" + card + "}, \"corrections\""}});
    };
    const auto shop = read(with(R"("responsible": "A. Smith", "material": "steel",
        "part_height": "50 mm",
        "sheet": [{"feature": "hole position", "from": "1 in", "to": "2 in"}, {"feature": "face flat"}])"));
    BOOST_TEST(shop.card.responsible == "A. Smith");
    BOOST_TEST(shop.card.height.value() == 0.05);
    BOOST_REQUIRE(shop.card.sheet.size() == 2U);
    BOOST_TEST(shop.card.sheet[0].from.value() == 0.0254);
    BOOST_TEST(!shop.card.sheet[1].from.has_value());
    const auto id = [&](const std::string& card, const std::string& expected) {
        BOOST_TEST(said(with(card)).find('[' + expected + ']') != std::string::npos, card);
    };
    id(R"("sheet": [{"feature": "hole postion"}])", "word-unknown");
    id(R"("sheet": [{"feature": "face flat", "from": "2 in", "to": "2 in"}])", "extent-empty");
    id(R"("sheet": [{"feature": "face flat", "gauge": "none of ours"}])", "gauge-unknown");
    id(R"("sheet": [{"feature": "face flat", "from": "3 °C"}])", "unit-wrong");
    id(R"("sheet": [{"from": "1 in"}])", "key-missing");
    id(R"("sheet": {"feature": "face flat"})", "field-kind");
    id(R"("material": "unobtainium")", "material-unknown");
    id(R"("responsible": "")", "name-empty");
    id(R"("signature": "A. Smith")", "key-unknown"); // nobody signs by a file
}

// ------------------------------------------------------------------ readings and instruments

BOOST_AUTO_TEST_CASE(readings_may_be_written_in_four_ways) {
    const auto edge = [](const std::string& unit, const std::string& readings) {
        return read(changed(
                        base,
                        {{"\"plus\", \"unit\": \"µm\",\n                \"readings\": \"0 -2 3\", "
                          "\"closing\": 1",
                          "\"plus\"" + unit + ", \"readings\": " + readings}}))
            .square_checks.at(0)
            .settings.at(0);
    };
    const std::vector<double> expected = {0, -2e-6, 3e-6};
    equal(edge("", R"(["0 mm", "-2 µm", "0.003 mm"])").edge_readings, expected);
    equal(edge(R"(, "unit": "µm")", "[0, -2, 3]").edge_readings, expected);
    equal(edge(R"(, "unit": "0.001 mm")", "[0, -2, \"3 µm\"]").edge_readings, expected);
    equal(edge(R"(, "unit": "2 µm")", R"("  +0  −1 1.5 ")").edge_readings, expected);
    equal(edge(R"(, "unit": ".0001 in")", R"("0 -.5 +.25")").edge_readings,
          {0, -0.5 * t, 0.25 * t});
}

BOOST_AUTO_TEST_CASE(repeats_give_mean_spread_and_count) {
    const auto setting =
        read(changed(base, {{"\"0 -2 3\"", "[0, [-1, -3, -2, -2], [\"1 µm\", 2, 6]]"}}))
            .square_checks.at(0)
            .settings.at(0);
    equal(setting.edge_readings, {0, -2e-6, 3e-6});
    // Sums of squares 2 over 3, and 4 + 1 + 9 over 2.
    equal(setting.edge_spread, {0, std::sqrt(2.0 / 3) * 1e-6, std::sqrt(7.0) * 1e-6});
    BOOST_TEST(setting.edge_repeats == (std::vector{1, 4, 3}), tt::per_element());
}

BOOST_AUTO_TEST_CASE(instruments_without_more) {
    const auto shop = read(base);
    const auto& indicator = shop.indicators.at(0);
    BOOST_TEST(indicator.repeatability == 1e-6, tt::tolerance(1e-12)); // half its resolution
    BOOST_TEST(indicator.repeatability_dof == 0);
    BOOST_TEST((indicator.repeatability_evidence == Evidence::typical));
    BOOST_TEST(!indicator.certificate.has_value());
    const auto& square = shop.squares.at(0);
    BOOST_TEST(square.lean == 0);
    BOOST_TEST(square.standard == 0);
    BOOST_TEST(square.limit == 9e-6 / 0.2,
               tt::tolerance(1e-12)); // grade 0: 5 + 200/50 µm over 200 mm
    BOOST_TEST(square.edge_form == 4.5e-6, tt::tolerance(1e-12)); // half of it
    BOOST_TEST((square.evidence == Evidence::specification));
    BOOST_TEST((square.form_evidence == Evidence::typical));
    BOOST_TEST(shop.levels.at(0).read_to == 0.2);
    BOOST_TEST(!shop.inch);
    equal({shop.travel[1].reference}, {0.1});
    BOOST_TEST(!shop.square_checks.at(0).low_spot.has_value());
}

BOOST_AUTO_TEST_CASE(certificates_state_u_and_k) {
    const auto indicator = [](const std::string& keys) {
        return read(changed(base, {{"\"2 µm\"}", "\"2 µm\", " + keys + "}"}})).indicators.at(0);
    };
    const double root =
        std::sqrt(3.0); // a rectangle is this much wider than its standard deviation
    const auto relative = indicator(
        R"("certificate": {"number": "7", "U": "0.8 %", "k": 2}, "repeatability": "0.7 µm")");
    BOOST_TEST(relative.gain_doubt == 0.004 * root, tt::tolerance(1e-12));
    BOOST_TEST((relative.gain_evidence == Evidence::certificate));
    BOOST_TEST(relative.repeatability == 0.7e-6, tt::tolerance(1e-12));
    BOOST_TEST((relative.repeatability_evidence == Evidence::specification));
    BOOST_TEST(!relative.certificate->due.has_value());
    const auto over =
        indicator(R"("certificate": {"number": "7", "U": "1.2 µm", "over": "0.2 mm", "k": 2})");
    BOOST_TEST(over.gain_doubt == 0.003 * root, tt::tolerance(1e-12));
    const auto stated = indicator(R"("gain": "1 %")");
    BOOST_TEST(stated.gain_doubt == 0.01, tt::tolerance(1e-12));
    BOOST_TEST((stated.gain_evidence == Evidence::specification));

    const auto level = [](const std::string& keys) {
        return read(changed(base, {{"\"20 µm/m\"}", "\"20 µm/m\", " + keys + "}"}})).levels.at(0);
    };
    BOOST_TEST(level(R"("certificate": {"number": "8", "U": "3 µm/m", "k": 2})").gain_doubt ==
                   0.075 * root,
               tt::tolerance(1e-12));
    BOOST_TEST(level(R"("certificate": {"number": "8", "U": "6 %", "k": 2})").gain_doubt ==
                   0.03 * root,
               tt::tolerance(1e-12));
    BOOST_TEST(level(R"("gain": "4 %", "read_to": 0.1)").gain_doubt == 0.04, tt::tolerance(1e-12));

    const auto square = [](const std::string& keys) {
        return read(changed(base, {{"\"grade\": \"0\"", keys}})).squares.at(0);
    };
    const auto toward = square(R"("certificate": {"number": "9", "deviation": "3 µm",)"
                               R"( "leans": "toward the leg", "U": "2 µm", "k": 2})");
    BOOST_TEST(toward.lean == 15e-6, tt::tolerance(1e-12));
    BOOST_TEST(toward.standard == 5e-6, tt::tolerance(1e-12));
    BOOST_TEST(toward.edge_form == 2e-6, tt::tolerance(1e-12));
    const auto slope =
        square(R"("grade": "1", "certificate": {"number": "9", "deviation": "4 arcsec",)"
               R"( "leans": "away from the leg", "U": "10 µrad", "k": 2.5})");
    BOOST_TEST(slope.lean == -4 * std::numbers::pi / 648000, tt::tolerance(1e-12));
    BOOST_TEST(slope.standard == 4e-6, tt::tolerance(1e-12));
    BOOST_TEST(slope.limit == 0);
    const auto straight =
        square(R"("certificate": {"number": "9", "deviation": "0 µm", "U": "2 µm", "k": 2})");
    BOOST_TEST(straight.lean == 0);
}

BOOST_AUTO_TEST_CASE(a_shop_without_checks_is_a_shop) {
    const auto text = base.substr(0, base.find(",\n  \"nose_to_table\""));
    const auto shop = read(text + ", \"nose_to_table\": \"17 in\"}");
    BOOST_TEST(shop.inch); // as the first length is written
    BOOST_TEST(shop.machine_class.empty());
    BOOST_TEST(shop.square_checks.empty());
    BOOST_TEST(shop.indicators.empty());
    BOOST_TEST(!read(text + ", \"nose_to_table\": \"17 in\", \"units\": \"metric\"}").inch);
}

// ------------------------------------------------------------------ what is wrong, what is odd

namespace {

const Changed cases[] = {
    // The file as a whole.
    {{{"\"machine/1\"", "\"machine/2\""}},
     "f:2:15: error: expected a file \"machine/1\", found \"machine/2\" [file-format]\n"
     "    at /holdable\n"
     "    hint: this program reads edition 1 of a machine file and no other"},
    {{{"\"machine/1\"", "\"machine/0\""}},
     "f:2:15: error: expected a file \"machine/1\", found \"machine/0\" [file-format]\n"
     "    at /holdable\n"
     "    hint: this program reads edition 1 of a machine file and no other"},
    {{{"\"machine/1\"", "\"machine/\""}},
     "f:2:15: error: expected a file \"machine/1\", found \"machine/\" [file-format]\n"
     "    at /holdable\n"
     "    hint: a machine file begins with \"holdable\": \"machine/1\""},
    {{{"\"holdable\": \"machine/1\", ", ""}},
     "f:1:1: error: the key \"holdable\" is missing [key-missing]"},
    {{{"\"shop\": \"S\"", "\"shop\": \" \""},
      {"\"axes\": \"XYZ\"", "\"axes\": \"XYX\""},
      {"\"class\"", "\"klass\""}},
     "f:2:36: error: a name must not be empty [name-empty]\n"
     "    at /shop\n"
     "f:2:65: error: \"XYX\" is no order of the axes [axes-order]\n"
     "    at /axes\n"
     "    hint: name X, Y and Z once each, from the work to the tool: \"XYZ\" for an X table "
     "on a Y saddle with Z in the column\n"
     "f:8:30: error: unknown key \"klass\" [key-unknown]\n"
     "    at /klass\n"
     "    hint: did you mean \"class\"?"},
    {{{"\"entry vmc\"", "\"entry mill\""}},
     "f:8:39: error: unknown class of machine \"entry mill\" [class-unknown]\n"
     "    at /class\n"
     "    hint: the classes are \"benchtop\", \"knee mill\", \"entry vmc\", \"good vmc\", "
     "\"jig borer\""},
    {{{"\"450 mm\"", "\"450\""}},
     "f:8:20: error: \"450\" has no unit [unit-missing]\n"
     "    at /nose_to_table\n"
     "    hint: add one, as in \"0.0002 in\", \"12 µm\", \"68 °F\""},
    {{{"{\"from\": \"0 mm\", \"to\": \"400 mm\"}", "{\"from\": \"400 mm\", \"to\": \"0 mm\"}"}},
     "f:4:10: error: the travel ends where it begins, or before [travel-empty]\n"
     "    at /travel/X\n"
     "    hint: \"from\" is the smaller coordinate, \"to\" the larger"},
    {{{"\"reference\": \"100 mm\"", "\"reference\": \"310 mm\""}},
     "f:5:56: error: the reference is not in the travel [outside-travel]\n"
     "    at /travel/Y/reference"},
    {{{"\"nose_to_table\"", "\"units\": \"inches\", \"nose_to_table\""}},
     "f:8:12: error: unknown word \"inches\" [word-unknown]\n"
     "    at /units\n"
     "    hint: did you mean \"inch\"?"},
    // Instruments.
    {{{"{\"id\": \"S\", \"kind\": \"square\"", "{\"id\": \"I\", \"kind\": \"square\""}},
     "f:11:12: error: the id \"I\" is given twice [id-twice]\n"
     "    at /instruments/1/id\n"
     "    hint: it stands in line 10 already\n"
     "f:15:82: error: no square among the instruments has the id \"S\" [instrument-unknown]\n"
     "    at /checks/0/square"},
    {{{"\"id\": \"L\"", "\"id\": \"\""}},
     "f:12:12: error: a name must not be empty [name-empty]\n"
     "    at /instruments/2/id\n"
     "f:23:65: error: no level among the instruments has the id \"L\" [instrument-unknown]\n"
     "    at /checks/1/level"},
    {{{"\"kind\": \"indicator\"", "\"kind\": \"indicatr\""},
      {"{\"kind\": \"crash\"", "{\"kind\": \"bump\", \"axis\": \"X\""}},
     "f:10:25: error: unknown word \"indicatr\" [word-unknown]\n"
     "    at /instruments/0/kind\n"
     "    hint: did you mean \"indicator\"?\n"
     "f:16:19: error: no indicator among the instruments has the id \"I\" [instrument-unknown]\n"
     "    at /checks/0/indicator\n"
     "f:27:23: error: unknown word \"bump\" [word-unknown]\n"
     "    at /events/0/kind\n"
     "    hint: known here: \"crash\", \"moved\", \"re-levelled\", \"adjusted\", \"spindle "
     "work\""},
    {{{"\"2 µm\"}", "\"2 µm\", \"certificate\": {\"number\": \"7\", \"U\": 1, \"k\": 2}}"}},
     "f:10:96: error: 1 is out of range: it must be more than 0 and at most 0.15 [value-range]\n"
     "    at /instruments/0/certificate/U"},
    {{{", \"grade\": \"0\"", ""}},
     "f:11:5: error: the square has neither a certificate nor a grade [evidence-missing]\n"
     "    at /instruments/1\n"
     "    hint: write \"grade\": \"2\" if nothing else is known of it"},
    {{{"\"grade\": \"0\"", "\"grade\": \"3\""}},
     "f:11:64: error: no limit for a square of grade \"3\" and 200 mm [grade-unknown]\n"
     "    at /instruments/1/grade\n"
     "    hint: grades are \"00\", \"0\", \"1\" and \"2\", for edges of 10 mm to 1 m"},
    {{{"\"grade\": \"0\"",
       "\"certificate\": {\"number\": \"9\", \"deviation\": \"3 µm\", \"U\": \"2 µm\"}"}},
     "f:11:70: error: the certificate's U stands without its k [certificate-k]\n"
     "    at /instruments/1/certificate\n"
     "    hint: the certificate states it beside U, mostly as \"k\": 2\n"
     "f:11:70: error: the key \"leans\" is missing [key-missing]\n"
     "    at /instruments/1/certificate"},
    {{{"\"grade\": \"0\"",
       "\"certificate\": {\"number\": \"9\", \"date\": \"2025-01-31\", \"due\": \"2024-01-31\", "
       "\"deviation\": \"0 µm\", \"U\": \"2 µm\", \"k\": 2}"}},
     "f:11:94: error: the certificate ran out before it was made [date-order]\n"
     "    at /instruments/1/certificate/date\n"
     "    hint: \"date\" is the day of the calibration, \"due\" its last day"},
    {{{"\"grade\": \"0\"",
       "\"certificate\": {\"number\": \"9\", \"deviation\": \"-3 µm\", \"U\": \"0 µm\", \"k\": "
       "0}"}},
     "f:11:99: error: \"-3 µm\" is out of range: it must be at least 0 µm and at most 2000 µm "
     "[value-range]\n"
     "    at /instruments/1/certificate/deviation\n"
     "f:11:113: error: \"0 µm\" is out of range: it must be more than 0 µm and at most 2000 µm "
     "[value-range]\n"
     "    at /instruments/1/certificate/U\n"
     "f:11:126: error: 0 is out of range: it must be at least 1 and at most 20 [value-range]\n"
     "    at /instruments/1/certificate/k"},
    {{{"\"2 µm\"}", "\"2 µm\", \"gain\": 0.01}"}},
     "f:10:68: error: \"0.01\" is not a number of percent [unit-wrong]\n"
     "    at /instruments/0/gain\n"
     "    hint: write it as in \"1 %\""},
    {{{"\"2 µm\"}",
       "\"2 µm\", \"certificate\": {\"number\": \"7\", \"due\": \"2025-02-30\", \"U\": \"1 µm\", "
       "\"k\": 2}}"}},
     "f:10:75: error: the key \"over\" is missing [key-missing]\n"
     "    at /instruments/0/certificate\n"
     "f:10:98: error: \"2025-02-30\" is not a date [date-syntax]\n"
     "    at /instruments/0/certificate/due\n"
     "    hint: write year, month and day as in \"2026-11-20\""},
    {{{"\"2 µm\"}", "\"2 µm\", \"repeatability\": {\"readings\": [0], \"unit\": \"µm\"}}"}},
     "f:10:90: error: a spread needs two readings or more, found 1 [repeats-few]\n"
     "    at /instruments/0/repeatability/readings\n"
     "    hint: repeat it three times or more, or write it as a single reading"},
    {{{"\"2 µm\"}", "\"2 µm\", \"repeatability\": {\"readings\": [0, 0, 0], \"unit\": \"µm\"}}"}},
     "f:10: all repeats are the same: their spread hides behind the last digit, and is not "
     "taken as zero"},
    {{{"\"2 µm\"}", "\"2 µm\", \"repeatability\": {\"readings\": [0, 1]}}"}},
     "f:10:90: error: the readings are numbers without a unit [unit-missing]\n"
     "    at /instruments/0/repeatability/readings\n"
     "    hint: write \"unit\" beside them, as in \"0.0001 in\" or \"µm\""},
    {{{"\"20 µm/m\"", "\"20 µm\""}},
     "f:12:46: error: \"20 µm\" is not an angle or slope, as in \"20 arcsec\" or \"0.0005 "
     "in/ft\" [unit-wrong]\n"
     "    at /instruments/2/division\n"
     "    hint: a slope needs its length: write \"0.0005 in/ft\" or \"0.02 mm/300mm\""},
    {{{"\"2 µm\"}", "\"2 mm\"}"}},
     "f:10:52: error: \"2 mm\" is out of range: it must be more than 0 mm and at most 1 mm "
     "[value-range]\n"
     "    at /instruments/0/resolution"},
    // Checks: dates, names, places.
    {{{"\"2025-04-01\"", "\"2025-05-02\""}}, "nothing"},
    {{{"\"2025-04-01\"", "\"2025-05-03\""},
      {"\"2025-03-01\"", "\"2062-03-01\""},
      {"\"2025-04-10\"", "\"1.4.2025\""}},
     "f:15:58: error: 2025-05-03 is yet to come [date-future]\n"
     "    at /checks/0/date\n"
     "    hint: today is 2025-05-01\n"
     "f:27:40: error: 2062-03-01 is yet to come [date-future]\n"
     "    at /events/0/date\n"
     "    hint: today is 2025-05-01\n"
     "f:28:76: error: \"1.4.2025\" is not a date [date-syntax]\n"
     "    at /corrections/0/date\n"
     "    hint: write year, month and day as in \"2026-11-20\""},
    {{{"\"id\": \"D\"", "\"id\": \"C\""}},
     "f:23:12: error: the id \"C\" is given twice [id-twice]\n"
     "    at /checks/1/id\n"
     "    hint: it stands in line 15 already"},
    {{{"\"square\": \"S\"", "\"square\": \"T\""},
      {"\"indicator\": \"I\", \"place\"", "\"indicator\": \"indicator\", \"place\""},
      {"\"level\": \"L\"", "\"level\": \"S\""}},
     "f:15:82: error: no square among the instruments has the id \"T\" [instrument-unknown]\n"
     "    at /checks/0/square\n"
     "f:16:19: error: no indicator among the instruments has the id \"indicator\" "
     "[instrument-unknown]\n"
     "    at /checks/0/indicator\n"
     "f:23:65: error: no level among the instruments has the id \"S\" [instrument-unknown]\n"
     "    at /checks/1/level"},
    {{{"\"grade\": \"0\"",
       "\"grade\": \"0\", \"certificate\": {\"number\": \"9\", \"due\": \"2025-03-31\", "
       "\"deviation\": \"0 µm\", \"U\": \"2 µm\", \"k\": 2}"}},
     "f:15: the certificate of the square \"S\" ran out on 2025-03-31, before this check"},
    {{{"[\"200 mm\", \"150 mm\"]", "[\"200 mm\", \"350 mm\"]"}},
     "f:16:44: error: \"350 mm\" is outside the travel of Y: Y = 350 mm is not from 0 to 300 "
     "[outside-travel]\n"
     "    at /checks/0/place/1"},
    {{{"[\"200 mm\", \"150 mm\"]", "[\"390 mm\", \"150 mm\"]"}},
     "f:21:30: error: \"20 mm\" is outside the travel of X: X = 410 mm is not from 0 to 400 "
     "[outside-travel]\n"
     "    at /checks/0/settings/0/leg/from_edge/0\n"
     "f:21:39: error: \"60 mm\" is outside the travel of X: X = 450 mm is not from 0 to 400 "
     "[outside-travel]\n"
     "    at /checks/0/settings/0/leg/from_edge/1"},
    {{{"[\"200 mm\", \"150 mm\"]", "[\"200 mm\"]"}},
     "f:16:33: error: expected an array of 2 lengths, found one of 1 [field-kind]\n"
     "    at /checks/0/place"},
    {{{"\"gauge_length\": \"150 mm\"", "\"gauge_length\": \"310 mm\""}},
     "f:17:78: error: \"150 mm\" is outside the travel of Z: Z = 10 mm is not from -300 to 0 "
     "[outside-travel]\n"
     "    at /checks/0/heights/2\n"
     "    hint: Z = height above the table + gauge_length - nose_to_table"},
    {{{"\"150 mm\"],\n     \"settings\"", "\"230 mm\"],\n     \"settings\""},
      {"\"60 mm\"], \"pressed", "\"130 mm\"], \"pressed"}},
     "f:17:78: error: \"230 mm\" above the table is not on the edge of the square \"S\" "
     "[outside-square]\n"
     "    at /checks/0/heights/2\n"
     "    hint: the edge goes from \"leg_height\" up to that and its length\n"
     "f:21:39: error: \"130 mm\" from the edge is beyond the base [outside-square]\n"
     "    at /checks/0/settings/0/leg/from_edge/1\n"
     "    hint: \"base\" is the length of the square on the table"},
    {{{"[\"50 mm\", \"100 mm\", \"150 mm\"]", "[\"10 mm\", \"100 mm\", \"150 mm\"]"}},
     "f:17:59: error: \"10 mm\" above the table is not on the edge of the square \"S\" "
     "[outside-square]\n"
     "    at /checks/0/heights/0\n"
     "    hint: the edge goes from \"leg_height\" up to that and its length"},
    {{{"[\"50 mm\", \"100 mm\", \"150 mm\"]", "[\"50 mm\", \"100 mm\", \"50 mm\"]"},
      {"[\"20 mm\", \"60 mm\"]", "[\"20 mm\", \"20 mm\"]"}},
     "f:17:78: error: station 3 is where station 1 is [station-twice]\n"
     "    at /checks/0/heights/2\n"
     "    hint: a station is read once; its repeats stand together: [[0, 0.5, "
     "0], ...]\n"
     "f:21:39: error: station 2 is where station 1 is [station-twice]\n"
     "    at /checks/0/settings/0/leg/from_edge/1\n"
     "    hint: a station is read once; its repeats stand together: [[0, 0.5, "
     "0], ...]"},
    {{{"[\"50 mm\", \"100 mm\", \"150 mm\"]", "[\"50 mm\", \"100 mm\"]"},
      {"\"0 -2 3\"", "\"0 -2\""},
      {"[\"20 mm\", \"60 mm\"]", "[\"20 mm\"]"},
      {"\"0 5\"", "\"0\""},
      {"[\"50 mm\", \"150 mm\", \"250 mm\"]", "[]"},
      {"\"0 1 3\"", "[]"}},
     "f:17:58: error: fewer than three stations show no form [stations-few]\n"
     "    at /checks/0/heights\n"
     "    hint: take three or more, better five\n"
     "f:21:29: error: one station shows no slope of the leg [stations-few]\n"
     "    at /checks/0/settings/0/leg/from_edge\n"
     "    hint: take two or more\n"
     "f:25:18: error: fewer than three stations show no form [stations-few]\n"
     "    at /checks/1/stations\n"
     "    hint: take three or more, better five"},
    {{{"\"leg_height\": \"20 mm\", ", ""}},
     "f:15:5: error: the key \"leg_height\" is missing [key-missing]\n"
     "    at /checks/0"},
    {{{"\"plane\": \"ZX\"", "\"plane\": \"ZW\""},
      {"\"kind\": \"level\", \"date\"", "\"kind\": \"levle\", \"date\""}},
     "f:15:44: error: unknown word \"ZW\" [word-unknown]\n"
     "    at /checks/0/plane\n"
     "    hint: did you mean \"ZX\"?\n"
     "f:23:25: error: unknown word \"levle\" [word-unknown]\n"
     "    at /checks/1/kind\n"
     "    hint: did you mean \"level\"?"},
    {{{"\"leg_points\": \"+X\"", "\"leg_points\": \"+Y\""},
      {"\"+X face\"", "\"X face\""},
      {"\"+X end\"", "\"+Y end\""}},
     "f:18:34: error: unknown word \"+Y\" [word-unknown]\n"
     "    at /checks/0/settings/0/leg_points\n"
     "    hint: did you mean \"+X\"?\n"
     "f:19:28: error: unknown word \"X face\" [word-unknown]\n"
     "    at /checks/0/settings/0/edge/touches\n"
     "    hint: did you mean \"+X face\"?\n"
     "f:24:57: error: unknown word \"+Y end\" [word-unknown]\n"
     "    at /checks/1/plus_when_high\n"
     "    hint: did you mean \"+X end\"?"},
    {{{"\"pressed_reads\": \"plus\", \"unit\": \"µm\",\n                \"readings\"",
       "\"unit\": \"µm\",\n                \"readings\""}},
     "f:19:16: error: the key \"pressed_reads\" is missing [key-missing]\n"
     "    at /checks/0/settings/0/edge"},
    {{{"\"settings\": [", "\"settings\": [], \"setings\": ["}},
     "f:18:18: error: there is no setting of the square [stations-few]\n"
     "    at /checks/0/settings\n"
     "f:18:22: error: unknown key \"setings\" [key-unknown]\n"
     "    at /checks/0/setings\n"
     "    hint: known here: \"id\", \"kind\", \"room\", \"plane\", \"date\", \"square\", "
     "\"indicator\", "
     "\"place\", \"base\", \"low_spot\", \"base_width\", \"weight_at\", \"settings\", "
     "\"leg_height\", "
     "\"gauge_length\", "
     "\"heights\""},
    {{{"[\"50 mm\", \"150 mm\", \"250 mm\"]", "[\"50 mm\", \"150 mm\", \"350 mm\"]"},
      {"\"rides\": \"table\"",
       "\"place\": {\"X\": \"-1 mm\", \"Y\": \"1 mm\"}, \"rides\": \"table\""}},
     "f:24:21: error: \"-1 mm\" is outside the travel of X: X = -1 mm is not from 0 to 400 "
     "[outside-travel]\n"
     "    at /checks/1/place/X\n"
     "f:24:30: error: unknown key \"Y\" [key-unknown]\n"
     "    at /checks/1/place/Y\n"
     "    hint: known here: \"X\", \"Z\"\n"
     "f:25:38: error: \"350 mm\" is outside the travel of Y: Y = 350 mm is not from 0 to 300 "
     "[outside-travel]\n"
     "    at /checks/1/stations/2"},
    // Checks: readings.
    {{{"\"0 -2 3\"", "\"0 -2\""}, {"\"0 5\"", "[0, 1, 2]"}, {"\"0 1 3\"", "\"0 1 3 4\""}},
     "f:20:29: error: 2 readings for 3 heights [readings-count]\n"
     "    at /checks/0/settings/0/edge/readings\n"
     "    hint: each station has its reading, in the same order\n"
     "f:22:28: error: 3 readings for 2 stations along the leg [readings-count]\n"
     "    at /checks/0/settings/0/leg/readings\n"
     "    hint: each station has its reading, in the same order\n"
     "f:25:81: error: 4 readings for 3 stations [readings-count]\n"
     "    at /checks/1/readings\n"
     "    hint: each station has its reading, in the same order"},
    {{{"\"0 -2 3\"", "\"0 –2 3,5\""}},
     "f:20:32: error: \"–2\" is not a number [readings-syntax]\n"
     "    at /checks/0/settings/0/edge/readings\n"
     "    hint: in a string stand numbers alone, blank between, and the unit under \"unit\"\n"
     "f:20:35: error: \"3,5\" is not a number [readings-syntax]\n"
     "    at /checks/0/settings/0/edge/readings\n"
     "    hint: in a string stand numbers alone, blank between, and the unit under \"unit\""},
    {{{"\"unit\": \"µm\",\n                \"readings\": \"0 -2 3\"", "\"readings\": \"0 -2 3\""}},
     "f:19:76: error: the readings are numbers without a unit [unit-missing]\n"
     "    at /checks/0/settings/0/edge/readings\n"
     "    hint: write \"unit\" beside them, as in \"0.0001 in\" or \"µm\""},
    {{{"\"unit\": \"µm\",\n                \"readings\": \"0 -2 3\", \"closing\": 1",
       "\"readings\": [0, [1, 2], 3]"}},
     "f:19:76: error: the readings are numbers without a unit [unit-missing]\n"
     "    at /checks/0/settings/0/edge/readings\n"
     "    hint: write \"unit\" beside them, as in \"0.0001 in\" or \"µm\""},
    {{{"\"unit\": \"µm\",\n                \"readings\"",
       "\"unit\": \"tenth\",\n                \"readings\""}},
     "f:19:72: error: unit \"tenth\": a tenth is 0.0001 in in one shop and 0.1 mm in another "
     "[unit-refused]\n"
     "    at /checks/0/settings/0/edge/unit\n"
     "    hint: write \"0.0001 in\" or \"0.1 mm\""},
    {{{"\"unit\": \"µm\",\n                \"readings\"",
       "\"unit\": \"0 µm\",\n                \"readings\""}},
     "f:19:72: error: \"0 µm\" is out of range: it must be more than 0 µm [value-range]\n"
     "    at /checks/0/settings/0/edge/unit"},
    {{{"\"unit\": \"division\"", "\"unit\": \"0.0005 in\""}},
     "f:25:57: error: \"0.0005 in\" is not an angle or slope, as in \"20 arcsec\" or \"0.0005 "
     "in/ft\" [unit-wrong]\n"
     "    at /checks/1/unit\n"
     "    hint: a slope needs its length: write \"0.0005 in/ft\" or \"0.02 mm/300mm\""},
    {{{"\"0 5\"", "[[0, 1, 0], 5]"}},
     "f:22:29: error: expected length, as in \"0.25 mm\" or \"0.0100 in\", found an array "
     "[field-kind]\n"
     "    at /checks/0/settings/0/leg/readings/0"},
    {{{"\"0 -2 3\"", "\"0 -2000000 3\""}},
     "f:20:29: error: \"-2000000\" is no reading of an indicator: it may be 100 mm either way "
     "[value-range]\n"
     "    at /checks/0/settings/0/edge/readings\n"
     "    hint: is the unit right?"},
    {{{"\"unit\": \"µm\",\n                \"readings\": \"0 -2 3\", \"closing\": 1",
       "\"unit\": \"mm\",\n                \"readings\": \"0 -0.2 0.3\""}},
     "f:20:29: error: the readings differ by 5 mm/m, more than 10 times the figure of the "
     "class \"entry vmc\" [readings-size]\n"
     "    at /checks/0/settings/0/edge/readings\n"
     "    hint: is the unit right (µm meant)? or does the class flatter the machine?"},
    {{{"\"entry vmc\"", "\"good vmc\""}, {"\"0 1 3\"", "\"0 1 20\""}},
     "f:25:81: error: the readings differ by 0.4 mm/m, more than 10 times the figure of the "
     "class \"good vmc\" [readings-size]\n"
     "    at /checks/1/readings\n"
     "    hint: is the unit right (µm meant)? or does the class flatter the machine?"},
    {{{"\"0 -2 3\"", "[[0, 0, 0], [-2, -3], [3]]"}},
     "f:20:51: error: a spread needs two readings or more, found 1 [repeats-few]\n"
     "    at /checks/0/settings/0/edge/readings/2\n"
     "    hint: repeat it three times or more, or write it as a single reading"},
    {{{"\"0 -2 3\"", "[[0, 0, 0], [-2, -3], 3]"}},
     "f:20: all repeats are the same: their spread hides behind the last digit, and is not "
     "taken as zero\n"
     "f:20: two repeats tell little of a spread: take three or more"},
    {{{"\"readings\": \"0 5\"}}]",
       "\"readings\": \"0 5\"}}, {\"leg_points\": \"+X\", \"unit\": \"µm\", \"edge\": "
       "{\"touches\": \"+X face\", \"pressed_reads\": \"plus\", \"readings\": [0, -2, 3]}}]"}},
     "f:22: the very readings stand in the file before: one run entered twice?"},
    // Events and corrections.
    {{{"{\"kind\": \"crash\"", "{\"kind\": \"adjusted\", \"axis\": \"A\""},
      {"\"toward\": \"+X\"", "\"toward\": \"+Y\""}},
     "f:27:43: error: unknown word \"A\" [word-unknown]\n"
     "    at /events/0/axis\n"
     "    hint: known here: \"X\", \"Y\", \"Z\"\n"
     "f:28:62: error: unknown word \"+Y\" [word-unknown]\n"
     "    at /corrections/0/toward\n"
     "    hint: did you mean \"+X\"?"},
    {{{"{\"kind\": \"crash\"", "{\"kind\": \"crash\", \"axis\": \"X\""},
      {"\"by\": \"40 µm/m\"", "\"by\": \"-40 µm/m\""}},
     "f:27:32: error: unknown key \"axis\" [key-unknown]\n"
     "    at /events/0/axis\n"
     "    hint: known here: \"kind\", \"date\", \"note\"\n"
     "f:28:41: error: \"-40 µm/m\" is out of range: it must be at least 0 µm/m and at most "
     "10000 µm/m [value-range]\n"
     "    at /corrections/0/by"},
};

} // namespace

BOOST_DATA_TEST_CASE(what_is_said, boost::unit_test::data::make(cases)) {
    BOOST_TEST(said(changed(base, sample.changes)) == sample.expected);
}

BOOST_AUTO_TEST_CASE(all_ids_are_among_them) {
    const std::set<std::string> ids = {
        "axes-order",     "certificate-k",  "class-unknown",    "date-future",
        "date-order",     "date-syntax",    "evidence-missing", "field-kind",
        "file-format",    "grade-unknown",  "id-twice",         "instrument-unknown",
        "key-missing",    "key-unknown",    "name-empty",       "outside-square",
        "outside-travel", "readings-count", "readings-size",    "readings-syntax",
        "repeats-few",    "station-twice",  "stations-few",     "travel-empty",
        "unit-missing",   "unit-refused",   "unit-wrong",       "value-range",
        "word-unknown"};
    BOOST_TEST(ids_in(cases) == ids, tt::per_element());
}

BOOST_AUTO_TEST_SUITE_END()
