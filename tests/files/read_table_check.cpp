// SPDX-License-Identifier: MIT
// Maps of the table as files say them: every key against the values it must become, worked by hand,
// and every mistake against what must be said of it, with its place. Exact but for rounding: 1e-12.
#include "files/shop_text.hpp"
#include "holdable/files/read_machine.hpp"

#include <boost/test/unit_test.hpp>

#include <cmath>
#include <string>

using namespace holdable;

namespace {

const Date day = parse_date("2025-05-01");

const std::string base = R"({
  "holdable": "machine/1", "shop": "S", "machine": "M", "axes": "XYZ",
  "travel": {"X": {"from": "0 mm", "to": "400 mm"}, "Y": {"from": "0 mm", "to": "300 mm"},
             "Z": {"from": "-300 mm", "to": "0 mm"}},
  "nose_to_table": "450 mm", "class": "entry vmc",
  "instruments": [
    {"id": "L", "kind": "level", "division": "20 µm/m"},
    {"id": "I", "kind": "indicator", "resolution": "1 µm"},
    {"id": "S", "kind": "square", "length": "200 mm", "grade": "0"}
  ],
  "checks": [
    {"id": "T", "kind": "table", "date": "2025-04-02", "by": "level", "level": "L",
     "foot": "100 mm", "unit": "division", "lines": [
       {"from": ["50 mm", "50 mm"], "plus_when_high": "+X end", "readings": "0 1 2"},
       {"from": ["50 mm", "150 mm"], "plus_when_high": "-X end", "readings": [0, [-1, -2, -1], -2],
        "closing": 0.5},
       {"from": ["50 mm", "50 mm"], "plus_when_high": "+Y end", "unit": "µm/m", "readings": "3 5"},
       {"from": ["350 mm", "50 mm"], "plus_when_high": "+Y end", "readings": "0 0"}
     ]},
    {"id": "M", "kind": "table", "date": "2025-04-02", "by": "indicator", "indicator": "I",
     "gauge_length": "250 mm", "x": ["50 mm", "150 mm", "250 mm"], "y": ["50 mm", "200 mm"],
     "pressed_reads": "minus", "unit": "µm",
     "readings": ["0 1 2", [3, [4, 5], 6]], "closing": 1},
    {"id": "C", "kind": "square", "plane": "ZX", "date": "2025-04-01", "square": "S",
     "indicator": "I", "place": ["200 mm", "150 mm"], "gauge_length": "250 mm",
     "base": "100 mm", "base_width": "30 mm", "weight_at": "40 mm",
     "heights": ["50 mm", "100 mm", "150 mm"],
     "settings": [{"leg_points": "+X",
       "edge": {"touches": "+X face", "pressed_reads": "plus", "unit": "µm",
                "readings": "0 -2 3"}}]}
  ]
}
)";

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
        BOOST_TEST(std::abs(found[i] - expected[i]) < 1e-15, found[i] << " is " << expected[i]);
}

} // namespace

BOOST_AUTO_TEST_SUITE(reading_table_checks)

BOOST_AUTO_TEST_CASE(a_level_walked) {
    const auto check = read(base).table_checks.at(0);
    BOOST_TEST(check.name == "T");
    BOOST_TEST(check.level == "L");
    BOOST_TEST(check.indicator.empty());
    equal({check.foot}, {0.1});
    BOOST_REQUIRE(check.lines.size() == 4U);
    equal(check.lines[0].readings, {0, 20e-6, 40e-6});
    BOOST_TEST(check.lines[0].repeats.empty());
    equal({check.lines[1].from.x(), check.lines[1].from.y()}, {0.05, 0.15});
    equal(check.lines[1].readings, {0, 80e-6 / 3, 40e-6}); // plus when the -X end is high
    BOOST_TEST((check.lines[1].repeats == std::vector<int>{1, 3, 1}));
    equal({check.lines[1].closing.value()}, {-10e-6});
    BOOST_TEST((check.lines[2].along == Axis::y));
    equal(check.lines[2].readings, {3e-6, 5e-6});
    const auto area = mapped_area(check);
    equal({area.x_low, area.x_high, area.y_low, area.y_high}, {0.05, 0.35, 0.05, 0.25});
}

