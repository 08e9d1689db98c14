// SPDX-License-Identifier: MIT
// Gauges for parts in a machine file, and the rule of a job. Against the numbers written, converted
// by hand; every mistake against the whole text that is said of it.
#include "files/job_text.hpp"
#include "files/machine_text.hpp"

#include <boost/test/unit_test.hpp>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <string>

using namespace holdable;
namespace tt = boost::test_tools;

namespace {

const std::string instruments = R"(
  "instruments": [
    {"id": "lever", "kind": "indicator", "resolution": "2 µm",
     "repeatability": {"readings": "0 1 0 -1", "unit": "1 µm"}},
    {"id": "black", "kind": "square", "length": "200 mm",
     "certificate": {"number": "7", "due": "2025-06-01",
       "deviation": "2 µm", "leans": "away from the leg", "U": "4 µm", "k": 2}}
  ],)";

const std::string bore_gauge = R"(
  "gauges": [
    {"id": "bore gauge", "range": ["35 mm", "60 mm"],
     "instrument": {"name": "two-point", "resolution": "1 µm",
       "certificate": {"number": "B", "due": "2025-09-30", "U": "1.6 µm", "k": 2}},
     "master": {"name": "ring", "certificate": {"number": "R", "due": "2025-08-31", "U": "0.8 µm", "k": 2}},
     "repeats": 3,
     "scatter": {"standard_deviation": "0.5 µm", "evidence": "measured", "dof": 9},
     "operators": {"plus_minus": "0.3 µm", "evidence": "typical"},
     "temperature": {"part": "21 °C", "gauge": "22 °C", "gauge_material": "steel",
       "doubt": "0.5 K", "corrected": true}}
  ]
})";

const std::string job = R"({
  "holdable": "job/1", "name": "J", "material": "steel", "quantity": 2,
  "rule": "guarded",
  "callouts": [
    {"id": "b", "diameter": "42 H7", "gauge": "bore gauge",
     "hole": {"place": ["1 mm", "1 mm"], "top": "50 mm", "depth": "20 mm",
              "gauge_length": "100 mm", "made_by": "boring"}}]
})";

} // namespace

BOOST_AUTO_TEST_SUITE(part_gauges)

BOOST_AUTO_TEST_CASE(a_gauge_as_written) {
    const auto shop = read(mill + bore_gauge);
    BOOST_REQUIRE(shop.gauges.size() == 1U);
    const auto& g = shop.gauges[0];
    BOOST_TEST(g.name == "bore gauge");
    BOOST_TEST(*g.smallest == 0.035, tt::tolerance(1e-12));
    BOOST_TEST(*g.largest == 0.06, tt::tolerance(1e-12));
    BOOST_TEST(!g.on_machine());
    BOOST_TEST(g.how.instrument == "two-point");
    BOOST_TEST(g.how.certificate->standard == 0.8e-6, tt::tolerance(1e-12));
    BOOST_TEST(g.how.master_doubt.standard == 0.4e-6, tt::tolerance(1e-12));
    BOOST_TEST((g.how.due == parse_date("2025-08-31"))); // the first that runs out
    BOOST_TEST(g.how.repeats == 3);
    BOOST_TEST(g.how.scatter.standard == 0.5e-6, tt::tolerance(1e-12));
    BOOST_TEST(g.how.part.temperature == 294.15, tt::tolerance(1e-12));
    BOOST_TEST(g.how.gauge.temperature == 295.15, tt::tolerance(1e-12));
    BOOST_TEST(g.how.temperature_limit == 0.5);
    BOOST_TEST(g.how.corrected);
    BOOST_TEST(g.how.expands);
    BOOST_TEST(shop.notes.empty()); // what ran out is said for the day of the job
}

BOOST_AUTO_TEST_CASE(instruments_of_the_machine_file) {
    const auto text = mill + instruments + R"(
  "gauges": [
    {"id": "lean", "instrument": "lever", "square": "black",
     "operators": {"plus_minus": "1 µm", "evidence": "typical"}},
    {"id": "probe", "on_machine": "120 mm", "instrument": "lever",
     "scatter": {"standard_deviation": "3 µm", "evidence": "typical"},
     "operators": {"plus_minus": "1 µm", "evidence": "typical"}}
  ]
})";
    const auto shop = read(text);
    BOOST_REQUIRE(shop.gauges.size() == 2U);
    const auto& lean = shop.gauges[0];
    BOOST_TEST(lean.indicator == "lever");
    BOOST_TEST(lean.square == "black");
    BOOST_TEST(lean.how.resolution == 2e-6, tt::tolerance(1e-12));
    BOOST_TEST(lean.how.scatter.standard == shop.indicators[0].repeatability);
    BOOST_TEST(lean.how.scatter.dof.value() == 3.0);
    BOOST_TEST((lean.how.due == parse_date("2025-06-01")));
    BOOST_TEST(!lean.how.expands);
    const auto& probe = shop.gauges[1];
    BOOST_TEST(probe.on_machine());
    BOOST_TEST(*probe.gauge_length == 0.12, tt::tolerance(1e-12));
    BOOST_TEST(probe.how.scatter.standard == 3e-6, tt::tolerance(1e-12));
    BOOST_TEST(!probe.how.expands);
}

