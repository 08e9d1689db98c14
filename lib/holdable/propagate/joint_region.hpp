// SPDX-License-Identifier: MIT
/// Regions that cover several quantities at once (JCGM 102 7.7).
#pragma once

#include <Eigen/Core>

#include <optional>
#include <vector>

namespace holdable::propagate {

/// How large the regions about the means are (pure numbers).
struct JointFactors {
    double ellipsoid; ///< k with (y − ȳ)ᵀ V⁻¹ (y − ȳ) ≤ k² for the fraction (7.7.2)
    double rectangle; ///< k with |y_j − ȳ_j| ≤ k u_j for all j for the fraction (7.7.3)
};

/// The factors of which a fraction of the draws lies within: one column a quantity (n), as many
/// draws in each; means, standard uncertainties (n) and correlation (n × n) of them. None where the
/// correlation is singular.
/// @throws NumericError where there are too few draws for the fraction
std::optional<JointFactors> joint_region(const std::vector<std::vector<double>>& columns,
                                         const Eigen::VectorXd& mean,
                                         const Eigen::VectorXd& standard,
                                         const Eigen::MatrixXd& correlation,
                                         double fraction);

} // namespace holdable::propagate
