// SPDX-License-Identifier: MIT
/// An error motion as a curve along its axis, before and after anything was measured.
///
/// A curve is piecewise linear on 41 equal knots over the travel, so that readings at any stations
/// see one and the same unknown. Before a reading it is smooth and of no known shape: zero mean,
/// covariance σ² (1 + √3 r/ℓ) exp(-√3 r/ℓ) (Matérn, 3/2), correlation length ℓ = a third of the
/// travel. Doubt between stations then comes by itself. Why 41: with 21 the wiggles between knots
/// are missed, and the slopes that holes and faces follow come out a tenth too certain in variance
/// (shown by tests/honesty).
///
/// Gauge. What another parameter already holds is taken out: every curve is zero at the reference
/// position; straightness and positioning have no least-squares slope over the travel (squareness
/// and scale have it); angles keep theirs. One reference-line rule for everything: least squares.
#pragma once

#include <Eigen/Core>

namespace holdable {

inline constexpr int curve_knots = 41; ///< knots of a curve, both ends among them

/// What a curve is of: it decides which slope stays in it.
enum class CurveKind {
    straightness, ///< also positioning: without slope
    angle         ///< roll, pitch, yaw: with slope
};

/// The travel of an axis. Coordinates are the machine's own (m).
struct Travel {
    double low = 0;
    double high = 0;      ///< > low
    double reference = 0; ///< where every curve of the axis is zero, within the travel
};

/// The weights of the knots at a place: E(q) = weights · knot values, shape 41.
/// @param q coordinate within the travel (m); beyond it the nearer end counts
Eigen::RowVectorXd knot_weights(const Travel& travel, double q);

/// Shapes with which the curve is built: knot values = basis · ζ with ζ independent, zero mean and
/// variance 1. Shape 41 × k, k < 41, the widest first; what is left out is below 1e-6 of the
/// variance.
/// @param sigma standard deviation before the gauge is taken out (m or rad)
Eigen::MatrixXd curve_basis(const Travel& travel, CurveKind kind, double sigma);

/// σ of a curve whose peak-to-valley exceeds `upper` in one case of twenty (m or rad).
double curve_sigma(CurveKind kind, double upper);

} // namespace holdable
