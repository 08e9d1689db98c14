// SPDX-License-Identifier: MIT
/// The value of one characteristic from its signed numbers d, one part at a time, with the proof of
/// it: the derivative.
///
/// Exact and unhurried; `Inner` does the same for many parts at once. Where the zone floats, its
/// value is the least over all motions c, and its derivative comes from the contacts that prove it
/// least (stats/minimum_zone.hpp, stats/round_zone.hpp): the value is Σ w z over them, and moving
/// the zone changes nothing to first order. A folded element enters by its sign; at 0 it has none.
#pragma once

#include "holdable/propagate/promise.hpp"

namespace holdable::propagate {

/// How many of the signed numbers are points.
Eigen::Index points_of(const Characteristic& c);

/// An orthonormal basis of what may be taken off the points: `free`, for a width with a constant.
/// Points × rank; no column where the zone stands.
Eigen::MatrixXd floating_span(const Characteristic& c);

/// One characteristic, whose shapes are right; refers to it.
class Valuation {
  public:
    explicit Valuation(const Characteristic& c);

    /// The value at d (m), and its derivative by each of d (pure numbers).
    double value(const Eigen::VectorXd& d, Eigen::VectorXd& gradient) const;

  private:
    double zone(const Eigen::VectorXd& z, Eigen::VectorXd& gradient) const;

    const Characteristic* c_;
    Eigen::Index points_;
    Eigen::MatrixXd span_;
};

} // namespace holdable::propagate
