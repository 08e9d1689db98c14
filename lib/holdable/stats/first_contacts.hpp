// SPDX-License-Identifier: MIT
/// Where the simplex searches of zones begin (minimum_zone.hpp, round_zone.hpp).
///
/// n rows of a design that are independent, and one more, with the one relation among them:
/// Σ r_k a_k = 0, the last r being 1. The signs of r are the sides on which the rows touch.
#pragma once

#include <Eigen/Core>

#include <optional>

namespace holdable::stats {

/// The rows, and their relation.
struct FirstContacts {
    Eigen::VectorXi order;    ///< numbers of the rows, shape n + 1
    Eigen::MatrixXd rows;     ///< of the design, (n + 1) × n
    Eigen::VectorXd relation; ///< r, shape n + 1
};

/// @param design m × n, finite, m > n
/// @return none where a column is a combination of the others
std::optional<FirstContacts> first_contacts(const Eigen::MatrixXd& design);

} // namespace holdable::stats
