// SPDX-License-Identifier: MIT
// The smoothed shortest interval. Against the shortest intervals of laws, from their densities: in
// closed form (normal; exponential from 0 to −ln 0.05; a squared normal from 0 to 1.959964²) or by
// minimising quantile differences outside this project (gamma, tests' own scipy script, values
// below); independent, since no law knows of draws or of the fit. Errors against the scatter of
// repetitions, which knows nothing of the bridge. Tolerances: 5 standard errors of what is looked
// at; seeds are fixed.
#include "holdable/stats/shortest.hpp"

#include "holdable/base/error.hpp"
#include "holdable/stats/distribution.hpp"
#include "holdable/stats/random.hpp"

#include <boost/test/unit_test.hpp>

#include <cmath>
#include <functional>
#include <vector>

using namespace holdable;
using namespace holdable::stats;

namespace {

using Draws = std::function<std::vector<double>(std::size_t count, std::uint64_t seed)>;

Draws of(const Distribution& law) {
    return [law](std::size_t count, std::uint64_t seed) {
        std::vector<double> y(count);
        fill_uniform(seed, name_hash("shortest"), 0, y);
        sampler(law)(y);
        return y;
    };
}

Draws mapped(const Draws& draws, double (*f)(double)) {
    return [=](std::size_t count, std::uint64_t seed) {
        auto y = draws(count, seed);
        for (double& x : y)
            x = f(x);
        return y;
    };
}

ShortestInterval found(std::vector<double> y, double p) {
    sort_tails(y, tail_count(p, y.size()));
    return smoothed_shortest_interval(y, p);
}

/// What many runs say.
struct Runs {
    Moments low, high, raw_low, raw_high, low_error, high_error;
    int smoothed = 0;
};

Runs runs(const Draws& draws, double p, std::size_t count, int repeats) {
    Runs r;
    const auto take = [](Moments& m, double x) { m = merge(m, moments({&x, 1})); };
    for (int k = 0; k < repeats; ++k) {
        const auto s = found(draws(count, 1000 + static_cast<std::uint64_t>(k)), p);
        take(r.low, s.interval.low);
        take(r.high, s.interval.high);
        take(r.raw_low, s.raw.low);
        take(r.raw_high, s.raw.high);
        take(r.low_error, s.error.low);
        take(r.high_error, s.error.high);
        r.smoothed += s.smoothed ? 1 : 0;
    }
    return r;
}

double rms(const Moments& m, double exact) {
    return std::hypot(m.standard_deviation(), m.mean - exact);
}

} // namespace

BOOST_AUTO_TEST_SUITE(shortest)

