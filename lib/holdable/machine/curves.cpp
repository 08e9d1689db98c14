// SPDX-License-Identifier: MIT
#include "holdable/machine/curves.hpp"

#include <Eigen/Eigenvalues>

#include <algorithm>
#include <cassert>
#include <cmath>

namespace holdable {
namespace {

/// Takes the gauge out of knot values: a linear map, shape 41 × 41.
Eigen::MatrixXd gauge_projection(const Travel& travel, CurveKind kind) {
    Eigen::MatrixXd project = Eigen::MatrixXd::Identity(curve_knots, curve_knots);
    if (kind == CurveKind::straightness) {
        const Eigen::VectorXd line = Eigen::VectorXd::LinSpaced(curve_knots, -1, 1);
        project -= line * line.transpose() / line.squaredNorm();
    }
    const Eigen::RowVectorXd at_reference = knot_weights(travel, travel.reference) * project;
    return project - Eigen::VectorXd::Ones(curve_knots) * at_reference;
}

} // namespace

Eigen::RowVectorXd knot_weights(const Travel& travel, double q) {
    assert(travel.high > travel.low);
    const double at =
        std::clamp((q - travel.low) / (travel.high - travel.low), 0.0, 1.0) * (curve_knots - 1);
    const int left = std::min(static_cast<int>(at), curve_knots - 2);
    Eigen::RowVectorXd weights = Eigen::RowVectorXd::Zero(curve_knots);
    weights[left] = 1 - (at - left);
    weights[left + 1] = at - left;
    return weights;
}

Eigen::MatrixXd curve_basis(const Travel& travel, CurveKind kind, double sigma) {
    Eigen::MatrixXd covariance(curve_knots, curve_knots);
    for (int i = 0; i < curve_knots; ++i)
        for (int j = 0; j < curve_knots; ++j) {
            // √3 r / ℓ with ℓ a third of the travel
            const double r = std::sqrt(3.0) * 3 * std::abs(i - j) / (curve_knots - 1);
            covariance(i, j) = (1 + r) * std::exp(-r);
        }
    const Eigen::MatrixXd project = gauge_projection(travel, kind);
    const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> eigen(project * covariance *
                                                               project.transpose());
    const double total = eigen.eigenvalues().sum();
    int kept = 0;
    for (double rest = total; kept < curve_knots && rest > 1e-6 * total; ++kept)
        rest -= eigen.eigenvalues()[curve_knots - 1 - kept];
    Eigen::MatrixXd basis(curve_knots, kept);
    for (int k = 0; k < kept; ++k) {
        const int from = curve_knots - 1 - k;
        Eigen::VectorXd shape =
            sigma * std::sqrt(eigen.eigenvalues()[from]) * eigen.eigenvectors().col(from);
        // The sign of an eigenvector is the library's whim; draws must not depend on it.
        Eigen::Index largest = 0;
        shape.cwiseAbs().maxCoeff(&largest);
        basis.col(k) = shape[largest] < 0 ? Eigen::VectorXd(-shape) : shape;
    }
    return basis;
}

double curve_sigma(CurveKind kind, double upper) {
    return upper / (kind == CurveKind::straightness ? 2.6 : 3.4);
}

} // namespace holdable
