// SPDX-License-Identifier: MIT
// Decision rules. Guard factors, probabilities and global risks against values computed by another
// method (roots of erfc, quadrature, bivariate normal rectangles; recomputed, no printed source but
// the commonly quoted 0.8 % and 1.5 % at a ratio of 4 to 1), to the digits given; and against
// simulated parts, which need none of the formulas, within five standard errors.
#include "holdable/decide/rule.hpp"

#include <boost/test/unit_test.hpp>

#include <cmath>
#include <limits>
#include <random>

using namespace holdable::decide;
namespace tt = boost::test_tools;

BOOST_AUTO_TEST_SUITE(rule)

BOOST_AUTO_TEST_CASE(conformance_of_one_value) {
    const Limits upper{.high = 20.05};
    BOOST_TEST(conformance(20.045, 0.005, upper) == 0.841344746, tt::tolerance(1e-8));
    BOOST_TEST(conformance(20.045, 0.005, upper, 5.0) == 0.8184, tt::tolerance(1e-4));
    const Limits both{-1, 1};
    BOOST_TEST(conformance(0, 0.6, both) == 0.9044, tt::tolerance(1e-4)); // T/u = 3.333
    BOOST_TEST(conformance(0.3, 0.6, both) == conformance(-0.3, 0.6, both), tt::tolerance(1e-12));
}

BOOST_AUTO_TEST_CASE(guard_factors) {
    const double far = std::numeric_limits<double>::infinity();
    BOOST_TEST(*guard_factor(0.95, far) == 1.644853627, tt::tolerance(1e-9));
    BOOST_TEST(*guard_factor(0.99, far) == 2.326347874, tt::tolerance(1e-9));
    BOOST_TEST(*guard_factor(0.95, far, 5.0) == 2.015048373, tt::tolerance(1e-8));
    BOOST_TEST(*guard_factor(0.95, 8) == 1.644853627, tt::tolerance(1e-6));
    BOOST_TEST(*guard_factor(0.95, 6) == 1.644918117, tt::tolerance(1e-8));
    BOOST_TEST(*guard_factor(0.95, 5) == 1.648766524, tt::tolerance(1e-8));
    BOOST_TEST(*guard_factor(0.95, 4.2) == 1.710269824, tt::tolerance(1e-8));
    BOOST_TEST(*guard_factor(0.95, 4) == 1.796212721, tt::tolerance(1e-8));
    BOOST_TEST(*guard_factor(0.95, 3.92) == 1.953937684, tt::tolerance(1e-7));
    BOOST_TEST(!guard_factor(0.95, 3.919).has_value()); // 2 z(0.975) = 3.91993
    BOOST_TEST(!guard_factor(0.99, 5.15).has_value());  // 2 z(0.995) = 5.15166
    BOOST_TEST(guard_factor(0.99, 5.153).has_value());
}

BOOST_AUTO_TEST_CASE(a_value_at_the_guarded_limit_conforms_with_that_probability) {
    for (const double u : {0.05, 0.2, 0.4, 0.5})
        for (const auto& dof : {std::optional<double>{}, std::optional{12.0}}) {
            const auto g = guard_factor(0.95, 2 / u, dof);
            if (!g)
                continue;
            BOOST_TEST(conformance(1 - *g * u, u, {-1, 1}, dof) >= 0.95 - 1e-9);
            BOOST_TEST(conformance(1 - *g * u + 0.01 * u, u, {-1, 1}, dof) < 0.95);
        }
}

BOOST_AUTO_TEST_CASE(global_risks) {
    const auto near = [](const GlobalRisk& risk, double customer, double maker) {
        BOOST_TEST(risk.accepted_bad == customer, tt::tolerance(1e-7));
        BOOST_TEST(risk.rejected_good == maker, tt::tolerance(1e-7));
    };
    const Limits t{-0.2, 0.2};
    near(global_risk(0, 0.12, 0.04, t, t), 0.01894220672, 0.03720780018);
    near(global_risk(0, 0.12, 0.04, t, {-0.12, 0.12}), 0.0004686335989, 0.2476696402);
    near(
        global_risk(0, 0.5102134569246539, 0.125, {-1, 1}, {-1, 1}), 0.008582664809, 0.01553651303);
    const Limits off{-0.03, 0.03};
    near(global_risk(0.01, 0.01, 0.006, off, off), 0.00679571553, 0.02748964493);
    near(global_risk(0.01, 0.01, 0.006, off, {-0.0201, 0.0201}), 0.0004476170195, 0.1758172526);
    // No acceptance zone: all good parts are refused.
    const auto none = global_risk(0, 0.12, 0.04, t, {0.1, -0.1});
    BOOST_TEST(none.accepted == 0.0);
    BOOST_TEST(none.rejected_good == 1 - none.bad, tt::tolerance(1e-12));
}

