// SPDX-License-Identifier: MIT
#include "holdable/propagate/closed_forms.hpp"

#include "holdable/stats/boost_policy.ipp"
#include "holdable/base/clones.ipp"
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
    Eigen::Vector2d s;

    explicit Principal(const Eigen::Matrix2d& covariance) {
        Eigen::SelfAdjointEigenSolver<Eigen::Matrix2d> solver;
        solver.computeDirect(covariance);
        axes = solver.eigenvectors();
        s = solver.eigenvalues().cwiseMax(0).cwiseSqrt();
    }
};

/// Φ and φ at steps of 1/32, from which Taylor's polynomials reach any place between to 1e-13.
struct NormalTable {
    static constexpr double reach = 9; ///< beyond it Φ is 0 or 1 to 1e-19
    static constexpr int steps = 32;   ///< in 1

    std::array<double, static_cast<std::size_t>(2 * reach * steps) + 2> cdf, density;
    double end = reach;

    NormalTable() {
        for (std::size_t i = 0; i < cdf.size(); ++i) {
            const double z = static_cast<double>(i) / steps - reach;
            cdf[i] = stats::normal_cdf(z);
            density[i] = normal_density(z);
        }
    }
};

/// Reads the table where loops vectorise. `reach` stands for the constant, which the compiler would
/// branch on.
class NormalReader {
  public:
    explicit NormalReader(const NormalTable& table)
        : cdf_(table.cdf.data()), density_(table.density.data()), reach_(table.end) {}

    /// The nearest place of the table, and how far z lies from it.
    struct Near {
        int at;
        double z, h;
    };

    [[gnu::always_inline]] Near nearest(double z) const {
        const double above = z > -reach_ ? z : -reach_;
        const double within = above < reach_ ? above : reach_;
        const int at = static_cast<int>((within + reach_) * NormalTable::steps + 0.5);
        const double there = at * (1.0 / NormalTable::steps) - reach_;
        return {at, there, within - there};
    }

    [[gnu::always_inline]] double cdf(Near n) const {
        const double z = n.z, h = n.h, zz = z * z;
        const double fourth = (zz * zz - 6 * zz + 3) * (1.0 / 120);
        const double third = (zz - 3) * z * (1.0 / 24) - h * fourth;
        const double series = 1 - h * (z * 0.5 - h * ((zz - 1) * (1.0 / 6) - h * third));
        return cdf_[n.at] + density_[n.at] * h * series;
    }

    [[gnu::always_inline]] double density(Near n) const {
        const double u = -n.h * (n.z + 0.5 * n.h); // at most 0.14
        const double above = 1.0 / 24 + u * (1.0 / 120 + u * (1.0 / 720 + u * (1.0 / 5040)));
        return density_[n.at] * (1 + u * (1 + u * (0.5 + u * (1.0 / 6 + u * above))));
    }

  private:
    const double *cdf_, *density_;
    double reach_;
};

/// sin x for |x| ≤ π/2, to 1e-13.
[[gnu::always_inline]] inline double sine(double x) {
    const double y = x * x;
    return x + x * y *
                   (-1.0 / 6 +
                    y * (1.0 / 120 +
                         y * (-1.0 / 5040 +
                              y * (1.0 / 362880 +
                                   y * (-1.0 / 39916800 +
                                        y * (1.0 / 6227020800 +
                                             y * (-1.0 / 1307674368000 + y / 355687428096000)))))));
}

constexpr std::size_t slices = 32;

/// A direction that hardly varies beside the other, or beside t, is taken to stand.
bool stands_beside(double s, double much) {
    return s <= 1e-9 * much;
}

/// A law along its own axes, cut across the narrower one.
struct Sliced {
    double t, from, half; ///< x = t sin θ, θ from `from` over 2 `half`
    double mean[2], s[2];
};

/// The chance, and where wanted its derivative by t: sums over the slices.
template <bool wanted>
[[gnu::always_inline]] inline double
add_slices(const Sliced& law, const Node* nodes, const NormalReader& normal, double* slope) {
    const NormalReader table = normal;
    const double t = law.t, from = law.from, half = law.half;
    const double mean0 = law.mean[0], mean1 = law.mean[1];
    const double per0 = 1 / law.s[0], per1 = 1 / law.s[1];
    double chances[slices], slopes[slices];
    for (std::size_t i = 0; i < slices; ++i) {
        const double angle = from + half * (1 + nodes[i].x);
        const double chord = t * sine(0.5 * pi - std::abs(angle));
        const auto x = table.nearest((t * sine(angle) - mean0) * per0);
        const auto upper = table.nearest((chord - mean1) * per1);
        const auto lower = table.nearest((-chord - mean1) * per1);
        const double weight = nodes[i].weight * table.density(x);
        chances[i] = weight * chord * (table.cdf(upper) - table.cdf(lower));
        if constexpr (wanted)
            slopes[i] = weight * (table.density(upper) + table.density(lower));
    }
    if constexpr (wanted) {
        double sum = 0;
        for (std::size_t i = 0; i < slices; ++i)
            sum += slopes[i];
        *slope = half * per0 * t * per1 * sum;
    }
    double sum = 0;
    for (std::size_t i = 0; i < slices; ++i)
        sum += chances[i];
    return half * per0 * sum;
}

HOLDABLE_CLONES
double chance_of(const Sliced& law, const Node* nodes, const NormalReader& normal) {
    return add_slices<false>(law, nodes, normal, nullptr);
}

