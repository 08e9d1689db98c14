// SPDX-License-Identifier: MIT
// Moments, order statistics, coverage intervals.
// Moments against the NIST Statistical Reference Datasets (tests/reference/univariate.json), to the
// digits each set leaves in double precision; against direct sums in long double and integers
// worked by hand: 1e-13 relative, the rounding of some thousand additions. Merged blocks against
// the whole: 1e-12 of the natural size. Intervals against the order statistics of JCGM 101 7.7
// counted by hand for whole numbers, and against a search over a full sort: exact. Standard errors
// against the scatter of 400 repetitions, which knows nothing of the formulas: 20 %, over 5
// standard errors of that scatter.
#include "holdable/stats/sample.hpp"

#include "holdable/base/error.hpp"
#include "holdable/stats/distribution.hpp"
#include "holdable/stats/random.hpp"
#include "reference.hpp"

#include <boost/test/unit_test.hpp>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <vector>

using namespace holdable;
using namespace holdable::stats;

namespace {

std::vector<double> draws(const Distribution& law, std::size_t count, std::uint64_t first = 0) {
    std::vector<double> x(count);
    fill_uniform(5, name_hash("sample"), first, x);
    sampler(law)(x);
    return x;
}

std::vector<double> one_to(int n) {
    std::vector<double> x(static_cast<std::size_t>(n));
    // 1 … n in a scrambled order: multiples of a number prime to n.
    for (int i = 0; i < n; ++i)
        x[static_cast<std::size_t>(i)] = 1 + i * 37 % n;
    return x;
}

std::pair<Interval, Interval> intervals(std::vector<double> y, double p) {
    sort_tails(y, tail_count(p, y.size()));
    return {symmetric_interval(y, p), shortest_interval(y, p)};
}

} // namespace

BOOST_AUTO_TEST_SUITE(sample)

BOOST_AUTO_TEST_CASE(moments_of_whole_numbers, *boost::unit_test::tolerance(1e-14)) {
    // 1, 2, 3, 4, 10: mean 4; deviations −3 −2 −1 0 6; squares 50, cubes 180, fourths 1394.
    const std::vector<double> y{10, 1, 3, 2, 4};
    const Moments m = moments(y);
    BOOST_TEST(m.count == 5.0);
    BOOST_TEST(m.mean == 4.0);
    BOOST_TEST(m.sum2 == 50.0);
    BOOST_TEST(m.sum3 == 180.0);
    BOOST_TEST(m.sum4 == 1394.0);
    BOOST_TEST(m.variance() == 12.5);
    BOOST_TEST(m.skewness() == 180.0 / 5 / std::pow(10.0, 1.5));
    BOOST_TEST(m.excess_kurtosis() == 1394.0 / 5 / 100 - 3);
    BOOST_TEST(m.mean_error() == std::sqrt(2.5));
}

BOOST_AUTO_TEST_CASE(reference_datasets) {
    for (const auto& set : reference::sets("univariate", "sets")) {
        const auto name = set["name"].get<std::string>();
        std::vector<double> y;
        if (set.contains("y")) {
            y = reference::numbers(set["y"]);
        } else {
            const auto& g = set["generated"];
            y.push_back(g["first"].get<double>());
            for (int i = 1; i < g["count"].get<int>(); ++i)
                y.push_back(g[i % 2 != 0 ? "low" : "high"].get<double>());
        }
        const Moments m = moments(y);
        const double mean = reference::digits(m.mean, set["mean"].get<double>());
        const double deviation =
            reference::digits(m.standard_deviation(), set["standard_deviation"].get<double>());
        BOOST_TEST(mean >= set["digits_of_mean"].get<double>(), name << " mean " << mean);
        BOOST_TEST(deviation >= set["digits_of_deviation"].get<double>(),
                   name << " deviation " << deviation);
    }
}

BOOST_AUTO_TEST_CASE(temperatures_of_the_guide) {
    // GUM 4.4.3, Table 1 (text): mean 100.145, s = 1.489, of the mean 0.333.
    const std::vector<double> t{96.90,  98.18,  98.25,  98.61,  99.03,  99.49,  99.56,
                                99.74,  99.89,  100.07, 100.33, 100.42, 100.68, 100.95,
                                101.11, 101.20, 101.57, 101.84, 102.36, 102.72};
    const Moments m = moments(t);
    BOOST_TEST(std::abs(m.mean - 100.145) < 1e-12);
    BOOST_TEST(std::abs(m.standard_deviation() - 1.489) < 5e-4);
    BOOST_TEST(std::abs(m.mean_error() - 0.333) < 5e-4);
    BOOST_TEST(standard_uncertainty(Readings{t}) == m.mean_error(),
               boost::test_tools::tolerance(1e-13));
    BOOST_TEST(degrees_of_freedom(Readings{t}).value() == 19.0);
}

