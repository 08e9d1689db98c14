// SPDX-License-Identifier: MIT
// The laws of budget/1.
// Standard deviations against JCGM 101:2008 Table 1 and the closed forms of clause 6.4, typed as
// arithmetic: 1e-14 relative, rounding.
// Quantiles against the distribution function of each law written here (integrals of the densities
// of JCGM 101 6.4, Boost.Math for t and gamma): P(X ≤ x(p)) = p to 1e-12 of p in either tail.
// Sampling against the mean and the standard deviation, by the midpoint rule over p; its tolerance
// is the error of that rule at the law's ends. Tables against Boost's quantile, at every octave of
// p: the promised 1e-9.
#include "holdable/stats/distribution.hpp"

#include "holdable/base/error.hpp"

#include <boost/math/distributions/gamma.hpp>
#include <boost/math/distributions/students_t.hpp>
#include <boost/test/unit_test.hpp>

#include <cmath>
#include <cstdint>
#include <limits>
#include <numbers>
#include <string>
#include <vector>

using namespace holdable;
using namespace holdable::stats;

namespace {

double square(double x) {
    return x * x;
}

/// Tail probabilities p over all 52 octaves that a uniform can fall in, inside and at cell ends.
std::vector<double> tails() {
    std::vector<double> p;
    for (int octave = 1; octave <= 52; ++octave)
        for (int i = 0; i < 24; ++i)
            p.push_back(std::ldexp(0.5 + (i + 0.37) / 48, -octave));
    return p;
}

/// Largest |P(X ≤ x(p))/p − 1| in the lower and |P(X > x(1 − p))/p − 1| in the upper tail. The
/// upper one is not asked beyond 2^-20, where 1 − p itself has lost the digits of p.
template <class Lower, class Upper>
double identity_error(const Distribution& law, Lower below, Upper above) {
    double worst = 0;
    for (const double p : tails()) {
        worst = std::max(worst, std::abs(below(quantile(law, p)) / p - 1.0));
        if (p > 0x1p-20) {
            const double q = 1.0 - (1.0 - p);
            worst = std::max(worst, std::abs(above(quantile(law, 1.0 - p)) / q - 1.0));
        }
    }
    return worst;
}

/// Mean and standard deviation of what is drawn, from equally spaced p.
std::pair<double, double> drawn(const Distribution& law) {
    constexpr std::size_t n = 1 << 20;
    std::vector<double> x(n);
    for (std::size_t i = 0; i < n; ++i)
        x[i] = (static_cast<double>(i) + 0.5) / n;
    sampler(law)(x);
    double sum = 0;
    for (const double v : x)
        sum += v;
    double squares = 0;
    for (const double v : x)
        squares += square(v - sum / n);
    return {sum / n, std::sqrt(squares / n)};
}

double variance(const Distribution& law) {
    return square(standard_deviation(law).value());
}

std::string refusal(const Distribution& law) {
    try {
        check(law);
    } catch (const InputError& error) {
        return error.diagnostics().front().id;
    }
    return "";
}

} // namespace

BOOST_AUTO_TEST_SUITE(distribution)

BOOST_AUTO_TEST_CASE(standard_deviations_are_those_of_the_standard,
                     *boost::unit_test::tolerance(1e-14)) {
    BOOST_TEST(variance(Fixed{3}) == 0.0);
    BOOST_TEST(variance(Normal{2, 3, {}}) == 9.0);
    BOOST_TEST(variance(Normal{2, 3, 6}) == 9.0 * 6 / 4);
    BOOST_TEST(variance(Student{0, 1, 5}) == 5.0 / 3);
    BOOST_TEST(variance(Rectangular{0, 1, {}}) == 1.0 / 3);
    BOOST_TEST(variance(Triangular{0, 1, {}}) == 1.0 / 6);
    BOOST_TEST(variance(Arcsine{0, 1, {}}) == 1.0 / 2);
    BOOST_TEST(variance(Trapezoid{0, 1, 0.5, {}}) == 5.0 / 24);
    BOOST_TEST(variance(Trapezoid{0, 1, 0, {}}) == 1.0 / 6);
    BOOST_TEST(variance(Trapezoid{0, 1, 1, {}}) == 1.0 / 3);
    BOOST_TEST(variance(InexactRectangular{0, 1, 0.1, {}}) == 1.0 / 3 + 0.01 / 9);
    BOOST_TEST(variance(Exponential{3, {}}) == 9.0);
    BOOST_TEST(variance(Gamma{3, 2, {}}) == 4.0);
    // Five readings 1 … 5: x̄ = 3, s² = 10/4, u² = s²/5 = 1/2, drawn variance u² 4/(4 − 2).
    const Readings readings{{4, 1, 3, 5, 2}};
    BOOST_TEST(mean(readings) == 3.0);
    BOOST_TEST(standard_uncertainty(readings) == std::sqrt(0.5));
    BOOST_TEST(variance(readings) == 1.0);
}

