// SPDX-License-Identifier: MIT
// Budget files: every kind and every way to write its numbers against SI numbers typed by hand;
// what is wrong, in full, with places looked up in the text; what is doubtful. Tolerance 1e-12
// relative: some roundings of a double. Student's factors are those of GUM Table G.2. The wording
// of the diagnostics is recorded from the program after reading it.
#include "holdable/files/read_budget.hpp"

#include "files/shop_text.hpp"

#include <boost/test/data/test_case.hpp>
#include <boost/test/unit_test.hpp>

#include <cmath>
#include <string>
#include <variant>
#include <vector>

using namespace holdable;
using namespace holdable::stats;
using propagate::Budget;
using propagate::BudgetInput;
namespace tt = boost::test_tools;

namespace {

Budget read(const std::string& text) {
    return read_budget(parse_document(text, "f"), "f");
}

std::string said(const std::string& text) {
    return holdable::said<Budget>(text, [](const Node& root) { return read_budget(root, "f"); });
}

/// The input x of a file with nothing else.
BudgetInput input(const std::string& members) {
    return read(R"({"holdable": "budget/1", "inputs": {"x": {)" + members +
                R"(}}, "outputs": {"y": {"formula": "x"}}})")
        .inputs.at(0);
}

template <class Law>
Law law(const std::string& members) {
    const auto x = input(members);
    BOOST_TEST_REQUIRE(x.parts.size() == 1U);
    BOOST_TEST_REQUIRE(std::holds_alternative<Law>(x.parts[0].law));
    return std::get<Law>(x.parts[0].law);
}

void near(double found, double expected) {
    BOOST_TEST(std::abs(found - expected) <= 1e-12 * std::abs(expected),
               found << " is " << expected);
}

/// A budget small enough to count its lines.
const std::string base = R"({
  "holdable": "budget/1", "title": "T", "coverage": 0.9,
  "inputs": {
    "a": {"value": "2 mm", "kind": "normal", "standard": "5 µm", "dof": 8},
    "b": {"value": 4.5, "unit": "V", "kind": "rectangular", "half_width": 0.5},
    "t": {"value": "20 °C", "kind": "normal", "standard": "0.5 K"},
    "r": {"kind": "readings", "values": [1, 2, 3], "unit": "µm"},
    "p": {"value": "1 mm", "parts": [
      {"kind": "student", "scale": "2 µm", "dof": 4},
      {"kind": "normal", "expanded": "6 µm", "k": 2}]}
  },
  "correlations": [{"between": ["a", "b"], "coefficient": 0.5}],
  "steps": {"s": "a + r"},
  "outputs": {"y": {"formula": "s + p", "unit": "mm"}}
}
)";

} // namespace

BOOST_AUTO_TEST_SUITE(read_budget_files)

BOOST_AUTO_TEST_CASE(all_of_a_budget) {
    const auto b = read(base);
    BOOST_TEST(b.title == "T");
    BOOST_TEST(b.coverage == 0.9);
    BOOST_TEST(b.notes.empty());
    BOOST_TEST_REQUIRE(b.inputs.size() == 5U);
    BOOST_TEST(b.inputs[0].name == "a");
    BOOST_TEST(b.inputs[0].unit.unit.spelling == "mm");
    BOOST_TEST(b.inputs[3].unit.unit.spelling == "µm");
    near(estimate(b.inputs[4]), 1e-3);
    near(standard_uncertainty(b.inputs[4]), std::sqrt(4e-12 + 9e-12));
    BOOST_TEST_REQUIRE(b.correlations.size() == 1U);
    BOOST_TEST(b.correlations[0].first == "a");
    BOOST_TEST(b.correlations[0].second == "b");
    BOOST_TEST(b.correlations[0].coefficient.value() == 0.5);
    BOOST_TEST_REQUIRE(b.steps.size() == 1U);
    BOOST_TEST(b.steps[0].formula == "a + r");
    BOOST_TEST_REQUIRE(b.outputs.size() == 1U);
    BOOST_TEST(b.outputs[0].unit.unit.spelling == "mm");
}