BOOST_AUTO_TEST_CASE(a_deviation_from_few_readings_is_doubtful) {
    // GUM Table E.1 (text): standard deviation of s over s of n normal readings, in percent.
    const struct {
        std::size_t n;
        double percent;
    } rows[] = {{2, 76}, {3, 52}, {4, 42}, {5, 36}, {10, 24}, {20, 16}, {30, 13}, {50, 10}};

    for (const auto& [n, percent] : rows) {
        constexpr std::size_t sets = 40000;
        const auto y = draws(Normal{0, 1, {}}, n * sets);
        std::vector<double> s;
        for (std::size_t i = 0; i < sets; ++i)
            s.push_back(moments(std::span(y).subspan(i * n, n)).standard_deviation());
        const Moments m = moments(s);
        const double seen = 100 * m.standard_deviation() / m.mean;
        const double error =
            100 * std::hypot(m.standard_deviation_error() / m.mean,
                             m.standard_deviation() * m.mean_error() / (m.mean * m.mean));
        BOOST_TEST(std::abs(seen - percent) < 0.5 + 6.2 * error, n << ": " << seen);
    }
}

BOOST_AUTO_TEST_CASE(few_or_equal_draws_have_no_scatter) {
    for (const std::vector<double>& y :
         {std::vector<double>{}, std::vector<double>{7}, std::vector<double>{0.1, 0.1, 0.1}}) {
        const Moments m = moments(y);
        BOOST_TEST(m.standard_deviation() == 0.0);
        BOOST_TEST(m.skewness() == 0.0);
        BOOST_TEST(m.excess_kurtosis() == 0.0);
        BOOST_TEST(m.standard_deviation_error() == 0.0);
    }
}

BOOST_AUTO_TEST_CASE(moments_survive_a_large_offset) {
    for (const double offset : {0.0, 1e9}) {
        auto y = draws(Exponential{1, {}}, 5003);
        for (double& x : y)
            x += offset;
        long double mean = 0, s2 = 0, s3 = 0, s4 = 0;
        for (const double x : y)
            mean += x;
        mean /= 5003;
        for (const double x : y) {
            const long double d = x - mean;
            s2 += d * d;
            s3 += d * d * d;
            s4 += d * d * d * d;
        }
        const Moments m = moments(y);
        // An ulp of the mean shifts every deviation.
        const double tolerance = 1e-13 + 1e-15 * offset / 100;
        BOOST_TEST(std::abs(m.mean - static_cast<double>(mean)) <= 1e-15 + 2e-16 * offset);
        BOOST_TEST(std::abs(m.sum2 / static_cast<double>(s2) - 1) < tolerance);
        BOOST_TEST(std::abs(m.sum3 / static_cast<double>(s3) - 1) < 10 * tolerance);
        BOOST_TEST(std::abs(m.sum4 / static_cast<double>(s4) - 1) < 10 * tolerance);
    }
}

BOOST_AUTO_TEST_CASE(merged_blocks_are_the_whole) {
    const auto y = draws(Exponential{1, {}}, 10000);
    const Moments whole = moments(y);
    for (const std::size_t block : {1U, 7U, 2048U, 9999U}) {
        Moments m;
        for (std::size_t at = 0; at < y.size(); at += block)
            m = merge(m, moments(std::span(y).subspan(at, std::min(block, y.size() - at))));
        BOOST_TEST(m.count == whole.count);
        BOOST_TEST(std::abs(m.mean / whole.mean - 1) < 1e-12);
        BOOST_TEST(std::abs(m.sum2 / whole.sum2 - 1) < 1e-12);
        BOOST_TEST(std::abs(m.sum3 / whole.sum3 - 1) < 1e-12);
        BOOST_TEST(std::abs(m.sum4 / whole.sum4 - 1) < 1e-12);
    }
    BOOST_TEST(merge(whole, {}).sum4 == whole.sum4);
}

BOOST_AUTO_TEST_CASE(symmetric_intervals_counted_by_hand) {
    const auto is = [](int n, double p, double low, double high) {
        const Interval i = intervals(one_to(n), p).first;
        BOOST_TEST(i.low == low, n << " " << p);
        BOOST_TEST(i.high == high, n << " " << p);
    };
    is(100, 0.95, 3, 98); // q = 95, (M − q)/2 = 2.5, r = 3
    is(50, 0.95, 1, 49);  // pM = 47.5, q = 48, r = 1
    is(10, 0.5, 3, 8);    // q = 5, r = 3
    is(10, 0.9, 1, 10);   // q = 9, r = 1
    is(1000, 0.99, 5, 995);
    is(3, 0.5, 1, 3); // pM = 1.5, q = 2
}

