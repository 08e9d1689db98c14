// SPDX-License-Identifier: MIT
/// The readings of all checks as one system of equations, and the gain that solves it.
///
/// With prior mean m₀, prior covariance C₀, rows H and noise variances R, the gain is
/// K = C₀Hᵀ(H C₀ Hᵀ + R)⁻¹; the variance that the readings leave of a form r is
/// r C₀ rᵀ - r C₀Hᵀ (H C₀ Hᵀ + R)⁻¹ H C₀ rᵀ.
#pragma once

#include "holdable/machine/observation.hpp"

#include <Eigen/Core>

#include <string>
#include <vector>

namespace holdable {

/// The equations of all checks, with rows padded to the final count of unknowns.
struct Equations {
    Eigen::MatrixXd rows;           ///< H, shape m × n
    Eigen::VectorXd values;         ///< shape m (m or rad)
    Eigen::VectorXd noise;          ///< variances, shape m
    Eigen::VectorXd prior_mean;     ///< m₀, shape n
    Eigen::VectorXd prior_variance; ///< diagonal of C₀, shape n
    Eigen::VectorXd freed;          ///< shape n, or none: adds freed · freedᵀ to C₀
    std::vector<std::string> names; ///< of the checks, in order
    std::vector<std::vector<Eigen::Index>> readings; ///< of each check
    std::vector<int> offsets;                        ///< free offsets and drifts of each check
};

/// @param observations made with this model, which may have got unknowns since
Equations equations(const MachineModel& model, const std::vector<Observation>& observations);

/// What the readings say of each other and of the prior. With S = H C₀ Hᵀ + R = L Lᵀ, L⁻¹ (y - H
/// m₀) are the readings made independent and of variance 1; the gain over these is K L.
struct Fit {
    Eigen::MatrixXd inverse_root;       ///< L⁻¹, lower triangle, shape m × m
    Eigen::MatrixXd rows;               ///< L⁻¹ H, shape m × n
    Eigen::MatrixXd gain;               ///< K L = C₀ Hᵀ L⁻ᵀ, shape n × m
    Eigen::VectorXd readings, weighted; ///< L⁻¹ (y - H m₀) and S⁻¹ (y - H m₀), shape m
    double chi_squared = 0;             ///< of all readings
};

/// @param noise variances to be used, shape m
/// @throws NumericError if two readings without any doubt contradict each other
Fit fit(const Equations& e, const Eigen::VectorXd& noise);

/// Sum of the variances that the readings leave of some forms. @param forms shape k × n or fewer
/// columns
/// @throws as `fit`
double variance_left(const Equations& e, const Eigen::MatrixXd& forms);

} // namespace holdable
