// SPDX-License-Identifier: MIT
/// The smallest round zone about each of several points that move together, with its proof.
///
/// Points z_i in a plane (i = 1 … m) are to be fitted by A_i c, with A_i two rows of a design
/// (2 m × n). The c is sought that makes r = max |z_i − A_i c| (2-norm) smallest. All A_i the unit
/// matrix: the smallest circle about the points. A_i the same with heights, (1 0 h 0; 0 1 0 h): the
/// smallest cylinder about an axis, 2 r its straightness (ISO 1101) for small leans. A_i with
/// (−y_i, x_i) as a column: a pattern of holes that may shift and turn as one (ISO 5458), all in
/// zones of diameter 2 r.
///
/// Proof. At the optimum there are contacts, points at the distance r, with weights w_i > 0 of sum
/// 1 such that Σ w_i A_iᵀ e_i = 0, e_i the unit direction of z_i − A_i c. For any c whatever
/// Σ w_i e_i·z_i = Σ w_i e_i·(z_i − A_i c) ≤ max |z_i − A_i c|: no zone is smaller than Σ w_i e_i·
/// z_i, and this one is as small. Its derivative by z_i is w_i e_i.
///
/// Found by cutting planes: |u| ≥ e·u for each unit e, so that the zone is the linear programme of
/// all directions. The simplex method of minimum_zone.hpp takes them one by one, each step the
/// point furthest off in its own direction; contacts so found are made exact by Newton's method on
/// the conditions of the proof. It ends when zone and proof differ by less than 1e-10 of r.
/// Source: Kelley, J. SIAM 8 (1960) 703, for cutting planes, from memory.
#pragma once

#include <Eigen/Core>

#include <vector>

namespace holdable::stats {

/// A fitted zone.
struct RoundZone {
    Eigen::VectorXd coefficients;       ///< c, shape n
    double radius = 0;                  ///< r (unit of z)
    std::vector<Eigen::Index> contacts; ///< points, each once; at most n + 1
    Eigen::Matrix2Xd directions;        ///< e of the contacts, in their order
    Eigen::VectorXd weights;            ///< w of the contacts, > 0, sum 1
};

/// Fits the smallest zone to z (shape 2 m: x, y of each point) by the columns of `design`
/// (2 m × n, finite, 2 m > n ≥ 0).
/// @throws NumericError if there are too few points, a column is a combination of the others, or
/// zone and proof do not meet
RoundZone round_zone(const Eigen::MatrixXd& design, const Eigen::VectorXd& z);

} // namespace holdable::stats