BOOST_AUTO_TEST_CASE(the_shortest_interval_is_found_by_its_tails) {
    // q = 5 of 10: the narrow group sits low.
    const auto [symmetric, shortest] = intervals({9, 100, 1, 50, 1.5, 2, 30, 1.2, 1.1, 70}, 0.5);
    BOOST_TEST(symmetric.low == 1.2);
    BOOST_TEST(symmetric.high == 50.0);
    BOOST_TEST(shortest.low == 1.0);
    BOOST_TEST(shortest.high == 9.0);
    for (const double p : {0.3, 0.5, 0.683, 0.95, 0.9973}) {
        const auto y = draws(Gamma{2, 1.5, {}}, 4001);
        auto sorted = y;
        std::sort(sorted.begin(), sorted.end());
        const auto q = static_cast<std::size_t>(std::floor(p * 4001 + 0.5));
        double width = sorted.back() - sorted.front();
        for (std::size_t r = 0; r + q < sorted.size(); ++r)
            width = std::min(width, sorted[r + q] - sorted[r]);
        const auto [a, b] = intervals(y, p);
        BOOST_TEST(b.width() == width);
        BOOST_TEST(a.low == sorted[(4001 - q + 1) / 2 - 1]);
        BOOST_TEST(a.width() >= width);
    }
    // The shortest of an exponential begins at 0 and ends at −ln 0.05; 5 standard errors of its
    // end.
    const auto [ignored, e] = intervals(draws(Exponential{1, {}}, 1000000), 0.95);
    BOOST_TEST(e.low < 0.01);
    BOOST_TEST(std::abs(e.high + std::log(0.05)) < 5 * std::sqrt(0.95 * 0.05 / 1e6) / 0.05);
}

BOOST_AUTO_TEST_CASE(equally_short_intervals_give_the_lowest) {
    BOOST_TEST(intervals(one_to(100), 0.9).second.low == 1.0);
    BOOST_TEST(intervals({5, 5, 5, 5}, 0.5).second.width() == 0.0);
}

BOOST_AUTO_TEST_CASE(too_few_trials_are_refused) {
    BOOST_CHECK_THROW(coverage_steps(0.95, 9), NumericError);
    BOOST_TEST(coverage_steps(0.95, 11) == 10U);
    BOOST_CHECK_THROW(coverage_steps(0.9973, 100), NumericError);
    BOOST_CHECK_THROW(coverage_steps(0.95, 0), NumericError);
    BOOST_CHECK_THROW(coverage_steps(0.0, 100), NumericError);
}

BOOST_AUTO_TEST_CASE(quantiles_are_order_statistics) {
    auto y = one_to(100);
    std::sort(y.begin(), y.end());
    BOOST_TEST(sample_quantile(y, 0.0) == 1.0);
    BOOST_TEST(sample_quantile(y, 0.25) == 25.0);
    BOOST_TEST(sample_quantile(y, 0.251) == 26.0);
    BOOST_TEST(sample_quantile(y, 1.0) == 100.0);
    BOOST_TEST(sample_quantile_error(y, 0.5) == 5.0); // √(100/4) = 5 places
}

BOOST_AUTO_TEST_CASE(standard_errors_are_the_scatter_of_repetitions) {
    constexpr std::size_t n = 2000, repetitions = 400;
    for (const Distribution& law :
         {Distribution{Normal{0, 1, {}}}, Distribution{Gamma{2, 2, {}}}}) {
        std::vector<double> mean, deviation, upper;
        Moments all;
        double upper_error = 0;
        for (std::size_t i = 0; i < repetitions; ++i) {
            auto y = draws(law, n, i * n);
            const Moments m = moments(y);
            all = merge(all, m);
            mean.push_back(m.mean);
            deviation.push_back(m.standard_deviation());
            std::sort(y.begin(), y.end());
            upper.push_back(sample_quantile(y, 0.975));
            upper_error += sample_quantile_error(y, 0.975) / repetitions;
        }
        const double root = std::sqrt(static_cast<double>(repetitions));
        const auto near = [](double stated, double seen, const char* what) {
            BOOST_TEST(std::abs(stated / seen - 1) < 0.2, what << ": " << stated << " " << seen);
        };
        near(all.mean_error() * root, moments(mean).standard_deviation(), "mean");
        near(all.standard_deviation_error() * root,
             moments(deviation).standard_deviation(),
             "standard deviation");
        near(upper_error, moments(upper).standard_deviation(), "quantile");
    }
}

BOOST_AUTO_TEST_SUITE_END()