BOOST_AUTO_TEST_CASE(normal_laws) {
    const auto plain = law<Normal>(R"("value": "2 mm", "kind": "normal", "standard": "5 µm")");
    near(plain.mean, 2e-3);
    near(plain.standard, 5e-6);
    BOOST_TEST(!plain.dof);
    near(law<Normal>(R"("value": 2, "unit": "mm", "kind": "normal", "standard": 0.005)").standard,
         5e-6);
    near(law<Normal>(R"("value": "2 mm", "kind": "normal", "expanded": "75 nm", "k": 3)").standard,
         25e-9);
    // Φ⁻¹(0.975) = 1.959963984540054; t for 95 % and 5 degrees of freedom = 2.5706 (Table
    // G.2: 2.57).
    near(law<Normal>(R"("value": 1, "kind": "normal", "expanded": 1, "confidence": 0.95)").standard,
         1 / 1.959963984540054);
    const auto t = law<Normal>(
        R"("value": 1, "kind": "normal", "expanded": 2.57, "confidence": "95 %", "dof": 5)");
    BOOST_TEST(t.standard == 1, tt::tolerance(0.005 / 2.57));
    near(t.dof.value(), 5);
    // GUM G.4.2: a doubt of 25 % is 8 degrees of freedom.
    near(law<Normal>(R"("value": 1, "kind": "normal", "standard": 1, "doubt": 0.25)").dof.value(),
         8);
    near(law<Normal>(R"("value": 1, "kind": "normal", "standard": 1, "doubt": "25 %")").dof.value(),
         8);
}

BOOST_AUTO_TEST_CASE(other_laws) {
    near(law<Fixed>(R"("value": "-3 µm", "kind": "fixed")").mean, -3e-6);
    const auto student =
        law<Student>(R"("value": "1 mm", "kind": "student", "scale": "2 µm", "dof": 4)");
    near(student.scale, 2e-6);
    near(student.dof, 4);
    const auto rectangle =
        law<Rectangular>(R"("low": "1 mm", "high": "3 mm", "kind": "rectangular", "dof": 7)");
    near(rectangle.mean, 2e-3);
    near(rectangle.half_width, 1e-3);
    near(rectangle.dof.value(), 7);
    near(law<Rectangular>(R"("value": 2, "low": 1, "high": 3, "kind": "rectangular")").half_width,
         1);
    near(law<Triangular>(R"("value": 2, "half_width": 3, "kind": "triangular")").half_width, 3);
    near(law<Arcsine>(R"("low": -0.5, "high": 0.5, "kind": "arcsine")").half_width, 0.5);
    const auto trapezoid =
        law<Trapezoid>(R"("value": 2, "half_width": 3, "top": 0.25, "kind": "trapezoid")");
    near(trapezoid.half_width, 3);
    near(trapezoid.top, 0.25);
    const auto inexact = law<InexactRectangular>(
        R"("value": 2, "half_width": 3, "half_width_doubt": 0.5, "kind": "inexact_rectangular")");
    near(inexact.half_width, 3);
    near(inexact.half_width_doubt, 0.5);
    near(law<Exponential>(R"("mean": "3 µm", "kind": "exponential")").mean, 3e-6);
    const auto gamma = law<Gamma>(R"("mean": "3 µm", "standard": "2 µm", "kind": "gamma")");
    near(gamma.mean, 3e-6);
    near(gamma.standard, 2e-6);
    const auto readings =
        law<Readings>(R"("values": ["1 mm", "1.002 mm"], "kind": "readings")").values;
    BOOST_TEST_REQUIRE(readings.size() == 2U);
    near(readings[1], 1.002e-3);
}

BOOST_AUTO_TEST_CASE(percent_of_the_value) {
    near(law<Normal>(R"("value": "-200 N", "kind": "normal", "standard": "0.5 %")").standard, 1);
    near(
        law<Rectangular>(R"("value": 4, "unit": "HRC", "kind": "rectangular", "half_width": "5 %")")
            .half_width,
        0.2);
    near(law<Normal>(R"("value": "11.5 ppm/K", "kind": "normal", "standard": "10 %")").standard,
         1.15e-6);
    // Where the value is itself in percent, the spread is so many of them; so beside 1 and 0.
    near(law<Normal>(R"("value": "45 %", "kind": "normal", "standard": "2 %")").standard, 0.02);
    near(law<Normal>(R"("value": 1, "kind": "normal", "standard": "2 ppm")").standard, 2e-6);
    near(law<Normal>(R"("value": 0, "kind": "normal", "standard": "2 ppm")").standard, 2e-6);
}