BOOST_AUTO_TEST_CASE(risks_of_simulated_parts) {
    std::mt19937_64 random(20250407);
    std::normal_distribution<double> normal;
    const double inf = std::numeric_limits<double>::infinity();
    const Limits tolerance{-inf, 1}, acceptance{-inf, 0.8};
    const auto risk = global_risk(0.2, 0.5, 0.15, tolerance, acceptance);
    constexpr int n = 400'000;
    double bad = 0, accepted = 0, accepted_bad = 0, rejected_good = 0;
    for (int i = 0; i < n; ++i) {
        const double x = 0.2 + 0.5 * normal(random);
        const bool in = x + 0.15 * normal(random) < 0.8;
        bad += x > 1;
        accepted += in;
        accepted_bad += in && x > 1;
        rejected_good += !in && x <= 1;
    }
    const auto like = [](double count, double p) {
        BOOST_TEST(std::abs(count / n - p) < 5 * std::sqrt(p * (1 - p) / n), count / n << " " << p);
    };
    like(bad, risk.bad);
    like(accepted, risk.accepted);
    like(accepted_bad, risk.accepted_bad);
    like(rejected_good, risk.rejected_good);
}

BOOST_AUTO_TEST_CASE(a_ratio_and_what_happens_below_it) {
    CustomerRule rule;
    rule.name = "four to one";
    rule.ratio = 4;
    const Uncertainty u{1, 2, {}}; // U = 2 u
    // T/(2U) of two limits, T/U of one: by hand.
    BOOST_TEST(*cost_of_proof(u, 16, 2, 0, rule).guard == 0.0);
    BOOST_TEST(cost_of_proof(u, 16, 2, 0, rule).lost == 0.0);
    BOOST_TEST(*cost_of_proof(u, 8, 1, 0, rule).guard == 0.0);
    const auto missed = cost_of_proof(u, 15.9, 2, 0, rule);
    BOOST_TEST(!missed.guard.has_value());
    BOOST_TEST(missed.ratio_missed);
    BOOST_TEST(missed.lost == 1.0);
    rule.guarded_below = true;
    const auto guarded = cost_of_proof(u, 15.9, 2, 0, rule);
    BOOST_TEST(guarded.ratio_missed);
    BOOST_TEST(*guarded.guard == 1.644853627, tt::tolerance(1e-6));
    BOOST_TEST(guarded.lost == 2 * 1.644853627 / 15.9, tt::tolerance(1e-6));
}

BOOST_AUTO_TEST_CASE(simple_acceptance_costs_nothing_but_needs_a_part_that_can_be_proved) {
    const auto rule = simple_acceptance();
    BOOST_TEST(!rule.of_customer);
    BOOST_TEST(cost_of_proof({1, 2, {}}, 6, 2, 0, rule).lost == 0.0);
    BOOST_TEST(!cost_of_proof({1, 2, {}}, 3.9, 2, 0, rule).guard.has_value());
}

BOOST_AUTO_TEST_CASE(limits_of_readings_that_prove) {
    // 20 ± 0.05, u = 0.005: 19.95822 … 20.04178 (worked by quadrature, no printed source).
    const auto cost = cost_of_proof({0.005, 0.01, {}}, 0.1, 2);
    const auto plain = acceptance(cost, 0.005, 0, 19.95, 20.05);
    BOOST_TEST(plain.low == 19.95822427, tt::tolerance(1e-9));
    BOOST_TEST(plain.high == 20.04177573, tt::tolerance(1e-9));
    // A reading that is 0.002 too large proves the upper limit all the more, the lower one less.
    const auto large = acceptance(cost, 0.005, 0.002, 19.95, 20.05);
    BOOST_TEST(large.low == 19.96022427, tt::tolerance(1e-9));
    BOOST_TEST(large.high == plain.high);
    const auto small = acceptance(cost, 0.005, -0.002, 19.95, 20.05);
    BOOST_TEST(small.low == plain.low);
    BOOST_TEST(small.high == 20.03977573, tt::tolerance(1e-9));
    const auto zone = acceptance(cost_of_proof({0.005, 0.01, {}}, 0.05, 1), 0.005, 0.002, {}, 0.05);
    BOOST_TEST(zone.low == 0.0);
    BOOST_TEST(zone.high == 0.05 - 1.644853627 * 0.005 - 0.002, tt::tolerance(1e-8));
}

BOOST_AUTO_TEST_SUITE_END()
