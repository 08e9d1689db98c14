// SPDX-License-Identifier: MIT
// Test bars in machine files: SI numbers by hand; the sign of each side; what is wrong, with its
// place. Tolerance 1e-12 relative: some roundings of a double. The wording of the diagnostics is
// recorded from the program after reading it.
#include "files/machine_text.hpp"

#include <boost/test/data/test_case.hpp>
#include <boost/test/unit_test.hpp>

#include <numbers>
#include <string>

using namespace holdable;
namespace tt = boost::test_tools;

namespace {

constexpr double degree = std::numbers::pi / 180;

const std::string base = mill + R"(
  "instruments": [{"id": "I", "kind": "indicator", "resolution": "2 µm"}],
  "checks": [
    {"id": "B", "kind": "test bar", "date": "2025-04-01", "plane": "XZ", "indicator": "I",
     "touches": "+X face", "place": ["200 mm", "150 mm"], "height": "100 mm",
     "bar_length": "300 mm", "stations": ["-290 mm", "-200 mm", "-60 mm"],
     "unit": "µm", "pressed_reads": "plus", "settings": [
       {"turned": "0°", "readings": "0 2 5", "closing": 1},
       {"turned": "180°", "readings": [[0, 1, 0], [-1, -1, -2], [-3, -3, -2]]}]}
  ]
}
)";

} // namespace

BOOST_AUTO_TEST_SUITE(reading_test_bars)

BOOST_AUTO_TEST_CASE(every_key) {
    auto shop = read(base);
    BOOST_REQUIRE(shop.test_bar_checks.size() == 1U);
    auto check = shop.test_bar_checks[0];
    const auto close = tt::tolerance(1e-12);
    BOOST_TEST(check.name == "B");
    BOOST_TEST((check.date == parse_date("2025-04-01")));
    BOOST_TEST((check.across == Axis::x));
    BOOST_TEST(check.indicator == "I");
    BOOST_TEST(check.on_plus_face);
    BOOST_TEST(check.x == 0.2, close);
    BOOST_TEST(check.y == 0.15, close);
    BOOST_TEST(check.height == 0.1, close);
    BOOST_TEST(!check.bar_form);
    BOOST_REQUIRE(check.stations.size() == 3U);
    BOOST_TEST(check.stations[1] == -0.2, close);
    BOOST_REQUIRE(check.settings.size() == 2U);
    BOOST_TEST(check.settings[0].turned == 0);
    BOOST_TEST(check.settings[1].turned == 180 * degree, close);
    BOOST_TEST(check.settings[0].readings[2] == 5e-6, close); // the bar moved to +X presses the tip
    BOOST_TEST(check.settings[0].closing.value() == 1e-6, close);
    BOOST_TEST(check.settings[0].repeats.empty());
    BOOST_TEST(!check.settings[1].closing);
    BOOST_TEST(check.settings[1].repeats[2] == 3);
    BOOST_TEST(check.settings[1].readings[2] == -8e-6 / 3, close);
    BOOST_TEST(shop.notes.empty());
    shop = read(changed(base,
                        {{"\"XZ\"", "\"ZY\""},
                         {"\"+X face\"", "\"-Y face\""},
                         {"\"bar_length\"", "\"bar_form\": \"1 µm\", \"bar_length\""},
                         {"\"turned\": \"180°\"",
                          "\"turned\": \"180°\", \"pressed_reads\": \"minus\", "
                          "\"unit\": \"2 µm\""}}));
    check = shop.test_bar_checks[0];
    BOOST_TEST((check.across == Axis::y));
    BOOST_TEST(!check.on_plus_face);
    BOOST_TEST(check.bar_form.value() == 1e-6, close);
    BOOST_TEST(check.settings[0].readings[2] == -5e-6, close); // pressed in on the - side: to -Y
    BOOST_TEST(check.settings[0].closing.value() == -1e-6, close);
    BOOST_TEST(check.settings[1].readings[2] == 2 * -8e-6 / 3, close); // both turned
}

