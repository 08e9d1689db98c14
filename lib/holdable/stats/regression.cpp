// SPDX-License-Identifier: MIT
#include "holdable/stats/regression.hpp"

#include "holdable/base/error.hpp"

#include <Eigen/QR>
#include <fmt/format.h>

#include <array>
#include <cassert>
#include <cmath>
#include <limits>

namespace holdable::stats {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

VectorXd roots(const VectorXd& weights, Index count) {
    if (weights.size() == 0)
        return VectorXd::Ones(count);
    assert(weights.size() == count);
    for (const double w : weights)
        if (!(w > 0 && std::isfinite(w)))
            throw NumericError(
                fmt::format("a fit has a weight of {}; weights must be positive and finite", w));
    return weights.cwiseSqrt();
}

} // namespace

MatrixXd LinearFit::covariance() const {
    return residual_standard_deviation * residual_standard_deviation * inverse_normal;
}

LinearFit fit(const MatrixXd& design,
              const VectorXd& y,
              std::span<const std::string> names,
              const VectorXd& weights) {
    const Index m = design.rows(), n = design.cols();
    assert(y.size() == m && n >= 1 && names.size() == static_cast<std::size_t>(n));
    assert(design.allFinite() && y.allFinite());
    if (m <= n)
        throw NumericError(fmt::format("a fit of {} coefficients needs more than {} readings; "
                                       "there are {}",
                                       n,
                                       n,
                                       m));
    const VectorXd root = roots(weights, m);
    MatrixXd scaled = root.asDiagonal() * design;
    VectorXd size(n);
    for (Index j = 0; j < n; ++j) {
        size(j) = scaled.col(j).stableNorm();
        if (!(size(j) > 0))
            throw NumericError(fmt::format("a fit cannot find the coefficient of \"{}\": its "
                                           "column is 0 at every reading",
                                           names[static_cast<std::size_t>(j)]));
        scaled.col(j) /= size(j);
    }
    const Eigen::ColPivHouseholderQR<MatrixXd> qr(scaled);
    const auto& r = qr.matrixQR();
    const auto& order = qr.colsPermutation().indices();
    const double least = 8 * static_cast<double>(m) * std::numeric_limits<double>::epsilon();
    for (Index j = 0; j < n; ++j)
        if (!(std::abs(r(j, j)) > least))
            throw NumericError(fmt::format(
                "a fit cannot find the coefficient of \"{}\": at these readings its column is a "
                "combination of the others; leave it out or read at other places",
                names[static_cast<std::size_t>(order(j))]));

    LinearFit result;
    const VectorXd weighted = root.cwiseProduct(y);
    const auto solve = [&](const VectorXd& right) -> VectorXd {
        return qr.solve(right).cwiseQuotient(size);
    };
    result.coefficients = solve(weighted);
    // One step of refinement wins the digits that a large common part of y costs.
    result.coefficients += solve(root.cwiseProduct(y - design * result.coefficients));
    result.residuals = y - design * result.coefficients;
    result.dof = static_cast<double>(m - n);
    result.residual_standard_deviation =
        root.cwiseProduct(result.residuals).stableNorm() / std::sqrt(result.dof);
    // (Rᵀ R)⁻¹ = R⁻¹ R⁻ᵀ, in the order and scale of the columns.
    MatrixXd inverse = MatrixXd::Identity(n, n);
    r.topLeftCorner(n, n).triangularView<Eigen::Upper>().solveInPlace(inverse);
    const MatrixXd back = size.cwiseInverse().asDiagonal() * (qr.colsPermutation() * inverse);
    result.inverse_normal = back * back.transpose();
    return result;
}

LinearFit fit_line(const VectorXd& x, const VectorXd& y, double origin, const VectorXd& weights) {
    MatrixXd design(x.size(), 2);
    design.col(0).setOnes();
    design.col(1) = x.array() - origin;
    const std::array<std::string, 2> names{"intercept", "slope"};
    return fit(design, y, names, weights);
}

Prediction predict(const LinearFit& fit, const VectorXd& row) {
    assert(row.size() == fit.coefficients.size());
    const double s = fit.residual_standard_deviation;
    const double own = s * std::sqrt(std::max(0.0, row.dot(fit.inverse_normal * row)));
    return {row.dot(fit.coefficients), own, std::hypot(own, s)};
}

} // namespace holdable::stats
