// SPDX-License-Identifier: MIT
// The result of a budget. The JSON against the answer it is made from, read back by the reader of
// files: names of keys and meaning of numbers are a promise to other programs. The page against one
// proof-read line by line, of GUM H.1, whose rounding GUM 7.2.6 and H.1.7 give (U from the
// unrounded u, 92.5 nm, rounded up). Texts are compared exactly, numbers as they stand.
#include "holdable/base/error.hpp"
#include "holdable/files/document.hpp"
#include "holdable/report/budget_json.hpp"
#include "holdable/report/budget_text.hpp"
#include "holdable/report/page.hpp"
#include "propagate/examples.hpp"

#include <boost/test/unit_test.hpp>

#include <limits>
#include <sstream>
#include <string>
#include <vector>

using namespace holdable;
using namespace holdable::propagate;
using namespace holdable::propagate::examples;

namespace {

const Node& at(const Node& object, const std::string& key) {
    for (const auto& member : object.members)
        if (member.key == key)
            return member.value;
    BOOST_FAIL("no key " << key);
    return object;
}

std::vector<std::string> keys(const Node& object) {
    std::vector<std::string> names;
    for (const auto& member : object.members)
        names.push_back(member.key);
    return names;
}

/// End gauge of GUM H.1 as its file has it: in millimetres, with meanings.
Budget gauge() {
    auto b = end_gauge_gum();
    b.title = "Comparison of an end gauge";
    b.source = "GUM, H.1";
    b.inputs[0].meaning = "length of the standard";
    b.inputs[0].parts[0].evidence = Evidence::certificate;
    b.inputs[2].parts[0].evidence = Evidence::typical;
    b.inputs[5].parts[0].evidence = Evidence::assumed;
    b.outputs = {{"l", "x", {parse_unit("mm")}}};
    return b;
}

BudgetAnswer by_gum(const Budget& budget) {
    return evaluate(budget, {.monte_carlo = false});
}

bool says(const std::string& page, const std::string& text) {
    return page.find(text) != std::string::npos;
}

} // namespace

BOOST_AUTO_TEST_SUITE(budget_reports)