BOOST_AUTO_TEST_CASE(smooth_laws_gain) {
    // Exact ends by scipy: minimum over a of ppf(a + p) − ppf(a).
    const struct {
        const char* name;
        Draws draws;
        double p, low, high;
    } cases[] = {
        {"normal", of(Normal{0, 1, {}}), 0.95, -1.959964, 1.959964},
        {"normal, 99 %", of(Normal{0, 1, {}}), 0.99, -2.575829, 2.575829},
        {"t, 5", of(Student{0, 1, 5}), 0.95, -2.570582, 2.570582},
        {"triangular", of(Triangular{0, 1, {}}), 0.95, -0.776393, 0.776393}, // 1 − √0.05
        {"gamma, 4", of(Gamma{4, 2, {}}), 0.95, 0.712501, 7.948296},
        {"gamma, 10", of(Gamma{10, std::sqrt(10.0), {}}), 0.95, 4.292083, 16.303617},
        {"log-normal",
         mapped(of(Normal{0, 0.5, {}}), [](double x) { return std::exp(x); }),
         0.95,
         0.261652,
         2.318079},
    };

    constexpr int repeats = 40;
    for (const auto& c : cases) {
        const auto r = runs(c.draws, c.p, 100'000, repeats);
        BOOST_TEST_CONTEXT(c.name) {
            BOOST_TEST(r.smoothed >= 36);
            // Nearer than the raw one at the lower end, by 1.2 to 2.5 times, and no worse at the
            // upper, which long tails leave to the draws there. An rms of 40 is uncertain by 11 %.
            BOOST_TEST(rms(r.raw_low, c.low) > 1.1 * rms(r.low, c.low));
            BOOST_TEST(rms(r.raw_high, c.high) > rms(r.high, c.high));
            // No bias beyond the error of one run, and that error is the scatter.
            BOOST_TEST(std::abs(r.low.mean - c.low) < r.low_error.mean);
            BOOST_TEST(std::abs(r.high.mean - c.high) < r.high_error.mean);
            for (const auto& [scatter, error] :
                 {std::pair(r.low, r.low_error), std::pair(r.high, r.high_error)}) {
                const double ratio = error.mean / scatter.standard_deviation();
                BOOST_TEST((ratio > 0.6 && ratio < 1.7), "error over scatter " << ratio);
            }
        }
    }
}

BOOST_AUTO_TEST_CASE(a_density_highest_at_the_edge_keeps_the_raw_interval) {
    const struct {
        const char* name;
        Draws draws;
        double high, density; // at the upper end
    } cases[] = {
        {"exponential", of(Exponential{1, {}}), -std::log(0.05), 0.05},
        {"squared normal",
         mapped(of(Normal{0, 1, {}}), [](double x) { return x * x; }),
         3.841459,
         0.029819},
    };

    for (const auto& c : cases)
        for (const std::size_t count : {20'000U, 200'000U}) {
            const auto r = runs(c.draws, 0.95, count, 20);
            BOOST_TEST_CONTEXT(c.name << ", " << count) {
                BOOST_TEST(r.smoothed == 0);
                BOOST_TEST(r.low.mean >= 0);
                BOOST_TEST(r.low.mean < 5.0 / static_cast<double>(count));
                const double error =
                    std::sqrt(0.95 * 0.05 / static_cast<double>(count)) / c.density;
                BOOST_TEST(std::abs(r.high.mean - c.high) < 5 * error / std::sqrt(20.0));
                // The end is a quantile, whose error is known in closed form.
                BOOST_TEST(std::abs(r.high_error.mean / error - 1) < 0.25);
            }
        }
}

BOOST_AUTO_TEST_CASE(two_modes_are_no_worse_than_raw) {
    // Half at −4, half at 5, each of u = 1: one end in the outer tail of each, by symmetry at the
    // 0.05 quantile of its own mode: −4 − 1.644854 and 5 + 1.644854.
    const Draws two = [](std::size_t count, std::uint64_t seed) {
        auto y = of(Normal{0, 1, {}})(count, seed);
        for (std::size_t t = 0; t < count; ++t)
            y[t] += t % 2 == 0 ? -4 : 5;
        return y;
    };
    const auto r = runs(two, 0.95, 100'000, 20);
    BOOST_TEST(std::abs(r.low.mean + 5.644854) < 5 * r.raw_low.mean_error());
    BOOST_TEST(std::abs(r.high.mean - 6.644854) < 5 * r.raw_high.mean_error());
    BOOST_TEST(r.low.standard_deviation() < 1.2 * r.raw_low.standard_deviation());
    // A fifth of the draws far away: the shortest interval of 0.7 lies in the larger mode alone.
    const Draws unlike = [](std::size_t count, std::uint64_t seed) {
        auto y = of(Normal{0, 1, {}})(count, seed);
        for (std::size_t t = 0; t < count; t += 5)
            y[t] += 100;
        return y;
    };
    const auto far = found(unlike(100'000, 3), 0.7);
    BOOST_TEST(far.interval.low > -3);
    BOOST_TEST(far.interval.high < 3);
}

BOOST_AUTO_TEST_CASE(units_and_places_do_not_matter) {
    const auto y = of(Gamma{4, 2, {}})(50'000, 7);
    auto other = y;
    for (double& x : other)
        x = 1e-9 * x + 1e-3;
    const auto a = found(y, 0.95), b = found(other, 0.95);
    BOOST_TEST(a.smoothed);
    BOOST_TEST(b.smoothed);
    // 1e-3 has an ulp of 2e-19, 2e-10 of the unit.
    BOOST_TEST(std::abs((b.interval.low - 1e-3) * 1e9 - a.interval.low) < 1e-5);
    BOOST_TEST(std::abs((b.interval.high - 1e-3) * 1e9 - a.interval.high) < 1e-5);
    BOOST_TEST(std::abs(b.error.low * 1e9 / a.error.low - 1) < 1e-3);
}

BOOST_AUTO_TEST_CASE(few_or_equal_draws_keep_the_raw_interval) {
    for (const std::size_t count : {3U, 11U, 40U, 200U, 2000U}) {
        const auto y = of(Normal{0, 1, {}})(count, 1);
        const auto s = found(y, 0.8);
        BOOST_TEST(s.interval.low <= s.interval.high);
        BOOST_TEST(s.error.low >= 0);
        BOOST_TEST(std::isfinite(s.error.low + s.error.high + s.interval.low + s.interval.high));
        if (count < 100) {
            BOOST_TEST(!s.smoothed);
            BOOST_TEST(s.interval.width() == s.raw.width());
        }
    }
    const auto same = found(std::vector<double>(50'000, 4.0), 0.95);
    BOOST_TEST(!same.smoothed);
    BOOST_TEST(same.interval.low == 4.0);
    BOOST_TEST(same.error.high == 0.0);
    // Whole numbers: steps, no density.
    auto whole = of(Normal{0, 3, {}})(50'000, 1);
    for (double& x : whole)
        x = std::round(x);
    const auto steps = found(whole, 0.95);
    BOOST_TEST(steps.interval.width() >= steps.raw.width());
    BOOST_TEST(steps.interval.width() <= steps.raw.width() + 1);
    BOOST_CHECK_THROW(found(of(Normal{0, 1, {}})(9, 1), 0.95), NumericError);
}

BOOST_AUTO_TEST_SUITE_END()
