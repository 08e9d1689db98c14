// SPDX-License-Identifier: MIT
// Numerical tolerances and the verdict on the GUM's interval, against JCGM 101 (7.9.2, 9.2, 9.5).
#include "holdable/propagate/agreement.hpp"

#include "examples.hpp"

#include <boost/test/unit_test.hpp>

#include <cmath>

using namespace holdable;
using namespace holdable::propagate;
using namespace holdable::propagate::examples;
using namespace holdable::stats;
namespace tt = boost::test_tools;

namespace {

Agreement compared(const Budget& b, int digits) {
    const auto first = gum(b);
    const auto second = monte_carlo(b, {.trials = 1'000'000});
    return agreement(first.outputs.front(), second.outputs.front(), digits);
}

} // namespace

BOOST_AUTO_TEST_SUITE(agreement_tests)

BOOST_AUTO_TEST_CASE(tolerances) {
    // JCGM 101 7.9.2, examples 1 and 2.
    BOOST_TEST(numerical_tolerance(0.00035, 2) == 0.000005, tt::tolerance(1e-12));
    BOOST_TEST(numerical_tolerance(0.00035, 1) == 0.00005, tt::tolerance(1e-12));
    BOOST_TEST(numerical_tolerance(2, 1) == 0.5, tt::tolerance(1e-12));
    // By hand, at the edges: 9.96 is written 10 · 10⁰.
    BOOST_TEST(numerical_tolerance(9.96, 2) == 0.5, tt::tolerance(1e-12));
    BOOST_TEST(numerical_tolerance(9.94, 2) == 0.05, tt::tolerance(1e-12));
    BOOST_TEST(numerical_tolerance(10, 2) == 0.5, tt::tolerance(1e-12));
    BOOST_TEST(numerical_tolerance(0, 2) == 0);
}

BOOST_AUTO_TEST_CASE(verdicts) {
    // 9.2.2: valid. 9.2.3: differences of 0.04 at δ = 0.05, valid at two digits of u = 2.0. 9.2.4:
    // 2.9 at δ = 0.5, not valid.
    const double root3 = std::sqrt(3.0);
    const auto normal = compared(sum_of(4, Normal{0, 1}), 2);
    BOOST_TEST(normal.tolerance == 0.05, tt::tolerance(1e-12));
    BOOST_TEST(normal.gum_valid);
    BOOST_TEST(normal.certain);
    const auto rectangular = compared(sum_of(4, Rectangular{0, root3}), 1);
    BOOST_TEST(rectangular.gum_valid);
    BOOST_TEST(std::abs(rectangular.difference.low - 0.0405) < 0.015);
    Budget b = sum_of(4, Rectangular{0, root3});
    b.inputs[3].parts[0].law = Rectangular{0, 10 * root3};
    const auto mixed = compared(b, 2);
    BOOST_TEST(mixed.tolerance == 0.5, tt::tolerance(1e-12));
    BOOST_TEST(!mixed.gum_valid);
    BOOST_TEST(mixed.certain);
    BOOST_TEST(std::abs(mixed.difference.high - 2.876) < 0.05); // 19.8915 - 17.0158
}

BOOST_AUTO_TEST_CASE(a_verdict_within_its_own_errors_is_not_certain) {
    // By hand, u = 1.0 and δ = 0.05: a difference d at one end with standard error e is certain
    // where d + 2e ≤ δ or d − 2e > δ.
    const struct {
        double difference, error;
        bool valid, certain;
    } rows[] = {{0.04, 0.004, true, true},
                {0.04, 0.006, true, false},
                {0.08, 0.014, false, true},
                {0.08, 0.016, false, false}};

    for (const auto& row : rows)
        for (const bool low : {true, false}) {
            GumOutput first;
            first.standard = 1;
            first.interval = {-2, 2};
            MonteCarloOutput second;
            second.standard = 1;
            second.interval = first.interval;
            (low ? second.interval.low : second.interval.high) += row.difference;
            (low ? second.interval_error.low : second.interval_error.high) = row.error;
            const auto a = agreement(first, second, 2);
            BOOST_TEST(a.gum_valid == row.valid);
            BOOST_TEST(a.certain == row.certain, row.difference << " +- " << row.error);
        }
}

BOOST_AUTO_TEST_CASE(where_first_order_fails) {
    // JCGM 101 9.4: x1² + x2² at 0 has no first-order uncertainty.
    const auto flat = compared(
        budget({input("x1", Normal{0, 0.005}), input("x2", Normal{0, 0.005})}, "x1^2 + x2^2"), 2);
    BOOST_TEST(!flat.gum_valid);
    const auto kink = compared(budget({input("x", Normal{0, 1})}, "abs(x)"), 2);
    BOOST_TEST(!kink.gum_valid);
    BOOST_TEST(kink.certain);
    const auto fixed = compared(budget({input("x", Fixed{0.1})}, "3*x"), 2);
    BOOST_TEST(fixed.gum_valid);
}

BOOST_AUTO_TEST_SUITE_END()
