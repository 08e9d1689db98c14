// SPDX-License-Identifier: MIT
// Capability indices. Values and bounds against tests/reference/capability.json (other quadratures
// and roots), to the digits given there; bounds against simulated samples, which need none of the
// formulas, within five standard errors; quantiles against counting and against each law's own
// distribution function.
#include "holdable/decide/capability.hpp"

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

/// Calls `compute` with each set of this name, where numbers stand under their keys.
template <class Compute>
void against(const char* name, Compute compute) {
    for (const auto& set : reference::sets("capability", name)) {
        const auto get = [&](const char* key) { return set.at(key).get<double>(); };
        BOOST_TEST_CONTEXT(set.dump())
        BOOST_TEST(compute(get) == set["expected"].get<double>(),
                   tt::tolerance(0.5 * std::pow(10.0, 1 - set["digits"].get<int>())));
    }
}

template <class Get>
Basis readings(const Get& get) {
    return Basis::of_readings(static_cast<int>(get("n")));
}

} // namespace

BOOST_AUTO_TEST_SUITE(capability)

BOOST_AUTO_TEST_CASE(indices_of_reference) {
    against("Cp", [](auto get) { return spread_index({get("TL"), get("TU")}, get("sigma")); });
    against("Cpk", [](auto get) {
        return capability_index({get("TL"), get("TU")}, get("mean"), get("sigma"));
    });
    against("Cpm", [](auto get) {
        return target_index({get("TL"), get("TU")}, get("mean"), get("sigma"), get("target"));
    });
    against("nonconforming_ppm", [](auto get) {
        return 1e6 * nonconforming_share(get("Cpk"), static_cast<int>(get("sides")));
    });
    against("equivalent_index", [](auto get) { return equivalent_index(get("fraction")); });
}

BOOST_AUTO_TEST_CASE(bounds_of_reference) {
    against("Cp_lower",
            [](auto get) { return spread_index_lower(get("Cp"), readings(get), get("C")); });
    against("Cp_upper",
            [](auto get) { return spread_index_upper(get("Cp"), readings(get), get("C")); });
    against("Cpk_lower_approximate",
            [](auto get) { return capability_index_lower(get("Cpk"), readings(get), get("C")); });
    against("one_sided_lower",
            [](auto get) { return one_limit_index_lower(get("Cpu"), readings(get), get("C")); });
    against("one_sided_needed", [](auto get) {
        return one_limit_index_needed(get("target"), readings(get), get("C"));
    });
    against("Cpm_lower",
            [](auto get) { return target_index_lower(get("Cpm"), get("n"), get("xi"), get("C")); });
}

BOOST_AUTO_TEST_CASE(one_limit_or_two) {
    const double inf = std::numeric_limits<double>::infinity();
    BOOST_TEST(capability_index({-inf, 20}, 16, 2) == 4 / 6.0, tt::tolerance(1e-12));
    BOOST_TEST(capability_index({8, inf}, 16, 2) == 8 / 6.0, tt::tolerance(1e-12));
    BOOST_TEST(capability_index({8, 20}, 21, 2) == -1 / 6.0, tt::tolerance(1e-12));
    const Quantiles q{1, 2, 5};
    const auto both = indices({0, 11}, q);
    BOOST_TEST(both.spread.value() == 11 / 4.0, tt::tolerance(1e-12));
    BOOST_TEST(both.lower.value() == 2.0, tt::tolerance(1e-12));
    BOOST_TEST(both.upper.value() == 3.0, tt::tolerance(1e-12));
    const auto upper = indices({-inf, 11}, q);
    BOOST_TEST((!upper.spread && !upper.lower && upper.upper == both.upper));
    const auto lower = indices({0, inf}, q);
    BOOST_TEST((!lower.spread && !lower.upper && lower.lower == both.lower));
}

BOOST_AUTO_TEST_CASE(a_normal_law_has_the_same_index_both_ways) {
    const double z = stats::normal_quantile(Quantiles::p_high); // 2.99998
    const auto all = indices({8, 20}, {16 - 2 * z, 16, 16 + 2 * z});
    BOOST_TEST(*all.spread == spread_index({8, 20}, 2), tt::tolerance(1e-5));
    BOOST_TEST(std::min(*all.upper, *all.lower) == capability_index({8, 20}, 16, 2),
               tt::tolerance(1e-5));
    BOOST_TEST(equivalent_index(nonconforming_share(1.67, 1)) == 1.67, tt::tolerance(1e-10));
}

