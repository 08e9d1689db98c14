// SPDX-License-Identifier: MIT
// The fit of a first-order rise, against two sets of reference data whose certified values come
// from another method in 128-bit arithmetic (NIST Statistical Reference Datasets, nonlinear
// regression, "Misra1a" and "BoxBOD", models b1 (1 − exp(−b2 x)); data and values from memory:
// wrong data could not give eleven certified digits), and against simulated records whose
// coefficients are known. Tolerances: the certified digits, 1e-9; coverage with a false alarm below
// 1e-9.
#include "holdable/stats/rise.hpp"

#include "holdable/base/error.hpp"

#include <boost/test/unit_test.hpp>

#include <cmath>
#include <random>

namespace tt = boost::test_tools;
using Eigen::VectorXd;
using namespace holdable::stats;

BOOST_AUTO_TEST_SUITE(stats_rise)

BOOST_AUTO_TEST_CASE(nist_misra1a, *boost::unit_test::tolerance(1e-9)) {
    VectorXd x(14), y(14);
    y << 10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.40, 75.47,
        81.78;
    x << 77.6, 114.9, 141.1, 190.8, 239.9, 289.0, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1,
        760.0;
    const auto r = fit_rise(x, y, true);
    BOOST_TEST(r.bends);
    BOOST_TEST(r.rise == 2.3894212918E+02);
    BOOST_TEST(1 / r.time_constant == 5.5015643181E-04);
    BOOST_TEST(r.residual_standard_deviation == 1.0187876330E-01);
    BOOST_TEST(r.dof == 12);
    BOOST_TEST(std::sqrt(r.covariance(1, 1)) == 2.7070075241E+00);
    BOOST_TEST(std::sqrt(r.covariance(2, 2)) / (r.time_constant * r.time_constant) ==
               7.2668688436E-06);
}

BOOST_AUTO_TEST_CASE(nist_boxbod, *boost::unit_test::tolerance(1e-9)) {
    VectorXd x(6), y(6);
    y << 109, 149, 149, 191, 213, 224;
    x << 1, 2, 3, 5, 7, 10;
    const auto r = fit_rise(x, y, true);
    BOOST_TEST(r.rise == 2.1380940889E+02);
    BOOST_TEST(1 / r.time_constant == 5.4723748542E-01);
    BOOST_TEST(std::sqrt(r.covariance(1, 1)) == 1.2354515176E+01);
    BOOST_TEST(std::sqrt(r.covariance(2, 2)) / (r.time_constant * r.time_constant) ==
               1.0455993237E-01);
}

// By hand: without noise the fit is the model, and what is still to come is b (e^-u - e^-v).
BOOST_AUTO_TEST_CASE(an_exact_rise_is_found, *boost::unit_test::tolerance(1e-9)) {
    VectorXd t(13), y(13);
    for (int i = 0; i < 13; ++i) {
        t[i] = 10 * i;
        y[i] = 2 - 30 * (1 - std::exp(-t[i] / 25));
    }
    const auto r = fit_rise(t, y);
    BOOST_TEST(r.start == 2);
    BOOST_TEST(r.rise == -30);
    BOOST_TEST(r.time_constant == 25);
    BOOST_TEST(r.at(50) == 2 - 30 * (1 - std::exp(-2)));
    BOOST_TEST(rise_between(r, 25, 75).value == -30 * (std::exp(-1) - std::exp(-3)));
    BOOST_TEST(rise_between(r, 25, 75).standard < 1e-9);
}

// 2000 records with σ = 1 of what still comes after an hour (b = 30, τ = 25): its 95 % interval by
// t(22) must hold the truth 1900 ± 9.75 times in one standard deviation; 6.5 of those either way is
// a false alarm below 1e-9, and an uncertainty wrong by a tenth falls outside.
BOOST_AUTO_TEST_CASE(what_is_still_to_come_lies_in_its_interval) {
    std::mt19937_64 random(20261126);
    std::normal_distribution<double> noise(0, 1);
    const double truth = 30 * (std::exp(-60.0 / 25) - std::exp(-180.0 / 25));
    VectorXd t(25), y(25);
    int held = 0;
    for (int k = 0; k < 2000; ++k) {
        for (int i = 0; i < 25; ++i) {
            t[i] = 5 * i;
            y[i] = 4 + 30 * (1 - std::exp(-t[i] / 25)) + noise(random);
        }
        const auto left = rise_between(fit_rise(t, y), 60, 180);
        held += std::abs(left.value - truth) < 2.0739 * left.standard; // t(22) at 95 %, by hand
    }
    BOOST_TEST(held > 1900 - 65);
    BOOST_TEST(held < 1900 + 65);
}

BOOST_AUTO_TEST_CASE(a_straight_record_is_said_not_to_bend) {
    VectorXd t(8), y(8), still(8);
    for (int i = 0; i < 8; ++i) {
        t[i] = i;
        y[i] = 3 * i;
        still[i] = 5;
    }
    const auto r = fit_rise(t, y);
    BOOST_TEST(!r.bends);
    // what comes in the next step is told all the same, as along the line within a few percent
    BOOST_TEST(rise_between(r, 3, 4).value == 3, tt::tolerance(0.05));
    const auto nothing = fit_rise(t, still);
    BOOST_TEST(nothing.rise == 0, tt::tolerance(1e-12));
    BOOST_TEST(nothing.covariance.allFinite());
}

BOOST_AUTO_TEST_CASE(too_little_is_refused) {
    VectorXd t(3), y(3);
    t << 0, 1, 2;
    y << 0, 1, 1.5;
    BOOST_CHECK_THROW(fit_rise(t, y), holdable::NumericError);
    BOOST_CHECK_NO_THROW(fit_rise(t, y, true));
    VectorXd one(5), values(5);
    one.setZero();
    values.setOnes();
    BOOST_CHECK_THROW(fit_rise(one, values), holdable::NumericError);
}

BOOST_AUTO_TEST_SUITE_END()
