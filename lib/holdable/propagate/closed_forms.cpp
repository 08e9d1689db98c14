// SPDX-License-Identifier: MIT
#include "holdable/propagate/closed_forms.hpp"

#include "holdable/stats/boost_policy.ipp"
#include "holdable/stats/normal.hpp"

#include <Eigen/Eigenvalues>
#include <boost/math/tools/roots.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <numbers>

namespace holdable::propagate {
namespace {

using std::numbers::pi;

constexpr double beyond = 6; // standard deviations: 2e-9 of a normal law lies further out

double normal_density(double z) {
    return std::exp(-0.5 * z * z) / std::sqrt(2 * pi);
}

struct Node {
    double x, weight;
};

/// Gauss-Legendre nodes on -1 … 1, by Newton's steps on the recurrence of the polynomials.
template <std::size_t n>
const std::array<Node, n>& legendre() {
    static const std::array<Node, n> nodes = [] {
        std::array<Node, n> result{};
        for (std::size_t i = 0; i < n; ++i) {
            double x = std::cos(pi * (static_cast<double>(i) + 0.75) / (n + 0.5));
            double slope = 1;
            for (int step = 0; step < 100; ++step) {
                double before = 1;
                double here = x;
                for (std::size_t k = 2; k <= n; ++k) {
                    const auto d = static_cast<double>(k);
                    const double next = ((2 * d - 1) * x * here - (d - 1) * before) / d;
                    before = here;
                    here = next;
                }
                slope = n * (x * here - before) / (x * x - 1);
                const double move = here / slope;
                x -= move;
                if (std::abs(move) < 1e-16)
                    break;
            }
            result[i] = {x, 2 / ((1 - x * x) * slope * slope)};
        }
        return result;
    }();
    return nodes;
}

/// The law along its own axes: s[0] ≤ s[1].
struct Principal {
    Eigen::Matrix2d axes; ///< columns
    Eigen::Vector2d mean;
    Eigen::Vector2d s;
};

Principal principal(const Eigen::Vector2d& mean, const Eigen::Matrix2d& covariance) {
    Eigen::SelfAdjointEigenSolver<Eigen::Matrix2d> solver;
    solver.computeDirect(covariance);
    Principal p;
    p.axes = solver.eigenvectors();
    p.mean = p.axes.transpose() * mean;
    p.s = solver.eigenvalues().cwiseMax(0).cwiseSqrt();
    return p;
}

/// P(|Y| ≤ y) for Y ~ N(mean, standard²), standard > 0.
double within(double y, double mean, double standard) {
    const double upper = (y - mean) / standard;
    const double lower = (-y - mean) / standard;
    return (upper > beyond ? 1 : stats::normal_cdf(upper)) -
           (lower < -beyond ? 0 : stats::normal_cdf(lower));
}

double disk_cdf(double t, const Principal& p) {
    if (t <= 0)
        return 0;
    const double distance = p.mean.norm();
    const double reach = 1.5 * beyond * p.s[1]; // a chance of 3e-18
    if (distance + reach < t || distance - reach > t)
        return distance < t ? 1 : 0;
    // A direction that hardly varies beside the other, or beside t, is taken to stand.
    if (p.s[0] <= 1e-9 * std::max(t, p.s[1])) {
        const double room = t * t - p.mean[0] * p.mean[0];
        return room > 0 ? folded_cdf(std::sqrt(room), p.mean[1], p.s[1]) : 0;
    }
    // Across the narrower direction, x = t sin θ: over the few standard deviations where x has
    // any probability the chord changes by no more than these, so few nodes resolve it.
    const double low = std::max(-1.0, (p.mean[0] - beyond * p.s[0]) / t);
    const double high = std::min(1.0, (p.mean[0] + beyond * p.s[0]) / t);
    if (low >= high)
        return 0;
    const double from = std::asin(low);
    const double half = (std::asin(high) - from) / 2;
    double sum = 0;
    for (const Node& node : legendre<32>()) {
        const double angle = from + half * (1 + node.x);
        const double chord = t * std::cos(angle);
        const double z = (t * std::sin(angle) - p.mean[0]) / p.s[0];
        sum += node.weight * chord * normal_density(z) * within(chord, p.mean[1], p.s[1]);
    }
    return std::min(1.0, half * sum / p.s[0]);
}

} // namespace

double folded_cdf(double t, double mean, double standard) {
    if (t < 0)
        return 0;
    if (standard <= 0)
        return std::abs(mean) <= t ? 1 : 0;
    // By the upper tails, which keep their digits.
    const double m = std::abs(mean);
    return 1 - stats::normal_cdf((m - t) / standard) - stats::normal_cdf((-t - m) / standard);
}

double folded_quantile(double p, double mean, double standard) {
    const double m = std::abs(mean);
    if (standard <= 0)
        return m;
    // Below the root, where the function rises and bends down: Newton's steps never pass it.
    double t = m + stats::normal_quantile(p) * standard;
    for (int step = 0; step < 50; ++step) {
        const double slope =
            (normal_density((t - m) / standard) + normal_density((t + m) / standard)) / standard;
        const double move = (p - folded_cdf(t, m, standard)) / slope;
        t += move;
        if (!(move > 1e-14 * t))
            break;
    }
    return t;
}

double disk_cdf(double t, const Eigen::Vector2d& mean, const Eigen::Matrix2d& covariance) {
    return disk_cdf(t, principal(mean, covariance));
}

double disk_quantile(double p, const Eigen::Vector2d& mean, const Eigen::Matrix2d& covariance) {
    const Principal law = principal(mean, covariance);
    if (law.s[1] <= 0)
        return law.mean.norm();
    double high = law.mean.norm() + law.s[1] * std::sqrt(-2 * std::log(1 - p));
    while (disk_cdf(high, law) < p)
        high *= 1.5;
    std::uintmax_t steps = 200;
    return boost::math::tools::toms748_solve([&](double t) { return disk_cdf(t, law) - p; },
                                             0.0,
                                             high,
                                             boost::math::tools::eps_tolerance<double>(36),
                                             steps,
                                             stats::BoostPolicy{})
        .second;
}

DiskGradient
disk_gradient(double t, const Eigen::Vector2d& mean, const Eigen::Matrix2d& covariance) {
    // P = ∫ f over the disk. Its derivatives are integrals over the circle, n the outward normal:
    // P_t = ∮ f, P_mean = -∮ f n, P_C = ½ ∮ ∇f nᵀ, with ∇f = -C⁻¹ (x - mean) f.
    Principal law = principal(mean, covariance);
    DiskGradient g{Eigen::Vector2d::Zero(), Eigen::Matrix2d::Zero()};
    if (t <= 0)
        return g;
    if (law.s[1] <= 1e-6 * t) { // as good as a point, which moves with its mean
        g.by_mean = mean.normalized();
        return g;
    }
    law.s[0] = std::max(law.s[0], 1e-3 * law.s[1]);
    const int points = std::clamp(static_cast<int>(40 * t / law.s[0]), 64, 200'000);
    double by_t = 0;
    Eigen::Vector2d by_mean = Eigen::Vector2d::Zero();
    Eigen::Matrix2d by_covariance = Eigen::Matrix2d::Zero();
    for (int i = 0; i < points; ++i) {
        const double angle = 2 * pi * i / points;
        const Eigen::Vector2d normal(std::cos(angle), std::sin(angle));
        const Eigen::Vector2d z = (t * normal - law.mean).cwiseQuotient(law.s);
        const double f = std::exp(-0.5 * z.squaredNorm());
        if (f == 0)
            continue;
        by_t += f;
        by_mean -= f * normal;
        const Eigen::Vector2d slope = -f * z.cwiseQuotient(law.s);
        by_covariance += 0.5 * slope * normal.transpose();
    }
    if (!(by_t > 0)) {
        g.by_mean = mean.normalized();
        return g;
    }
    const Eigen::Matrix2d symmetric = (by_covariance + by_covariance.transpose()) / 2;
    g.by_mean = law.axes * (-by_mean / by_t);
    g.by_covariance = law.axes * (-symmetric / by_t) * law.axes.transpose();
    return g;
}

} // namespace holdable::propagate
