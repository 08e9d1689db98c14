// SPDX-License-Identifier: MIT
// Positioning checks and length standards in machine files: SI numbers by hand; the sign of each
// side; what is wrong, with its place. Tolerance 1e-12 relative: some roundings of a double. The
// wording of the diagnostics is recorded from the program after reading it.
#include "files/machine_text.hpp"

#include <boost/test/data/test_case.hpp>
#include <boost/test/unit_test.hpp>

#include <string>

using namespace holdable;
namespace tt = boost::test_tools;

namespace {

const std::string base = mill + R"(
  "instruments": [
  {"id": "I", "kind": "indicator", "resolution": "1 µm"},
  {"id": "B", "kind": "length standard", "type": "displacement", "material": "none",
   "resolution": "0.1 µm", "limit_per_length": "2 µm/m"},
  {"id": "G", "kind": "length standard", "type": "step gauge", "material": "gauge-block steel",
   "lengths": ["0 mm", "63 mm", "150 mm", "210 mm", "300 mm"],
   "deviations": "0 0.4 -0.2 0.6 0.9", "unit": "µm",
   "certificate": {"number": "L", "due": "2026-01-01", "U": "0.6 µm", "U_per_length": "1 µm/m", "k": 2}}],
  "checks": [
    {"id": "P", "kind": "positioning", "date": "2025-04-01", "axis": "X",
     "standard": "G", "indicator": "I", "touches": "-X face", "pressed_reads": "plus", "gauge_length": "100 mm", "place": {"Y": "100 mm"},
     "targets": ["20 mm", "83 mm", "170 mm", "230 mm", "320 mm"],
     "lengths": ["0 mm", "63 mm", "150 mm", "210 mm", "300 mm"],
     "lead": "5 mm", "scale_material": "ball-screw steel",
     "scale_temperature": "23 °C", "standard_temperature": "21 °C",
     "unit": "µm", "runs": [
       {"towards": "+X", "readings": "0 1 2 3 5"},
       {"towards": "-X", "readings": "4 5 6 7 8"},
       {"towards": "+X", "readings": "0 1 3 3 4"},
       {"towards": "-X", "readings": "5 5 6 8 8"}]}
  ]
}
)";

} // namespace

BOOST_AUTO_TEST_SUITE(reading_positioning)

BOOST_AUTO_TEST_CASE(every_key_of_a_check) {
    const auto close = tt::tolerance(1e-12);
    auto shop = read(base);
    BOOST_TEST(shop.notes.empty());
    BOOST_REQUIRE(shop.positioning_checks.size() == 1U);
    auto check = shop.positioning_checks[0];
    BOOST_TEST(check.name == "P");
    BOOST_TEST((check.date == parse_date("2025-04-01")));
    BOOST_TEST((check.axis == Axis::x));
    BOOST_TEST(check.standard == "G");
    BOOST_TEST(check.indicator == "I");
    BOOST_TEST(check.place.y() == 0.1, close);
    BOOST_TEST(check.place.z() == -0.15, close); // its reference
    BOOST_TEST(check.gauge_length == 0.1, close);
    BOOST_TEST(check.targets == (std::vector<double>{0.02, 0.083, 0.17, 0.23, 0.32}),
               close << tt::per_element());
    BOOST_TEST(check.lengths == (std::vector<double>{0, 0.063, 0.15, 0.21, 0.3}),
               close << tt::per_element());
    BOOST_TEST(check.lead.value() == 0.005, close);
    BOOST_TEST(check.scale_expansion == 11.5e-6, close);
    BOOST_TEST(check.scale_expansion_doubt == 1e-6, close);
    BOOST_TEST(check.scale_warmer == 3, tt::tolerance(1e-9));
    BOOST_TEST(check.standard_warmer == 1, tt::tolerance(1e-9));
    BOOST_TEST(!check.scale_doubt);
    BOOST_TEST(!check.standard_doubt);
    BOOST_TEST(!check.thermometer);
    BOOST_TEST(!check.skew);
    BOOST_TEST(!check.closing);
    BOOST_REQUIRE(check.runs.size() == 4U);
    BOOST_TEST(check.runs[0].towards_plus);
    BOOST_TEST(!check.runs[1].towards_plus);
    // on a face that looks to -X, pressed reading plus, the reading is tool minus surface
    BOOST_TEST(check.runs[0].readings[4] == -5e-6, close);
    shop = read(changed(base,
                        {{"\"-X face\"", "\"+X face\""},
                         {"\"unit\": \"µm\", \"runs\"",
                          "\"scale_doubt\": \"1 K\", \"standard_doubt\": \"1.8 Δ°F\", "
                          "\"thermometer\": \"0.1 K\", \"skew\": \"0.2 mm/m\", \"closing\": 2, "
                          "\"unit\": \"µm\", \"runs\""},
                         {"\"lead\": \"5 mm\"", "\"lead\": \"none\""}}));
    check = shop.positioning_checks[0];
    BOOST_TEST(check.runs[0].readings[4] == 5e-6, close);
    BOOST_TEST(check.scale_doubt.value() == 1, close);
    BOOST_TEST(check.standard_doubt.value() == 1, close);
    BOOST_TEST(check.thermometer.value() == 0.1, close);
    BOOST_TEST(check.skew.value() == 0.2e-3, close);
    BOOST_TEST(check.closing.value() == 2e-6, close);
    BOOST_TEST(!check.lead);
    check = read(changed(base, {{"\"pressed_reads\": \"plus\"", "\"pressed_reads\": \"minus\""}}))
                .positioning_checks[0];
    BOOST_TEST(check.runs[0].readings[4] == 5e-6, close);
}

