// SPDX-License-Identifier: MIT
// Squares lying flat in machine files: SI numbers by hand; the sign of each face and side; what is
// wrong, with its place. Tolerance 1e-12 relative: some roundings of a double. The wording of the
// diagnostics is recorded from the program after reading it.
#include "files/machine_text.hpp"

#include <boost/test/data/test_case.hpp>
#include <boost/test/unit_test.hpp>

#include <set>
#include <string>

using namespace holdable;
namespace tt = boost::test_tools;

namespace {

const std::string base = mill + R"(
  "instruments": [{"id": "I", "kind": "indicator", "resolution": "2 µm"},
    {"id": "Q", "kind": "square", "length": "200 mm", "grade": "1"}],
  "checks": [
    {"id": "F", "kind": "square", "plane": "XY", "date": "2025-04-01",
     "square": "Q", "indicator": "I", "height": "30 mm", "gauge_length": "140 mm",
     "unit": "µm", "pressed_reads": "plus", "settings": [
      {"corner": ["300 mm", "250 mm"], "leg_points": "-X", "edge_points": "-Y",
       "leg": {"touches": "-Y face", "from_corner": ["20 mm", "80 mm", "140 mm"],
               "readings": [[1, 2, 3], 4, 7], "closing": 2.5},
       "edge": {"touches": "+X face", "from_corner": ["20 mm", "100 mm", "190 mm"],
                "readings": "0 -3 -5"}}]}
  ]
}
)";

} // namespace

BOOST_AUTO_TEST_SUITE(reading_flat_squares)

BOOST_AUTO_TEST_CASE(every_key) {
    const auto shop = read(base);
    BOOST_TEST(shop.square_checks.empty());
    BOOST_REQUIRE(shop.flat_square_checks.size() == 1U);
    const auto& check = shop.flat_square_checks[0];
    const auto close = tt::tolerance(1e-12);
    BOOST_TEST(check.name == "F");
    BOOST_TEST((check.date == parse_date("2025-04-01")));
    BOOST_TEST(check.square == "Q");
    BOOST_TEST(check.indicator == "I");
    BOOST_TEST(check.gauge_length == 0.14, close);
    BOOST_TEST(check.z == 0.03 + 0.14 - 0.45, close);
    BOOST_REQUIRE(check.settings.size() == 1U);
    const auto& s = check.settings[0];
    BOOST_TEST(s.corner.x() == 0.3, close);
    BOOST_TEST(s.corner.y() == 0.25, close);
    BOOST_TEST(!s.leg_towards_plus);
    BOOST_TEST(!s.edge_towards_plus);
    BOOST_REQUIRE(s.leg.stations.size() == 3U);
    BOOST_TEST(s.leg.stations[0] == 0.28, close); // to -X from the corner
    BOOST_TEST(s.edge.stations[2] == 0.06, close);
    // Pressed in on a - face: the surface is nearer to the tool, less along +.
    BOOST_TEST(s.leg.readings[0] == -2e-6, close);
    BOOST_TEST(s.leg.spread[0] == 1e-6, close);
    BOOST_TEST(s.leg.repeats[0] == 3);
    BOOST_TEST(s.leg.repeats[2] == 1);
    BOOST_TEST(s.leg.closing.value() == -2.5e-6, close);
    BOOST_TEST(s.edge.readings[1] == -3e-6, close);
    BOOST_TEST(s.edge.repeats.empty());
    BOOST_TEST(!s.edge.closing);
    BOOST_TEST(shop.notes.empty());
}

BOOST_AUTO_TEST_CASE(each_plane_and_side) {
    BOOST_TEST(read(changed(base, {{"\"XY\"", "\"YX\""}})).flat_square_checks.size() == 1U);
    const auto plus =
        read(changed(base,
                     {{"\"-X\", \"edge_points\": \"-Y\"", "\"+X\", \"edge_points\": \"+Y\""},
                      {"[\"300 mm\", \"250 mm\"]", "[\"100 mm\", \"50 mm\"]"},
                      {"-Y face", "+Y face"}}))
            .flat_square_checks[0]
            .settings[0];
    BOOST_TEST(plus.leg.stations[0] == 0.12, tt::tolerance(1e-12));
    BOOST_TEST(plus.edge.stations[0] == 0.07, tt::tolerance(1e-12));
    BOOST_TEST(plus.leg.readings[0] == 2e-6, tt::tolerance(1e-12));
}

