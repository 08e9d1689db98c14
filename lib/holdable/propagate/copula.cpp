// SPDX-License-Identifier: MIT
#include "holdable/propagate/copula.hpp"

#include "holdable/stats/normal.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <numbers>
#include <vector>

namespace holdable::propagate {
namespace {

// The trapezoidal rule on the normal density: beyond 7.5 lies 1e-13 of it.
constexpr double reach = 7.5;
constexpr double step = 1.0 / 128;
constexpr int nodes = 2 * static_cast<int>(reach / step) + 1;
constexpr int centre = nodes / 2;

double node(int k) {
    return (k - centre) * step;
}

/// Standardised values of a law at the nodes.
std::vector<double> values(const stats::Distribution& law, const std::vector<double>& weight) {
    std::vector<double> x(nodes);
    for (int k = 0; k < nodes; ++k)
        x[static_cast<std::size_t>(k)] = stats::normal_cdf(node(k));
    stats::sampler(law)(x);
    const double origin = stats::mean(law);
    double mean = 0, square = 0;
    for (std::size_t k = 0; k < x.size(); ++k)
        mean += weight[k] * (x[k] - origin);
    for (double& value : x)
        value -= origin + mean;
    for (std::size_t k = 0; k < x.size(); ++k)
        square += weight[k] * x[k] * x[k];
    assert(square > 0);
    for (double& value : x)
        value /= std::sqrt(square);
    return x;
}

} // namespace

Copula::Copula(const stats::Distribution& a, const stats::Distribution& b) {
    std::vector<double> weight(nodes);
    double whole = 0;
    for (int k = 0; k < nodes; ++k)
        whole += weight[static_cast<std::size_t>(k)] = std::exp(-0.5 * node(k) * node(k));
    for (double& w : weight)
        w /= whole;
    const auto x = values(a, weight), y = values(b, weight);

    double a_k[orders + 1] = {}, b_k[orders + 1] = {};
    double same = 0, opposite = 0; // r(1), r(−1)
    for (std::size_t n = 0; n < x.size(); ++n) {
        const double z = node(static_cast<int>(n));
        same += weight[n] * x[n] * y[n];
        opposite += weight[n] * x[n] * y[nodes - 1 - n];
        // Normalised: √(k+1) h_{k+1} = z h_k − √k h_{k−1}.
        double before = 0, h = 1;
        for (int k = 0; k <= orders; ++k) {
            a_k[k] += weight[n] * x[n] * h;
            b_k[k] += weight[n] * y[n] * h;
            const double next = (z * h - std::sqrt(double(k)) * before) / std::sqrt(k + 1.0);
            before = h;
            h = next;
        }
    }
    for (int k = 1; k <= orders; ++k) {
        terms_[k] = a_k[k] * b_k[k];
        same -= terms_[k];
        opposite -= k % 2 ? -terms_[k] : terms_[k];
    }
    static_assert(orders % 2 == 0);
    terms_[orders + 1] = 0.5 * (same - opposite);
    terms_[orders + 2] = 0.5 * (same + opposite);
}

double Copula::coefficient(double rho) const {
    double r = 0;
    for (int k = orders + 2; k >= 0; --k)
        r = r * rho + terms_[k];
    return r;
}

double Copula::rho(double r) const {
    assert(coefficient(-1) - 1e-6 <= r && r <= coefficient(1) + 1e-6);
    double low = -1, high = 1;
    if (r >= coefficient(high))
        return high;
    for (int halving = 0; halving < 60; ++halving) {
        const double middle = 0.5 * (low + high);
        (coefficient(middle) < r ? low : high) = middle;
    }
    return 0.5 * (low + high);
}

} // namespace holdable::propagate
