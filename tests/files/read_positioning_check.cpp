// SPDX-License-Identifier: MIT
// Positioning checks and length standards in machine files: SI numbers by hand; the sign of each
// side; what is wrong, with its place. Tolerance 1e-12 relative: some roundings of a double. The
// wording of the diagnostics is recorded from the program after reading it.
#include "files/shop_text.hpp"
#include "holdable/files/read_machine.hpp"

#include <boost/test/data/test_case.hpp>
#include <boost/test/unit_test.hpp>

#include <string>

using namespace holdable;
namespace tt = boost::test_tools;

namespace {

const Date day = parse_date("2025-05-01");

Shop read(const std::string& text) {
    return read_machine(parse_document(text, "f"), "f", day);
}

std::string said(const std::string& text) {
    return holdable::said<Shop>(text,
                                [](const Node& root) { return read_machine(root, "f", day); });
}

const std::string base = R"({
  "holdable": "machine/1", "shop": "S", "machine": "M", "axes": "XYZ",
  "travel": {
    "X": {"from": "0 mm", "to": "400 mm"},
    "Y": {"from": "0 mm", "to": "300 mm"},
    "Z": {"from": "-300 mm", "to": "0 mm"}
  },
  "nose_to_table": "450 mm", "class": "entry vmc",
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
    {{{"\"axis\": \"X\"", "\"axis\": \"A\""}}, "?"},
    {{{"\"standard\": \"G\"", "\"standard\": \"H\""}, {"\"2025-04-01\"", "\"2027-04-01\""}}, "?"},
    {{{"\"indicator\": \"I\", ", ""}}, "?"},
    {{{"\"indicator\": \"I\", ", "\"indicator\": \"J\", "}}, "?"},
    {{{"\"gauge_length\": \"100 mm\", ", ""}}, "?"},
    {{{"\"Y\": \"100 mm\"", "\"Y\": \"400 mm\""}}, "?"},
    {{{"\"20 mm\", \"83 mm\"", "\"20 mm\", \"20 mm\""}}, "?"},
    {{{"\"20 mm\", \"83 mm\"", "\"20 mm\", \"830 mm\""}}, "?"},
    {{{"\"20 mm\", \"83 mm\", \"170 mm\", \"230 mm\", \"320 mm\"", "\"20 mm\""}}, "?"},
    {{{"\"lengths\": [\"0 mm\", \"63 mm\", \"150 mm\", \"210 mm\", \"300 mm\"],\n     \"lead\"",
       "\"lead\""}},
     "?"},
    {{{"\"lengths\": [\"0 mm\", \"63 mm\", \"150 mm\", \"210 mm\", \"300 mm\"],\n     \"lead\"",
       "\"lengths\": [\"0 mm\", \"63 mm\", \"150 mm\", \"210 mm\"],\n     \"lead\""}},
     "?"},
    {{{"\"lengths\": [\"0 mm\", \"63 mm\", \"150 mm\", \"210 mm\", \"300 mm\"],\n     \"lead\"",
       "\"lengths\": [\"0 mm\", \"64 mm\", \"150 mm\", \"210 mm\", \"300 mm\"],\n     \"lead\""}},
     "?"},
    {{{"\"lengths\": [\"0 mm\", \"63 mm\", \"150 mm\", \"210 mm\", \"300 mm\"],\n     \"lead\"",
       "\"lengths\": [\"0 mm\", \"150 mm\", \"63 mm\", \"210 mm\", \"300 mm\"],\n     \"lead\""}},
     "?"},
    {{{"\"lead\": \"5 mm\", ", ""}}, "?"},
    {{{"\"lead\": \"5 mm\"", "\"lead\": \"5\""}}, "?"},
    {{{"\"83 mm\", \"170 mm\"", "\"85 mm\", \"170 mm\""},
      {"\"63 mm\", \"150 mm\", \"210 mm\", \"300 mm\"],\n   \"dev",
       "\"65 mm\", \"150 mm\", \"210 mm\", \"300 mm\"],\n   \"dev"},
      {"\"63 mm\", \"150 mm\", \"210 mm\", \"300 mm\"],\n     \"lead\"",
       "\"65 mm\", \"150 mm\", \"210 mm\", \"300 mm\"],\n     \"lead\""}},
     "?"},
    {{{"\"ball-screw steel\"", "\"screw steel\""}}, "?"},
    {{{"\"scale_temperature\": \"23 °C\"", "\"scale_temperature\": \"23 K\""}}, "?"},
    {{{"\"scale_temperature\": \"23 °C\"", "\"scale_temperature\": \"230 °C\""}}, "?"},
    {{{"\"standard_temperature\": \"21 °C\"", "\"thermometer\": \"0.2 °C\""}}, "?"},
    {{{"\"touches\": \"-X face\"", "\"touches\": \"-Y face\""}}, "?"},
    {{{"\"pressed_reads\": \"plus\", ", ""}}, "?"},
    {{{"\"unit\": \"µm\", \"runs\"", "\"runs\""}}, "?"},
    {{{"\"towards\": \"+X\", \"readings\": \"0 1 2 3 5\"",
       "\"towards\": \"+\", \"readings\": \"0 1 2 3 5\""}},
     "?"},
    {{{"\"readings\": \"0 1 2 3 5\"", "\"readings\": \"0 1 2 3\""}}, "?"},
    {{{"\"readings\": \"0 1 2 3 5\"", "\"readings\": \"0 1 2 3 5000\""}}, "?"},
    {{{"\"runs\": [", "\"runs\": [], \"run\": ["}}, "?"},
    {{{"{\"towards\": \"-X\", \"readings\": \"4 5 6 7 8\"},\n       ", ""},
      {"{\"towards\": \"-X\", \"readings\": \"5 5 6 8 8\"}",
       "{\"towards\": \"+X\", \"readings\": \"5 5 6 8 8\"}"}},
     "?"},
    {{{",\n       {\"towards\": \"+X\", \"readings\": \"0 1 3 3 4\"},\n       {\"towards\": "
       "\"-X\", \"readings\": \"5 5 6 8 8\"}",
       ""}},
     "?"},
    {{{"\"0 1 3 3 4\"", "\"0 1 2 3 5\""}, {"\"5 5 6 8 8\"", "\"4 5 6 7 8\""}}, "?"},
    {{{"[\"20 mm\", \"83 mm\", \"170 mm\", \"230 mm\", \"320 mm\"]", "[\"20 mm\", \"83 mm\"]"},
      {"[\"0 mm\", \"63 mm\", \"150 mm\", \"210 mm\", \"300 mm\"],\n     \"lead\"",
       "[\"0 mm\", \"63 mm\"],\n     \"lead\""},
      {"\"0 1 2 3 5\"", "\"0 1\""},
      {"\"4 5 6 7 8\"", "\"4 5\""},
      {"\"0 1 3 3 4\"", "\"1 1\""},
      {"\"5 5 6 8 8\"", "\"4 6\""}},
     "?"},
    {{{"\"due\": \"2026-01-01\"", "\"due\": \"2025-03-01\""}}, "?"},
    {{{"\"k\": 2", "\"number\": \"1\""}}, "?"},
    {{{", \"k\": 2", ""}}, "?"},
    {{{"\"certificate\": {\"number\": \"L\", \"due\": \"2026-01-01\", \"U\": \"0.6 µm\", "
       "\"U_per_length\": \"1 µm/m\", \"k\": 2}",
       "\"setting\": \"1 µm\""}},
     "?"},
    {{{"\"type\": \"step gauge\"", "\"type\": \"ruler\""}}, "?"},
    {{{"\"material\": \"gauge-block steel\"", "\"material\": \"stainless\""}}, "?"},
    {{{"\"0 0.4 -0.2 0.6 0.9\"", "\"0 0.4 -0.2 0.6\""}}, "?"},
    {{{"\"U\": \"0.6 µm\"", "\"U\": \"0.6 mm\""},
      {"\"deviations\": \"0 0.4 -0.2 0.6 0.9\", \"unit\": \"µm\",",
       "\"deviations\": \"0 0.4 -0.2 0.6 0.9\","}},
     "?"},
    {{{"\"standard\": \"G\", \"indicator\": \"I\", \"touches\": \"-X face\", \"pressed_reads\": "
       "\"plus\", ",
       "\"standard\": \"B\", "}},
     "?"},
    {{{"\"limit_per_length\": \"2 µm/m\"", "\"limit\": \"2 µm\""}}, "?"},
};

} // namespace

BOOST_DATA_TEST_CASE(what_is_said, boost::unit_test::data::make(cases)) {
    BOOST_TEST(said(changed(base, sample.changes)) == sample.expected);
}

BOOST_AUTO_TEST_CASE(all_ids_are_among_them) {
    const std::set<std::string> ids = {};
    BOOST_TEST(ids_in(cases) == ids, tt::per_element());
}

BOOST_AUTO_TEST_SUITE_END()