BOOST_AUTO_TEST_CASE(what_is_needed_is_what_bounds_at_it) {
    for (const double index : {-0.3, 0.0, 0.4, 1.33, 2.0, 4.0})
        for (const int n : {2, 5, 30, 200})
            for (const double confidence : {0.6, 0.95, 0.99}) {
                const auto basis = Basis::of_readings(n);
                const double needed = one_limit_index_needed(index, basis, confidence);
                BOOST_CHECK_SMALL(one_limit_index_lower(needed, basis, confidence) - index, 1e-6);
            }
}

BOOST_AUTO_TEST_CASE(bounds_of_simulated_samples) {
    // A process with C_p = 1.3, C_pk = C_pu = 1.1, sampled: how often is the truth beyond the
    // bound?
    constexpr int n = 12;
    constexpr int samples = 40'000;
    const double confidence = 0.9;
    const Limits limits{-4.5, 3.3};
    const double inf = std::numeric_limits<double>::infinity();
    const auto basis = Basis::of_readings(n);
    const double needed = one_limit_index_needed(1.1, basis, confidence);
    std::mt19937_64 random(7);
    std::normal_distribution<double> normal;
    int below = 0, above = 0, one = 0, worse = 0;
    for (int i = 0; i < samples; ++i) {
        double sum = 0, squares = 0;
        for (int j = 0; j < n; ++j) {
            const double x = normal(random);
            sum += x;
            squares += x * x;
        }
        const double mean = sum / n;
        const double s = std::sqrt((squares - sum * mean) / (n - 1));
        const double cp = spread_index(limits, s);
        below += spread_index_lower(cp, basis, confidence) <= 1.3;
        above += spread_index_upper(cp, basis, confidence) >= 1.3;
        // an index above the needed one has its bound above the truth
        one += capability_index({-inf, limits.high}, mean, s) <= needed;
        worse +=
            capability_index_lower(capability_index(limits, mean, s), basis, confidence) <= 1.1;
    }
    const double error = 5 * std::sqrt(confidence * (1 - confidence) / samples);
    BOOST_CHECK_SMALL(below / double(samples) - confidence, error);
    BOOST_CHECK_SMALL(above / double(samples) - confidence, error);
    BOOST_CHECK_SMALL(one / double(samples) - confidence, error);
    BOOST_TEST(worse / double(samples) > confidence - 0.02); // an approximation
}

BOOST_AUTO_TEST_CASE(a_process_on_target_has_its_spread_index) {
    BOOST_TEST(target_index({8, 20}, 14, 2, 14) == spread_index({8, 20}, 2), tt::tolerance(1e-12));
    BOOST_TEST(target_index_lower(1.2, 30, 0, 0.95) == spread_index_lower(1.2, {1, 30}, 0.95),
               tt::tolerance(1e-12));
}

BOOST_AUTO_TEST_CASE(laws_from_zero_on) {
    against("weibull_quantile", [](auto get) {
        return Weibull{get("shape"), get("scale")}.quantile(get("p"));
    });
    against("nonconforming_weibull", [](auto get) {
        return Weibull{get("shape"), get("scale")}.beyond(get("TU"));
    });
    against("folded_normal_quantile", [](auto get) {
        return Magnitude{get("mu"), get("sigma")}.quantile(get("p"));
    });
    const double inf = std::numeric_limits<double>::infinity();
    // Limit 0.015, shape 1.8, scale 0.004: index 1.4390 by quantiles (recomputed).
    const Weibull form{1.8, 0.004};
    BOOST_TEST(indices({-inf, 0.015}, form.quantiles()).upper.value() == 1.4390,
               tt::tolerance(1e-4));
    BOOST_TEST(equivalent_index(form.beyond(0.015)) == 1.367, tt::tolerance(1e-3));
    for (const double p : {1e-6, 0.00135, 0.3, 0.5, 0.7, 0.99865, 1 - 1e-6}) {
        BOOST_CHECK_SMALL(form.beyond(form.quantile(p)) - (1 - p), 1e-12);
        for (const double mean : {0.0, 0.5, -2.0, 20.0}) {
            const Magnitude law{mean, 0.7};
            BOOST_CHECK_SMALL(law.beyond(law.quantile(p)) - (1 - p), 1e-10);
            BOOST_TEST(law.quantile(p) == (Magnitude{-mean, 0.7}.quantile(p)));
        }
    }
    BOOST_TEST((Magnitude{20, 0.7}.quantile(0.00135)) == 20 - 0.7 * 2.999976993,
               tt::tolerance(1e-9));
}

BOOST_AUTO_TEST_SUITE_END()
