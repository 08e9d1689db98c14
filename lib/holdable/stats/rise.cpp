// SPDX-License-Identifier: MIT
#include "holdable/stats/rise.hpp"

#include "holdable/base/error.hpp"

#include <Eigen/QR>
#include <fmt/format.h>

#include <cassert>
#include <cmath>

namespace holdable::stats {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr int rungs = 160;        // of the ladder of τ
constexpr double shortest = 0.05; // of the shortest step
constexpr double longest = 20;    // of the record
constexpr int most_steps = 100;
constexpr double flat = 1e-5; // in ln τ: below it the sum of squares no longer tells up from down

double risen(double time, double tau) {
    return -std::expm1(-time / tau);
}

/// Derivative of `risen` by ln τ.
double risen_by_log(double time, double tau) {
    return -(time / tau) * std::exp(-time / tau);
}

/// The best a and b for a τ, and the sum of squares left.
struct Linear {
    double start = 0, rise = 0, left = 0;
};

Linear linear_at(const VectorXd& t, const VectorXd& y, double tau, bool start_is_zero) {
    MatrixXd design(t.size(), start_is_zero ? 1 : 2);
    for (Index i = 0; i < t.size(); ++i) {
        design(i, 0) = risen(t[i], tau);
        if (!start_is_zero)
            design(i, 1) = 1;
    }
    const VectorXd c = design.completeOrthogonalDecomposition().solve(y);
    return {start_is_zero ? 0 : c[1], c[0], (y - design * c).squaredNorm()};
}

/// Derivatives of the model by a (if it is sought), b and ln τ, m × p.
MatrixXd jacobian(const VectorXd& t, double rise, double tau, bool start_is_zero) {
    MatrixXd j(t.size(), start_is_zero ? 2 : 3);
    for (Index i = 0; i < t.size(); ++i) {
        j(i, 0) = risen(t[i], tau);
        j(i, 1) = rise * risen_by_log(t[i], tau);
        if (!start_is_zero)
            j(i, 2) = 1;
    }
    return j;
}

} // namespace

double Rise::at(double time) const {
    return start + rise * risen(time, time_constant);
}

RisePart rise_between(const Rise& r, double from, double to) {
    const double tau = r.time_constant;
    const double part = risen(to, tau) - risen(from, tau);
    const Eigen::Vector3d gradient(
        0, part, r.rise * (risen_by_log(to, tau) - risen_by_log(from, tau)) / tau);
    return {r.rise * part, std::sqrt(std::max(0.0, gradient.dot(r.covariance * gradient)))};
}

Rise fit_rise(const VectorXd& t, const VectorXd& y, bool start_is_zero) {
    assert(t.size() == y.size() && t.allFinite() && y.allFinite());
    const Index n = t.size();
    const Index sought = start_is_zero ? 2 : 3;
    if (n <= sought)
        throw NumericError(
            fmt::format("the fit of a rise needs more than {} readings; there are {}", sought, n));
    const double length = t[n - 1];
    if (!(length > 0))
        throw NumericError("the fit of a rise needs readings at more than one time");
    double step = length;
    for (Index i = 1; i < n; ++i)
        step = std::min(step, t[i] - t[i - 1]);
    const double low = std::log(shortest * step);
    const double high = std::log(longest * length);
    const auto tau_at = [&](int k) { return std::exp(low + (high - low) * k / (rungs - 1)); };
    int best = 0;
    double left = linear_at(t, y, tau_at(0), start_is_zero).left;
    for (int k = 1; k < rungs; ++k)
        if (const double one = linear_at(t, y, tau_at(k), start_is_zero).left; one < left) {
            left = one;
            best = k;
        }
    Rise result;
    result.bends = best > 0 && best < rungs - 1;
    double tau = tau_at(best);
    auto now = linear_at(t, y, tau, start_is_zero);
    for (int k = 0; result.bends && k < most_steps; ++k) {
        VectorXd residual(n);
        for (Index i = 0; i < n; ++i)
            residual[i] = y[i] - now.start - now.rise * risen(t[i], tau);
        const VectorXd move =
            jacobian(t, now.rise, tau, start_is_zero).colPivHouseholderQr().solve(residual);
        if (!move.allFinite())
            break;
        // Never farther than a rung, and never uphill but where rounding hides the slope.
        double by = std::clamp(move[1], -(high - low) / rungs, (high - low) / rungs);
        auto next = linear_at(t, y, tau * std::exp(by), start_is_zero);
        while (next.left > now.left && std::abs(by) > flat)
            next = linear_at(t, y, tau * std::exp(by /= 2), start_is_zero);
        tau *= std::exp(by);
        now = next;
        if (std::abs(by) < 1e-14)
            break;
    }
    result.start = now.start;
    result.rise = now.rise;
    result.time_constant = tau;
    result.dof = static_cast<double>(n - sought);
    result.residual_standard_deviation = std::sqrt(now.left / result.dof);
    // Scaled columns: a rise of nothing leaves no column for τ, whose uncertainty is then not told.
    auto j = jacobian(t, now.rise, tau, start_is_zero);
    VectorXd size = j.colwise().norm().transpose();
    for (Index k = 0; k < sought; ++k) {
        if (!(size[k] > 0))
            size[k] = 1;
        j.col(k) /= size[k];
    }
    const MatrixXd inverse =
        MatrixXd(j.transpose() * j).completeOrthogonalDecomposition().pseudoInverse();
    const double variance = result.residual_standard_deviation * result.residual_standard_deviation;
    const Eigen::Vector3i where(1, 2, 0); // b, ln τ, a among a, b, τ
    const Eigen::Vector3d unit(1, tau, 1);
    result.covariance.setZero();
    for (Index a = 0; a < sought; ++a)
        for (Index b = 0; b < sought; ++b)
            result.covariance(where[a], where[b]) =
                variance * inverse(a, b) / size[a] / size[b] * unit[a] * unit[b];
    return result;
}

} // namespace holdable::stats
