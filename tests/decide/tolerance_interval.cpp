// SPDX-License-Identifier: MIT
// Tolerance intervals. Factors and sample sizes against tests/reference/capability.json (other
// quadratures, one printed table), to the digits given there. Against simulated samples, which need
// none of the formulas: how often the interval holds its share, within five standard errors. And
// where both factors meet what is known otherwise: no doubt of the mean, many readings.
#include "holdable/decide/tolerance_interval.hpp"

#include "holdable/stats/normal.hpp"
#include "reference.hpp"

#include <boost/test/unit_test.hpp>

#include <cmath>
#include <limits>
#include <random>

using namespace holdable;
using namespace holdable::decide;
namespace tt = boost::test_tools;

namespace {

/// Half a unit of the last digit given.
auto given_digits(const nlohmann::json& set) {
    return tt::tolerance(0.5 * std::pow(10.0, 1 - set["digits"].get<int>()));
}

Basis basis_of(const nlohmann::json& set) {
    return {set["n"].get<double>(),
            set["dof"].is_string() ? std::numeric_limits<double>::infinity()
                                   : set["dof"].get<double>()};
}

template <class Factor>
void factors(const char* name, Factor factor) {
    for (const auto& set : reference::sets("capability", name))
        BOOST_TEST_CONTEXT(set.dump())
    BOOST_TEST(factor(set["P"].get<double>(), set["C"].get<double>(), basis_of(set)) ==
                   set["expected"].get<double>(),
               given_digits(set));
}

template <class Size>
void sizes(const char* name, Size size) {
    for (const auto& set : reference::sets("capability", name))
        BOOST_TEST(size(set["P"].get<double>(), set["C"].get<double>()) ==
                   set["expected"].get<int>());
}

} // namespace

BOOST_AUTO_TEST_SUITE(tolerance_interval)

BOOST_AUTO_TEST_CASE(factors_of_reference) {
    factors("one_sided_factor", one_sided_factor);
    factors("two_sided_factor", two_sided_factor);
    factors("two_sided_factor_approximate", two_sided_factor_approximate);
    for (const auto& set : reference::sets("capability", "noncentral_t_quantile"))
        BOOST_TEST(noncentral_t_quantile(set["p"].get<double>(),
                                         set["nu"].get<double>(),
                                         set["delta"].get<double>()) ==
                       set["expected"].get<double>(),
                   given_digits(set));
}

BOOST_AUTO_TEST_CASE(samples_without_a_law) {
    sizes("smallest_sample_one_limit", smallest_sample_one_limit);
    sizes("smallest_sample_two_limits", smallest_sample_two_limits);
    BOOST_TEST(smallest_sample_one_limit(0.3, 0.5) == 1);
    BOOST_TEST(smallest_sample_two_limits(0.01, 0.5) == 2); // one reading holds nothing between
}

BOOST_AUTO_TEST_CASE(intervals_of_simulated_samples) {
    constexpr int n = 6;
    constexpr int samples = 100'000;
    const double coverage = 0.95, confidence = 0.9;
    const double k1 = one_sided_factor(coverage, confidence, Basis::of_readings(n));
    const double k2 = two_sided_factor(coverage, confidence, Basis::of_readings(n));
    std::mt19937_64 random(20261126);
    std::normal_distribution<double> normal;
    int one = 0, two = 0;
    for (int i = 0; i < samples; ++i) {
        double sum = 0, squares = 0;
        for (int j = 0; j < n; ++j) {
            const double x = normal(random);
            sum += x;
            squares += x * x;
        }
        const double mean = sum / n;
        const double s = std::sqrt((squares - sum * mean) / (n - 1));
        one += stats::normal_cdf(mean + k1 * s) >= coverage;
        two += stats::normal_cdf(mean + k2 * s) - stats::normal_cdf(mean - k2 * s) >= coverage;
    }
    const double error = std::sqrt(confidence * (1 - confidence) / samples);
    BOOST_CHECK_SMALL(one / double(samples) - confidence, 5 * error);
    BOOST_CHECK_SMALL(two / double(samples) - confidence, 5 * error);
}

BOOST_AUTO_TEST_CASE(where_the_factors_are_known_otherwise) {
    const double inf = std::numeric_limits<double>::infinity();
    // No doubt left: the quantile of the normal law.
    BOOST_TEST(two_sided_factor(0.95, 0.95, {1e12, inf}) == 1.959963985, tt::tolerance(1e-6));
    BOOST_TEST(one_sided_factor(0.95, 0.95, {1e12, inf}) == 1.644853627, tt::tolerance(1e-5));
    // A mean without doubt: z √(ν/χ²), which is all that is left of both definitions.
    for (const double dof : {1.0, 5.0, 80.0}) {
        const double howe = two_sided_factor_approximate(0.9973, 0.95, {1e15, dof});
        BOOST_TEST(two_sided_factor(0.9973, 0.95, {1e15, dof}) == howe, tt::tolerance(1e-7));
    }
    // Large degrees of freedom go over to infinitely many, as 1/ν: ten times more, ten times
    // nearer.
    const auto short_of = [&](const auto& factor, double dof) {
        return factor(0.95, 0.9, Basis{5, dof}) / factor(0.95, 0.9, Basis{5, inf}) - 1;
    };
    for (const double dof : {1e4, 1e5})
        BOOST_TEST(short_of(two_sided_factor, dof) == 10 * short_of(two_sided_factor, 10 * dof),
                   tt::tolerance(0.02));
    BOOST_TEST(short_of(two_sided_factor, 1e7) > 0);
    BOOST_CHECK_SMALL(short_of(two_sided_factor, 1e7), 1e-6);
    BOOST_CHECK_SMALL(short_of(one_sided_factor, 1e5), 1e-4);
    // Far out and with many readings both still have their order.
    for (const double coverage : {0.5, 0.9, 0.9973, 0.999999})
        for (const int n : {2, 3, 10, 300, 1000}) {
            const auto basis = Basis::of_readings(n);
            const double k1 = one_sided_factor(coverage, 0.95, basis);
            const double k2 = two_sided_factor(coverage, 0.95, basis);
            BOOST_TEST(k1 > stats::normal_quantile(coverage));
            BOOST_TEST(k2 > k1);
            BOOST_TEST(k2 > two_sided_factor(coverage, 0.9, basis));
        }
    BOOST_TEST(one_sided_factor_at(stats::normal_quantile(0.99), 0.95, {10, 9}) ==
                   one_sided_factor(0.99, 0.95, {10, 9}),
               tt::tolerance(1e-12));
}

BOOST_AUTO_TEST_SUITE_END()