namespace {

const Changed cases[] = {
    {{{"\"indicator\": \"I\"", "\"indicator\": \"J\""},
      {"\"2025-04-01\"", "\"2027-04-01\""},
      {"\"XZ\"", "\"XY\""}},
     "f:11:45: error: 2027-04-01 is yet to come [date-future]\n"
     "    at /checks/0/date\n"
     "    hint: today is 2025-05-01\n"
     "f:11:68: error: unknown word \"XY\" [word-unknown]\n"
     "    at /checks/0/plane\n"
     "    hint: did you mean \"XZ\"?\n"
     "f:11:87: error: no indicator among the instruments has the id \"J\" [instrument-unknown]\n"
     "    at /checks/0/indicator"},
    {{{"\"+X face\"", "\"+Y face\""}, {"\"height\": \"100 mm\",", ""}},
     "f:11:5: error: the key \"height\" is missing [key-missing]\n"
     "    at /checks/0\n"
     "f:12:17: error: unknown word \"+Y face\" [word-unknown]\n"
     "    at /checks/0/touches\n"
     "    hint: did you mean \"+X face\"?"},
    {{{"\"200 mm\", \"150 mm\"", "\"500 mm\", \"150 mm\""}},
     "f:12:38: error: \"500 mm\" is outside the travel of X: X = 500 mm is not from 0 to 400 "
     "[outside-travel]\n"
     "    at /checks/0/place/0"},
    {{{"\"height\": \"100 mm\"", "\"height\": \"200 mm\""}, {"\"-60 mm\"", "\"-10 mm\""}},
     "f:13:43: error: at \"-290 mm\" the indicator is -40 mm below the nose, not on the bar "
     "[outside-bar]\n"
     "    at /checks/0/stations/0\n"
     "    hint: distance from the nose = Z + nose_to_table - height"},
    {{{"\"bar_length\": \"300 mm\"", "\"bar_length\": \"250 mm\""}},
     "f:13:65: error: at \"-60 mm\" the indicator is 290 mm below the nose, not on the bar "
     "[outside-bar]\n"
     "    at /checks/0/stations/2\n"
     "    hint: distance from the nose = Z + nose_to_table - height"},
    {{{"\"height\": \"100 mm\"", "\"height\": \"170 mm\""}},
     "f:13:43: error: at \"-290 mm\" the indicator is -10 mm below the nose, not on the bar "
     "[outside-bar]\n"
     "    at /checks/0/stations/0\n"
     "    hint: distance from the nose = Z + nose_to_table - height"},
    {{{"\"-60 mm\"", "\"10 mm\""}},
     "f:13:65: error: \"10 mm\" is outside the travel of Z: Z = 10 mm is not from -300 to 0 "
     "[outside-travel]\n"
     "    at /checks/0/stations/2\n"
     "    hint: Z = height above the table + gauge_length - nose_to_table"},
    {{{"\"-200 mm\"", "\"-290 mm\""}},
     "f:13:54: error: station 2 is where station 1 is [station-twice]\n"
     "    at /checks/0/stations/1\n"
     "    hint: a station is read once; its repeats stand together: [[0, 0.5, 0], "
     "...]"},
    {{{"[\"-290 mm\", \"-200 mm\", \"-60 mm\"]", "[\"-290 mm\", \"-200 mm\"]"},
      {"\"0 2 5\"", "\"0 2\""},
      {"[[0, 1, 0], [-1, -1, -2], [-3, -3, -2]]", "\"0 1\""}},
     "f:13:42: error: fewer than three stations show no form [stations-few]\n"
     "    at /checks/0/stations\n"
     "    hint: take three or more, better five"},
    {{{"\"0 2 5\"", "\"0 2\""}},
     "f:15:37: error: 2 readings for 3 stations [readings-count]\n"
     "    at /checks/0/settings/0/readings\n"
     "    hint: each station has its reading, in the same order"},
    {{{"\"0 2 5\"", "\"0 2 500\""}},
     "f:15:37: error: the readings differ by 2.2 mm/m, more than 10 times the figure of the class "
     "\"entry vmc\" [readings-size]\n"
     "    at /checks/0/settings/0/readings\n"
     "    hint: is the unit right (µm meant)? or does the class flatter the machine?"},
    {{{"\"turned\": \"0°\", ", ""}},
     "f:15:8: error: the key \"turned\" is missing [key-missing]\n"
     "    at /checks/0/settings/0"},
    {{{"\"unit\": \"µm\", ", ""}},
     "f:15:37: error: the readings are numbers without a unit [unit-missing]\n"
     "    at /checks/0/settings/0/readings\n"
     "    hint: write \"unit\" beside them, as in \"0.0001 in\" or \"µm\"\n"
     "f:16:40: error: the readings are numbers without a unit [unit-missing]\n"
     "    at /checks/0/settings/1/readings/0\n"
     "    hint: write \"unit\" beside them, as in \"0.0001 in\" or \"µm\""},
    {{{"\"pressed_reads\": \"plus\", ", ""}},
     "f:15:8: error: the key \"pressed_reads\" is missing [key-missing]\n"
     "    at /checks/0/settings/0\n"
     "f:16:8: error: the key \"pressed_reads\" is missing [key-missing]\n"
     "    at /checks/0/settings/1"},
    {{{"\"settings\": [", "\"settings\": [], \"setings\": ["}},
     "f:14:6: error: unknown key \"unit\" [key-unknown]\n"
     "    at /checks/0/unit\n"
     "    hint: known here: \"id\", \"kind\", \"room\", \"date\", \"plane\", \"indicator\", "
     "\"touches\", "
     "\"place\", \"height\", \"bar_length\", \"bar_form\", \"stations\", \"settings\"\n"
     "f:14:20: error: unknown key \"pressed_reads\" [key-unknown]\n"
     "    at /checks/0/pressed_reads\n"
     "    hint: known here: \"id\", \"kind\", \"room\", \"date\", \"plane\", \"indicator\", "
     "\"touches\", "
     "\"place\", \"height\", \"bar_length\", \"bar_form\", \"stations\", \"settings\"\n"
     "f:14:57: error: there is no setting of the bar [stations-few]\n"
     "    at /checks/0/settings\n"
     "f:14:61: error: unknown key \"setings\" [key-unknown]\n"
     "    at /checks/0/setings\n"
     "    hint: known here: \"id\", \"kind\", \"room\", \"date\", \"plane\", \"indicator\", "
     "\"touches\", "
     "\"place\", \"height\", \"bar_length\", \"bar_form\", \"stations\", \"settings\""},
    {{{"[[0, 1, 0], [-1, -1, -2], [-3, -3, -2]]", "\"0 2 5\""}},
     "f:16: the very readings stand in the file before: one run entered twice?"},
    {{{"\"bar_length\"", "\"bar_form\": \"0 µm\", \"bar_length\""}},
     "f:13:18: error: \"0 µm\" is out of range: it must be more than 0 µm and at most 1000 µm "
     "[value-range]\n"
     "    at /checks/0/bar_form"},
};

} // namespace

BOOST_DATA_TEST_CASE(what_is_said, boost::unit_test::data::make(cases)) {
    BOOST_TEST(said(changed(base, sample.changes)) == sample.expected);
}

BOOST_AUTO_TEST_CASE(all_ids_are_among_them) {
    const std::set<std::string> ids = {"date-future",
                                       "instrument-unknown",
                                       "key-missing",
                                       "key-unknown",
                                       "outside-bar",
                                       "outside-travel",
                                       "readings-count",
                                       "readings-size",
                                       "station-twice",
                                       "stations-few",
                                       "unit-missing",
                                       "value-range",
                                       "word-unknown"};
    BOOST_TEST(ids_in(cases) == ids, tt::per_element());
}

BOOST_AUTO_TEST_SUITE_END()
