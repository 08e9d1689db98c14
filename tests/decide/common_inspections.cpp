// SPDX-License-Identifier: MIT
// The formula budgets of common inspections in budgets/methods/ against the gauging files of the
// same set-ups in budgets/gauging/: once what an inspection leaves out is taken from the budget,
// both have the same standard uncertainty and the same known error of temperature. The two share
// the GUM's law, but nothing of the way there: formula, units and limits of the one are text in a
// file, the other's sum is built by decide::budget. Tolerance 1e-9: roundings of sums of a dozen
// terms. The budgets' values are worked by hand, to 1 nm.
#include "holdable/decide/inspection.hpp"
#include "holdable/files/read_gauging.hpp"
#include "machine/budget_file.hpp"

#include <boost/test/data/test_case.hpp>
#include <boost/test/unit_test.hpp>

#include <algorithm>
#include <cmath>
#include <ostream>
#include <string>
#include <variant>
#include <vector>

using namespace holdable;
using namespace holdable::tests;
namespace tt = boost::test_tools;

namespace {

constexpr double mm = 1e-3;

struct SetUp {
    std::string name;   ///< of both files
    std::string output; ///< of the budget
    std::vector<std::string> left_out;
    double value; ///< (mm)
};

std::ostream& operator<<(std::ostream& out, const SetUp& set_up) {
    return out << set_up.name;
}

const SetUp set_ups[] = {
    // 39.9878 read; lean 75 µrad of 6.5 mm; 40 mm of steel, 2 K and 1 K over: 11.7 × 40e-3 × 1
    {"micrometer-shaft",
     "diameter",
     {"zero", "anvils", "lean", "form"},
     39.9878 - 0.0004875 - 0.000468},
    // 60.02 read; lean 1 mrad of 4 mm, and half its square of 60 mm; 60e-3 × (23.6 × 5 - 11.7 × 2)
    {"calliper-step", "depth", {"zero", "lean", "form"}, 60.02 - 0.004 - 0.00003 - 0.005676},
    // ring and 12.8 µm; swing and centring at their means; 32e-3 × (23.6 × 2 - 11.7)
    {"bore-gauge-ring",
     "bore",
     {"zero", "drift", "swing", "centring", "form"},
     32.0004 + 0.0128 - 0.0002 + 0.00008 - 0.001136},
    // 150.03 read; column 0.1e-6 of 150 mm; 150e-3 × (10.5 × 2 - 11.7)
    {"height-gauge-plate",
     "height",
     {"zero", "plate", "rock", "column", "seat", "form"},
     150.03 - 0.000015 - 0.001395},
};

decide::Inspection gauging_file(const std::string& name) {
    const auto path = std::string(HOLDABLE_ROOT) + "/budgets/gauging/" + name + ".json";
    return std::get<decide::Inspection>(read_gauging(parse_document(read_text(path), name), name));
}

} // namespace

BOOST_AUTO_TEST_SUITE(common_inspections)

BOOST_DATA_TEST_CASE(formula_and_inspection_agree, boost::unit_test::data::make(set_ups), set_up) {
    const auto formula = output(method_budget(set_up.name), set_up.output);
    const auto inspection = decide::worth(gauging_file(set_up.name)).error;
    double variance = formula.standard * formula.standard;
    double least = variance;
    for (const auto& name : set_up.left_out) {
        const auto found = std::find_if(formula.contributions.begin(),
                                        formula.contributions.end(),
                                        [&](const auto& c) { return c.input == name; });
        BOOST_REQUIRE_MESSAGE(found != formula.contributions.end(), "no input " << name);
        const double of_it = found->contribution * found->contribution;
        variance -= of_it;
        least = std::min(least, of_it);
    }
    BOOST_TEST(least > 0.0); // what is named is in the budget indeed
    BOOST_TEST(std::sqrt(variance) * mm == inspection.standard, tt::tolerance(1e-9));
    BOOST_TEST(inspection.standard > 0.0);
}

BOOST_DATA_TEST_CASE(values_by_hand, boost::unit_test::data::make(set_ups), set_up) {
    BOOST_TEST(std::abs(output(method_budget(set_up.name), set_up.output).value - set_up.value) <
               1e-6);
}

/// 54 mm and -6 µm, half a clearance of 12 µm under the axis, less the pin; crest 0.5 µm, droop
/// half of 12 × 5/20 µm; 50e-3 × (11.7 × 2 - 11.5). u by hand: blocks, two readings, gain,
/// hysteresis, pin, hole, crest, droop, dirt, plate, seat, temperatures, expansions; 1e-3, as
/// typed.
BOOST_AUTO_TEST_CASE(hole_by_pin) {
    const auto axis = output(method_budget("hole-pin-indicator"), "axis");
    const double value = 54 - 0.006 + 0.0005 + 0.0015 + 4.006 - 8 - 0.000595;
    BOOST_TEST(std::abs(axis.value - value) < 1e-6);
    const double limits[] = {0.4,
                             0.2,
                             0.1,
                             0.5,
                             0.5,
                             6 * 0.03,
                             1,
                             1.125, // pin: 1 and an eighth of the droop
                             0.5,
                             0.5 * 12 * 0.25,
                             1,
                             2,
                             50e-3 * 11.7 * 0.5,
                             50e-3 * 11.5 * 0.5,
                             50e-3 * 2,
                             50e-3 * 1};
    double variance = 1 + 1 + 2 * 2 * 0.625 * 0.625 + 3 * 3 / 6.0;
    for (const double limit : limits)
        variance += limit * limit / 3;
    BOOST_TEST(axis.standard == std::sqrt(variance) * 1e-3, tt::tolerance(1e-3));
}

BOOST_AUTO_TEST_SUITE_END()
