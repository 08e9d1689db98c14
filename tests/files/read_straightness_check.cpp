// SPDX-License-Identifier: MIT
// Straightness by straightedge in machine files: SI numbers by hand; the sign of each face; what is
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
    {"id": "E", "kind": "straightedge", "length": "500 mm", "form": "4 µm",
     "certificate": {"number": "17", "date": "2024-06-01", "due": "2026-06-01"}}],
  "checks": [
    {"id": "S", "kind": "straightness", "date": "2025-04-01", "axis": "X", "direction": "Z",
     "straightedge": "E", "indicator": "I", "place": {"Y": "100 mm", "Z": "-200 mm"},
     "gauge_length": "140 mm", "marked_end": "390 mm", "sag": "1 µm",
     "stations": ["50 mm", "200 mm", "350 mm"],
     "unit": "µm", "pressed_reads": "plus", "settings": [
      {"touches": "+Z face", "readings": [[1, 2, 3], 4, 7], "closing": 2.5},
      {"touches": "-Z face", "readings": "0 -3 -5"}]}
  ]
}
)";

} // namespace

BOOST_AUTO_TEST_SUITE(reading_straightness)

BOOST_AUTO_TEST_CASE(every_key) {
    const auto shop = read(base);
    const auto close = tt::tolerance(1e-12);
    BOOST_REQUIRE(shop.straightedges.size() == 1U);
    const auto& edge = shop.straightedges[0];
    BOOST_TEST(edge.name == "E");
    BOOST_TEST(edge.length == 0.5, close);
    BOOST_TEST(edge.form == 4e-6, close);
    BOOST_TEST((edge.form_evidence == Evidence::certificate));
    BOOST_TEST(edge.certificate->reference == "17");
    BOOST_REQUIRE(shop.straightness_checks.size() == 1U);
    const auto& check = shop.straightness_checks[0];
    BOOST_TEST(check.name == "S");
    BOOST_TEST((check.date == parse_date("2025-04-01")));
    BOOST_TEST((check.axis == Axis::x));
    BOOST_TEST((check.direction == Axis::z));
    BOOST_TEST(check.straightedge == "E");
    BOOST_TEST(check.indicator == "I");
    BOOST_TEST(check.place.y() == 0.1, close);
    BOOST_TEST(check.place.z() == -0.2, close);
    BOOST_TEST(check.gauge_length == 0.14, close);
    BOOST_TEST(check.marked_end == 0.39, close);
    BOOST_TEST(check.sag.value() == 1e-6, close);
    BOOST_REQUIRE(check.stations.size() == 3U);
    BOOST_TEST(check.stations[2] == 0.35, close);
    BOOST_REQUIRE(check.settings.size() == 2U);
    const auto& up = check.settings[0];
    BOOST_TEST(up.faces_plus);
    BOOST_TEST(up.readings[0] == 2e-6, close); // pressed in on top: the surface is high
    BOOST_TEST(up.spread[0] == 1e-6, close);
    BOOST_TEST(up.repeats[0] == 3);
    BOOST_TEST(up.closing.value() == 2.5e-6, close);
    const auto& down = check.settings[1];
    BOOST_TEST(!down.faces_plus);
    BOOST_TEST(down.readings[1] == 3e-6, close); // from below it is low
    BOOST_TEST(down.repeats.empty());
    BOOST_TEST(!down.closing);
    BOOST_TEST(shop.notes.empty());
}

BOOST_AUTO_TEST_CASE(what_may_be_left_out) {
    const auto shop = read(changed(base,
                                   {{", \"form\": \"4 µm\",\n     \"certificate\": {\"number\": "
                                     "\"17\", \"date\": \"2024-06-01\", \"due\": \"2026-06-01\"}",
                                     ""},
                                    {", \"sag\": \"1 µm\"", ""},
                                    {"\"place\": {\"Y\": \"100 mm\", \"Z\": \"-200 mm\"},", ""}}));
    BOOST_TEST(shop.straightedges[0].form == 5e-6, tt::tolerance(1e-12)); // 10 µm/m
    BOOST_TEST((shop.straightedges[0].form_evidence == Evidence::typical));
    BOOST_TEST(!shop.straightness_checks[0].sag);
    BOOST_TEST(shop.straightness_checks[0].place.z() == -0.15, tt::tolerance(1e-12));
    const auto stated = read(changed(base,
                                     {{",\n     \"certificate\": {\"number\": \"17\", \"date\": "
                                       "\"2024-06-01\", \"due\": \"2026-06-01\"}",
                                       ""}}));
    BOOST_TEST((stated.straightedges[0].form_evidence == Evidence::specification));
}

