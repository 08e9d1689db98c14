// SPDX-License-Identifier: MIT
// Chances of normal errors inside a circle, against the noncentral χ² law of Boost.Math (equal
// variances; 2e-8, as documented), against one dimension (no variance across), and against counting
// where neither applies. Gradients against central differences of the quantile itself, as exact as
// those: 1e-4.
#include "holdable/propagate/closed_forms.hpp"

#include <Eigen/Cholesky>
#include <Eigen/Geometry>
#include <Eigen/LU>
#include <boost/math/distributions/non_central_chi_squared.hpp>
#include <boost/test/unit_test.hpp>

#include <cmath>
#include <random>

using namespace holdable::propagate;

namespace {

Eigen::Matrix2d matrix(double xx, double xy, double yy) {
    return (Eigen::Matrix2d() << xx, xy, xy, yy).finished();
}

} // namespace

BOOST_AUTO_TEST_SUITE(closed_forms)

BOOST_AUTO_TEST_CASE(a_round_law_is_the_noncentral_chi_squared) {
    for (const double s : {0.03, 0.4, 1.0, 5.0})
        for (const double m : {0.0, 0.2, 1.0, 3.0})
            for (const double t : {0.1, 0.9, 1.2, 3.3, 9.0}) {
                const boost::math::non_central_chi_squared law(2, m * m / (s * s));
                const double expected = cdf(law, t * t / (s * s));
                const Eigen::Vector2d mean(m * 0.6, -m * 0.8);
                BOOST_TEST_CONTEXT("s " << s << ", m " << m << ", t " << t)
                BOOST_CHECK_SMALL(disk_cdf(t, mean, matrix(s * s, 0, s * s)) - expected, 2e-8);
            }
}

BOOST_AUTO_TEST_CASE(without_variance_across_it_is_one_dimension) {
    // On the line (x, 0.5): inside where |x| ≤ √(t² - 0.25).
    const double t = 1.3;
    BOOST_CHECK_CLOSE(disk_cdf(t, {0.2, 0.5}, matrix(0.49, 0, 0)),
                      folded_cdf(std::sqrt(t * t - 0.25), 0.2, 0.7),
                      1e-7);
    BOOST_TEST(disk_cdf(0.4, {0.2, 0.5}, matrix(0.49, 0, 0)) == 0);
    BOOST_TEST(disk_cdf(1, {0.6, 0.7}, matrix(0, 0, 0)) == 1);
    BOOST_TEST(disk_cdf(1, {0.8, 0.7}, matrix(0, 0, 0)) == 0);
    BOOST_CHECK_CLOSE(disk_quantile(0.95, {0.6, 0.8}, matrix(0, 0, 0)), 1, 1e-12);
    // Across a tilted line as well: the law along (3, 4)/5 alone.
    BOOST_CHECK_CLOSE(disk_quantile(0.95, {0, 0}, matrix(0.36, 0.48, 0.64)), 1.959963985, 1e-6);
}

BOOST_AUTO_TEST_CASE(an_oblique_law_is_what_counting_says) {
    const Eigen::Vector2d mean(0.7, -0.4);
    const auto covariance = matrix(0.5, 0.3, 0.9);
    const Eigen::Matrix2d factor = covariance.llt().matrixL();
    std::mt19937_64 engine(7);
    std::normal_distribution<double> normal;
    constexpr int n = 2'000'000;
    int inside = 0;
    for (int i = 0; i < n; ++i) {
        const double a = normal(engine);
        const double b = normal(engine);
        inside += (mean + factor * Eigen::Vector2d(a, b)).squaredNorm() <= 1.5 * 1.5;
    }
    const double p = disk_cdf(1.5, mean, covariance);
    BOOST_CHECK_SMALL(static_cast<double>(inside) / n - p, 6 * std::sqrt(p * (1 - p) / n));
}

