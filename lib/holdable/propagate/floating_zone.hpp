// SPDX-License-Identifier: MIT
/// Zones that float, for many parts whose points differ but whose motions are the same.
///
/// The minimax fits of stats/minimum_zone.hpp (a width) and stats/round_zone.hpp (a pattern), by
/// the same simplex method. What is proved by a contact set does not hang on the points: its
/// weights w and directions e give the lower bound 2 Σ w e·z for any z whatever, and it is where
/// the next part's search begins. So a part is mostly judged by bounds alone: above, the zone where
/// it stands; below, the contacts of others.
///
/// `value` always begins at the same contacts, so that its digits hang on nothing but z. `within`
/// begins anywhere, and gives near the limit what `value` says. More than six motions are left to
/// the solvers of stats.
#pragma once

#include "holdable/propagate/promise.hpp"

#include <cstddef>
#include <vector>

namespace holdable::propagate {

/// Contacts that prove a lower bound, with the inverse of their cuts (stats/round_zone.hpp).
struct Contacts {
    std::vector<std::size_t> point;
    std::vector<double> x, y;    ///< direction; of a width x = ±1, and y = 0
    std::vector<double> columns; ///< cut after cut: the motions along its direction, and 1
    std::vector<double> inverse; ///< row after row, one a cut; the last of each is its weight
    std::size_t changes = 0;     ///< exchanges since the inverse was made afresh

    std::size_t count() const { return point.size(); }

    double weight(std::size_t k) const {
        const double w = inverse[(k + 1) * count() - 1];
        return w > 0 ? w : 0;
    }

    /// All directions turned about, which proves as well.
    void turn();
};

/// Zones with the same motions.
class FloatingZone {
  public:
    /// @param span orthonormal motions, as `floating_span` (rank below the rows)
    FloatingZone(Reduction reduction, Eigen::MatrixXd span);

    bool round() const { return round_; }

    /// Numbers of a z: points, or twice the points of a pattern.
    std::size_t numbers() const { return numbers_; }

    /// Where every search for a value begins.
    const Contacts& reference() const { return reference_; }

    /// Least 2 max |z − motion| (m). @param found gets its contacts
    /// @param z shape `numbers()`, less its least squares motion, which makes rounding small
    double value(const double* z, Contacts* found = nullptr) const;

    /// value(z) ≤ limit. @param contacts where to begin, then where it ended
    bool within(const double* z, double limit, Contacts& contacts) const;

    /// What is judged as near a limit, of the zone's size: rounding, and the gap left in a proof.
    static constexpr double guard = 1e-9;

  private:
    struct Bracket;
    template <std::size_t size, class Stop>
    Bracket search(const double* z, Contacts& contacts, const Stop& stop) const;
    template <class Stop>
    Bracket search(const double* z, Contacts& contacts, const Stop& stop) const;
    bool renew(Contacts& contacts) const;
    template <std::size_t size>
    bool exchange(Contacts& contacts, std::size_t point, double x, double y) const;
    double exact(const double* z) const;

    bool round_;
    Eigen::MatrixXd span_;
    std::size_t numbers_;
    std::size_t stride_;          ///< numbers, filled up to whole lanes
    std::vector<double> motions_; ///< one after the other, `stride_` each
    Contacts reference_;
};

} // namespace holdable::propagate