BOOST_AUTO_TEST_CASE(standard_uncertainties_of_the_guide) {
    // GUM (text), to the printed digits: 4.3.5 even odds, 4.3.7 α ± 0.4e-6/K and a voltage's
    // 15 µV, 4.3.8 limits 16.40 … 16.92, 4.4.5 limits 96 … 104 °C by both laws.
    const auto prints = [](double x, double printed, double digit) {
        BOOST_TEST(std::abs(x - printed) <= 0.5 * digit, x << ", not " << printed);
    };
    prints(0.04 / quantile(Normal{0, 1, {}}, 0.75), 0.06, 0.01);
    prints(standard_uncertainty(Rectangular{16.52, 0.4, {}}), 0.23, 0.01);
    prints(standard_uncertainty(Rectangular{0, 15e-6, {}}), 8.7e-6, 1e-7);
    prints(standard_uncertainty(Rectangular{16.66, 0.26, {}}), 0.15, 0.01);
    prints(standard_uncertainty(Rectangular{100, 4, {}}), 2.3, 0.1);
    prints(standard_uncertainty(Triangular{100, 4, {}}), 1.6, 0.1);
}

BOOST_AUTO_TEST_CASE(quantiles_by_other_methods) {
    // Recomputed by bisection of erfc and by quadrature of the densities, 10 digits printed.
    const struct {
        Distribution law;
        double p, x;
    } rows[] = {{Normal{0, 1, {}}, 0.95, 1.644853627},
                {Normal{0, 1, {}}, 0.975, 1.959963985},
                {Normal{0, 1, {}}, 0.97725, 2.000002444},
                {Normal{0, 1, {}}, 0.99865, 2.999976993},
                {Normal{0, 1, {}}, 0.999968, 3.997555457},
                {Student{0, 1, 5}, 0.975, 2.570581837},
                {Student{0, 1, 5}, 0.97725, 2.648654254},
                {Student{0, 1, 29}, 0.95, 1.699127027},
                {Student{0, 1, 4}, 0.995, 4.604094871},
                // χ²_ν is the gamma law of mean ν and variance 2ν.
                {Gamma{9, std::sqrt(18.0), {}}, 0.05, 3.325112843},
                {Gamma{24, std::sqrt(48.0), {}}, 0.05, 13.84842503},
                {Gamma{29, std::sqrt(58.0), {}}, 0.025, 16.0470717},
                {Gamma{29, std::sqrt(58.0), {}}, 0.975, 45.7222858},
                {Gamma{49, std::sqrt(98.0), {}}, 0.05, 33.93030562}};

    for (const auto& row : rows)
        BOOST_TEST(quantile(row.law, row.p) == row.x, boost::test_tools::tolerance(2e-9));
}

BOOST_AUTO_TEST_CASE(t_laws_have_the_scale_as_standard_uncertainty) {
    BOOST_TEST(standard_uncertainty(Student{0, 7, 5}) == 7.0);
    BOOST_TEST(standard_uncertainty(Normal{0, 7, 5}) == 7.0);
    BOOST_TEST(!standard_deviation(Student{0, 7, 2}));
    BOOST_TEST(!standard_deviation(Readings{{1, 2, 3}}));
    BOOST_TEST(standard_deviation(Readings{{1, 2, 3, 4}}).has_value());
}

BOOST_AUTO_TEST_CASE(degrees_of_freedom_are_kept_and_drawn_for_the_normal_only) {
    BOOST_TEST(!degrees_of_freedom(Fixed{1}));
    BOOST_TEST(!degrees_of_freedom(Normal{0, 1, {}}));
    BOOST_TEST(degrees_of_freedom(Normal{0, 1, 18}).value() == 18.0);
    BOOST_TEST(degrees_of_freedom(Student{0, 1, 2.5}).value() == 2.5);
    BOOST_TEST(degrees_of_freedom(Rectangular{0, 1, 50}).value() == 50.0);
    BOOST_TEST(degrees_of_freedom(Readings{{1, 2, 3}}).value() == 2.0);
    for (const double p : {0.01, 0.3, 0.9}) {
        BOOST_TEST(quantile(Rectangular{0, 1, 3}, p) == quantile(Rectangular{0, 1, {}}, p));
        BOOST_TEST(quantile(Normal{5, 2, 18}, p) == quantile(Student{5, 2, 18}, p));
    }
    // JCGM 101 9.5 (end gauge): t18(50 000 623, 25²) nm; t of 95 % at 18 from a printed table.
    BOOST_TEST(quantile(Normal{50000623, 25, 18}, 0.975) == 50000623 + 25 * 2.1009,
               boost::test_tools::tolerance(1e-10));
}