namespace {

const Changed cases[] = {
    {{{"\"straightedge\": \"E\"", "\"straightedge\": \"F\""},
      {"\"indicator\": \"I\", \"place\"", "\"indicator\": \"J\", \"place\""},
      {"\"2025-04-01\"", "\"2027-04-01\""}},
     "f:13:49: error: 2027-04-01 is yet to come [date-future]\n"
     "    at /checks/0/date\n"
     "    hint: today is 2025-05-01\n"
     "f:14:22: error: no straightedge among the instruments has the id \"F\" "
     "[instrument-unknown]\n"
     "    at /checks/0/straightedge\n"
     "f:14:40: error: no indicator among the instruments has the id \"J\" "
     "[instrument-unknown]\n"
     "    at /checks/0/indicator"},
    {{{"\"direction\": \"Z\"", "\"direction\": \"X\""}},
     "f:13:89: error: how far an axis goes along itself is its positioning [direction-own]\n"
     "    at /checks/0/direction\n"
     "    hint: straightness is read across the moving axis\n"
     "f:18:19: error: unknown word \"+Z face\" [word-unknown]\n"
     "    at /checks/0/settings/0/touches\n"
     "    hint: did you mean \"+X face\"?\n"
     "f:19:19: error: unknown word \"-Z face\" [word-unknown]\n"
     "    at /checks/0/settings/1/touches\n"
     "    hint: did you mean \"-X face\"?"},
    {{{"\"axis\": \"X\"", "\"axis\": \"W\""}},
     "f:13:71: error: unknown word \"W\" [word-unknown]\n"
     "    at /checks/0/axis\n"
     "    hint: known here: \"X\", \"Y\", \"Z\""},
    {{{"\"marked_end\": \"390 mm\", ", ""}},
     "f:13:5: error: the key \"marked_end\" is missing [key-missing]\n"
     "    at /checks/0"},
    {{{"\"marked_end\": \"390 mm\"", "\"marked_end\": \"100 mm\""}},
     "f:15:46: error: the marked end lies between the stations [outside-straightedge]\n"
     "    at /checks/0/marked_end\n"
     "    hint: it is where the moving axis has the tip over that end"},
    {{{"\"length\": \"500 mm\"", "\"length\": \"300 mm\""}},
     "f:15:46: error: the stations reach beyond the straightedge \"E\" "
     "[outside-straightedge]\n"
     "    at /checks/0/marked_end\n"
     "    hint: its \"length\" counts from the marked end"},
    {{{"\"50 mm\"", "\"-50 mm\""}, {"\"-200 mm\"", "\"-400 mm\""}},
     "f:14:75: error: \"-400 mm\" is outside the travel of Z: Z = -400 mm is not from -300 "
     "to 0 [outside-travel]\n"
     "    at /checks/0/place/Z\n"
     "    hint: Z = height above the table + gauge_length - nose_to_table\n"
     "f:16:19: error: \"-50 mm\" is outside the travel of X: X = -50 mm is not from 0 to "
     "400 [outside-travel]\n"
     "    at /checks/0/stations/0"},
    {{{"\"200 mm\", \"350 mm\"", "\"50 mm\", \"350 mm\""}},
     "f:16:28: error: station 2 is where station 1 is [station-twice]\n"
     "    at /checks/0/stations/1\n"
     "    hint: a station is read once; its repeats stand together: [[0, 0.5, 0], ...]"},
    {{{"\"50 mm\", \"200 mm\", \"350 mm\"", "\"50 mm\", \"350 mm\""}},
     "f:16:18: error: fewer than three stations show no form [stations-few]\n"
     "    at /checks/0/stations\n"
     "    hint: take three or more, better five\n"
     "f:18:42: error: 3 readings for 2 stations [readings-count]\n"
     "    at /checks/0/settings/0/readings\n"
     "    hint: each station has its reading, in the same order\n"
     "f:19:42: error: 3 readings for 2 stations [readings-count]\n"
     "    at /checks/0/settings/1/readings\n"
     "    hint: each station has its reading, in the same order"},
    {{{"\"-Z face\"", "\"-Y face\""}},
     "f:19:19: error: unknown word \"-Y face\" [word-unknown]\n"
     "    at /checks/0/settings/1/touches\n"
     "    hint: did you mean \"-Z face\"?"},
    {{{"\"0 -3 -5\"", "\"0 -3\""}},
     "f:19:42: error: 2 readings for 3 stations [readings-count]\n"
     "    at /checks/0/settings/1/readings\n"
     "    hint: each station has its reading, in the same order"},
    {{{"\"0 -3 -5\"", "\"0 -300 -5\""}},
     "f:19:42: error: the readings differ by 0.99 mm/m, more than 10 times the figure of "
     "the class \"entry vmc\" [readings-size]\n"
     "    at /checks/0/settings/1/readings\n"
     "    hint: is the unit right (µm meant)? or does the class flatter the machine?"},
    {{{"\"unit\": \"µm\", ", ""}},
     "f:18:43: error: the readings are numbers without a unit [unit-missing]\n"
     "    at /checks/0/settings/0/readings/0\n"
     "    hint: write \"unit\" beside them, as in \"0.0001 in\" or \"µm\"\n"
     "f:19:42: error: the readings are numbers without a unit [unit-missing]\n"
     "    at /checks/0/settings/1/readings\n"
     "    hint: write \"unit\" beside them, as in \"0.0001 in\" or \"µm\""},
    {{{"\"sag\": \"1 µm\"", "\"sag\": \"0 mm\""},
      {"\"gauge_length\": \"140 mm\"", "\"gauge_length\": \"140 arcsec\""}},
     "f:15:22: error: \"140 arcsec\" is not a length, as in \"0.25 mm\" or \"0.0100 in\" "
     "[unit-wrong]\n"
     "    at /checks/0/gauge_length\n"
     "f:15:67: error: \"0 mm\" is out of range: it must be more than 0 mm and at most 1 mm "
     "[value-range]\n"
     "    at /checks/0/sag"},
    {{{"\"form\": \"4 µm\",\n", "\n"}},
     "f:11:21: error: the straightedge has a certificate and no \"form\" [key-missing]\n"
     "    at /instruments/1/certificate\n"
     "    hint: write the straightness it was found to have"},
    {{{"\"settings\": [\n      {\"touches\": \"+Z face\", \"readings\": [[1, 2, 3], 4, 7], "
       "\"closing\": 2.5},\n      {\"touches\": \"-Z face\", \"readings\": \"0 -3 -5\"}]",
       "\"settings\": []"}},
     "f:17:57: error: there is no setting of the straightedge [stations-few]\n"
     "    at /checks/0/settings"},
    {{{"\"closing\": 2.5", "\"closing\": 2.5, \"turned\": 1"}},
     "f:18:77: error: unknown key \"turned\" [key-unknown]\n"
     "    at /checks/0/settings/0/turned\n"
     "    hint: known here: \"unit\", \"pressed_reads\", \"touches\", \"readings\", \"closing\""},
};

} // namespace

BOOST_DATA_TEST_CASE(what_is_said, boost::unit_test::data::make(cases)) {
    BOOST_TEST(said(changed(base, sample.changes)) == sample.expected);
}

BOOST_AUTO_TEST_CASE(all_ids_are_among_them) {
    const std::set<std::string> ids = {"date-future",
                                       "direction-own",
                                       "instrument-unknown",
                                       "key-missing",
                                       "key-unknown",
                                       "outside-straightedge",
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
