// SPDX-License-Identifier: MIT
/// The narrowest zone that holds all points: minimax fits, with their proof.
///
/// Deviations z_i (i = 1 … m) are to be fitted by a·c, one row a_i of a design (m × n) a point: a
/// line 1, x; a plane 1, x, y; a circle of nearly known size 1, cos θ, sin θ; a cylinder these with
/// z cos θ, z sin θ. The c is sought that makes t = max |z_i − a_i·c| smallest. The zone is 2 t
/// wide: flatness and straightness of ISO 1101 in the first two, roundness and cylindricity in the
/// others, where deviations are small against the radius.
///
/// Proof. At the optimum some points, the contacts, lie on the two limits, and there are weights
/// w_i on them, + on the upper limit and − on the lower, with Σ w_i a_i = 0 and Σ |w_i| = 1. For
/// any c whatever Σ w_i z_i = Σ w_i (z_i − a_i·c) ≤ max |z_i − a_i·c|: no zone is narrower than 2 Σ
/// w_i z_i, and this one is as narrow. The width being 2 Σ w_i z_i, its derivative by z_i is 2 w_i:
/// the contacts carry its uncertainty.
///
/// Found by the simplex method on that dual problem, one contact exchanged a step, the worst point
/// entering; after many steps without gain by the lowest index, which cannot circle.
/// Source: Stiefel, Numer. Math. 1 (1959) 1, and Bland, Math. Oper. Res. 2 (1977) 103, from memory.
#pragma once

#include <Eigen/Core>

#include <vector>

namespace holdable::stats {

/// A fitted zone.
struct MinimumZone {
    Eigen::VectorXd coefficients;       ///< c, shape n, of the middle of the zone
    double width = 0;                   ///< 2 t (unit of z)
    std::vector<Eigen::Index> contacts; ///< at most n + 1 points
    Eigen::VectorXd weights;            ///< w of the contacts, in their order; Σ |w| = 1
};

/// Fits the narrowest zone to z (shape m) by the columns of `design` (m × n, finite, m > n).
/// @throws NumericError if there are too few points, or a column is a combination of the others
MinimumZone minimum_zone(const Eigen::MatrixXd& design, const Eigen::VectorXd& z);

} // namespace holdable::stats
