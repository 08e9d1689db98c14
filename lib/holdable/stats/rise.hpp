// SPDX-License-Identifier: MIT
/// The rise of a first-order system, by least squares.
///
/// y(t) = a + b (1 − exp(−t/τ)) + e, with independent errors e of one variance: how something warms
/// or grows that is driven evenly from t = 0 on. For a given τ it is linear in a and b; what is
/// left over τ alone is minimised on a ladder of τ from a twentieth of the shortest step to twenty
/// times the length of the record, then by Gauss-Newton steps in a, b and ln τ to full precision.
/// The covariance is s² (JᵀJ)⁻¹ with the Jacobian J at the estimate: first order, so that a rise
/// whose bend is lost in its noise has a τ with no useful uncertainty. `bends` says whether τ was
/// found inside the ladder; else the record is as good as a straight line, or as a step. Source:
/// the model is the solution of a linear first-order system; separable least squares after Golub
/// and Pereyra (SIAM J. Numer. Anal. 10 (1973) 413, from memory).
#pragma once

#include <Eigen/Core>

namespace holdable::stats {

/// A fitted rise; y in any unit, t in any unit of time.
struct Rise {
    double start = 0;           ///< a (unit of y)
    double rise = 0;            ///< b, from the start to the end of all time (unit of y)
    double time_constant = 0;   ///< τ > 0 (unit of t)
    bool bends = true;          ///< τ lies inside the ladder
    Eigen::Matrix3d covariance; ///< of a, b and τ; row and column of a known start are 0
    double residual_standard_deviation = 0; ///< s, of one reading (unit of y)
    double dof = 0;                         ///< readings less coefficients (count)

    /// y at a time ≥ 0.
    double at(double time) const;
};

/// A number that follows from a rise.
struct RisePart {
    double value = 0;    ///< (unit of y)
    double standard = 0; ///< standard uncertainty, first order (unit of y)
};

/// How much it still rises between two times ≥ 0, y(to) − y(from).
RisePart rise_between(const Rise& rise, double from, double to);

/// Fits the rise to readings `y` at `times` (equal shapes, finite; times ≥ 0 and increasing).
/// @param start_is_zero a = 0 is known, not fitted
/// @throws NumericError if there are not more readings than coefficients, or no time but 0
Rise fit_rise(const Eigen::VectorXd& times, const Eigen::VectorXd& y, bool start_is_zero = false);

} // namespace holdable::stats