BOOST_AUTO_TEST_CASE(quantiles_invert_the_distribution_function) {
    const auto symmetric = [](auto lower) { return [lower](double x) { return lower(-x); }; };
    const auto is = [&](const Distribution& law, const char* what, auto lower) {
        BOOST_TEST(identity_error(law, lower, symmetric(lower)) < 1e-12, what);
    };
    is(Normal{0, 1, {}}, "normal", [](double x) {
        return 0.5 * std::erfc(-x / std::numbers::sqrt2);
    });
    for (const double nu : {0.7, 1.0, 2.0, 4.5, 30.0, 1e5})
        is(Student{0, 1, nu}, "t", [nu](double x) {
            return boost::math::cdf(boost::math::students_t(nu), x);
        });

    // Bounded laws: a − x loses digits at the ends, so |P(X ≤ x(p)) − p| is asked to be below the
    // rounding of x times the density there, which `slack` bounds in units of 1e-15.
    const auto bounded = [](const Distribution& law, const char* what, auto slack, auto lower) {
        double worst = 0;
        for (const double p : tails()) {
            const double below = std::abs(lower(quantile(law, p)) - p);
            const double above = std::abs(lower(-quantile(law, 1.0 - p)) - p);
            worst = std::max(worst, std::max(below, above) / slack(p));
        }
        BOOST_TEST(worst < 1e-15, what << ": " << worst);
    };
    const auto one = [](double) { return 1.0; };
    bounded(Rectangular{0, 1, {}}, "rectangular", one, [](double x) { return 0.5 * (x + 1); });
    bounded(Triangular{0, 1, {}}, "triangular", one, [](double x) { return 0.5 * square(1 + x); });
    bounded(
        Arcsine{0, 1, {}},
        "arcsine",
        [](double p) { return std::min(0.1 / p, 1e8); },
        [](double x) { return 0.5 + std::asin(x) / std::numbers::pi; });
    for (const double beta : {0.0, 0.25, 0.9, 1.0})
        bounded(Trapezoid{0, 1, beta, {}}, "trapezoid", one, [beta](double x) {
            return x < -beta ? 0.5 * square(1 + x) / (1 - square(beta)) : 0.5 + x / (1 + beta);
        });
    for (const double d : {1e-6, 0.01, 0.1, 0.5, 0.999})
        bounded(
            InexactRectangular{0, 1, d, {}},
            "inexact rectangular",
            [d](double) { return 1 + 0.3 / d; },
            [d](double x) {
                const double c = 1 + d, y = -x;
                if (y >= 1 - d)
                    return (c - y - y * std::log(c / y)) / (4 * d);
                return 0.5 + x * std::log(c / (1 - d)) / (4 * d);
            });

    BOOST_TEST(identity_error(
                   Exponential{1, {}},
                   [](double x) { return -std::expm1(-x); },
                   [](double x) { return std::exp(-x); }) < 1e-12);
    for (const double shape : {0.1, 0.5, 1.0, 2.3, 40.0, 1e4}) {
        const boost::math::gamma_distribution<> law(shape);
        BOOST_TEST(identity_error(
                       Gamma{shape, std::sqrt(shape), {}},
                       [&](double x) { return boost::math::cdf(law, x); },
                       [&](double x) {
                           return boost::math::cdf(boost::math::complement(law, x));
                       }) < 1e-12 * (1 + shape),
                   "gamma of shape " << shape);
    }
}