BOOST_AUTO_TEST_CASE(every_key_of_a_standard) {
    const auto close = tt::tolerance(1e-12);
    const auto shop = read(base);
    BOOST_REQUIRE(shop.length_standards.size() == 2U);
    const auto& bar = shop.length_standards[1];
    BOOST_TEST(bar.name == "G");
    BOOST_TEST((bar.kind == LengthKind::step_gauge));
    BOOST_TEST(bar.lengths[4] == 0.3, close);
    BOOST_TEST(bar.deviations[2] == -0.2e-6, close);
    BOOST_TEST(bar.standard == 0.3e-6, close);
    BOOST_TEST(bar.scale_standard == 0.5e-6, close);
    BOOST_TEST((bar.evidence == Evidence::certificate));
    BOOST_TEST(bar.setting == 0);
    BOOST_TEST(bar.expansion == 11.5e-6, close);
    BOOST_TEST((bar.certificate.value().due == parse_date("2026-01-01")));
    const auto& beam = shop.length_standards[0];
    BOOST_TEST((beam.kind == LengthKind::displacement));
    BOOST_TEST(beam.expansion == 0);
    BOOST_TEST(beam.resolution == 0.1e-6, close);
    BOOST_TEST(beam.scale_limit == 2e-6, close);
    BOOST_TEST(beam.standard == 0);
    const std::string certificate =
        "\"certificate\": {\"number\": \"L\", \"due\": \"2026-01-01\", \"U\": \"0.6 µm\", "
        "\"U_per_length\": \"1 µm/m\", \"k\": 2}";
    auto blocks = read(changed(base,
                               {{"\"type\": \"step gauge\"", "\"type\": \"blocks\""},
                                {certificate, "\"limit\": \"0.8 µm\""}}))
                      .length_standards[1];
    BOOST_TEST(blocks.limit == 0.8e-6, close);
    BOOST_TEST(blocks.standard == 0);
    BOOST_TEST((blocks.evidence == Evidence::specification));
    BOOST_TEST(blocks.setting == 0.5e-6, close);
    BOOST_TEST((blocks.setting_evidence == Evidence::typical));
    blocks =
        read(changed(base,
                     {{"\"type\": \"step gauge\"", "\"type\": \"blocks\", \"setting\": \"0.3 µm\""},
                      {"\"deviations\": \"0 0.4 -0.2 0.6 0.9\", \"unit\": \"µm\",", ""}}))
            .length_standards[1];
    BOOST_TEST(blocks.setting == 0.3e-6, close);
    BOOST_TEST((blocks.setting_evidence == Evidence::specification));
    BOOST_TEST(blocks.deviations == std::vector<double>(5, 0.0), tt::per_element());
    const auto certified =
        read(changed(base,
                     {{"\"limit_per_length\": \"2 µm/m\"",
                       "\"certificate\": {\"number\": \"D\", \"U_per_length\": \"3 µm/m\", "
                       "\"k\": 2}"}}))
            .length_standards[0];
    BOOST_TEST(certified.scale_standard == 1.5e-6, close);
    BOOST_TEST(certified.scale_limit == 0);
}

