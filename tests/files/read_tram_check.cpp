// SPDX-License-Identifier: MIT
// Sweeps in machine files: SI numbers by hand; the sign of each side; what is wrong, with its
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
    {"id": "T", "kind": "tram", "date": "2025-04-01", "indicator": "I", "against": "block",
     "place": ["200 mm", "150 mm"], "height": "30 mm", "gauge_length": "140 mm",
     "sweep_diameter": "250 mm", "angles": ["0°", "90°", "180°", "270°"],
     "unit": "µm", "pressed_reads": "plus", "readings": "12 -5 -8 7", "closing": 11}
  ]
}
)";

} // namespace

BOOST_AUTO_TEST_SUITE(reading_trams)

BOOST_AUTO_TEST_CASE(every_key) {
    auto shop = read(base);
    BOOST_REQUIRE(shop.tram_checks.size() == 1U);
    auto check = shop.tram_checks[0];
    const auto close = tt::tolerance(1e-12);
    BOOST_TEST(check.name == "T");
    BOOST_TEST((check.date == parse_date("2025-04-01")));
    BOOST_TEST(check.indicator == "I");
    BOOST_TEST((check.against == SweptSurface::block));
    BOOST_TEST(check.place.x() == 0.2, close);
    BOOST_TEST(check.place.y() == 0.15, close);
    BOOST_TEST(check.place.z() == 0.03 + 0.14 - 0.45, close);
    BOOST_TEST(check.gauge_length == 0.14, close);
    BOOST_TEST(check.sweep_diameter == 0.25, close);
    BOOST_TEST(!check.diameter_doubt);
    BOOST_TEST(!check.low_spot);
    BOOST_TEST(!check.both_ways);
    BOOST_REQUIRE(check.angles.size() == 4U);
    BOOST_TEST(check.angles[3] == 270 * degree, close);
    BOOST_REQUIRE(check.readings.size() == 4U);
    BOOST_TEST(check.readings[0] == 12e-6, close); // pressed in is plus: the surface is high
    BOOST_TEST(check.readings[2] == -8e-6, close);
    BOOST_TEST(check.closing.value() == 11e-6, close);
    BOOST_TEST(check.repeats.empty());
    BOOST_TEST(shop.notes.empty());
    shop = read(
        changed(base,
                {{"\"block\"", "\"table\""},
                 {"\"height\": \"30 mm\", \"gauge_length\": \"140 mm\"",
                  "\"gauge_length\": \"160 mm\", \"diameter_doubt\": \"2 mm\", "
                  "\"low_spot\": \"4 µm\", \"swept\": \"both ways\""},
                 {"\"plus\"", "\"minus\""},
                 {"\"12 -5 -8 7\"", "[[12, 13, 11], [-5, -5, -6], [-8, -9, -8], [7, 8, 7]]"}}));
    check = shop.tram_checks[0];
    BOOST_TEST((check.against == SweptSurface::table));
    BOOST_TEST(check.place.z() == 0.16 - 0.45, close); // on the table itself
    BOOST_TEST(check.diameter_doubt.value() == 2e-3, close);
    BOOST_TEST(check.low_spot.value() == 4e-6, close);
    BOOST_TEST(check.both_ways);
    BOOST_TEST(check.readings[0] == -12e-6, close);
    BOOST_TEST(check.closing.value() == -11e-6, close);
    BOOST_TEST(check.repeats[1] == 3);
    BOOST_TEST(check.spread[0] == 1e-6, close);
}

