// SPDX-License-Identifier: MIT
// Circle traces in machine files: SI numbers by hand; the sign of the needle; every way to write
// angles; what is wrong, with its place. Tolerance 1e-12 relative: some roundings of a double. The
// wording of the diagnostics is recorded from the program after reading it.
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
  "instruments": [{"id": "I", "kind": "indicator", "resolution": "1 µm"}],
  "checks": [
    {"id": "C", "kind": "circle", "date": "2025-04-01", "trace": "link", "indicator": "I",
     "centre": {"X": "200 mm", "Y": "150 mm"}, "radius": "100 mm", "gauge_length": "120 mm",
     "feed": "600 mm/min", "stations": ["22.5°", "67.5°", "112.5°", "157.5°", "202.5°", "247.5°", "292.5°", "337.5°"],
     "lead": "5 mm", "scale_material": "ball-screw steel", "scale_temperature": "22 °C",
     "outward_reads": "plus", "unit": "µm",
     "runs": [
       {"direction": "counterclockwise", "readings": "1 2 3 4 5 6 7 8"},
       {"direction": "clockwise", "readings": "2 2 3 4 5 6 7 8"},
       {"direction": "counterclockwise", "readings": "1 2 3 4 5 6 7 9"},
       {"direction": "clockwise", "readings": "2 2 3 4 5 6 7 9"}]}
  ]
}
)";

const std::string angles = "[\"22.5°\", \"67.5°\", \"112.5°\", \"157.5°\", \"202.5°\", "
                           "\"247.5°\", \"292.5°\", \"337.5°\"]";

const std::string link_to_disc = "\"trace\": \"disc\"";

} // namespace

BOOST_AUTO_TEST_SUITE(reading_circles)

BOOST_AUTO_TEST_CASE(every_key) {
    const auto close = tt::tolerance(1e-12);
    auto shop = read(base);
    BOOST_TEST(shop.notes.empty());
    BOOST_REQUIRE(shop.circle_checks.size() == 1U);
    auto check = shop.circle_checks[0];
    BOOST_TEST(check.name == "C");
    BOOST_TEST((check.date == parse_date("2025-04-01")));
    BOOST_TEST((check.trace == CircleTrace::link));
    BOOST_TEST(check.indicator == "I");
    BOOST_TEST(check.centre.x() == 0.2, close);
    BOOST_TEST(check.centre.y() == 0.15, close);
    BOOST_TEST(check.centre.z() == -0.15, close); // its reference
    BOOST_TEST(check.radius == 0.1, close);
    BOOST_TEST(check.gauge_length == 0.12, close);
    BOOST_TEST(check.feed == 0.01, close);
    BOOST_REQUIRE(check.stations.size() == 8U);
    BOOST_TEST(check.stations[5] == 247.5 * degree, close);
    BOOST_TEST(check.lead.value() == 0.005, close);
    BOOST_TEST(check.scale_expansion == 11.5e-6, close);
    BOOST_TEST(check.scale_expansion_doubt == 1e-6, close);
    BOOST_TEST(check.scale_warmer[0] == 2, tt::tolerance(1e-9));
    BOOST_TEST(check.scale_warmer[1] == 2, tt::tolerance(1e-9));
    BOOST_TEST(!check.scale_doubt);
    BOOST_TEST(!check.thermometer);
    BOOST_TEST(!check.radius_doubt);
    BOOST_TEST(!check.two_lobed);
    BOOST_TEST(!check.closing);
    BOOST_REQUIRE(check.runs.size() == 4U);
    BOOST_TEST(check.runs[0].counterclockwise);
    BOOST_TEST(!check.runs[1].counterclockwise);
    BOOST_TEST(check.runs[0].readings[7] == 8e-6, close);
    check = read(changed(base,
                         {{"\"Y\": \"150 mm\"}", "\"Y\": \"150 mm\", \"Z\": \"-100 mm\"}"},
                          {"\"600 mm/min\"", "\"stopped\""},
                          {"\"lead\": \"5 mm\"", "\"lead\": \"none\""},
                          {"\"scale_temperature\": \"22 °C\"",
                           "\"scale_temperature\": {\"X\": \"23 °C\", \"Y\": \"68 °F\"}, "
                           "\"scale_doubt\": \"1 K\", \"thermometer\": \"0.18 Δ°F\", "
                           "\"radius_doubt\": \"2 µm\", \"two_lobed\": \"0 µm\", \"closing\": 3"},
                          {"\"plus\"", "\"minus\""}}))
                .circle_checks[0];
    BOOST_TEST(check.centre.z() == -0.1, close);
    BOOST_TEST(check.feed == 0);
    BOOST_TEST(!check.lead);
    BOOST_TEST(check.scale_warmer[0] == 3, tt::tolerance(1e-9));
    BOOST_TEST(std::abs(check.scale_warmer[1]) < 1e-9);
    BOOST_TEST(check.scale_doubt.value() == 1, close);
    BOOST_TEST(check.thermometer.value() == 0.1, close);
    BOOST_TEST(check.radius_doubt.value() == 2e-6, close);
    BOOST_TEST(check.two_lobed.value() == 0);
    BOOST_TEST(check.closing.value() == -3e-6, close);
    BOOST_TEST(check.runs[1].readings[7] == -8e-6, close);
}

