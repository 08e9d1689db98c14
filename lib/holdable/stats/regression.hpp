// SPDX-License-Identifier: MIT
/// Linear least squares.
///
/// y = X b + e: m readings y, a design X (m × n, one column a coefficient, m > n) and independent
/// errors e_i of variance σ²/w_i. The estimate b minimises Σ w_i e_i², s² = Σ w_i e_i²/(m − n)
/// estimates σ², and s² (Xᵀ W X)⁻¹ the covariance of b. Weights that are 1/u_i² make σ = 1: then
/// (Xᵀ W X)⁻¹ alone is the covariance that the stated u_i give, and s ≈ 1 is their check.
///
/// Solved by Householder transformations with pivoted columns, each first scaled to length 1: the
/// normal equations would lose twice the digits. About 16 − log10(condition of the scaled columns)
/// digits remain (tests/stats/regression.cpp asks for them, set by set).
/// Source: JCGM 100:2008 H.3; Golub and Van Loan, Matrix Computations, 5.3, 5.4.2.
#pragma once

#include <Eigen/Core>

#include <span>
#include <string>

namespace holdable::stats {

/// What a linear least squares fit gives. y in any unit, each coefficient in that unit per the unit
/// of its column.
struct LinearFit {
    Eigen::VectorXd coefficients;           ///< b, shape n
    Eigen::MatrixXd inverse_normal;         ///< (Xᵀ W X)⁻¹, n × n
    Eigen::VectorXd residuals;              ///< y − X b, shape m (unit of y)
    double residual_standard_deviation = 0; ///< s, of one reading of weight 1 (unit of y)
    double dof = 0;                         ///< m − n (count)

    /// s² (Xᵀ W X)⁻¹, n × n: covariance of the coefficients from the scatter about the fit.
    Eigen::MatrixXd covariance() const;
};

/// Fits y (shape m) by the columns of `design` (m × n). `names` (n) names them in errors; `weights`
/// (m, positive) are 1 where empty. Shapes are asserted.
/// @throws NumericError if m ≤ n, a weight is not positive and finite, or a column is a combination
/// of the others within rounding, naming it
LinearFit fit(const Eigen::MatrixXd& design,
              const Eigen::VectorXd& y,
              std::span<const std::string> names,
              const Eigen::VectorXd& weights = {});

/// The straight line y = b_0 + b_1 (x − origin), coefficients in that order.
/// @throws NumericError as `fit`, e.g. where all x are equal
LinearFit fit_line(const Eigen::VectorXd& x,
                   const Eigen::VectorXd& y,
                   double origin = 0,
                   const Eigen::VectorXd& weights = {});

/// A value read off a fit.
struct Prediction {
    double value = 0;               ///< row · b (unit of y)
    double standard = 0;            ///< of the fitted curve there, √(row C rowᵀ) (unit of y)
    double standard_of_reading = 0; ///< of a further reading of weight 1 there, √(standard² + s²)
};

/// The fit at a row of a design (shape n), with the uncertainty from the scatter about it.
Prediction predict(const LinearFit& fit, const Eigen::VectorXd& row);

} // namespace holdable::stats