BOOST_AUTO_TEST_CASE(what_reads_by_itself) {
    const auto shop = read(changed(
        base,
        {{"\"standard\": \"G\", \"indicator\": \"I\", \"touches\": \"-X face\", "
          "\"pressed_reads\": \"plus\", ",
          "\"standard\": \"B\", "},
         {"\"lengths\": [\"0 mm\", \"63 mm\", \"150 mm\", \"210 mm\", \"300 mm\"],\n     \"lead\"",
          "\"lead\""}}));
    const auto& check = shop.positioning_checks[0];
    BOOST_TEST(check.indicator.empty());
    BOOST_TEST(check.lengths.empty());
    BOOST_TEST(check.runs[0].readings[4] == 5e-6, tt::tolerance(1e-12));
}

namespace {

const Changed cases[] = {
    {{{"\"axis\": \"X\"", "\"axis\": \"A\""}},
     "f:18:70: error: unknown word \"A\" [word-unknown]\n"
     "    at /checks/0/axis\n"
     "    hint: known here: \"X\", \"Y\", \"Z\""},
    {{{"\"standard\": \"G\"", "\"standard\": \"H\""}, {"\"2025-04-01\"", "\"2027-04-01\""}},
     "f:18:48: error: 2027-04-01 is yet to come [date-future]\n"
     "    at /checks/0/date\n"
     "    hint: today is 2025-05-01\n"
     "f:19:18: error: no length standard among the instruments has the id \"H\" "
     "[instrument-unknown]\n"
     "    at /checks/0/standard"},
    {{{"\"indicator\": \"I\", ", ""}},
     "f:18:5: error: the key \"indicator\" is missing [key-missing]\n"
     "    at /checks/0"},
    {{{"\"indicator\": \"I\", ", "\"indicator\": \"J\", "}},
     "f:19:36: error: no indicator among the instruments has the id \"J\" [instrument-unknown]\n"
     "    at /checks/0/indicator"},
    {{{"\"gauge_length\": \"100 mm\", ", ""}},
     "f:18:5: error: the key \"gauge_length\" is missing [key-missing]\n"
     "    at /checks/0"},
    {{{"\"Y\": \"100 mm\"", "\"Y\": \"400 mm\""}},
     "f:19:129: error: \"400 mm\" is outside the travel of Y: Y = 400 mm is not from 0 to 300 "
     "[outside-travel]\n"
     "    at /checks/0/place/Y"},
    {{{"\"20 mm\", \"83 mm\"", "\"20 mm\", \"20 mm\""}},
     "f:20:27: error: station 2 is where station 1 is [station-twice]\n"
     "    at /checks/0/targets/1\n"
     "    hint: a station is read once; its repeats stand together: [[0, 0.5, 0], "
     "...]\n"
     "f:21:26: error: target 2 is more than 1 mm from where this length ends [length-unknown]\n"
     "    at /checks/0/lengths/1\n"
     "    hint: from the first on, lengths and targets are equally far apart"},
    {{{"\"20 mm\", \"83 mm\"", "\"20 mm\", \"830 mm\""}},
     "f:20:27: error: \"830 mm\" is outside the travel of X: X = 830 mm is not from 0 to 400 "
     "[outside-travel]\n"
     "    at /checks/0/targets/1"},
    {{{"\"20 mm\", \"83 mm\", \"170 mm\", \"230 mm\", \"320 mm\"", "\"20 mm\""}},
     "f:20:17: error: fewer than two targets show no displacement [stations-few]\n"
     "    at /checks/0/targets\n"
     "    hint: take five or more, unequally spaced\n"
     "f:21:17: error: 5 lengths for 1 targets [readings-count]\n"
     "    at /checks/0/lengths\n"
     "    hint: each target has its length, in the same order\n"
     "f:25:38: error: 5 readings for 1 targets [readings-count]\n"
     "    at /checks/0/runs/0/readings\n"
     "    hint: each station has its reading, in the same order\n"
     "f:26:38: error: 5 readings for 1 targets [readings-count]\n"
     "    at /checks/0/runs/1/readings\n"
     "    hint: each station has its reading, in the same order\n"
     "f:27:38: error: 5 readings for 1 targets [readings-count]\n"
     "    at /checks/0/runs/2/readings\n"
     "    hint: each station has its reading, in the same order\n"
     "f:28:38: error: 5 readings for 1 targets [readings-count]\n"
     "    at /checks/0/runs/3/readings\n"
     "    hint: each station has its reading, in the same order"},
    {{{"\"lengths\": [\"0 mm\", \"63 mm\", \"150 mm\", \"210 mm\", \"300 mm\"],\n     \"lead\"",
       "\"lead\""}},
     "f:18:5: error: the key \"lengths\" is missing [key-missing]\n"
     "    at /checks/0"},
    {{{"\"lengths\": [\"0 mm\", \"63 mm\", \"150 mm\", \"210 mm\", \"300 mm\"],\n     \"lead\"",
       "\"lengths\": [\"0 mm\", \"63 mm\", \"150 mm\", \"210 mm\"],\n     \"lead\""}},
     "f:21:17: error: 4 lengths for 5 targets [readings-count]\n"
     "    at /checks/0/lengths\n"
     "    hint: each target has its length, in the same order"},
    {{{"\"lengths\": [\"0 mm\", \"63 mm\", \"150 mm\", \"210 mm\", \"300 mm\"],\n     \"lead\"",
       "\"lengths\": [\"0 mm\", \"64 mm\", \"150 mm\", \"210 mm\", \"300 mm\"],\n     \"lead\""}},
     "f:21:26: error: the length standard \"G\" has no such length [length-unknown]\n"
     "    at /checks/0/lengths/1\n"
     "    hint: a stack of blocks is a length of its own among those of the standard"},
    {{{"\"lengths\": [\"0 mm\", \"63 mm\", \"150 mm\", \"210 mm\", \"300 mm\"],\n     \"lead\"",
       "\"lengths\": [\"0 mm\", \"150 mm\", \"63 mm\", \"210 mm\", \"300 mm\"],\n     \"lead\""}},
     "f:21:26: error: target 2 is more than 1 mm from where this length ends [length-unknown]\n"
     "    at /checks/0/lengths/1\n"
     "    hint: from the first on, lengths and targets are equally far apart\n"
     "f:21:36: error: target 3 is more than 1 mm from where this length ends [length-unknown]\n"
     "    at /checks/0/lengths/2\n"
     "    hint: from the first on, lengths and targets are equally far apart"},
    {{{"\"lead\": \"5 mm\", ", ""}},
     "f:18:5: error: the key \"lead\" is missing [key-missing]\n"
     "    at /checks/0\n"
     "    hint: or \"none\": no screw decides where the axis stands"},
    {{{"\"lead\": \"5 mm\"", "\"lead\": \"5\""}},
     "f:22:14: error: \"5\" has no unit [unit-missing]\n"
     "    at /checks/0/lead\n"
     "    hint: add one, as in \"0.0002 in\", \"12 µm\", \"68 °F\""},
    {{{"\"83 mm\", \"170 mm\"", "\"85 mm\", \"170 mm\""},
      {"\"63 mm\", \"150 mm\", \"210 mm\", \"300 mm\"],\n   \"dev",
       "\"65 mm\", \"150 mm\", \"210 mm\", \"300 mm\"],\n   \"dev"},
      {"\"63 mm\", \"150 mm\", \"210 mm\", \"300 mm\"],\n     \"lead\"",
       "\"65 mm\", \"150 mm\", \"210 mm\", \"300 mm\"],\n     \"lead\""}},
     "f:22: all targets are whole leads apart: the error within a turn of the screw is the same at "
     "each of them and stays unknown; shift some targets by part of a lead"},
    {{{"\"ball-screw steel\"", "\"screw steel\""}},
     "f:22:40: error: unknown material \"screw steel\" [material-unknown]\n"
     "    at /checks/0/scale_material\n"
     "    hint: known are \"gauge-block steel\", \"steel\", \"ball-screw steel\", \"grey iron\", "
     "\"ductile iron\", \"aluminium 6061\", \"aluminium 7075\", \"brass\", \"bronze\", \"titanium "
     "6-4\", \"stainless 304\", \"stainless 316\", \"stainless 410\", \"stainless 17-4\", \"black "
     "granite\", \"glass scale\", \"zirconia\", \"tungsten carbide\", \"low-expansion iron\""},
    {{{"\"scale_temperature\": \"23 °C\"", "\"scale_temperature\": \"23 K\""}},
     "f:23:27: error: \"23 K\" is not a temperature, as in \"20 °C\" or \"68 °F\" [unit-wrong]\n"
     "    at /checks/0/scale_temperature\n"
     "    hint: K and Δ°F are differences: write a temperature as \"20 °C\" or \"68 °F\""},
    {{{"\"scale_temperature\": \"23 °C\"", "\"scale_temperature\": \"230 °C\""}},
     "f:23:27: error: \"230 °C\" is out of range: it must be at least -10 °C and at most 60 °C "
     "[value-range]\n"
     "    at /checks/0/scale_temperature"},
    {{{"\"standard_temperature\": \"21 °C\"", "\"thermometer\": \"0.2 °C\""}},
     "f:18:5: error: the key \"standard_temperature\" is missing [key-missing]\n"
     "    at /checks/0\n"
     "f:23:51: error: \"0.2 °C\" is not a difference of temperatures, as in \"2 K\" or \"3.6 Δ°F\" "
     "[unit-wrong]\n"
     "    at /checks/0/thermometer\n"
     "    hint: °C and °F alone are temperatures: write a difference as \"2 K\" or \"3.6 Δ°F\""},
    {{{"\"touches\": \"-X face\"", "\"touches\": \"-Y face\""}},
     "f:19:52: error: unknown word \"-Y face\" [word-unknown]\n"
     "    at /checks/0/touches\n"
     "    hint: did you mean \"-X face\"?"},
    {{{"\"pressed_reads\": \"plus\", ", ""}},
     "f:18:5: error: the key \"pressed_reads\" is missing [key-missing]\n"
     "    at /checks/0"},
    {{{"\"unit\": \"µm\", \"runs\"", "\"runs\""}},
     "f:25:38: error: the readings are numbers without a unit [unit-missing]\n"
     "    at /checks/0/runs/0/readings\n"
     "    hint: write \"unit\" beside them, as in \"0.0001 in\" or \"µm\""},
    {{{"\"towards\": \"+X\", \"readings\": \"0 1 2 3 5\"",
       "\"towards\": \"+\", \"readings\": \"0 1 2 3 5\""}},
     "f:25:20: error: unknown word \"+\" [word-unknown]\n"
     "    at /checks/0/runs/0/towards\n"
     "    hint: did you mean \"+X\"?"},
    {{{"\"readings\": \"0 1 2 3 5\"", "\"readings\": \"0 1 2 3\""}},
     "f:25:38: error: 4 readings for 5 targets [readings-count]\n"
     "    at /checks/0/runs/0/readings\n"
     "    hint: each station has its reading, in the same order"},
    {{{"\"readings\": \"0 1 2 3 5\"", "\"readings\": \"0 1 2 3 5000\""}},
     "f:25:38: error: the readings differ by 17 mm/m, more than 10 times the figure of the class "
     "\"entry vmc\" [readings-size]\n"
     "    at /checks/0/runs/0/readings\n"
     "    hint: is the unit right (µm meant)? or does the class flatter the machine?"},
    {{{"\"runs\": [", "\"runs\": [], \"run\": ["}},
     "f:24:28: error: there is no run [stations-few]\n"
     "    at /checks/0/runs\n"
     "f:24:32: error: unknown key \"run\" [key-unknown]\n"
     "    at /checks/0/run\n"
     "    hint: known here: \"id\", \"kind\", \"room\", \"date\", \"axis\", \"standard\", "
     "\"place\", "
     "\"gauge_length\", \"targets\", \"indicator\", \"lengths\", \"lead\", \"scale_material\", "
     "\"scale_temperature\", \"standard_temperature\", \"scale_doubt\", \"standard_doubt\", "
     "\"thermometer\", \"skew\", \"runs\", \"unit\", \"pressed_reads\", \"touches\", \"closing\""},
    {{{"{\"towards\": \"-X\", \"readings\": \"4 5 6 7 8\"},\n       ", ""},
      {"{\"towards\": \"-X\", \"readings\": \"5 5 6 8 8\"}",
       "{\"towards\": \"+X\", \"readings\": \"5 5 6 8 8\"}"}},
     "f:24: approached in one direction only: lost motion is not seen, and B not given"},
    {{{",\n       {\"towards\": \"+X\", \"readings\": \"0 1 3 3 4\"},\n       {\"towards\": "
       "\"-X\", \"readings\": \"5 5 6 8 8\"}",
       ""}},
     "f:24: one run a direction tells nothing of repeatability: the class's figure is taken; ISO "
     "230-2 asks for five"},
    {{{"\"0 1 3 3 4\"", "\"0 1 2 3 5\""}, {"\"5 5 6 8 8\"", "\"4 5 6 7 8\""}},
     "f:24: all runs are the same: their spread hides behind the last digit, and is not taken as "
     "zero"},
    {{{"[\"20 mm\", \"83 mm\", \"170 mm\", \"230 mm\", \"320 mm\"]", "[\"20 mm\", \"83 mm\"]"},
      {"[\"0 mm\", \"63 mm\", \"150 mm\", \"210 mm\", \"300 mm\"],\n     \"lead\"",
       "[\"0 mm\", \"63 mm\"],\n     \"lead\""},
      {"\"0 1 2 3 5\"", "\"0 1\""},
      {"\"4 5 6 7 8\"", "\"4 5\""},
      {"\"0 1 3 3 4\"", "\"1 1\""},
      {"\"5 5 6 8 8\"", "\"4 6\""}},
     "f:20: fewer than five targets: ISO 230-2 asks for five or more"},
    {{{"\"due\": \"2026-01-01\"", "\"due\": \"2025-03-01\""}},
     "f:19: the certificate of the length standard \"G\" ran out on 2025-03-01, before this check"},
    {{{"\"limit_per_length\": \"2 µm/m\"",
       "\"certificate\": {\"number\": \"D\", \"U\": \"1 µm\", \"k\": 2}"}},
     "f:12:43: error: the key \"U_per_length\" is missing [key-missing]\n"
     "    at /instruments/1/certificate\n"
     "f:12:59: error: unknown key \"U\" [key-unknown]\n"
     "    at /instruments/1/certificate/U\n"
     "    hint: known here: \"number\", \"due\", \"date\", \"k\", \"U_per_length\""},
    {{{", \"k\": 2", ""}},
     "f:16:19: error: the certificate's U stands without its k [certificate-k]\n"
     "    at /instruments/2/certificate\n"
     "    hint: the certificate states it beside U, mostly as \"k\": 2"},
    {{{"\"certificate\": {\"number\": \"L\", \"due\": \"2026-01-01\", \"U\": \"0.6 µm\", "
       "\"U_per_length\": \"1 µm/m\", \"k\": 2}",
       "\"setting\": \"1 µm\""}},
     "f:13:3: error: the length standard has neither a certificate nor a limit [evidence-missing]\n"
     "    at /instruments/2\n"
     "    hint: \"limit\" says how far each length may be off, as its grade allows\n"
     "f:16:4: error: unknown key \"setting\" [key-unknown]\n"
     "    at /instruments/2/setting\n"
     "    hint: known here: \"id\", \"kind\", \"type\", \"material\", \"lengths\", \"unit\", "
     "\"deviations\", \"certificate\", \"limit\", \"limit_per_length\""},
    {{{"\"type\": \"step gauge\"", "\"type\": \"ruler\""}},
     "f:13:50: error: unknown word \"ruler\" [word-unknown]\n"
     "    at /instruments/2/type\n"
     "    hint: known here: \"blocks\", \"step gauge\", \"displacement\""},
    {{{"\"material\": \"gauge-block steel\"", "\"material\": \"stainless\""}},
     "f:13:76: error: \"stainless\" alone may expand by 10 to 18 µm/m/K [material-unknown]\n"
     "    at /instruments/2/material\n"
     "    hint: say which: \"stainless 304\", \"stainless 316\", \"stainless 410\", \"stainless "
     "17-4\""},
    {{{"\"0 0.4 -0.2 0.6 0.9\"", "\"0 0.4 -0.2 0.6\""}},
     "f:15:18: error: 4 deviations for 5 lengths [readings-count]\n"
     "    at /instruments/2/deviations\n"
     "    hint: each length has its deviation, in the same order"},
    {{{"\"U\": \"0.6 µm\"", "\"U\": \"6 mm\""},
      {"\"deviations\": \"0 0.4 -0.2 0.6 0.9\", \"unit\": \"µm\",",
       "\"deviations\": \"0 0.4 -0.2 0.6 0.9\","}},
     "f:15:18: error: the readings are numbers without a unit [unit-missing]\n"
     "    at /instruments/2/deviations\n"
     "    hint: write \"unit\" beside them, as in \"0.0001 in\" or \"µm\"\n"
     "f:16:61: error: \"6 mm\" is out of range: it must be more than 0 mm and at most 1 mm "
     "[value-range]\n"
     "    at /instruments/2/certificate/U"},
    {{{"\"standard\": \"G\", \"indicator\": \"I\", \"touches\": \"-X face\", \"pressed_reads\": "
       "\"plus\", ",
       "\"standard\": \"B\", "}},
     "f:21:6: error: unknown key \"lengths\" [key-unknown]\n"
     "    at /checks/0/lengths\n"
     "    hint: known here: \"id\", \"kind\", \"room\", \"date\", \"axis\", \"standard\", "
     "\"place\", "
     "\"gauge_length\", \"targets\", \"lead\", \"scale_material\", \"scale_temperature\", "
     "\"standard_temperature\", \"scale_doubt\", \"standard_doubt\", \"thermometer\", \"skew\", "
     "\"runs\", \"unit\", \"closing\""},
    {{{"\"limit_per_length\": \"2 µm/m\"", "\"limit\": \"2 µm\""}},
     "f:11:3: error: the length standard has neither a certificate nor a limit [evidence-missing]\n"
     "    at /instruments/1\n"
     "    hint: \"limit_per_length\" says how far it may be off\n"
     "f:12:28: error: unknown key \"limit\" [key-unknown]\n"
     "    at /instruments/1/limit\n"
     "    hint: known here: \"id\", \"kind\", \"type\", \"material\", \"resolution\", "
     "\"certificate\", \"limit_per_length\""},
};

} // namespace

BOOST_DATA_TEST_CASE(what_is_said, boost::unit_test::data::make(cases)) {
    BOOST_TEST(said(changed(base, sample.changes)) == sample.expected);
}

BOOST_AUTO_TEST_CASE(all_ids_are_among_them) {
    const std::set<std::string> ids = {"certificate-k",
                                       "date-future",
                                       "evidence-missing",
                                       "instrument-unknown",
                                       "key-missing",
                                       "key-unknown",
                                       "length-unknown",
                                       "material-unknown",
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