HOLDABLE_CLONES
double
chance_and_slope(const Sliced& law, const Node* nodes, const NormalReader& normal, double* slope) {
    return add_slices<true>(law, nodes, normal, slope);
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

Disk::Disk(const Eigen::Matrix2d& covariance) {
    const Principal law(covariance);
    axes_ = law.axes;
    s_ = law.s;
}

/// @param slope gets the derivative by t, 0 where the chance is 0 or 1; null where one direction
/// stands
double Disk::along_axes(double t, const Eigen::Vector2d& mean, double* slope) const {
    if (slope != nullptr)
        *slope = 0;
    if (t <= 0)
        return 0;
    const double distance = mean.norm();
    const double reach = 1.5 * beyond * s_[1]; // a chance of 3e-18
    if (distance + reach < t || distance - reach > t)
        return distance < t ? 1 : 0;
    if (stands_beside(s_[0], std::max(t, s_[1]))) {
        const double room = t * t - mean[0] * mean[0];
        return room > 0 ? folded_cdf(std::sqrt(room), mean[1], s_[1]) : 0;
    }
    // Across the narrower direction, x = t sin θ: over the few standard deviations where x has
    // any probability the chord changes by no more than these, so few nodes resolve it.
    const double low = std::max(-1.0, (mean[0] - beyond * s_[0]) / t);
    const double high = std::min(1.0, (mean[0] + beyond * s_[0]) / t);
    if (low >= high)
        return 0;
    const double from = std::asin(low);
    const Sliced law{t, from, (std::asin(high) - from) / 2, {mean[0], mean[1]}, {s_[0], s_[1]}};
    static const NormalTable table;
    const NormalReader normal(table);
    const auto* nodes = legendre<slices>().data();
    return std::min(1.0,
                    slope == nullptr ? chance_of(law, nodes, normal)
                                     : chance_and_slope(law, nodes, normal, slope));
}

double Disk::cdf(double t, const Eigen::Vector2d& mean) const {
    return along_axes(t, axes_.transpose() * mean, nullptr);
}

double Disk::quantile(double p, const Eigen::Vector2d& of) const {
    const Eigen::Vector2d mean = axes_.transpose() * of;
    if (s_[1] <= 0)
        return mean.norm();
    const double far = mean.norm() + s_[1] * std::sqrt(-2 * std::log(1 - p));
    if (stands_beside(s_[0], 2 * far)) {
        double high = far;
        while (along_axes(high, mean, nullptr) < p)
            high *= 1.5;
        std::uintmax_t steps = 200;
        return boost::math::tools::toms748_solve(
                   [&](double t) { return along_axes(t, mean, nullptr) - p; },
                   0.0,
                   high,
                   boost::math::tools::eps_tolerance<double>(36),
                   steps,
                   stats::BoostPolicy{})
            .second;
    }
    // X² + Y² is about a multiple of χ² with its mean and variance, and that by Wilson and
    // Hilferty; from there by Newton's steps, halved where they leave what is known of t.
    const Eigen::Array2d v = s_.array().square(), m = mean.array().square();
    const double centre = m.sum() + v.sum();
    const double spread = 2 * v.square().sum() + 4 * (m * v).sum();
    const double part = spread / (9 * centre * centre); // 2/(9 ν)
    const double root = 1 - part + stats::normal_quantile(p) * std::sqrt(part);
    double t = std::sqrt(centre * root * root * root);
    double low = 0, high = 2 * far;
    if (!(t > low && t < high))
        t = far;
    for (int step = 0; step < 100; ++step) {
        double slope = 0;
        const double excess = along_axes(t, mean, &slope) - p;
        (excess < 0 ? low : high) = t;
        double next = t - excess / slope;
        const bool newton = slope > 0 && next > low && next < high;
        if (!newton)
            next = (low + high) / 2;
        const double move = std::abs(next - t);
        t = next;
        if (move <= 1e-9 * std::min(t, s_[1]) || !(high - low > 1e-15 * high))
            break;
    }
    return t;
}

double disk_cdf(double t, const Eigen::Vector2d& mean, const Eigen::Matrix2d& covariance) {
    return Disk(covariance).cdf(t, mean);
}

double disk_quantile(double p, const Eigen::Vector2d& mean, const Eigen::Matrix2d& covariance) {
    return Disk(covariance).quantile(p, mean);
}

DiskGradient
disk_gradient(double t, const Eigen::Vector2d& mean, const Eigen::Matrix2d& covariance) {
    // P = ∫ f over the disk. Its derivatives are integrals over the circle, n the outward normal:
    // P_t = ∮ f, P_mean = -∮ f n, P_C = ½ ∮ ∇f nᵀ, with ∇f = -C⁻¹ (x - mean) f.
    Principal law(covariance);
    const Eigen::Vector2d along = law.axes.transpose() * mean;
    DiskGradient g{Eigen::Vector2d::Zero(), Eigen::Matrix2d::Zero()};
    if (t <= 0)
        return g;
    if (law.s[1] <= 1e-6 * t) { // as good as a point, which moves with its mean
        g.by_mean = mean.normalized();
        return g;
    }
    law.s[0] = std::max(law.s[0], 1e-3 * law.s[1]);
    const int points = std::clamp(static_cast<int>(16 * t / law.s[0]), 64, 200'000);
    double by_t = 0;
    Eigen::Vector2d by_mean = Eigen::Vector2d::Zero();
    Eigen::Matrix2d by_covariance = Eigen::Matrix2d::Zero();
    for (int i = 0; i < points; ++i) {
        const double angle = 2 * pi * i / points;
        const Eigen::Vector2d normal(std::cos(angle), std::sin(angle));
        const Eigen::Vector2d z = (t * normal - along).cwiseQuotient(law.s);
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