namespace {

const Changed cases[] = {
    {{{"\"indicator\": \"I\", \"height\"", "\"indicator\": \"J\", \"height\""},
      {"\"square\": \"Q\"", "\"square\": \"R\""},
      {"\"2025-04-01\"", "\"2027-04-01\""}},
     "f:12:58: error: 2027-04-01 is yet to come [date-future]\n"
     "    at /checks/0/date\n"
     "    hint: today is 2025-05-01\n"
     "f:13:16: error: no square among the instruments has the id \"R\" [instrument-unknown]\n"
     "    at /checks/0/square\n"
     "f:13:34: error: no indicator among the instruments has the id \"J\" "
     "[instrument-unknown]\n"
     "    at /checks/0/indicator"},
    {{{"\"XY\"", "\"XW\""}},
     "f:12:44: error: unknown word \"XW\" [word-unknown]\n"
     "    at /checks/0/plane\n"
     "    hint: did you mean \"XZ\"?"},
    {{{"\"height\": \"30 mm\", ", ""}},
     "f:12:5: error: the key \"height\" is missing [key-missing]\n"
     "    at /checks/0"},
    {{{"\"height\": \"30 mm\"", "\"height\": \"0 mm\""},
      {"\"140 mm\",\n     \"unit\"", "\"460 mm\",\n     \"unit\""}},
     "f:13:49: error: \"0 mm\" is outside the travel of Z: Z = 10 mm is not from -300 to 0 "
     "[outside-travel]\n"
     "    at /checks/0/height\n"
     "    hint: Z = height above the table + gauge_length - nose_to_table"},
    {{{"\"300 mm\", \"250 mm\"", "\"100 mm\", \"250 mm\""}},
     "f:16:72: error: \"140 mm\" is outside the travel of X: X = -40 mm is not from 0 to "
     "400 [outside-travel]\n"
     "    at /checks/0/settings/0/leg/from_corner/2"},
    {{{"\"300 mm\", \"250 mm\"", "\"500 mm\", \"250 mm\""}},
     "f:16:54: error: \"20 mm\" is outside the travel of X: X = 480 mm is not from 0 to 400 "
     "[outside-travel]\n"
     "    at /checks/0/settings/0/leg/from_corner/0\n"
     "f:16:63: error: \"80 mm\" is outside the travel of X: X = 420 mm is not from 0 to 400 "
     "[outside-travel]\n"
     "    at /checks/0/settings/0/leg/from_corner/1"},
    {{{"\"leg_points\": \"-X\"", "\"leg_points\": \"-Y\""},
      {"\"edge_points\": \"-Y\"", "\"edge_points\": \"Y\""}},
     "f:15:54: error: unknown word \"-Y\" [word-unknown]\n"
     "    at /checks/0/settings/0/leg_points\n"
     "    hint: did you mean \"-X\"?\n"
     "f:15:75: error: unknown word \"Y\" [word-unknown]\n"
     "    at /checks/0/settings/0/edge_points\n"
     "    hint: did you mean \"+Y\"?\n"
     "f:16:72: error: \"140 mm\" is outside the travel of X: X = 440 mm is not from 0 to "
     "400 [outside-travel]\n"
     "    at /checks/0/settings/0/leg/from_corner/2\n"
     "f:18:64: error: \"100 mm\" is outside the travel of Y: Y = 350 mm is not from 0 to "
     "300 [outside-travel]\n"
     "    at /checks/0/settings/0/edge/from_corner/1\n"
     "f:18:74: error: \"190 mm\" is outside the travel of Y: Y = 440 mm is not from 0 to "
     "300 [outside-travel]\n"
     "    at /checks/0/settings/0/edge/from_corner/2"},
    {{{"\"-Y face\"", "\"-X face\""}},
     "f:16:27: error: unknown word \"-X face\" [word-unknown]\n"
     "    at /checks/0/settings/0/leg/touches\n"
     "    hint: did you mean \"-Y face\"?"},
    {{{"\"190 mm\"", "\"240 mm\""}, {"\"80 mm\"", "\"20 mm\""}},
     "f:16:63: error: station 2 is where station 1 is [station-twice]\n"
     "    at /checks/0/settings/0/leg/from_corner/1\n"
     "    hint: a station is read once; its repeats stand together: [[0, 0.5, 0], ...]\n"
     "f:18:74: error: \"240 mm\" from the corner is not on the square \"Q\" [outside-square]\n"
     "    at /checks/0/settings/0/edge/from_corner/2\n"
     "    hint: the square's \"length\" is that of its edge"},
    {{{"\"20 mm\", \"80 mm\", \"140 mm\"", "\"20 mm\", \"80 mm\""}},
     "f:16:53: error: fewer than three stations show no form [stations-few]\n"
     "    at /checks/0/settings/0/leg/from_corner\n"
     "    hint: take three or more, better five\n"
     "f:17:28: error: 3 readings for 2 stations [readings-count]\n"
     "    at /checks/0/settings/0/leg/readings\n"
     "    hint: each station has its reading, in the same order"},
    {{{"\"0 -3 -5\"", "\"0 -3 -5 -6\""}},
     "f:19:29: error: 4 readings for 3 stations [readings-count]\n"
     "    at /checks/0/settings/0/edge/readings\n"
     "    hint: each station has its reading, in the same order"},
    {{{"\"0 -3 -5\"", "\"0 -300 -900\""}},
     "f:19:29: error: the readings differ by 3.3 mm/m, more than 10 times the figure of "
     "the class \"entry vmc\" [readings-size]\n"
     "    at /checks/0/settings/0/edge/readings\n"
     "    hint: is the unit right (µm meant)? or does the class flatter the machine?"},
    {{{"\"unit\": \"µm\", ", ""}},
     "f:17:29: error: the readings are numbers without a unit [unit-missing]\n"
     "    at /checks/0/settings/0/leg/readings/0\n"
     "    hint: write \"unit\" beside them, as in \"0.0001 in\" or \"µm\"\n"
     "f:19:29: error: the readings are numbers without a unit [unit-missing]\n"
     "    at /checks/0/settings/0/edge/readings\n"
     "    hint: write \"unit\" beside them, as in \"0.0001 in\" or \"µm\""},
    {{{"\"unit\": \"µm\"", "\"unit\": \"arcsec\""}},
     "f:14:14: error: \"1 arcsec\" is not a length, as in \"0.25 mm\" or \"0.0100 in\" "
     "[unit-wrong]\n"
     "    at /checks/0/unit"},
    {{{"\"pressed_reads\": \"plus\"", "\"pressed_reads\": \"in\""}},
     "f:14:37: error: unknown word \"in\" [word-unknown]\n"
     "    at /checks/0/pressed_reads\n"
     "    hint: known here: \"plus\", \"minus\""},
    {{{"\"settings\": [\n      {\"corner\": [\"300 mm\", \"250 mm\"], \"leg_points\": \"-X\", "
       "\"edge_points\": \"-Y\",\n       \"leg\": {\"touches\": \"-Y face\", \"from_corner\": "
       "[\"20 mm\", \"80 mm\", \"140 mm\"],\n               \"readings\": [[1, 2, 3], 4, 7], "
       "\"closing\": 2.5},\n       \"edge\": {\"touches\": \"+X face\", \"from_corner\": [\"20 "
       "mm\", \"100 mm\", \"190 mm\"],\n                \"readings\": \"0 -3 -5\"}}]",
       "\"settings\": []"}},
     "f:14:57: error: there is no setting of the square [stations-few]\n"
     "    at /checks/0/settings"},
    {{{"\"closing\": 2.5", "\"closing\": 2.5, \"turned\": 1"}},
     "f:17:63: error: unknown key \"turned\" [key-unknown]\n"
     "    at /checks/0/settings/0/leg/turned\n"
     "    hint: known here: \"unit\", \"pressed_reads\", \"touches\", \"from_corner\", "
     "\"readings\", \"closing\""},
    {{{"\"gauge_length\": \"140 mm\"", "\"gauge_length\": \"-1 mm\""}},
     "f:13:74: error: \"-1 mm\" is out of range: it must be more than 0 mm and at most "
     "100000 mm [value-range]\n"
     "    at /checks/0/gauge_length"},
    {{{"\"300 mm\", \"250 mm\"", "\"300 mm\""}},
     "f:15:18: error: expected an array of 2 lengths, found one of 1 [field-kind]\n"
     "    at /checks/0/settings/0/corner"},
};

} // namespace

BOOST_DATA_TEST_CASE(what_is_said, boost::unit_test::data::make(cases)) {
    BOOST_TEST(said(changed(base, sample.changes)) == sample.expected);
}

BOOST_AUTO_TEST_CASE(all_ids_are_among_them) {
    const std::set<std::string> ids = {"date-future",
                                       "field-kind",
                                       "instrument-unknown",
                                       "key-missing",
                                       "key-unknown",
                                       "outside-square",
                                       "outside-travel",
                                       "readings-count",
                                       "readings-size",
                                       "station-twice",
                                       "stations-few",
                                       "unit-missing",
                                       "unit-wrong",
                                       "value-range",
                                       "word-unknown"};
    BOOST_TEST(ids_in(cases) == ids, tt::per_element());
}

BOOST_AUTO_TEST_SUITE_END()
