// SPDX-License-Identifier: MIT
// What a budget refuses, by its error ids and places; how parts and paired readings combine,
// against the GUM's printed numbers, each to its printed digits.
#include "holdable/propagate/budget.hpp"

#include "examples.hpp"
#include "holdable/base/error.hpp"

#include <boost/test/unit_test.hpp>

#include <algorithm>
#include <ostream>

using namespace holdable;
using namespace holdable::propagate;
using namespace holdable::propagate::examples;
using namespace holdable::stats;
namespace tt = boost::test_tools;

namespace {

struct Finding {
    std::string id, pointer;

    bool operator==(const Finding&) const = default;

    friend std::ostream& operator<<(std::ostream& out, const Finding& f) {
        return out << f.id << " " << f.pointer;
    }
};

std::vector<Finding> found(const Budget& b) {
    std::vector<Finding> result;
    try {
        compile(b);
    } catch (const InputError& error) {
        for (const auto& d : error.diagnostics())
            result.push_back({d.id, d.location.pointer});
    }
    return result;
}

void check_found(const Budget& b, const std::vector<Finding>& expected) {
    const auto result = found(b);
    BOOST_TEST(result == expected, tt::per_element());
}

} // namespace

BOOST_AUTO_TEST_SUITE(budget_tests)

BOOST_AUTO_TEST_CASE(a_sound_budget_compiles) {
    const auto tape = compile(end_gauge_nine()).tape;
    BOOST_TEST(tape.inputs == 10U);
    BOOST_TEST(tape.outputs.size() == 1U);
}

BOOST_AUTO_TEST_CASE(everything_wrong_is_said_at_once) {
    Budget b = budget({input("x", Rectangular{0, -1}), input("x", Fixed{1}), input("pi", Fixed{3})},
                      "x + q");
    b.inputs.push_back({.name = "empty", .parts = {}});
    b.inputs.push_back({.name = "two", .parts = {{Normal{0, 1}}, {Normal{0, -1}}}});
    b.coverage = 95;
    b.steps = {{"x", "1"}, {"s", "x +"}};
    b.outputs.push_back({"y", "x"});
    check_found(b,
                {{"distribution-parameter", "/inputs/x"},
                 {"budget-name", "/inputs/x"},
                 {"budget-name", "/inputs/pi"},
                 {"budget-empty", "/inputs/empty"},
                 {"distribution-parameter", "/inputs/two/parts/1"},
                 {"budget-name", "/steps/x"},
                 {"budget-name", "/outputs/y"},
                 {"budget-coverage", "/coverage"},
                 {"formula-syntax", "/steps/s"},
                 {"formula-name", "/outputs/y/formula"}});
}

BOOST_AUTO_TEST_CASE(units_are_checked) {
    Budget b = end_gauge_nine();
    b.outputs.front().unit.unit = parse_unit("K");
    check_found(b, {{"formula-dimension", "/outputs/y/formula"}});
    // Unknown units are carried: the same spelling is no news, another is a label.
    Budget c = budget({input("v", Normal{5, 0.1})}, "v");
    c.inputs[0].unit = {{"flicks"}, false};
    c.outputs[0].unit = {{"flicks"}, false};
    BOOST_TEST_REQUIRE(compile(c).notes.size() == 1U);
    BOOST_TEST(compile(c).notes[0].find("carried") != std::string::npos);
    c.outputs[0].unit = {{"clicks"}, false};
    BOOST_TEST_REQUIRE(compile(c).notes.size() == 2U);
    BOOST_TEST(compile(c).notes[1].find("label") != std::string::npos);
}

BOOST_AUTO_TEST_CASE(nothing_asked) {
    Budget b;
    check_found(b, {{"budget-empty", "/outputs"}});
}