BOOST_AUTO_TEST_CASE(chance_and_quantile_over_wide_ranges) {
    // Radius and angle integrated the other way round, by midpoints: P = ∫∫ f r dr dφ; 400 × 720
    // of them give 1e-5. The quantile by going back.
    const double pi = std::acos(-1.0);
    for (const double narrow : {0.05, 0.3, 1.0})
        for (const double off : {0.0, 0.8, 2.5})
            for (const double turn : {0.2, 1.3}) {
                const Eigen::Rotation2Dd axes(0.7);
                const Eigen::Vector2d s(narrow, 1);
                const Eigen::Matrix2d c = axes.toRotationMatrix() * s.cwiseAbs2().asDiagonal() *
                                          axes.toRotationMatrix().transpose();
                const Eigen::Vector2d mean(off * std::cos(turn), off * std::sin(turn));
                const Eigen::Matrix2d inverse = c.inverse();
                const double t = 1.4;
                double sum = 0;
                constexpr int rings = 400, rays = 720;
                for (int i = 0; i < rings; ++i)
                    for (int j = 0; j < rays; ++j) {
                        const double r = t * (i + 0.5) / rings, angle = 2 * pi * (j + 0.5) / rays;
                        const Eigen::Vector2d d =
                            r * Eigen::Vector2d(std::cos(angle), std::sin(angle)) - mean;
                        sum += r * std::exp(-0.5 * d.dot(inverse * d));
                    }
                const double expected = sum * (t / rings) * (2 * pi / rays) / (2 * pi * narrow);
                BOOST_TEST_CONTEXT("narrow " << narrow << ", off " << off << ", turn " << turn) {
                    const Disk disk(c);
                    BOOST_CHECK_SMALL(disk.cdf(t, mean) - expected, 2e-5);
                    for (const double p : {0.5, 0.95, 0.9973, 0.999999})
                        BOOST_CHECK_SMALL(disk.cdf(disk.quantile(p, mean), mean) - p, 1e-9);
                }
            }
}

BOOST_AUTO_TEST_CASE(the_quantile_is_the_inverse_and_its_gradient_its_slope) {
    const struct {
        Eigen::Vector2d mean;
        Eigen::Matrix2d covariance;
    } laws[] = {{{0.7, -0.4}, matrix(0.5, 0.3, 0.9)},
                {{0, 0}, matrix(1, 0, 1)},
                {{3, 1}, matrix(0.01, 0, 0.04)},
                {{0.1, 0}, matrix(2, -0.5, 0.2)}};

    for (const auto& [mean, covariance] : laws)
        for (const double p : {0.6, 0.95, 0.9973}) {
            const double t = disk_quantile(p, mean, covariance);
            BOOST_CHECK_CLOSE(disk_cdf(t, mean, covariance), p, 1e-7);
            const auto gradient = disk_gradient(t, mean, covariance);
            constexpr double step = 1e-3;
            for (int i = 0; i < 2; ++i) {
                Eigen::Vector2d move = Eigen::Vector2d::Zero();
                move[i] = step;
                const double slope = (disk_quantile(p, mean + move, covariance) -
                                      disk_quantile(p, mean - move, covariance)) /
                                     (2 * step);
                BOOST_CHECK_SMALL(gradient.by_mean[i] - slope, 1e-4);
                for (int j = 0; j < 2; ++j) {
                    Eigen::Matrix2d bend = Eigen::Matrix2d::Zero();
                    bend(i, j) += 0.5;
                    bend(j, i) += 0.5;
                    const double size = step * covariance(0, 0);
                    const double by = (disk_quantile(p, mean, covariance + size * bend) -
                                       disk_quantile(p, mean, covariance - size * bend)) /
                                      (2 * size);
                    BOOST_CHECK_SMALL((gradient.by_covariance.cwiseProduct(bend)).sum() - by,
                                      1e-4 * (1 + std::abs(by)));
                }
            }
        }
}

BOOST_AUTO_TEST_SUITE_END()
