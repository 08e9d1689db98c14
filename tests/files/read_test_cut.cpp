// SPDX-License-Identifier: MIT
// Test cuts in machine files: SI numbers by hand; what is wrong, with its place. Tolerance 1e-12
// relative: some roundings of a double. The wording of the diagnostics is recorded from the program
// after reading it.
#include "files/machine_text.hpp"

#include <boost/test/data/test_case.hpp>
#include <boost/test/unit_test.hpp>

#include <cmath>
#include <set>
#include <string>

using namespace holdable;
namespace tt = boost::test_tools;

namespace {

const std::string base = mill + R"(
  "checks": [
    {"id": "P", "kind": "test cut", "date": "2025-04-01", "measured": "along X",
     "holes": [{"place": ["100 mm", "150 mm"], "top": "60 mm", "gauge_length": "120 mm"},
               {"place": ["300 mm", "150 mm"], "top": "60 mm", "gauge_length": "120 mm"}],
     "approached": "from one side", "material": "aluminium 6061",
     "temperatures": {"part": "22 °C", "scale": "23 °C", "doubt": "1 K"},
     "readings": "-2 -3 -2.5 -4 -3", "unit": "µm",
     "gauge": {"name": "G", "U": "2 µm", "k": 2, "repeatability": "0.5 µm"},
     "covered": ["axis_repeat", "hole_place"]},
    {"id": "B", "kind": "test cut", "date": "2025-04-02", "measured": "lean to +Y",
     "hole": {"place": ["200 mm", "150 mm"], "top": "90 mm", "depth": "60 mm", "gauge_length": "150 mm"},
     "face": {"x": ["150 mm", "250 mm"], "y": ["100 mm", "200 mm"], "height": "90 mm",
              "gauge_length": "100 mm"},
     "readings": "30 44 36 52 41", "unit": "µm/m", "gauge": {"name": "H", "max_error": "15 µm/m"}}
  ]
}
)";

} // namespace

BOOST_AUTO_TEST_SUITE(reading_test_cuts)

BOOST_AUTO_TEST_CASE(every_key) {
    const auto shop = read(base);
    const auto close = tt::tolerance(1e-12);
    BOOST_REQUIRE(shop.test_cuts.size() == 2U);
    const auto& p = shop.test_cuts[0];
    BOOST_TEST(p.name == "P");
    BOOST_TEST((p.date == parse_date("2025-04-01")));
    BOOST_TEST((p.quantity == CutQuantity::along_x));
    BOOST_TEST(p.first.x == 0.1, close);
    BOOST_TEST(p.second.x == 0.3, close);
    BOOST_TEST(p.second.top == 0.06, close);
    BOOST_TEST(p.second.tool_length == 0.12, close);
    BOOST_TEST(p.one_side);
    BOOST_TEST(p.warmth.material == "aluminium 6061");
    BOOST_TEST(p.warmth.part == 295.15, close);
    BOOST_TEST(p.warmth.scale == 296.15, close);
    BOOST_TEST((p.warmth.doubt == 1 && p.warmth.doubt_stated));
    BOOST_TEST(p.readings.size() == 5U);
    BOOST_TEST(p.readings[3] == -4e-6, close);
    BOOST_TEST(p.gauge.name == "G");
    BOOST_TEST(p.gauge.standard == 1e-6, close);
    BOOST_TEST(p.gauge.repeatability == 0.5e-6, close);
    BOOST_TEST((p.covered == std::vector<std::string>{"axis_repeat", "hole_place"}));
    const auto& b = shop.test_cuts[1];
    BOOST_TEST((b.quantity == CutQuantity::lean_y));
    BOOST_TEST(b.first.depth == 0.06, close);
    BOOST_TEST(b.face.x_low == 0.15, close);
    BOOST_TEST(b.face.y_high == 0.2, close);
    BOOST_TEST(b.face.tool_length == 0.1, close);
    BOOST_TEST(b.readings[1] == 44e-6, close);
    BOOST_TEST(b.gauge.standard == 15e-6 / std::sqrt(3.0), close);
    BOOST_TEST((b.gauge.evidence == Evidence::specification));
    BOOST_TEST(shop.notes.empty());
}