BOOST_AUTO_TEST_CASE(an_indicator_swept) {
    const auto check = read(base).table_checks.at(1);
    BOOST_TEST(check.indicator == "I");
    equal({check.gauge_length}, {0.25});
    equal(check.x, {0.05, 0.15, 0.25});
    equal(check.y, {0.05, 0.2});
    equal(check.readings, {0, -1e-6, -2e-6, -3e-6, -4.5e-6, -6e-6});
    BOOST_TEST((check.repeats == std::vector<int>{1, 1, 1, 1, 2, 1}));
    equal({check.spread[4]}, {std::sqrt(0.5) * 1e-6});
    equal({check.closing.value()}, {-1e-6});
}

BOOST_AUTO_TEST_CASE(where_a_square_stands) {
    const auto check = read(base).square_checks.at(0);
    equal({check.base_width.value(), check.weight_at.value()}, {0.03, 0.04});
}

const Changed wrong[] = {
    {{{"\"by\": \"level\"", "\"by\": \"levle\""}},
     "f:12:62: error: unknown word \"levle\" [word-unknown]\n"
     "    at /checks/0/by\n"
     "    hint: did you mean \"level\"?"},
    {{{"\"readings\": \"0 0\"", "\"readings\": \"0\""}},
     "f:18:78: error: one step of a level shows no form [stations-few]\n"
     "    at /checks/0/lines/3/readings\n"
     "    hint: walk it two steps or more"},
    {{{"\"0 1 2\", [3", "\"0 1\", [3"}},
     "f:23:19: error: 2 readings for 3 stations along X [readings-count]\n"
     "    at /checks/1/readings/0\n"
     "    hint: each station has its reading, in the same order"},
    {{{"[\"50 mm\", \"200 mm\"]", "[\"50 mm\", \"200 mm\", \"250 mm\"]"}},
     "f:23:18: error: 2 readings for 3 runs along X [readings-count]\n"
     "    at /checks/1/readings\n"
     "    hint: each station has its reading, in the same order"},
    {{{"\"x\": [\"50 mm\"", "\"x\": [\"-50 mm\""}},
     "f:21:38: error: \"-50 mm\" is outside the travel of X: X = -50 mm is not from 0 to 400 "
     "[outside-travel]\n"
     "    at /checks/1/x/0"},
    {{{"\"unit\": \"µm\",\n     \"readings\": [\"0 1 2\"",
       "\"unit\": \"mm\",\n     \"readings\": [\"0 1 2\""}},
     "f:23:18: error: the readings differ by 30 mm/m, more than 10 times the figure of the class "
     "\"entry vmc\" [readings-size]\n"
     "    at /checks/1/readings\n"
     "    hint: is the unit right (µm meant)? or does the class flatter the machine?"},
    {{{"\"weight_at\": \"40 mm\"", "\"weight_at\": \"140 mm\""}},
     "f:26:60: error: the weight acts beyond the end of the base [outside-square]\n"
     "    at /checks/2/weight_at\n"
     "    hint: \"weight_at\" is its distance from the edge along the leg"},
};

BOOST_AUTO_TEST_CASE(mistakes_are_said_with_their_place) {
    for (const auto& one : wrong)
        BOOST_TEST_CONTEXT(one) {
            BOOST_TEST(said(changed(base, one.changes)) == one.expected);
        }
}

BOOST_AUTO_TEST_CASE(loops_that_do_not_close_are_named) {
    const auto quiet = changed(base,
                               {{"[4, 5]", "4.5"},
                                {"[-1, -2, -1]", "-1"},
                                {"\"readings\": \"0 1 2\"", "\"readings\": \"0 1 2.2\""}});
    BOOST_TEST(said(quiet) == "nothing");
    // The second line climbs 8 divisions more over 300 mm than the first: 16 µm and more.
    const auto open = said(changed(quiet, {{"[0, -1, -2]", "[-3, -4, -5]"}}));
    BOOST_TEST(open.find("f:13: the loop of line 1, reading 1;") != std::string::npos, open);
    BOOST_TEST(open.find("is open by 17.9 µm") != std::string::npos, open);
}

BOOST_AUTO_TEST_SUITE_END()