BOOST_AUTO_TEST_CASE(what_is_drawn_has_the_stated_moments) {
    const auto is = [](const Distribution& law, double tolerance, const char* what) {
        const auto [m, s] = drawn(law);
        const double sd = standard_deviation(law).value();
        BOOST_TEST(std::abs(m - mean(law)) <= tolerance * (sd + 1e-10), "mean of " << what);
        BOOST_TEST(std::abs(s - sd) <= tolerance * sd, "deviation of " << what << ": " << s);
    };
    is(Fixed{4}, 1e-15, "fixed");
    is(Normal{4, 3, {}}, 3e-6, "normal");
    is(Normal{4, 3, 18}, 1e-5, "normal with dof");
    is(Student{4, 3, 5}, 1e-3, "t");
    is(Rectangular{4, 3, {}}, 1e-9, "rectangular");
    is(Triangular{4, 3, {}}, 1e-8, "triangular");
    is(Arcsine{4, 3, {}}, 1e-9, "arcsine");
    is(Trapezoid{4, 3, 0.3, {}}, 1e-8, "trapezoid");
    is(InexactRectangular{4, 3, 0.6, {}}, 1e-8, "inexact rectangular");
    is(InexactRectangular{4, 3, 0, {}}, 1e-8, "inexact rectangular without doubt");
    is(Exponential{4, {}}, 2e-5, "exponential");
    is(Gamma{4, 3, {}}, 2e-5, "gamma");
    is(Gamma{4, 6, {}}, 1e-4, "gamma of shape below 1/2");
    is(Readings{{96.9, 98.2, 98.6, 97.7, 97.1, 98.0}}, 1e-3, "readings");
}

BOOST_AUTO_TEST_CASE(tables_keep_their_promise_and_rise) {
    const auto is = [](const Distribution& law, const char* what, double parameter) {
        const double u = standard_uncertainty(law);
        std::vector<double> p;
        for (const double tail : tails()) {
            p.push_back(tail);
            p.push_back(1.0 - tail);
        }
        std::sort(p.begin(), p.end());
        auto x = p;
        sampler(law)(x);
        double worst = 0;
        bool rises = true;
        for (std::size_t i = 0; i < p.size(); ++i) {
            const double exact = quantile(law, p[i]);
            worst = std::max(worst, std::abs(x[i] - exact) / std::max(u, std::abs(exact)));
            rises = rises && (i == 0 || x[i] >= x[i - 1]);
        }
        BOOST_TEST(worst < 1e-9, what << " " << parameter << ": " << worst);
        BOOST_TEST(rises, what << " " << parameter);
    };
    for (const double nu : {0.5, 1.0, 1.3, 2.0, 3.0, 5.0, 18.0, 100.0, 1e4, 1e8})
        is(Student{0, 3, nu}, "t", nu);
    for (const double shape : {0.1, 0.5, 0.7, 1.0, 1.5, 3.0, 30.0, 1e4})
        is(Gamma{2 * std::sqrt(shape), 2, {}}, "gamma", shape);
    for (const double doubt : {1e-6, 0.1, 0.5, 0.9, 0.999})
        is(InexactRectangular{0, 1, doubt, {}}, "inexact rectangular", doubt);
    // Uniforms from elsewhere than fill_uniform may fall on the middle or outside the octaves.
    std::vector<double> ends{0.5, 1e-300, 1.0 - 0x1p-53};
    sampler(Student{0, 1, 4})(ends);
    BOOST_TEST(std::abs(ends[0]) < 1e-9);
    BOOST_TEST(ends[1] == -ends[2]);
}

BOOST_AUTO_TEST_CASE(numbers_that_make_no_law_are_refused) {
    constexpr double nan = std::numeric_limits<double>::quiet_NaN();
    const std::vector<Distribution> wrong{Fixed{nan},
                                          Normal{0, -1, {}},
                                          Normal{0, nan, {}},
                                          Normal{0, 1, 0},
                                          Student{0, 1, 0},
                                          Student{0, 1, nan},
                                          Rectangular{0, -1, {}},
                                          Triangular{nan, 1, {}},
                                          Arcsine{0, -1, {}},
                                          Trapezoid{0, 1, 1.5, {}},
                                          Trapezoid{0, 1, nan, {}},
                                          InexactRectangular{0, 1, 1, {}},
                                          InexactRectangular{0, 1, -1, {}},
                                          Exponential{0, {}},
                                          Gamma{-1, 1, {}},
                                          Gamma{1, 0, {}},
                                          Readings{},
                                          Readings{{1}},
                                          Readings{{1, nan}}};
    for (const Distribution& law : wrong)
        BOOST_TEST(refusal(law) == "distribution-parameter", "kind " << law.index());
    const std::vector<Distribution> right{Fixed{-1},
                                          Normal{0, 0, {}},
                                          Student{-1, 2, 0.5},
                                          Rectangular{0, 0, {}},
                                          Trapezoid{0, 1, 1, {}},
                                          InexactRectangular{0, 0, 0, {}},
                                          Gamma{},
                                          Readings{{1, 1}}};
    for (const Distribution& law : right)
        BOOST_TEST(refusal(law) == "", "kind " << law.index());
}

BOOST_AUTO_TEST_SUITE_END()