BOOST_AUTO_TEST_CASE(temperatures) {
    const auto x = input(R"("value": "68 °F", "kind": "normal", "standard": "0.9 Δ°F")");
    near(estimate(x), 293.15);
    near(standard_uncertainty(x), 0.5);
    const auto bare = input(R"("value": 20, "unit": "°C", "kind": "rectangular", "half_width": 2)");
    near(estimate(bare), 293.15);
    near(std::get<Rectangular>(bare.parts[0].law).half_width, 2);
    near(estimate(input(R"("low": 96, "high": 104, "unit": "°C", "kind": "triangular")")), 373.15);
    near(estimate(input(R"("values": [19, 21], "unit": "°C", "kind": "readings")")), 293.15);
    near(estimate(input(R"("value": "-0.1 K", "kind": "fixed")")), -0.1);
    // The first part that says where the input lies is a temperature, the next are differences.
    const auto parts = input(R"("parts": [
        {"kind": "rectangular", "half_width": "1 K"},
        {"kind": "readings", "values": [19, 21], "unit": "°C"},
        {"kind": "arcsine", "low": "-0.5 K", "high": "0.7 K"}])");
    near(estimate(parts), 293.25);
    BOOST_TEST(parts.unit.unit.spelling == "°C");
}

BOOST_AUTO_TEST_CASE(parts_and_their_units) {
    const auto x = input(R"("value": 215, "unit": "nm", "evidence": "typical", "parts": [
        {"meaning": "comparator", "kind": "normal", "standard": 6},
        {"kind": "normal", "standard": 0.008, "unit": "µm", "evidence": "certificate"}])");
    near(estimate(x), 215e-9);
    near(standard_uncertainty(x), 10e-9);
    BOOST_TEST(x.parts[0].meaning == "comparator");
    BOOST_TEST((x.parts[0].evidence == Evidence::typical));
    BOOST_TEST((x.parts[1].evidence == Evidence::certificate));
    // A lone part is as good as none.
    near(standard_uncertainty(
             input(R"("value": "1 mm", "parts": [{"kind": "normal", "standard": "1 µm"}])")),
         1e-6);
}

BOOST_AUTO_TEST_CASE(nothing_needs_no_unit) {
    const auto x = input(R"("value": 0, "kind": "rectangular", "half_width": "2 µm")");
    BOOST_TEST(estimate(x) == 0);
    BOOST_TEST(x.unit.unit.spelling == "µm");
    near(std::get<Rectangular>(x.parts[0].law).half_width, 2e-6);
}

BOOST_AUTO_TEST_CASE(units_not_known) {
    const auto x = input(R"("value": "30.04 dB", "kind": "normal", "standard": "0.5 dB")");
    BOOST_TEST(!x.unit.known);
    BOOST_TEST(x.unit.unit.spelling == "dB");
    near(estimate(x), 30.04);
    near(standard_uncertainty(x), 0.5);
}

BOOST_AUTO_TEST_CASE(evidence_where_none_is_said) {
    const auto usual = [](const std::string& members) { return input(members).parts[0].evidence; };
    BOOST_TEST((usual(R"("values": [1, 2, 3], "kind": "readings")") == Evidence::measured));
    BOOST_TEST(
        (usual(R"("value": 1, "scale": 2, "dof": 3, "kind": "student")") == Evidence::measured));
    BOOST_TEST(
        (usual(R"("value": 1, "expanded": 2, "k": 2, "kind": "normal")") == Evidence::certificate));
    BOOST_TEST((usual(R"("value": 1, "standard": 2, "kind": "normal")") == Evidence::assumed));
    BOOST_TEST((usual(R"("value": 1, "standard": 2, "kind": "normal", "evidence": "measured")") ==
                Evidence::measured));
}

BOOST_AUTO_TEST_CASE(several_names_are_every_pair) {
    const auto b = read(changed(base, {{"[\"a\", \"b\"]", "[\"a\", \"b\", \"t\"]"}}));
    BOOST_TEST_REQUIRE(b.correlations.size() == 3U);
    BOOST_TEST(b.correlations[2].first == "b");
    BOOST_TEST(b.correlations[2].second == "t");
    BOOST_TEST(b.correlations[2].coefficient.value() == 0.5);
}