BOOST_AUTO_TEST_CASE(every_key_of_a_disc) {
    const auto close = tt::tolerance(1e-12);
    const auto check =
        read(changed(base,
                     {{"\"trace\": \"link\"", link_to_disc},
                      {"\"outward_reads\"",
                       "\"spring_back\": \"1 µm\", \"surface\": \"0.5 µm\", \"outward_reads\""},
                      {"\"direction\": \"clockwise\", \"readings\": \"2 2 3 4 5 6 7 8\"",
                       "\"direction\": \"clockwise\", \"turned\": \"90°\", \"readings\": \"2 2 3 "
                       "4 5 6 7 8\""}}))
            .circle_checks[0];
    BOOST_TEST((check.trace == CircleTrace::disc));
    BOOST_TEST(check.spring_back.value() == 1e-6, close);
    BOOST_TEST(check.surface.value() == 0.5e-6, close);
    BOOST_TEST(check.runs[0].turned == 0);
    BOOST_TEST(check.runs[1].turned == 90 * degree, close);
}

BOOST_AUTO_TEST_CASE(angles_by_a_step) {
    const auto stations = [](const std::string& text) {
        return read(changed(base, {{angles, text}})).circle_checks[0].stations;
    };
    const auto close = tt::tolerance(1e-12);
    const auto round = stations("{\"first\": \"5°\", \"every\": \"45°\"}");
    BOOST_REQUIRE(round.size() == 8U);
    BOOST_TEST(round[0] == 5 * degree, close);
    BOOST_TEST(round[7] == 320 * degree, close);
    const auto over = stations("{\"first\": \"350°\", \"every\": \"45°\"}");
    BOOST_REQUIRE(over.size() == 8U);
    BOOST_TEST(over[1] == 35 * degree, tt::tolerance(1e-9));
    const auto arc = stations("{\"first\": \"10°\", \"every\": \"40°\", \"to\": \"290°\"}");
    BOOST_REQUIRE(arc.size() == 8U);
    BOOST_TEST(arc[7] == 290 * degree, close);
}

