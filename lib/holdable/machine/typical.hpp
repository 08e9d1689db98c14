// SPDX-License-Identifier: MIT
/// What several kinds of check leave open unless they say otherwise: common practice, no source.
#pragma once

namespace holdable {

/// 95 % of the length of a vector of two normal components, in the standard deviation of one
/// (√(-2 ln 0.05)): a figure that bounds the length has that many of them.
inline constexpr double magnitude_point = 2.4477;

inline constexpr double free_rotation = 1e-2; ///< of an edge as it was laid down: any (rad)
inline constexpr double typical_way_clearance =
    5e-6; ///< of the ways of an axis read in one direction only, half-width (rad)
inline constexpr double square_bend =
    2.9e-6; ///< steel, 0.1 K across a beam of a fifth of its length, half-width (rad)
inline constexpr double typical_scale_doubt = 2;   ///< a screw warms where no thermometer is (K)
inline constexpr double typical_thermometer = 0.3; ///< how far it is off, half-width (K)
inline constexpr double short_wave_part =
    0.25; ///< amplitude within a turn of a screw, of the class's error in 300 mm

} // namespace holdable