BOOST_AUTO_TEST_CASE(json_has_the_promised_keys) {
    BudgetOptions options;
    options.run.trials = 20'000;
    options.run.seed = 7;
    const auto answer = evaluate(gauge(), options);
    const auto root = parse_document(budget_json(answer), "json");
    using Keys = std::vector<std::string>;
    BOOST_TEST(keys(root) == (Keys{"holdable",
                                   "title",
                                   "coverage",
                                   "seed",
                                   "trials",
                                   "outputs",
                                   "correlation",
                                   "notes"}),
               boost::test_tools::per_element());
    BOOST_TEST(at(root, "holdable").text == "budget-result/1");
    BOOST_TEST(at(root, "title").text == "Comparison of an end gauge");
    BOOST_TEST(at(root, "coverage").number == 0.99);
    BOOST_TEST(at(root, "seed").number == 7);
    BOOST_TEST(at(root, "trials").number == 20'000);
    const auto& l = at(at(root, "outputs"), "l");
    BOOST_TEST(keys(l) == (Keys{"unit",
                                "value",
                                "gum",
                                "monte_carlo",
                                "agreement",
                                "contributions",
                                "correlation_share"}),
               boost::test_tools::per_element());
    BOOST_TEST(at(l, "unit").text == "mm");
    const auto& gum = answer.gum.outputs[0];
    const auto& drawn = answer.monte_carlo->outputs[0];
    BOOST_TEST(at(l, "value").number == gum.value);
    const auto& g = at(l, "gum");
    BOOST_TEST(at(g, "standard").number == gum.standard);
    BOOST_TEST(at(g, "second_order_standard").number == *gum.second_order_standard);
    BOOST_TEST(at(g, "dof").number == *gum.dof);
    BOOST_TEST(at(g, "k").number == gum.k);
    BOOST_TEST(at(g, "expanded").number == gum.expanded);
    BOOST_TEST(at(g, "interval").elements.at(0).number == gum.interval.low);
    BOOST_TEST(at(g, "interval").elements.at(1).number == gum.interval.high);
    const auto& m = at(l, "monte_carlo");
    BOOST_TEST(at(m, "value").number == drawn.value);
    BOOST_TEST(at(m, "standard").number == *drawn.standard);
    BOOST_TEST(at(m, "interval").elements.at(1).number == drawn.interval.high);
    BOOST_TEST(at(m, "shortest").elements.at(0).number == drawn.shortest.low);
    BOOST_TEST(at(m, "value_error").number == drawn.value_error);
    BOOST_TEST(at(m, "standard_error").number == *drawn.standard_error);
    BOOST_TEST(at(m, "interval_error").elements.at(0).number == drawn.interval_error.low);
    BOOST_TEST(at(m, "shortest_error").elements.at(1).number == drawn.shortest_error.high);
    BOOST_TEST(at(m, "shortest_raw").elements.at(1).number == drawn.shortest_raw.high);
    const auto& a = at(l, "agreement");
    BOOST_TEST(at(a, "digits").number == 2);
    BOOST_TEST(at(a, "tolerance").number == answer.agreement[0].tolerance);
    BOOST_TEST(at(a, "difference").elements.at(0).number == answer.agreement[0].difference.low);
    BOOST_TEST(at(a, "gum_valid").boolean == answer.agreement[0].gum_valid);
    const auto& lines = at(l, "contributions").elements;
    BOOST_TEST_REQUIRE(lines.size() == 6U);
    const auto& first = lines[0];
    BOOST_TEST(at(first, "input").text == "ls");
    // GUM Table H.1: c = 1, u = 25 nm, here in mm.
    BOOST_TEST(at(first, "sensitivity").number == 1, boost::test_tools::tolerance(1e-5));
    BOOST_TEST(at(first, "standard").number == 25e-6, boost::test_tools::tolerance(1e-12));
    BOOST_TEST(at(first, "contribution").number == 25e-6, boost::test_tools::tolerance(1e-5));
    BOOST_TEST(at(first, "share").number == gum.contributions[0].share);
    BOOST_TEST(at(first, "dof").number == 18);
    BOOST_TEST(at(first, "evidence").text == "certificate");
    BOOST_TEST((at(lines[2], "dof").kind == Node::Kind::null)); // infinitely many
    BOOST_TEST(at(at(root, "correlation"), "names").elements.at(0).text == "l");
    BOOST_TEST(at(at(root, "correlation"), "matrix").elements.at(0).elements.at(0).number == 1);
}

BOOST_AUTO_TEST_CASE(json_without_monte_carlo) {
    const auto root = parse_document(budget_json(by_gum(gauge())), "json");
    BOOST_TEST(at(root, "trials").number == 0);
    const auto names = keys(at(at(root, "outputs"), "l"));
    BOOST_TEST(names == (std::vector<std::string>{
                            "unit", "value", "gum", "contributions", "correlation_share"}),
               boost::test_tools::per_element());
}

BOOST_AUTO_TEST_CASE(json_of_what_does_not_exist) {
    // |x| at 0 has no derivative; a t with two degrees of freedom no standard deviation.
    auto b = budget({input("x", stats::Student{0, 1, 2})}, "abs(x)");
    b.outputs.push_back({"z", "x"});
    BudgetOptions options;
    options.run.trials = 10'000;
    const auto root = parse_document(budget_json(evaluate(b, options)), "json");
    const auto& y = at(at(root, "outputs"), "y");
    BOOST_TEST((at(at(y, "gum"), "standard").kind == Node::Kind::null));
    BOOST_TEST((at(at(y, "gum"), "interval").kind == Node::Kind::null));
    BOOST_TEST((at(at(y, "monte_carlo"), "standard").kind == Node::Kind::null));
    BOOST_TEST(at(at(y, "monte_carlo"), "interval").elements.size() == 2U);
    BOOST_TEST(!at(at(y, "agreement"), "gum_valid").boolean);
    BOOST_TEST((at(at(root, "joint_factors"), "ellipsoid").kind == Node::Kind::null));
    auto answer = by_gum(gauge());
    answer.gum.outputs[0].value = std::numeric_limits<double>::infinity();
    BOOST_CHECK_THROW(budget_json(answer), NumericError);
    BOOST_CHECK_THROW(budget_text(answer), NumericError);
}

BOOST_AUTO_TEST_CASE(the_result_in_one_line) {
    BOOST_TEST(budget_sentence(by_gum(gauge()).gum.outputs[0], 0.99) ==
               "l = 50.000838 mm, U = 0.000093 mm (k = 2.92, ν_eff = 16, 99 %)");
    GumOutput out;
    out.name = "y";
    out.value = 1234567.8;
    out.standard = 60;
    out.k = 1.959964;
    out.expanded = 117.6;
    BOOST_TEST(budget_sentence(out, 0.95) == "y = 1234570, U = 120 (k = 1.96, ν_eff = ∞, 95 %)");
    out.value = 1.23456e-12;
    out.expanded = 2.11e-15;
    BOOST_TEST(budget_sentence(out, 0.95) ==
               "y = 1.2346e-12, U = 2.2e-15 (k = 1.96, ν_eff = ∞, 95 %)");
    out.value = 999999999999999; // a carry must not need a 16th digit
    out.expanded = 21;
    BOOST_TEST(budget_sentence(out, 0.95) == "y = 1e+15, U = 21 (k = 1.96, ν_eff = ∞, 95 %)");
    out.value = 3;
    out.expanded = 0;
    BOOST_TEST(budget_sentence(out, 0.95) == "y = 3, U = 0 (k = 1.96, ν_eff = ∞, 95 %)");
    out.applies = false;
    BOOST_TEST(budget_sentence(out, 0.95) ==
               "y = 3 at the estimates; the GUM gives no uncertainty");
}

BOOST_AUTO_TEST_CASE(the_page) {
    const std::string expected = R"(Comparison of an end gauge
GUM, H.1

  inputs                            value  standard unit      dof  evidence
  length of the standard, ls    50.000623  0.000025 mm         18  certificate
  d                                 215.0       9.7 nm         25  measured
    part                                        5.8            24  measured
    part                                        3.9             5  measured
    part                                        6.7             8  measured
  alpha_s                            11.5       1.2 ppm/K       ∞  typical
  theta                             -0.10      0.41 K           ∞  measured
    part                                       0.20             ∞  measured
    part                                       0.35             ∞  measured
  dalpha                             0.00      0.58 ppm/K      50  measured
  dtheta                            0.000     0.029 K           2  assumed
  nominal                              50     fixed mm

Result      l = 50.000838 mm, U = 0.000093 mm (k = 2.92, ν_eff = 16, 99 %)
            standard uncertainty        0.000032 mm
            with terms of next order    0.000034 mm
            GUM, 99 %                   50.000746 … 50.000931 mm

  what l is made of                 mm  share                       evidence
  length of the standard, ls 0.0000250   62 %  ▓▓▓▓▓▓▓▓▓▓▓▓         certificate
  dtheta                     0.0000166   27 %  ·····                assumed
  d                          0.0000097  9.3 %  ██                   measured
  dalpha                     0.0000029  0.8 %                       measured
  2 more, each below 0.01 %             0.0 %

Bars: share of the variance, 20 columns are all of it. Hatching: █ measured, ▓
certificate, ▒ specification, ░ typical, · assumed.
)";
    BOOST_TEST(budget_text(by_gum(gauge())) == expected);
}