namespace {

const Changed cases[] = {
    {{{"\"2025-04-01\"", "\"2027-04-01\""}, {"\"indicator\": \"I\"", "\"indicator\": \"J\""}},
     "f:11:43: error: 2027-04-01 is yet to come [date-future]\n"
     "    at /checks/0/date\n"
     "    hint: today is 2025-05-01\n"
     "f:11:87: error: no indicator among the instruments has the id \"J\" [instrument-unknown]\n"
     "    at /checks/0/indicator"},
    {{{"\"trace\": \"link\"", "\"trace\": \"ball\""}},
     "f:11:66: error: unknown word \"ball\" [word-unknown]\n"
     "    at /checks/0/trace\n"
     "    hint: known here: \"link\", \"disc\""},
    {{{"\"trace\": \"link\", ", ""}},
     "f:11:5: error: the key \"trace\" is missing [key-missing]\n"
     "    at /checks/0"},
    {{{"\"centre\": {\"X\": \"200 mm\", \"Y\": \"150 mm\"}, ", ""}},
     "f:11:5: error: the key \"centre\" is missing [key-missing]\n"
     "    at /checks/0"},
    {{{"\"Y\": \"150 mm\"}", "\"Y\": \"350 mm\", \"Z\": \"50 mm\"}"}},
     "f:12:37: error: \"350 mm\" is outside the travel of Y: Y = 350 mm is not from 0 to 300 "
     "[outside-travel]\n"
     "    at /checks/0/centre/Y\n"
     "f:12:52: error: \"50 mm\" is outside the travel of Z: Z = 50 mm is not from -300 to 0 "
     "[outside-travel]\n"
     "    at /checks/0/centre/Z\n"
     "    hint: Z = height above the table + gauge_length - nose_to_table"},
    {{{"\"Y\": \"150 mm\"}", "\"Z\": \"-50 mm\"}"}},
     "f:12:16: error: the key \"Y\" is missing [key-missing]\n"
     "    at /checks/0/centre"},
    {{{"\"radius\": \"100 mm\"", "\"radius\": \"160 mm\""}},
     "f:12:58: error: \"160 mm\" is outside the travel of Y: Y = -10 mm is not from 0 to 300 "
     "[outside-travel]\n"
     "    at /checks/0/radius"},
    {{{"[\"22.5°\", \"67.5°\", \"112.5°\", \"157.5°\", \"202.5°\", \"247.5°\", \"292.5°\", "
       "\"337.5°\"]",
       "[\"0°\", \"13°\", \"26°\", \"39°\", \"52°\", \"65°\", \"78°\", \"90°\"]"},
      {"\"radius\": \"100 mm\"", "\"radius\": \"150 mm\""},
      {"\"X\": \"200 mm\"", "\"X\": \"0 mm\""}},
     "f:13: less than half a turn: centre and radius are hardly told from the errors"},
    {{{"[\"22.5°\", \"67.5°\", \"112.5°\", \"157.5°\", \"202.5°\", \"247.5°\", \"292.5°\", "
       "\"337.5°\"]",
       "[\"270°\", \"300°\", \"313°\", \"326°\", \"339°\", \"0°\", \"10°\", \"20°\"]"},
      {"\"radius\": \"100 mm\"", "\"radius\": \"160 mm\""}},
     "f:12:58: error: \"160 mm\" is outside the travel of Y: Y = -10 mm is not from 0 to 300 "
     "[outside-travel]\n"
     "    at /checks/0/radius"},
    {{{"\"radius\": \"100 mm\"", "\"radius\": \"100\""}},
     "f:12:58: error: \"100\" has no unit [unit-missing]\n"
     "    at /checks/0/radius\n"
     "    hint: add one, as in \"0.0002 in\", \"12 µm\", \"68 °F\""},
    {{{"\"radius\": \"100 mm\"", "\"radius\": \"2 mm\""}, {"\"gauge_length\": \"120 mm\",", ""}},
     "f:11:5: error: the key \"gauge_length\" is missing [key-missing]\n"
     "    at /checks/0\n"
     "f:12:58: error: \"2 mm\" is out of range: it must be at least 5 mm and at most 10000 mm "
     "[value-range]\n"
     "    at /checks/0/radius"},
    {{{"\"feed\": \"600 mm/min\", ", ""}},
     "f:11:5: error: the key \"feed\" is missing [key-missing]\n"
     "    at /checks/0\n"
     "    hint: or \"stopped\": every reading was taken while the axes stood still"},
    {{{"\"feed\": \"600 mm/min\"", "\"feed\": \"600 mm\""}},
     "f:13:14: error: \"600 mm\" is not a speed, as in \"500 mm/min\" [unit-wrong]\n"
     "    at /checks/0/feed"},
    {{{"\"feed\": \"600 mm/min\"", "\"feed\": \"600000 mm/min\""}},
     "f:13:14: error: \"600000 mm/min\" is out of range: it must be at least 0.6 mm/min and at "
     "most 120000 mm/min [value-range]\n"
     "    at /checks/0/feed"},
    {{{"\"trace\": \"link\"", "\"trace\": \"disc\""},
      {"\"feed\": \"600 mm/min\"", "\"feed\": \"stopped\""}},
     "f:13:14: error: a disc is not cut at a standstill [word-unknown]\n"
     "    at /checks/0/feed"},
    {{{"\"67.5°\"", "\"22.6°\""}},
     "f:13:50: error: angle 2 is where angle 1 is [station-twice]\n"
     "    at /checks/0/stations/1\n"
     "    hint: 0° and 360° are one; another time round is another run"},
    {{{"\"22.5°\"", "\"0°\""}, {"\"337.5°\"", "\"360°\""}},
     "f:13:106: error: angle 8 is where angle 1 is [station-twice]\n"
     "    at /checks/0/stations/7\n"
     "    hint: 0° and 360° are one; another time round is another run"},
    {{{"\"67.5°\"", "\"427.5°\""}},
     "f:13:50: error: \"427.5°\" is out of range: it must be at least 0 ° and at most 360 ° "
     "[value-range]\n"
     "    at /checks/0/stations/1"},
    {{{"\"67.5°\"", "\"-292.5°\""}},
     "f:13:50: error: \"-292.5°\" is out of range: it must be at least 0 ° and at most 360 ° "
     "[value-range]\n"
     "    at /checks/0/stations/1"},
    {{{"\"67.5°\"", "67.5"}},
     "f:13:50: error: expected angle or slope, as in \"20 arcsec\" or \"0.0005 in/ft\", found the "
     "number 67.5 [field-kind]\n"
     "    at /checks/0/stations/1\n"
     "    hint: write it in quotes, with its unit"},
    {{{"\"22.5°\", ", ""}},
     "f:13:40: error: fewer than eight angles do not part squareness, scales and lost motion "
     "[stations-few]\n"
     "    at /checks/0/stations\n"
     "    hint: take every 10° or 15°, beginning half a step beside 0°"},
    {{{"[\"22.5°\", \"67.5°\", \"112.5°\", \"157.5°\", \"202.5°\", \"247.5°\", \"292.5°\", "
       "\"337.5°\"]",
       "{\"first\": \"10°\", \"every\": \"10°\", \"to\": \"80°\"}"}},
     "f:13:40: error: the angles cover less than a quarter of a turn [stations-few]\n"
     "    at /checks/0/stations\n"
     "    hint: so short an arc does not show where its centre is"},
    {{{"[\"22.5°\", \"67.5°\", \"112.5°\", \"157.5°\", \"202.5°\", \"247.5°\", \"292.5°\", "
       "\"337.5°\"]",
       "{\"first\": \"10°\", \"every\": \"15°\", \"to\": \"115°\"}"}},
     "f:13: less than half a turn: centre and radius are hardly told from the errors"},
    {{{"[\"22.5°\", \"67.5°\", \"112.5°\", \"157.5°\", \"202.5°\", \"247.5°\", \"292.5°\", "
       "\"337.5°\"]",
       "{\"first\": \"10°\", \"every\": \"0.5°\", \"upto\": \"90°\"}"}},
     "f:13:66: error: \"0.5°\" is out of range: it must be at least 1 ° and at most 90 ° "
     "[value-range]\n"
     "    at /checks/0/stations/every\n"
     "f:13:74: error: unknown key \"upto\" [key-unknown]\n"
     "    at /checks/0/stations/upto\n"
     "    hint: known here: \"first\", \"every\", \"to\""},
    {{{"[\"22.5°\", \"67.5°\", \"112.5°\", \"157.5°\", \"202.5°\", \"247.5°\", \"292.5°\", "
       "\"337.5°\"]",
       "{\"first\": \"100°\", \"every\": \"45°\", \"to\": \"90°\"}"}},
     "f:13:80: error: \"90°\" is out of range: it must be more than 100 ° and at most 360 ° "
     "[value-range]\n"
     "    at /checks/0/stations/to"},
    {{{"[\"22.5°\", \"67.5°\", \"112.5°\", \"157.5°\", \"202.5°\", \"247.5°\", \"292.5°\", "
       "\"337.5°\"]",
       "{\"every\": \"45°\"}"}},
     "f:13:40: error: the key \"first\" is missing [key-missing]\n"
     "    at /checks/0/stations"},
    {{{"[\"22.5°\", \"67.5°\", \"112.5°\", \"157.5°\", \"202.5°\", \"247.5°\", \"292.5°\", "
       "\"337.5°\"]",
       "\"every 45°\""}},
     "f:13:40: error: expected an array, found the string \"every 45°\" [field-kind]\n"
     "    at /checks/0/stations"},
    {{{"\"lead\": \"5 mm\", ", ""}},
     "f:11:5: error: the key \"lead\" is missing [key-missing]\n"
     "    at /checks/0\n"
     "    hint: or \"none\": no screw decides where the axis stands"},
    {{{"\"ball-screw steel\"", "\"iron\""}},
     "f:14:40: error: unknown material \"iron\" [material-unknown]\n"
     "    at /checks/0/scale_material\n"
     "    hint: known are \"gauge-block steel\", \"steel\", \"ball-screw steel\", \"grey iron\", "
     "\"ductile iron\", \"aluminium 6061\", \"aluminium 7075\", \"brass\", \"bronze\", \"titanium "
     "6-4\", \"stainless 304\", \"stainless 316\", \"stainless 410\", \"stainless 17-4\", \"black "
     "granite\", \"glass scale\", \"zirconia\", \"tungsten carbide\", \"low-expansion iron\""},
    {{{"\"scale_temperature\": \"22 °C\"", "\"scale_temperature\": {\"X\": \"22 °C\"}"}},
     "f:14:81: error: the key \"Y\" is missing [key-missing]\n"
     "    at /checks/0/scale_temperature"},
    {{{"\"scale_temperature\": \"22 °C\"", "\"scale_temperature\": \"22 K\""}},
     "f:14:81: error: \"22 K\" is not a temperature, as in \"20 °C\" or \"68 °F\" [unit-wrong]\n"
     "    at /checks/0/scale_temperature\n"
     "    hint: K and Δ°F are differences: write a temperature as \"20 °C\" or \"68 °F\""},
    {{{"\"outward_reads\": \"plus\", ", ""}},
     "f:11:5: error: the key \"outward_reads\" is missing [key-missing]\n"
     "    at /checks/0"},
    {{{"\"unit\": \"µm\",", ""}},
     "f:17:54: error: the readings are numbers without a unit [unit-missing]\n"
     "    at /checks/0/runs/0/readings\n"
     "    hint: write \"unit\" beside them, as in \"0.0001 in\" or \"µm\""},
    {{{"\"direction\": \"counterclockwise\"", "\"direction\": \"left\""}},
     "f:17:22: error: unknown word \"left\" [word-unknown]\n"
     "    at /checks/0/runs/0/direction\n"
     "    hint: known here: \"counterclockwise\", \"clockwise\""},
    {{{"\"1 2 3 4 5 6 7 8\"", "\"1 2 3 4 5 6 7\""}},
     "f:17:54: error: 7 readings for 8 angles [readings-count]\n"
     "    at /checks/0/runs/0/readings\n"
     "    hint: each angle has its reading, in the order of \"stations\", whichever way the axes "
     "went"},
    {{{"\"1 2 3 4 5 6 7 8\"", "\"1 2 3 4 5 6 7 x\""}},
     "f:17:69: error: \"x\" is not a number [readings-syntax]\n"
     "    at /checks/0/runs/0/readings\n"
     "    hint: in a string stand numbers alone, blank between, and the unit under \"unit\""},
    {{{"\"1 2 3 4 5 6 7 8\"", "\"1 2 3 4 900 6 7 8\""}},
     "f:17:54: error: the readings differ by 8.3 mm/m, more than 10 times the figure of the class "
     "\"entry vmc\" [readings-size]\n"
     "    at /checks/0/runs/0/readings\n"
     "    hint: is the unit right (µm meant)? or does the class flatter the machine?"},
    {{{"\"1 2 3 4 5 6 7 8\"", "\"2000 2000 0 0 -2000 -2000 0 0\""}},
     "f:17:54: error: the centre of the readings is off by 1.85 mm, more than 1 % of the radius "
     "[readings-size]\n"
     "    at /checks/0/runs/0/readings\n"
     "    hint: is the unit right (µm meant)? or set the centre better and read again"},
    {{{"\"runs\": [", "\"runs\": [], \"run\": ["}},
     "f:16:14: error: there is no run [stations-few]\n"
     "    at /checks/0/runs\n"
     "f:16:18: error: unknown key \"run\" [key-unknown]\n"
     "    at /checks/0/run\n"
     "    hint: known here: \"id\", \"kind\", \"room\", \"date\", \"trace\", \"indicator\", "
     "\"centre\", "
     "\"radius\", \"gauge_length\", \"feed\", \"stations\", \"lead\", \"scale_material\", "
     "\"scale_temperature\", \"scale_doubt\", \"thermometer\", \"two_lobed\", \"radius_doubt\", "
     "\"runs\", \"unit\", \"outward_reads\", \"closing\""},
    {{{"{\"direction\": \"counterclockwise\", \"readings\": \"1 2 3 4 5 6 7 8\"}",
       "{\"direction\": \"counterclockwise\", \"turned\": \"90°\", \"readings\": \"1 2 3 4 5 6 7 "
       "8\"}"}},
     "f:17:42: error: unknown key \"turned\" [key-unknown]\n"
     "    at /checks/0/runs/0/turned\n"
     "    hint: known here: \"direction\", \"readings\""},
    {{{"\"trace\": \"link\"", "\"trace\": \"disc\""},
      {"\"outward_reads\"", "\"closing\": 3, \"radius_doubt\": \"2 µm\", \"outward_reads\""}},
     "f:15:6: error: unknown key \"closing\" [key-unknown]\n"
     "    at /checks/0/closing\n"
     "    hint: known here: \"id\", \"kind\", \"room\", \"date\", \"trace\", \"indicator\", "
     "\"centre\", "
     "\"radius\", \"gauge_length\", \"feed\", \"stations\", \"lead\", \"scale_material\", "
     "\"scale_temperature\", \"scale_doubt\", \"thermometer\", \"two_lobed\", \"spring_back\", "
     "\"surface\", \"runs\", \"unit\", \"outward_reads\"\n"
     "f:15:20: error: unknown key \"radius_doubt\" [key-unknown]\n"
     "    at /checks/0/radius_doubt\n"
     "    hint: known here: \"id\", \"kind\", \"room\", \"date\", \"trace\", \"indicator\", "
     "\"centre\", "
     "\"radius\", \"gauge_length\", \"feed\", \"stations\", \"lead\", \"scale_material\", "
     "\"scale_temperature\", \"scale_doubt\", \"thermometer\", \"two_lobed\", \"spring_back\", "
     "\"surface\", \"runs\", \"unit\", \"outward_reads\""},
    {{{"\"outward_reads\"",
       "\"radius_doubt\": \"2 mm\", \"two_lobed\": \"2 mm\", \"outward_reads\""}},
     "f:15:22: error: \"2 mm\" is out of range: it must be more than 0 mm and at most 1 mm "
     "[value-range]\n"
     "    at /checks/0/radius_doubt\n"
     "f:15:43: error: \"2 mm\" is out of range: it must be at least 0 mm and at most 1 mm "
     "[value-range]\n"
     "    at /checks/0/two_lobed"},
    {{{"{\"direction\": \"clockwise\", \"readings\": \"2 2 3 4 5 6 7 8\"},\n       ", ""},
      {",\n       {\"direction\": \"clockwise\", \"readings\": \"2 2 3 4 5 6 7 9\"}", ""}},
     "f:16: gone round in one direction only: a lag of X behind Y looks like squareness, and is "
     "told from it by what is usual only"},
    {{{"\"600 mm/min\"", "\"stopped\""},
      {"{\"direction\": \"clockwise\", \"readings\": \"2 2 3 4 5 6 7 8\"},\n       ", ""},
      {",\n       {\"direction\": \"clockwise\", \"readings\": \"2 2 3 4 5 6 7 9\"}", ""}},
     "f:16: gone round in one direction only: lost motion looks partly like squareness, and is "
     "told from it by its steps only"},
    {{{",\n       {\"direction\": \"counterclockwise\", \"readings\": \"1 2 3 4 5 6 7 9\"},\n      "
       " {\"direction\": \"clockwise\", \"readings\": \"2 2 3 4 5 6 7 9\"}",
       ""}},
     "f:16: one run a direction tells nothing of how the path repeats: the class's figure is "
     "taken; go round twice or more each way"},
    {{{"\"1 2 3 4 5 6 7 9\"", "\"1 2 3 4 5 6 7 8\""}},
     "f:19: the very readings stand in the file before: one run entered twice?"},
    {{{"\"trace\": \"link\"", "\"trace\": \"disc\""}},
     "f:16: the disc was never turned in its chuck: two lobes by the chuck look like squareness; "
     "read it again turned by 90°"},
    {{{"\"trace\": \"link\"", "\"trace\": \"disc\""},
      {"\"outward_reads\"", "\"two_lobed\": \"0 µm\", \"outward_reads\""}},
     "nothing"},
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
                                       "material-unknown",
                                       "outside-travel",
                                       "readings-count",
                                       "readings-size",
                                       "readings-syntax",
                                       "station-twice",
                                       "stations-few",
                                       "unit-missing",
                                       "unit-wrong",
                                       "value-range",
                                       "word-unknown"};
    BOOST_TEST(ids_in(cases) == ids, tt::per_element());
}

BOOST_AUTO_TEST_SUITE_END()