namespace {

const Changed cases[] = {
    {{{"\"indicator\": \"I\"", "\"indicator\": \"J\""}, {"\"2025-04-01\"", "\"2027-04-01\""}},
     "f:11:41: error: 2027-04-01 is yet to come [date-future]\n"
     "    at /checks/0/date\n"
     "    hint: today is 2025-05-01\n"
     "f:11:68: error: no indicator among the instruments has the id \"J\" [instrument-unknown]\n"
     "    at /checks/0/indicator"},
    {{{"\"block\"", "\"blok\""}, {"\"sweep_diameter\": \"250 mm\", ", ""}},
     "f:11:5: error: the key \"sweep_diameter\" is missing [key-missing]\n"
     "    at /checks/0\n"
     "f:11:84: error: unknown word \"blok\" [word-unknown]\n"
     "    at /checks/0/against\n"
     "    hint: did you mean \"block\"?"},
    {{{"\"height\": \"30 mm\", ", ""}},
     "f:11:5: error: the key \"height\" is missing [key-missing]\n"
     "    at /checks/0"},
    {{{"\"height\": \"30 mm\"", "\"height\": \"0 mm\""}, {"\"140 mm\"", "\"460 mm\""}},
     "f:12:47: error: \"0 mm\" is outside the travel of Z: Z = 10 mm is not from -300 to 0 "
     "[outside-travel]\n"
     "    at /checks/0/height\n"
     "    hint: Z = height above the table + gauge_length - nose_to_table"},
    {{{"\"200 mm\", \"150 mm\"", "\"500 mm\", \"150 mm\""}},
     "f:12:16: error: \"500 mm\" is outside the travel of X: X = 500 mm is not from 0 to 400 "
     "[outside-travel]\n"
     "    at /checks/0/place/0"},
    {{{"\"200 mm\", \"150 mm\"", "\"100 mm\", \"150 mm\""}},
     "f:13:45: error: \"0°\" is outside the travel of X: X = -25 mm is not from 0 to 400 "
     "[outside-travel]\n"
     "    at /checks/0/angles/0"},
    {{{"\"270°\"", "\"360°\""}, {"\"90°\"", "\"90 mm\""}},
     "f:13:51: error: \"90 mm\" is not an angle or slope, as in \"20 arcsec\" or \"0.0005 in/ft\" "
     "[unit-wrong]\n"
     "    at /checks/0/angles/1\n"
     "    hint: a slope needs its length: write \"0.0005 in/ft\" or \"0.02 mm/300mm\""},
    {{{"\"270°\"", "\"360°\""}},
     "f:13:66: error: angle 4 is where angle 1 is [station-twice]\n"
     "    at /checks/0/angles/3\n"
     "    hint: the first angle read again at the end is \"closing\"; repeats stand together: [[0, "
     "0.5, 0], ...]"},
    {{{"[\"0°\", \"90°\", \"180°\", \"270°\"]", "[\"0°\", \"90°\"]"},
      {"\"12 -5 -8 7\"", "\"12 -5\""}},
     "f:13:44: error: fewer than three angles show no tilt [stations-few]\n"
     "    at /checks/0/angles\n"
     "    hint: take four, or eight: every 90° or 45°"},
    {{{"\"12 -5 -8 7\"", "\"12 -5 -8\""}},
     "f:14:57: error: 3 readings for 4 angles [readings-count]\n"
     "    at /checks/0/readings\n"
     "    hint: each station has its reading, in the same order"},
    {{{"\"12 -5 -8 7\"", "\"1200 -5 -8 7\""}},
     "f:14:57: error: the readings differ by 4.8 mm/m, more than 10 times the figure of the class "
     "\"entry vmc\" [readings-size]\n"
     "    at /checks/0/readings\n"
     "    hint: is the unit right (µm meant)? or does the class flatter the machine?"},
    {{{"\"unit\": \"µm\", ", ""}},
     "f:14:43: error: the readings are numbers without a unit [unit-missing]\n"
     "    at /checks/0/readings\n"
     "    hint: write \"unit\" beside them, as in \"0.0001 in\" or \"µm\""},
    {{{"\"pressed_reads\": \"plus\", ", ""}},
     "f:11:5: error: the key \"pressed_reads\" is missing [key-missing]\n"
     "    at /checks/0"},
    {{{"\"closing\": 11", "\"closing\": 11, \"swept\": \"twice\", \"swepd\": 1"}},
     "f:14:95: error: unknown word \"twice\" [word-unknown]\n"
     "    at /checks/0/swept\n"
     "    hint: known here: \"one way\", \"both ways\"\n"
     "f:14:104: error: unknown key \"swepd\" [key-unknown]\n"
     "    at /checks/0/swepd\n"
     "    hint: known here: \"id\", \"kind\", \"room\", \"date\", \"indicator\", \"against\", "
     "\"place\", "
     "\"height\", \"gauge_length\", \"sweep_diameter\", \"diameter_doubt\", \"low_spot\", "
     "\"swept\", \"angles\", \"unit\", \"pressed_reads\", \"readings\", \"closing\""},
    {{{"\"closing\": 11",
       "\"closing\": 11, \"diameter_doubt\": \"30 mm\", \"low_spot\": \"2 mm\""}},
     "f:14:104: error: \"30 mm\" is out of range: it must be more than 0 mm and at most 25 mm "
     "[value-range]\n"
     "    at /checks/0/diameter_doubt\n"
     "f:14:125: error: \"2 mm\" is out of range: it must be more than 0 mm and at most 1 mm "
     "[value-range]\n"
     "    at /checks/0/low_spot"},
    {{{"\"12 -5 -8 7\"", "[[12, 12], [-5, -5], [-8, -8], [7, 8]]"}},
     "f:14: all repeats are the same: their spread hides behind the last digit, and is not taken "
     "as zero\n"
     "f:14: all repeats are the same: their spread hides behind the last digit, and is not taken "
     "as zero\n"
     "f:14: all repeats are the same: their spread hides behind the last digit, and is not taken "
     "as zero\n"
     "f:14: two repeats tell little of a spread: take three or more"},
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