BOOST_AUTO_TEST_CASE(correlations_that_do_not_stand) {
    Budget b = budget({input("x", Normal{0, 1}),
                       input("y", Readings{{1, 2}}),
                       input("z", Readings{{1, 2, 4}}),
                       {.name = "two", .parts = {{Normal{0, 1}}, {Normal{0, 1}}}}},
                      "x");
    b.correlations = {{"x", "q", 0.5},
                      {"x", "x", 0.5},
                      {"x", "two", 0.5},
                      {"x", "y", 1.5},
                      {"y", "x", 0.5},
                      {"y", "z"},
                      {"x", "z"}};
    std::vector<Finding> expected;
    for (std::size_t c = 0; c < b.correlations.size(); ++c)
        expected.push_back({"budget-correlation", "/correlations/" + std::to_string(c)});
    check_found(b, expected);
}

BOOST_AUTO_TEST_CASE(parts_combine) {
    // GUM H.1.3.2: u(d) = 9.7 nm with 25.6 degrees of freedom from rounded parts, 25.4 unrounded.
    const auto b = end_gauge_gum();
    BOOST_TEST(estimate(b.inputs[1]) == 215e-9, tt::tolerance(1e-14));
    BOOST_TEST(std::round(standard_uncertainty(b.inputs[1]) * 1e10) == 97);
    BOOST_TEST(std::round(degrees_of_freedom(b.inputs[1]).value() * 10) == 254);
    auto d = b.inputs[1];
    BOOST_TEST((evidence(d) == Evidence::measured));
    d.parts[0].evidence = Evidence::specification;
    d.parts[2].evidence = Evidence::certificate;
    BOOST_TEST((evidence(d) == Evidence::specification));
    // GUM H.1.3.4: u(theta) = 0.41 degrees, infinitely many.
    BOOST_TEST(std::round(standard_uncertainty(b.inputs[3]) * 100) == 41);
    BOOST_TEST(!degrees_of_freedom(b.inputs[3]).has_value());
}

BOOST_AUTO_TEST_CASE(doubt_of_an_uncertainty) {
    // GUM G.4.2 and Table E.1: 25 % is 8, 10 % is 50, 50 % is 2.
    BOOST_TEST(degrees_of_freedom_of_doubt(0.25) == 8);
    BOOST_TEST(degrees_of_freedom_of_doubt(0.10) == 50, tt::tolerance(1e-14));
    BOOST_TEST(degrees_of_freedom_of_doubt(0.50) == 2);
}

BOOST_AUTO_TEST_CASE(paired_readings_correlate) {
    // GUM H.2, Table H.2: r(V, I) = -0.36, r(V, phi) = 0.86, r(I, phi) = -0.65. V and phi are
    // paired because both are with I.
    const auto groups = correlated_groups(impedance());
    BOOST_TEST_REQUIRE(groups.size() == 1U);
    BOOST_TEST(groups[0].readings_together);
    BOOST_TEST(std::round(groups[0].correlation(0, 1) * 100) == -36);
    BOOST_TEST(std::round(groups[0].correlation(0, 2) * 100) == 86);
    BOOST_TEST(std::round(groups[0].correlation(1, 2) * 100) == -65);
}

BOOST_AUTO_TEST_CASE(stated_coefficients_make_groups) {
    Budget b = sum_of(5, Normal{0, 1});
    b.correlations = {{"x1", "x3", 0.5}, {"x4", "x3", -0.5}, {"x2", "x5", 0.0}};
    const auto groups = correlated_groups(b);
    BOOST_TEST_REQUIRE(groups.size() == 1U);
    BOOST_TEST(groups[0].members == (std::vector<std::size_t>{0, 2, 3}), tt::per_element());
    BOOST_TEST(groups[0].correlation(0, 1) == 0.5);
    BOOST_TEST(groups[0].correlation(0, 2) == 0.0);
    BOOST_TEST(groups[0].correlation(1, 2) == -0.5);
    BOOST_TEST(!groups[0].readings_together);
}

BOOST_AUTO_TEST_CASE(impossible_coefficients) {
    Budget b = sum_of(3, Normal{0, 1});
    b.correlations = {{"x1", "x2", 0.9}, {"x1", "x3", 0.9}, {"x2", "x3", -0.9}};
    BOOST_CHECK_THROW(correlated_groups(b), NumericError);
}

BOOST_AUTO_TEST_SUITE_END()