BOOST_AUTO_TEST_CASE(a_study_stands_for_scatter_and_operators) {
    // Two parts, two operators, two repeats, pairs 1 µm apart and no interaction: pooled, the mean
    // square of the repeats is 2/5 µm². The operators are 2 µm apart: (8 − 0.4)/4 µm².
    const auto text =
        changed(mill + bore_gauge,
                {{R"("scatter": {"standard_deviation": "0.5 µm", "evidence": "measured", "dof": 9},
     "operators": {"plus_minus": "0.3 µm", "evidence": "typical"},)",
                  R"("study": {"kind": "crossed", "unit": "1 µm",
       "readings": [[[0, 1], [2, 3]], [[10, 11], [12, 13]]]},)"}});
    const auto how = read(text).gauges.at(0).how;
    BOOST_REQUIRE(how.study.has_value());
    BOOST_TEST(how.scatter.standard == std::sqrt(0.4) * 1e-6, tt::tolerance(1e-9));
    BOOST_TEST(how.operators.standard == std::sqrt(1.9) * 1e-6, tt::tolerance(1e-9));
}

BOOST_AUTO_TEST_CASE(what_is_wrong_with_a_gauge) {
    const auto wrong = [](const std::string& from, const std::string& to) {
        const auto text = said(changed(mill + instruments + bore_gauge, {{from, to}}));
        const auto id = text.rfind(" [");
        return id == std::string::npos ? text : text.substr(id + 2, text.find(']', id) - id - 2);
    };
    BOOST_TEST(wrong(R"("range": ["35 mm", "60 mm"])", R"("range": ["60 mm", "35 mm"])") ==
               "extent-empty");
    BOOST_TEST(wrong(R"("range": ["35 mm", "60 mm"])", R"("range": ["-1 mm", "35 mm"])") ==
               "value-range");
    BOOST_TEST(wrong(R"("id": "bore gauge",)", R"("id": "bore gauge", "square": "white",)") ==
               "instrument-unknown");
    BOOST_TEST(wrong(R"("id": "bore gauge",)", R"("id": "bore gauge", "tip": "round",)") ==
               "key-unknown");
    BOOST_TEST(wrong(R"("id": "bore gauge", )", "") == "key-missing");
    BOOST_TEST(wrong(R"("U": "1.6 µm", "k": 2)", R"("U": "1.6 µm")") == "certificate-k");
    BOOST_TEST(wrong(R"("gauge_material": "steel")", R"("gauge_material": "cheese")") ==
               "material-unknown");
    BOOST_TEST(
        wrong(R"("temperature": {"part": "21 °C", "gauge": "22 °C", "gauge_material": "steel",
       "doubt": "0.5 K", "corrected": true})",
              R"("repeats": 1})") == "json-syntax");
    // of a probe on the machine no temperature is asked, of a bore gauge it is
    const auto text = mill + instruments + R"(
  "gauges": [{"id": "g", "instrument": "blunt",
    "operators": {"plus_minus": "1 µm", "evidence": "typical"}}]})";
    const auto all = said(text);
    BOOST_TEST(all.find("no indicator is called \"blunt\"") != std::string::npos);
    BOOST_TEST(all.find("there is \"lever\"") != std::string::npos);
    BOOST_TEST(all.find("temperature") != std::string::npos);
    const auto both = mill + instruments + R"(
  "gauges": [{"id": "g", "instrument": "lever", "square": "black", "on_machine": "100 mm",
    "operators": {"plus_minus": "1 µm", "evidence": "typical"}}]})";
    BOOST_TEST(said(both).find("[given-twice]") != std::string::npos);
}

BOOST_AUTO_TEST_CASE(a_job_names_gauges_and_a_rule) {
    const auto plain = job_texts::read(job);
    BOOST_TEST(plain.callouts[0].gauge == "bore gauge");
    BOOST_TEST(!plain.rule.has_value());
    const auto with = [](const std::string& rule) {
        return job_texts::read(changed(job, {{R"("rule": "guarded")", R"("rule": )" + rule}}));
    };
    const auto simple = with(R"("simple")").rule.value();
    BOOST_TEST(!simple.of_customer);
    BOOST_TEST(!simple.band.has_value());
    BOOST_TEST(simple.of_expanded == 0.0);
    const auto ratio = with(R"({"name": "PO 7", "ratio": 4, "below": "guarded"})").rule.value();
    BOOST_TEST(ratio.of_customer);
    BOOST_TEST(*ratio.ratio == 4.0);
    BOOST_TEST(ratio.guarded_below);
    BOOST_TEST(!with(R"({"name": "PO 7", "ratio": 4, "below": "refuse"})").rule->guarded_below);
    BOOST_TEST(*with(R"({"name": "PO 7", "guard_band": "2 µm"})").rule->band == 2e-6,
               tt::tolerance(1e-12));
}

BOOST_AUTO_TEST_CASE(an_unknown_rule) {
    const auto wrong = [](const std::string& rule) {
        return job_texts::said(changed(job, {{R"("rule": "guarded")", R"("rule": )" + rule}}));
    };
    const auto unknown = wrong(R"("garded")");
    BOOST_TEST(unknown.find("[word-unknown]") != std::string::npos);
    BOOST_TEST(unknown.find("guarded") != std::string::npos); // the nearest
    BOOST_TEST(wrong(R"({"name": "r", "ratio": 4})").find("[key-missing]") != std::string::npos);
    BOOST_TEST(wrong(R"({"name": "r", "ratio": 0.5, "below": "refuse"})").find("[value-range]") !=
               std::string::npos);
    BOOST_TEST(wrong(R"({"name": "r", "ratio": 4, "below": "refuse", "guard_band": "1 µm"})")
                   .find("[given-twice]") != std::string::npos);
    BOOST_TEST(wrong("3").find("[field-kind]") != std::string::npos);
}

BOOST_AUTO_TEST_SUITE_END()