namespace {

const Changed cases[] = {
    {{{"\"budget/1\"", "\"machine/2\""}},
     "f:2:15: error: expected a file \"budget/1\", found \"machine/2\" [file-format]\n"
     "    at /holdable\n"
     "    hint: a budget file begins with \"holdable\": \"budget/1\""},
    {{{"\"holdable\": \"budget/1\", ", ""}},
     "f:1:1: error: the key \"holdable\" is missing [key-missing]"},
    {{{"\"title\": \"T\"", "\"titel\": \"T\""}, {"0.9", "95"}},
     "f:2:27: error: unknown key \"titel\" [key-unknown]\n"
     "    at /titel\n"
     "    hint: did you mean \"title\"?\n"
     "f:2:53: error: the coverage 95 is not between 0 and 1 [budget-coverage]\n"
     "    at /coverage\n"
     "    hint: write 0.95 for 95 %"},
    {{{"\"coverage\": 0.9", "\"coverage\": \"90 mm\""}},
     "f:2:53: error: \"90 mm\" is not a number, as in \"5 %\" or \"12 ppm\" [unit-wrong]\n"
     "    at /coverage"},
    {{{"\"kind\": \"normal\", \"standard\": \"5 µm\", \"dof\": 8",
       "\"kind\": \"normal\", \"standard\": \"5 µm\", \"expanded\": \"5 µm\", \"k\": 2, \"dof\": "
       "8, \"doubt\": 0.1"}},
     "f:4:10: error: \"standard\" and \"expanded\" both stand here [given-twice]\n"
     "    at /inputs/a\n"
     "    hint: the two say the same thing: remove one of them\n"
     "f:4:10: error: \"dof\" and \"doubt\" both stand here [given-twice]\n"
     "    at /inputs/a\n"
     "    hint: the two say the same thing: remove one of them"},
    {{{"\"standard\": \"5 µm\", ", ""}},
     "f:4:10: error: the key \"standard\" is missing [key-missing]\n"
     "    at /inputs/a\n"
     "    hint: or \"expanded\", with \"k\" or \"confidence\""},
    {{{"\"standard\": \"5 µm\"", "\"standrd\": \"5 µm\""}},
     "f:4:46: error: unknown key \"standrd\" [key-unknown]\n"
     "    at /inputs/a/standrd\n"
     "    hint: did you mean \"standard\"?"},
    {{{"\"standard\": \"5 µm\"", "\"standard\": \"5 µV\""}},
     "f:4:58: error: \"5 µV\" does not go with the unit \"mm\" of the input [unit-wrong]\n"
     "    at /inputs/a/standard"},
    {{{"\"standard\": \"5 µm\"", "\"standard\": \"-5 µm\""}},
     "f:4:58: error: \"-5 µm\" is out of range: a spread is 0 or more [value-range]\n"
     "    at /inputs/a/standard"},
    {{{"\"standard\": \"5 µm\"", "\"standard\": 5"}},
     "f:4:58: error: 5 has no unit [unit-missing]\n"
     "    at /inputs/a/standard\n"
     "    hint: write it in quotes with its unit, or give the unit of bare numbers once, as in "
     "\"unit\": \"mm\""},
    {{{"\"standard\": \"5 µm\"", "\"standard\": \"5 mil\""}},
     "f:4:58: error: unit \"mil\": a mil is 0.001 in to some and a millimetre to others "
     "[unit-refused]\n"
     "    at /inputs/a/standard\n"
     "    hint: write \"0.001 in\" (or \"1 thou\") or \"1 mm\""},
    {{{"\"standard\": \"5 µm\"", "\"standard\": \"5 µm\", \"k\": 2"}},
     "f:4:66: error: unknown key \"k\" [key-unknown]\n"
     "    at /inputs/a/k\n"
     "    hint: known here: \"meaning\", \"unit\", \"parts\", \"evidence\", \"kind\", \"value\", "
     "\"standard\", \"expanded\", \"dof\", \"doubt\""},
    {{{"\"standard\": \"5 µm\"", "\"expanded\": \"5 µm\""}},
     "f:4:58: error: an expanded uncertainty without the factor it was made with says nothing "
     "[certificate-k]\n"
     "    at /inputs/a/expanded\n"
     "    hint: add \"k\": 2 as the certificate states it, or \"confidence\": 0.95"},
    {{{"\"standard\": \"5 µm\"", "\"expanded\": \"5 µm\", \"confidence\": 95"}},
     "f:4:80: error: 95 is out of range: it must be at least 0.01 and less than 1 [value-range]\n"
     "    at /inputs/a/confidence"},
    {{{"\"standard\": \"5 µm\"", "\"expanded\": \"5 µm\", \"confidence\": 0.95, \"k\": 2"}},
     "f:4:10: error: \"k\" and \"confidence\" both stand here [given-twice]\n"
     "    at /inputs/a\n"
     "    hint: the two say the same thing: remove one of them"},
    {{{"\"kind\": \"normal\", \"standard\": \"5 µm\"",
       "\"kind\": \"gauss\", \"standard\": \"5 µm\""}},
     "f:4:36: error: unknown word \"gauss\" [word-unknown]\n"
     "    at /inputs/a/kind\n"
     "    hint: known here: \"fixed\", \"normal\", \"student\", \"rectangular\", \"triangular\", "
     "\"arcsine\", \"trapezoid\", \"inexact_rectangular\", \"exponential\", \"gamma\", "
     "\"readings\""},
    {{{"\"value\": \"2 mm\", ", ""}},
     "f:4:10: error: the key \"value\" is missing [key-missing]\n"
     "    at /inputs/a\n"
     "    hint: a correction whose estimate is 0 is written as 0"},
    {{{"\"value\": \"2 mm\"", "\"value\": \"2\""}},
     "f:4:20: error: \"2\" has no unit [unit-missing]\n"
     "    at /inputs/a/value\n"
     "    hint: add one, as in \"0.0002 in\", \"12 µm\", \"68 °F\""},
    {{{"\"value\": \"2 mm\"", "\"value\": true"}},
     "f:4:20: error: expected a number with its unit, as in \"12 µm\", found true [field-kind]\n"
     "    at /inputs/a/value"},
    {{{"\"dof\": 8", "\"dof\": 0"}},
     "f:4:73: error: 0 is out of range: it must be at least 0.5 [value-range]\n"
     "    at /inputs/a/dof"},
    {{{"\"dof\": 8", "\"doubt\": 2"}},
     "f:4:75: error: 2 is out of range: it must be at least 1e-06 and at most 1 [value-range]\n"
     "    at /inputs/a/doubt"},
    {{{"\"value\": \"2 mm\", \"kind\": \"normal\", \"standard\": \"5 µm\", \"dof\": 8",
       "\"kind\": \"gamma\", \"mean\": \"2 mm\", \"standard\": \"5 nm\""}},
     "f:4:56: error: out of range: the mean is 4e+05 times the standard deviation [value-range]\n"
     "    at /inputs/a/standard\n"
     "    hint: it must be 0.01 to 1000 times"},
    {{{"\"dof\": 8", "\"doubt\": \"25 %\", \"evidence\": \"hearsay\""}},
     "f:4:95: error: unknown word \"hearsay\" [word-unknown]\n"
     "    at /inputs/a/evidence\n"
     "    hint: known here: \"measured\", \"certificate\", \"specification\", \"typical\", "
     "\"assumed\""},
    {{{"\"half_width\": 0.5", "\"half_width\": \"5 mm\""}},
     "f:5:75: error: \"5 mm\" does not go with the unit \"V\" of the input [unit-wrong]\n"
     "    at /inputs/b/half_width"},
    {{{"\"half_width\": 0.5", "\"low\": 4, \"high\": 4.5"}},
     "f:5:20: error: the value is not in the middle of \"low\" and \"high\" [budget-limits]\n"
     "    at /inputs/b/value\n"
     "    hint: these kinds are symmetric: leave the value out to use the middle, or make the "
     "difference an input of its own (GUM 4.3.8)"},
    {{{"\"half_width\": 0.5", "\"low\": 5, \"high\": 4"}},
     "f:5:79: error: \"high\" is not above \"low\" [budget-limits]\n"
     "    at /inputs/b/high"},
    {{{"\"half_width\": 0.5", "\"low\": 4, \"high\": 5, \"half_width\": 0.5"}},
     "f:5:10: error: \"half_width\" and \"low\" both stand here [given-twice]\n"
     "    at /inputs/b\n"
     "    hint: the two say the same thing: remove one of them"},
    {{{"\"half_width\": 0.5", "\"high\": 5"}},
     "f:5:10: error: the key \"low\" is missing [key-missing]\n"
     "    at /inputs/b\n"
     "    hint: \"low\" and \"high\" stand together"},
    {{{"\"half_width\": 0.5", "\"half_widht\": 0.5"}},
     "f:5:61: error: unknown key \"half_widht\" [key-unknown]\n"
     "    at /inputs/b/half_widht\n"
     "    hint: did you mean \"half_width\"?"},
    {{{"\"value\": 4.5, \"unit\": \"V\"", "\"value\": 4.5"},
      {"\"half_width\": 0.5", "\"half_width\": \"5 %\""}},
     "f:5:62: error: \"5 %\" is a part of the value, or a number as it stands? [percent-of-what]\n"
     "    at /inputs/b/half_width\n"
     "    hint: write the spread in the unit of the value"},
    {{{"\"value\": 4.5", "\"value\": 0"}, {"\"half_width\": 0.5", "\"half_width\": \"5 %\""}},
     "f:5:73: error: \"5 %\" is a part of nothing: the value is 0, or not given [percent-of-what]\n"
     "    at /inputs/b/half_width\n"
     "    hint: write the spread in the unit of the value"},
    {{{"\"unit\": \"V\"", "\"unit\": \"mil\""}},
     "f:5:33: error: unit \"mil\": a mil is 0.001 in to some and a millimetre to others "
     "[unit-refused]\n"
     "    at /inputs/b/unit\n"
     "    hint: write \"0.001 in\" (or \"1 thou\") or \"1 mm\""},
    {{{"\"unit\": \"V\"", "\"unit\": \"furlong\""},
      {"\"half_width\": 0.5", "\"half_width\": \"1 rod\""}},
     "f:5:81: error: \"1 rod\" does not go with the unit \"furlong\" of the input [unit-wrong]\n"
     "    at /inputs/b/half_width\n"
     "    hint: the unit \"furlong\" is not known, and only carried by its spelling: write it "
     "alike everywhere"},
    {{{"\"unit\": \"V\"", "\"unit\": \"v\""}},
     "f:5: the unit \"v\" is not known; did you mean \"V\"?"},
    {{{"\"kind\": \"rectangular\", \"half_width\": 0.5",
       "\"kind\": \"trapezoid\", \"half_width\": 0.5, \"top\": 2"}},
     "f:5:85: error: 2 is out of range: it must be at least 0 and at most 1 [value-range]\n"
     "    at /inputs/b/top"},
    {{{"\"kind\": \"rectangular\", \"half_width\": 0.5",
       "\"kind\": \"inexact_rectangular\", \"half_width\": 0.5, \"half_width_doubt\": 0.5"}},
     "f:5:10: error: \"half_width_doubt\" is not below \"half_width\" [distribution-parameter]\n"
     "    at /inputs/b\n"
     "    hint: the half-width must be above 0 with its doubt taken off"},
    {{{"\"value\": 4.5, \"unit\": \"V\", \"kind\": \"rectangular\", \"half_width\": 0.5",
       "\"kind\": \"exponential\", \"mean\": 0, \"unit\": \"V\""}},
     "f:5:42: error: 0 is out of range: it must be more than 0 [value-range]\n"
     "    at /inputs/b/mean"},
    {{{"\"standard\": \"0.5 K\"", "\"standard\": \"0.5 °C\""}},
     "f:6:59: error: \"0.5 °C\" does not go with the unit \"°C\" of the input [unit-wrong]\n"
     "    at /inputs/t/standard\n"
     "    hint: °C and °F alone are temperatures: write a difference as \"2 K\" or \"3.6 Δ°F\""},
    {{{"\"standard\": \"0.5 K\"", "\"standard\": \"1 %\""}},
     "f:6:59: error: \"1 %\" is a part of nothing: the value is a temperature [percent-of-what]\n"
     "    at /inputs/t/standard\n"
     "    hint: write the spread in the unit of the value"},
    {{{"\"value\": \"20 °C\"", "\"value\": 0"},
      {"\"standard\": \"0.5 K\"", "\"unit\": \"mm\", \"standard\": \"0.5 K\""}},
     "f:6:67: error: \"0.5 K\" does not go with the unit \"mm\" of the input [unit-wrong]\n"
     "    at /inputs/t/standard"},
    {{{"\"value\": \"20 °C\", \"kind\": \"normal\"",
       "\"value\": 0, \"kind\": \"rectangular\", \"low\": \"19 °C\", \"high\": \"21 °C\""},
      {", \"standard\": \"0.5 K\"", ""}},
     "f:6:20: error: 0 has no unit [unit-missing]\n"
     "    at /inputs/t/value\n"
     "    hint: write it in quotes with its unit, or give the unit of bare numbers once, as in "
     "\"unit\": \"mm\""},
    {{{"\"value\": \"20 °C\"", "\"value\": \"20 K\""},
      {"\"standard\": \"0.5 K\"", "\"unit\": \"°C\", \"standard\": \"0.5 K\""}},
     "f:6:20: error: \"20 K\" does not go with the unit \"°C\" of the input [unit-wrong]\n"
     "    at /inputs/t/value\n"
     "    hint: K and Δ°F are differences: write a temperature as \"20 °C\" or \"68 °F\""},
    {{{"\"value\": \"20 °C\", \"kind\": \"normal\", \"standard\": \"0.5 K\"",
       "\"value\": -300, \"unit\": \"°C\", \"kind\": \"fixed\""}},
     "f:6:20: error: -300 is below absolute zero [value-range]\n"
     "    at /inputs/t/value"},
    {{{"\"value\": \"20 °C\", \"kind\": \"normal\", \"standard\": \"0.5 K\"",
       "\"value\": \"20 °C\", \"unit\": \"K\", \"kind\": \"fixed\""}},
     "f:6:20: error: \"20 °C\" does not go with the unit \"K\" of the input [unit-wrong]\n"
     "    at /inputs/t/value\n"
     "    hint: the input is a difference of temperatures: write \"2 K\" or \"3.6 Δ°F\""},
    {{{"[1, 2, 3]", "[1]"}},
     "f:7:10: error: 1 reading(s) show no scatter [distribution-parameter]\n"
     "    at /inputs/r\n"
     "    hint: give two readings or more, or another kind"},
    {{{"[1, 2, 3]", "[1, 2]"}}, "f:7: two readings say little of their scatter"},
    {{{"[1, 2, 3]", "[2, 2, 2]"}},
     "f:7: all readings are the same: the resolution hides their scatter"},
    {{{"\"values\": [1, 2, 3]", "\"values\": []"}},
     "f:7:10: error: 0 reading(s) show no scatter [distribution-parameter]\n"
     "    at /inputs/r\n"
     "    hint: give two readings or more, or another kind"},
    {{{"\"values\": [1, 2, 3], \"unit\": \"µm\"", "\"values\": [1, \"2 µm\"]"}},
     "f:7:45: error: \"2 µm\" has a unit, but the input is a number [unit-wrong]\n"
     "    at /inputs/r/values/1"},
    {{{"{\"kind\": \"student\", \"scale\": \"2 µm\", \"dof\": 4}",
       "{\"kind\": \"readings\", \"values\": [1, 2, 4], \"unit\": \"µm\"}"}},
     "f:9: the mean of these readings is added to the value"},
    {{{"\"value\": \"1 mm\", \"parts\"", "\"parts\""}},
     "f:8:10: error: the key \"value\" is missing [key-missing]\n"
     "    at /inputs/p\n"
     "    hint: or one among the parts"},
    {{{"\"parts\": [", "\"kind\": \"normal\", \"parts\": ["}},
     "f:8:28: error: unknown key \"kind\" [key-unknown]\n"
     "    at /inputs/p/kind\n"
     "    hint: known here: \"meaning\", \"unit\", \"parts\", \"evidence\", \"value\""},
    {{{"\"between\": [\"a\", \"b\"]", "\"between\": [\"a\", \"p\"]"}},
     "f:12:20: error: \"p\" has several parts; which of them is meant? [budget-correlation]\n"
     "    at /correlations/0\n"
     "    hint: make the part an input of its own, and add it in a step"},
    {{{"\"between\": [\"a\", \"b\"]", "\"between\": [\"a\"]"}},
     "f:12:32: error: expected the names of two inputs, found 1 [field-kind]\n"
     "    at /correlations/0/between\n"
     "    hint: three names or more mean every pair of them"},
    {{{"\"between\": [\"a\", \"b\"]", "\"between\": [\"a\", \"b\", \"q\"]"}},
     "f:12:20: error: there is no input \"q\" [budget-correlation]\n"
     "    at /correlations/0\n"
     "    hint: a correlation stands between two inputs"},
    {{{"\"coefficient\": 0.5", "\"coefficient\": 1.5"}},
     "f:12:20: error: the coefficient 1.5 is not within -1 and 1 [budget-correlation]\n"
     "    at /correlations/0\n"
     "    hint: it is the covariance over the product of the standard uncertainties"},
    {{{", \"coefficient\": 0.5", ""}},
     "f:12:20: error: \"a\" and \"b\" are not readings taken in pairs [budget-correlation]\n"
     "    at /correlations/0\n"
     "    hint: give a coefficient, or the same number of readings of both"},
    {{{"\"s\": \"a + r\"", "\"s\": \"a + r * (2\""}},
     "f:13:27: error: this parenthesis is never closed [formula-syntax]\n"
     "    at /steps/s\n"
     "    hint:     a + r * (2\n"
     "                      ^"},
    {{{"\"s\": \"a + r\"", "\"s\": \"a + t\""}},
     "f:13:21: error: a temperature cannot be added to a length (m) [formula-dimension]\n"
     "    at /steps/s\n"
     "    hint:     a + t\n"
     "                ^"},
    {{{"\"s\": \"a + r\"", "\"a\": \"a + r\""}, {"\"s + p\"", "\"a + p\""}},
     "f:13:18: error: \"a\" is given twice [budget-name]\n"
     "    at /steps/a\n"
     "    hint: give each input and step a name of its own"},
    {{{"\"s\": \"a + r\"", "\"s\": \"a + q\""}},
     "f:13:23: error: unknown name \"q\" [formula-name]\n"
     "    at /steps/s\n"
     "    hint:     a + q\n"
     "                  ^"},
    {{{"\"s\": \"a + r\"", "\"s\": 3"}},
     "f:13:18: error: expected a string, found the number 3 [field-kind]\n"
     "    at /steps/s"},
    {{{"\"s + p\"", "\"b + p\""}},
     "f:14:35: error: a length (m) cannot be added to a quantity in m^2·kg/s^3/A "
     "[formula-dimension]\n"
     "    at /outputs/y/formula\n"
     "    hint:     b + p\n"
     "                ^"},
    {{{"\"s + p\"", "\"s + p + sin(1, 2) + 1/0\""}},
     "f:14:41: error: \"sin\" takes 1 argument, not 2 [formula-arity]\n"
     "    at /outputs/y/formula\n"
     "    hint:     s + p + sin(1, 2) + 1/0\n"
     "                      ^"},
    {{{"\"unit\": \"mm\"}}\n}", "\"unit\": \"µV\"}}\n}"}},
     "f:14:33: error: the result is a length (m), but the unit \"µV\" is for a quantity in "
     "m^2·kg/s^3/A [formula-dimension]\n"
     "    at /outputs/y/formula\n"
     "    hint:     s + p\n"
     "              ^"},
    {{{"{\"y\": {\"formula\": \"s + p\", \"unit\": \"mm\"}}", "{}"}},
     "f:14:14: error: the budget asks for nothing [budget-empty]\n"
     "    at /outputs\n"
     "    hint: give an output with its formula"},
    {{{"\"y\": {\"formula\": \"s + p\", \"unit\": \"mm\"}", "\"y\": {\"unit\": \"mm\"}"}},
     "f:14:20: error: the key \"formula\" is missing [key-missing]\n"
     "    at /outputs/y"},
    {{{"\"outputs\": {\"y\": {\"formula\": \"s + p\", \"unit\": \"mm\"}}", "\"outputs\": []"}},
     "f:14:14: error: expected an object, found an array [field-kind]\n"
     "    at /outputs"},
    {{{"\"p\":", "\"p q\":"}, {"s + p", "s"}},
     "f:8:12: error: \"p q\" cannot stand in a formula [budget-name]\n"
     "    at /inputs/p q\n"
     "    hint: a name begins with a letter and is neither pi nor a function"},
    {{{"\"standard\": \"5 µm\"", "\"standard\": \"5 V\""}, {"s + p", "s + (p"}},
     "f:4:58: error: \"5 V\" does not go with the unit \"mm\" of the input [unit-wrong]\n"
     "    at /inputs/a/standard\n"
     "f:14:37: error: this parenthesis is never closed [formula-syntax]\n"
     "    at /outputs/y/formula\n"
     "    hint:     s + (p\n"
     "                  ^"},
};

} // namespace

BOOST_DATA_TEST_CASE(what_is_said, boost::unit_test::data::make(cases)) {
    BOOST_TEST(said(changed(base, sample.changes)) == sample.expected);
}

BOOST_AUTO_TEST_CASE(all_ids_are_among_them) {
    const std::set<std::string> ids = {"budget-correlation",
                                       "budget-coverage",
                                       "budget-empty",
                                       "budget-limits",
                                       "budget-name",
                                       "certificate-k",
                                       "distribution-parameter",
                                       "field-kind",
                                       "file-format",
                                       "formula-arity",
                                       "formula-dimension",
                                       "formula-name",
                                       "formula-syntax",
                                       "given-twice",
                                       "key-missing",
                                       "key-unknown",
                                       "percent-of-what",
                                       "unit-missing",
                                       "unit-refused",
                                       "unit-wrong",
                                       "value-range",
                                       "word-unknown"};
    BOOST_TEST(ids_in(cases) == ids, tt::per_element());
}

BOOST_AUTO_TEST_SUITE_END()
