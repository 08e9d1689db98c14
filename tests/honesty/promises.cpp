// SPDX-License-Identifier: MIT
// Whether a promise is kept. Machines are drawn whose every error is known to the test; their shop
// reads them with square, indicator and level, quantised and noisy, and writes its files; the
// library reads the files and promises tolerances of seven kinds; then parts are cut on the true
// machine. "95 % of the parts with 95 % confidence" must hold on at least 95 % of the machines,
// what is said of the next part for at least 95 % of next parts, and YES must be right in at least
// 95 % of the cases, all within the error of the count. Nor may the statement be absurdly wide. The
// same with more machines, and with what is taken for granted broken on purpose:
// tests/honesty/long, docs/honesty.md.
//
// Independence: machine, readings and parts are made by full homogeneous transforms and plain
// random numbers (true_machine.hpp, true_parts.cpp). What the library is told beforehand (class,
// grade, typical values) is true of the population drawn, as a prior must be for its statement to
// mean anything. What is asked is drawn without regard to the machine, as a customer asks.
//
// False alarms: each assertion is on a count of independent machines, each good with a chance of at
// least 0.95 if the statement is honest. The least count allowed is the largest k with
// P(fewer than k) < 1e-9 / 50 by the exact binomial sum, 50 being more than the assertions of this
// kind, so that the whole file fails by chance less than once in 1e9: 164 of 200, 41 of 60. Seeds
// are fixed besides. So few machines find a gross fault; a small one is for tests/honesty/long.
//
// Flatness, walls and roundness take most of the time, and are asked of every eighth machine only.
#include "honesty/trial.hpp"
#include "honesty/true_parts.hpp"

#include <boost/test/unit_test.hpp>

#include <cmath>

using namespace holdable::tests;

namespace {

/// The largest k for which fewer than k of n, each with chance p, has a probability below `rare`.
int least_of(int n, double p, double rare) {
    double below = 0; // P(fewer than k)
    for (int k = 0; k <= n; ++k) {
        below += std::exp(std::lgamma(n + 1) - std::lgamma(k + 1) - std::lgamma(n - k + 1) +
                          k * std::log(p) + (n - k) * std::log1p(-p));
        if (below >= rare)
            return k;
    }
    return n;
}

constexpr double false_alarm = 1e-9 / 50;

void check_honest(const Scenario& s, int machines, double widest) {
    const auto outcome = run(s, machines, 20261125, 8);
    for (std::size_t k = 0; k < kinds; ++k) {
        const auto& t = outcome.tallies[k];
        const auto name = kinds_of_callouts[k].name;
        const double median = quantile(t.width, 0.5);
        BOOST_TEST_MESSAGE(s.name << ", " << name << ": kept " << t.kept << " of " << t.machines
                                  << ", next parts " << t.next_kept << ", YES " << t.yes
                                  << " of which wrong " << t.yes_wrong << ", NO " << t.no
                                  << " of which could be made " << t.no_cautious
                                  << ", median width " << median);
        BOOST_TEST(t.kept >= least_of(t.machines, 0.95, false_alarm), name << " kept " << t.kept);
        BOOST_TEST(t.next_kept >= least_of(t.machines, 0.95, false_alarm),
                   name << " next parts " << t.next_kept);
        BOOST_TEST(t.yes - t.yes_wrong >= least_of(t.yes, 0.95, false_alarm),
                   name << " YES " << t.yes << ", wrong " << t.yes_wrong);
        // A statement that knows the machine's true errors would be 1 wide.
        BOOST_TEST(median < widest, name << " is " << median << " wide");
    }
    // A check is called wrong beyond its 99.9 % point, and a machine has four of them.
    BOOST_TEST(machines - outcome.disagreeing >= least_of(machines, 0.99, false_alarm));
}

} // namespace

BOOST_AUTO_TEST_SUITE(honesty)

BOOST_AUTO_TEST_CASE(least_counts_are_those_of_the_binomial) {
    // Recomputed by exact rational arithmetic (Python's fractions).
    BOOST_TEST(least_of(60, 0.95, false_alarm) == 41);
    BOOST_TEST(least_of(200, 0.95, false_alarm) == 164);
    BOOST_TEST(least_of(500, 0.95, false_alarm) == 437);
    BOOST_TEST(least_of(100, 0.99, false_alarm) == 87);
    BOOST_TEST(least_of(1, 0.95, false_alarm) == 0); // one machine proves nothing
}

BOOST_AUTO_TEST_CASE(promises_are_kept_as_often_as_they_say) {
    check_honest(scenarios()[0], 200, 4);
}

BOOST_AUTO_TEST_CASE(so_they_are_where_little_was_measured) {
    check_honest(scenarios()[1], 60, 6);
}

BOOST_AUTO_TEST_SUITE_END()