namespace {

const Changed wrong[] = {
    {{{"\"along X\"", "\"position\""}},
     "f:10:71: error: a position has no sign: its mean is not an error of the machine "
     "[measured-unsigned]\n"
     "    at /checks/0/measured\n"
     "    hint: say how far holes are apart, \"distance\", \"along X\", \"along Y\", or to "
     "which side a bore leans, \"lean to +X\", \"lean to +Y\""},
    {{{"\"along X\"", "\"along Z\""}},
     "f:10:71: error: unknown word \"along Z\" [word-unknown]\n"
     "    at /checks/0/measured\n"
     "    hint: did you mean \"along X\"?"},
    {{{"\"measured\": \"along X\",", ""}},
     "f:10:5: error: the key \"measured\" is missing [key-missing]\n"
     "    at /checks/0"},
    {{{"\"lean to +Y\"", "\"flatness\""}},
     "f:18:71: error: a flatness has no sign: its mean is not an error of the machine "
     "[measured-unsigned]\n"
     "    at /checks/1/measured\n"
     "    hint: say how far holes are apart, \"distance\", \"along X\", \"along Y\", or to "
     "which side a bore leans, \"lean to +X\", \"lean to +Y\""},
    {{{"\"place\": [\"300 mm\"", "\"place\": [\"500 mm\""}},
     "f:12:26: error: this is outside the travel of X: X = 500 mm is not from 0 to "
     "400 [outside-travel]\n"
     "    at /checks/0/holes/1/place"},
    {{{"\"place\": [\"300 mm\"", "\"place\": [\"100 mm\""}},
     "f:11:15: error: both holes are at one place [station-twice]\n"
     "    at /checks/0/holes"},
    {{{"\"top\": \"90 mm\"", "\"top\": \"50 mm\""}},
     "f:19:71: error: the hole would end below the table [hole-depth]\n"
     "    at /checks/1/hole/depth\n"
     "    hint: \"top\" is the height of its upper end above the table"},
    {{{"\"depth\": \"60 mm\", ", ""}},
     "f:19:14: error: the key \"depth\" is missing [key-missing]\n"
     "    at /checks/1/hole"},
    {{{"\"gauge_length\": \"150 mm\"", "\"gauge_length\": \"500 mm\""}},
     "f:19:53: error: \"90 mm\" is outside the travel of Z: Z = 140 mm is not from -300 "
     "to 0 [outside-travel]\n"
     "    at /checks/1/hole/top\n"
     "    hint: Z = height above the table + gauge_length - nose_to_table"},
    {{{",\n"
       "               {\"place\": [\"300 mm\", \"150 mm\"], \"top\": \"60 mm\", \"gauge_length\": "
       "\"120 mm\"}",
       ""}},
     "f:11:15: error: two holes are a distance apart, found 1 [field-kind]\n"
     "    at /checks/0/holes\n"
     "    hint: the one it is measured from, then the one it is measured to"},
    {{{"\"approached\": \"from one side\", ", ""}},
     "f:10:5: error: the key \"approached\" is missing [key-missing]\n"
     "    at /checks/0"},
    {{{"\"from one side\"", "\"twice\""}},
     "f:13:20: error: unknown word \"twice\" [word-unknown]\n"
     "    at /checks/0/approached\n"
     "    hint: known here: \"from one side\", \"from any side\""},
    {{{"aluminium 6061", "aluminum"}},
     "f:13:49: error: unknown material \"aluminum\" [material-unknown]\n"
     "    at /checks/0/material\n"
     "    hint: known are \"gauge-block steel\", \"steel\", \"ball-screw steel\", \"grey "
     "iron\", \"ductile iron\", \"aluminium 6061\", \"aluminium 7075\", \"brass\", \"bronze\", "
     "\"titanium 6-4\", \"stainless 304\", \"stainless 316\", \"stainless 410\", \"stainless "
     "17-4\", \"black granite\", \"glass scale\", \"zirconia\", \"tungsten carbide\", "
     "\"low-expansion iron\""},
    {{{"\"part\": \"22 °C\"", "\"part\": \"22 K\""}},
     "f:14:31: error: \"22 K\" is not a temperature, as in \"20 °C\" or \"68 °F\" "
     "[unit-wrong]\n"
     "    at /checks/0/temperatures/part\n"
     "    hint: K and Δ°F are differences: write a temperature as \"20 °C\" or \"68 °F\""},
    {{{"\"-2 -3 -2.5 -4 -3\"", "\"-2\""}},
     "f:15:18: error: 1 part shows no scatter [repeats-few]\n"
     "    at /checks/0/readings\n"
     "    hint: measure two parts or more, better ten"},
    {{{"\"-2 -3 -2.5 -4 -3\"", "\"-2 -2 -2\""}},
     "f:15:18: error: all parts are the same: no scatter can be read off them "
     "[repeats-same]\n"
     "    at /checks/0/readings\n"
     "    hint: measure with a finer gauge"},
    {{{"\"-2 -3 -2.5 -4 -3\", \"unit\": \"µm\"", "\"-2 -3 -2.5 -4 -3\", \"unit\": \"mm\""}},
     "f:15:18: error: a deviation of more than 0.5 mm [readings-size]\n"
     "    at /checks/0/readings\n"
     "    hint: is the unit right (µm meant)? readings are measured less nominal"},
    {{{"\"unit\": \"µm/m\"", "\"unit\": \"µm\""}},
     "f:22:44: error: \"1 µm\" is not an angle or slope, as in \"20 arcsec\" or \"0.0005 "
     "in/ft\" [unit-wrong]\n"
     "    at /checks/1/unit\n"
     "    hint: a slope needs its length: write \"0.0005 in/ft\" or \"0.02 mm/300mm\""},
    {{{"\"U\": \"2 µm\", \"k\": 2, ", ""}},
     "f:16:15: error: the key \"U\" is missing [key-missing]\n"
     "    at /checks/0/gauge\n"
     "    hint: with its \"k\", or \"max_error\": the maker's limit of error"},
    {{{"\"k\": 2, ", ""}},
     "f:16:15: error: the gauge's U stands without its k [certificate-k]\n"
     "    at /checks/0/gauge\n"
     "    hint: the certificate states it beside U, mostly as \"k\": 2"},
    {{{"\"k\": 2, ", "\"k\": 2, \"max_error\": \"3 µm\", "}},
     "f:16:15: error: \"max_error\" and \"U\" say the same thing twice [given-twice]\n"
     "    at /checks/0/gauge\n"
     "    hint: a certificate goes before a limit: leave \"max_error\" out"},
    {{{"\"axis_repeat\", ", "\"axis_repeats\", "}},
     "f:17:18: error: unknown word \"axis_repeats\" [word-unknown]\n"
     "    at /checks/0/covered/0\n"
     "    hint: did you mean \"axis_repeat\"?"},
    {{{"\"x\": [\"150 mm\", \"250 mm\"]", "\"x\": [\"250 mm\", \"150 mm\"]"}},
     "f:20:20: error: it ends where it begins, or before [extent-empty]\n"
     "    at /checks/1/face/x\n"
     "    hint: the smaller coordinate comes first"},
    {{{"\"y\": [\"100 mm\", \"200 mm\"]", "\"y\": [\"100 mm\", \"400 mm\"]"}},
     "f:20:47: error: this is outside the travel of Y: Y = 400 mm is not from 0 to "
     "300 [outside-travel]\n"
     "    at /checks/1/face/y"},
};

} // namespace

BOOST_DATA_TEST_CASE(what_is_wrong_is_said, boost::unit_test::data::make(wrong)) {
    BOOST_TEST(said(changed(base, sample.changes)) == sample.expected);
}

BOOST_AUTO_TEST_CASE(every_mistake_has_its_id) {
    BOOST_TEST((ids_in(wrong) == std::set<std::string>{"certificate-k",
                                                       "extent-empty",
                                                       "field-kind",
                                                       "given-twice",
                                                       "hole-depth",
                                                       "key-missing",
                                                       "material-unknown",
                                                       "measured-unsigned",
                                                       "outside-travel",
                                                       "readings-size",
                                                       "repeats-few",
                                                       "repeats-same",
                                                       "station-twice",
                                                       "unit-wrong",
                                                       "word-unknown"}));
}

BOOST_AUTO_TEST_SUITE_END()
