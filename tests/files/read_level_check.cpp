// SPDX-License-Identifier: MIT
// Checks by level as files say them: every key against the values it must become, worked by hand,
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
    {"id": "H", "kind": "level", "division": "50 µm/m"}
  ],
  "checks": [
    {"id": "D", "kind": "level", "date": "2025-04-02", "level": "L", "axis": "X",
     "rides": "table", "points": "Y", "plus_when_high": "-Y end",
     "stations": ["50 mm", "150 mm", "250 mm"], "unit": "division",
     "readings": [[0, 1, 0.5], 1, [3, 3, 2.4]], "closing": 0.5,
     "turned": {"station": "150 mm", "reading": 2}},
    {"id": "N", "kind": "level", "date": "2025-04-02", "level": "L", "head_level": "H", "axis": "Z",
     "rides": "both", "points": "X", "plus_when_high": "+X end",
     "stations": ["-250 mm", "-150 mm", "-50 mm"], "unit": "division",
     "readings": "0 0.2 0.1", "head_readings": "0 1 2"}
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
        BOOST_TEST(std::abs(found[i] - expected[i]) < 1e-16, found[i] << " is " << expected[i]);
}

} // namespace

BOOST_AUTO_TEST_SUITE(reading_level_checks)

BOOST_AUTO_TEST_CASE(repeats_and_the_turned_level) {
    const auto check = read(base).level_checks.at(0);
    BOOST_TEST((check.rides == LevelRides::table));
    equal(check.readings, {-10e-6, -20e-6, -56e-6}); // plus when the -Y end is high
    equal({check.spread[0], check.spread[1]}, {10e-6, 0});
    BOOST_TEST((check.repeats == std::vector<int>{3, 1, 3}));
    equal({check.closing.value()}, {-10e-6});
    BOOST_REQUIRE(check.turned.has_value());
    equal({check.turned->at, check.turned->reading}, {0.15, -40e-6});
}

BOOST_AUTO_TEST_CASE(two_levels_have_their_own_divisions) {
    const auto check = read(base).level_checks.at(1);
    BOOST_TEST((check.rides == LevelRides::both));
    BOOST_TEST(check.level == "L");
    BOOST_TEST(check.head_level == "H");
    equal(check.readings, {0, 4e-6, 2e-6});
    equal(check.head_readings, {0, 50e-6, 100e-6});
    BOOST_TEST(check.repeats.empty());
    BOOST_TEST(check.head_repeats.empty());
    const auto closed =
        read(changed(base,
                     {{"\"readings\": \"0 0.2 0.1\"",
                       "\"closing\": 0.1, \"head_closing\": 0.2, \"readings\": \"0 0.2 0.1\""}}))
            .level_checks.at(1);
    equal({closed.closing.value(), closed.head_closing.value()}, {2e-6, 10e-6});
}

BOOST_AUTO_TEST_CASE(what_stands_on_the_floor) {
    BOOST_TEST(!read(base).ground.has_value());
    const auto ground = [](const std::string& axes, const std::string& word) {
        return read(
                   changed(base,
                           {{"\"XYZ\"", "\"" + axes + "\", \"ground\": \"" + word + "\""},
                            {"\"rides\": \"table\"",
                             "\"rides\": \"both\", \"head_level\": \"H\", "
                             "\"head_readings\": \"0 1 2\", "
                             "\"head_closing\": 0"},
                            {",\n     \"turned\": {\"station\": \"150 mm\", \"reading\": 2}", ""}}))
            .ground.value();
    };
    BOOST_TEST(ground("XYZ", "work") == 0);
    BOOST_TEST(ground("XYZ", "after Y") == 2);
    BOOST_TEST(ground("YXZ", "after Y") == 1);
    BOOST_TEST(ground("YXZ", "after Z") == 3);
}

const Changed wrong[] = {
    {{{"\"XYZ\"", "\"XYZ\", \"ground\": \"work\""}},
     "f:12:15: error: the table stands still as X moves, so a level on it sees nothing of X "
     "[level-still]\n"
     "    at /checks/0/rides\n"
     "    hint: lay it on what moves, or one on each: \"rides\": \"both\"; \"ground\" says what "
     "stands still"},
    {{{"\"head_level\": \"H\"", "\"head_level\": \"L\""}},
     "f:16:84: error: \"L\" cannot lie on table and head at once [level-twice]\n"
     "    at /checks/1/head_level\n"
     "    hint: two levels are read together; give the other an id of its own"},
    {{{"\"readings\": \"0 0.2 0.1\"", "\"closing\": 0.1, \"readings\": \"0 0.2 0.1\""}},
     "f:19:64: error: one of the two levels was read again at the end, the other not "
     "[closing-one]\n"
     "    at /checks/1/head_readings\n"
     "    hint: read both again: \"closing\" and \"head_closing\""},
    {{{"\"station\": \"150 mm\"", "\"station\": \"151 mm\""}},
     "f:15:28: error: the level is turned where it was not read before [turned-elsewhere]\n"
     "    at /checks/0/turned/station\n"
     "    hint: turn it end for end at one of the stations"},
    {{{"\"0 1 2\"", "\"0 1\""}},
     "f:19:48: error: 2 readings for 3 stations [readings-count]\n"
     "    at /checks/1/head_readings\n"
     "    hint: each station has its reading, in the same order"},
    {{{", \"head_readings\": \"0 1 2\"", ""}},
     "f:16:5: error: the key \"head_readings\" is missing [key-missing]\n"
     "    at /checks/1"},
};

BOOST_AUTO_TEST_CASE(mistakes_are_said_with_their_place) {
    BOOST_TEST(said(base) == "nothing");
    for (const auto& one : wrong)
        BOOST_TEST_CONTEXT(one) {
            BOOST_TEST(said(changed(base, one.changes)) == one.expected);
        }
    // every id of errors.md that a level alone can raise
    const auto ids = ids_in(wrong);
    for (const char* id : {"level-still", "level-twice", "closing-one", "turned-elsewhere"})
        BOOST_TEST(ids.contains(id), id);
}

BOOST_AUTO_TEST_SUITE_END()