BOOST_AUTO_TEST_CASE(the_page_of_two_outputs_with_monte_carlo) {
    BudgetOptions options;
    options.run.trials = 100'000;
    const auto page = budget_text(evaluate(impedance(), options));
    BOOST_TEST(says(page, "Monte Carlo value, standard uncertainty"));
    BOOST_TEST(says(page, "shortest"));
    BOOST_TEST(says(page, "its ends are sure to"));
    BOOST_TEST(says(page, "100000, seed 1"));
    BOOST_TEST(says(page, "the GUM's interval may not be used (JCGM 101, clause 8)"));
    BOOST_TEST(says(page, "quote Monte Carlo's"));
    // JCGM 102 9.4: r(R, X) = -0.588.
    BOOST_TEST(says(page, "r and x: -0.588"));
    BOOST_TEST(says(page, "ellipsoid of k = "));
    BOOST_TEST(says(page, "-87 %"));
    std::istringstream lines(page);
    for (std::string line; std::getline(lines, line);)
        BOOST_TEST(columns(line) <= page_width, line);
}

BOOST_AUTO_TEST_CASE(agreement_in_words) {
    BudgetOptions options;
    options.run.trials = 200'000;
    options.run.digits = 1;
    const auto page = budget_text(evaluate(sum_of(4, stats::Normal{0, 1}), options));
    BOOST_TEST(says(page, "the GUM's interval may be used (JCGM 101, clause 8)"));
    BOOST_TEST(!says(page, "Too close"));
    const auto kink =
        budget_text(evaluate(budget({input("x", stats::Normal{0, 1})}, "abs(x)"), options));
    BOOST_TEST(says(kink, "does not apply: Monte Carlo decides"));
    // 101 9.2.3 with two digits of a u of 2: 0.0405 of 0.05, which 20 000 trials cannot tell.
    options.run.digits = 2;
    options.run.trials = 20'000;
    BOOST_TEST(says(budget_text(evaluate(sum_of(4, stats::Rectangular{0, 1.7320508}), options)),
                    "Too close to call"));
}

BOOST_AUTO_TEST_SUITE_END()
