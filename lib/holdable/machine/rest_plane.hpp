// SPDX-License-Identifier: MIT
/// How a rigid base rests on a surface that is not flat.
///
/// Problem. A body under its own weight sinks until it can sink no further: with the base plane
/// z = a + b_x x + b_y y and the centre of gravity above (x_g, y_g),
///
///     minimise a + b_x x_g + b_y y_g   subject to   a + b_x x_i + b_y y_i ≥ h_i   for all i.
///
/// It rests on three points whose triangle contains the centre of gravity: a facet of the upper
/// convex hull of the points. A pit within the footprint is bridged, a low spot under the toe
/// tilts, and which points bear depends on where the weight acts.
///
/// Method. From any triangle that contains the centre of gravity: the point highest above its plane
/// enters, and of the three triangles it makes with two others, the one that contains the centre of
/// gravity goes on; the plane over the centre rises with every step, so it ends. Lest the centre
/// stand on an edge, it is moved by a ten-millionth of the footprint. Exact for the points given;
/// rigid bodies, no friction.
///
/// Rocking. Tipped about a side of its triangle the base comes to rest on another point, a
/// neighbouring facet; where its centre of gravity hardly rises for that, a finger decides where it
/// stands.
///
/// Source: the duality of linear programmes; derived here, tested by brute force over all triples.
#pragma once

#include <Eigen/Core>

#include <array>
#include <cstddef>
#include <optional>
#include <span>

namespace holdable {

/// A place where a base may touch.
struct BearingPoint {
    double x = 0, y = 0; ///< (m)
    double h = 0;        ///< height of the surface, and of the base's own form under it (m)
};

/// A base at rest.
struct Rest {
    std::array<std::size_t, 3> contacts{}; ///< which points bear, ascending
    double height = 0;                     ///< of the plane over the centre of gravity (m)
    Eigen::Vector2d slope = Eigen::Vector2d::Zero(); ///< b_x, b_y (rad)
};

/// @param centre x and y of the centre of gravity, within the outline of the points (m)
/// @throws NumericError if it is not
Rest rest_on(std::span<const BearingPoint> points, const Eigen::Vector2d& centre);

/// Slope of the plane through three points as a map of their heights, shape 2 × 3 (1/m).
Eigen::Matrix<double, 2, 3> slope_map(std::span<const BearingPoint> points,
                                      const std::array<std::size_t, 3>& contacts);

/// Another way to stand.
struct Rocking {
    Rest other;
    double rise = 0; ///< of the centre of gravity on the way there (m)
};

/// Of all ways to stand that it can be tipped to without its centre of gravity rising by more than
/// `limit` (m), side after side, the one whose plane differs most; none if there is no other.
std::optional<Rocking> rocking(std::span<const BearingPoint> points,
                               const Eigen::Vector2d& centre,
                               const Rest& rest,
                               double limit);

} // namespace holdable
