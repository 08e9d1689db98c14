// SPDX-License-Identifier: MIT
/// What a `Correction` may take out beside the squarenesses, and the names of all.
///
/// Of a squareness `parameter` is its index in kinematics.hpp. Of a scale it is the index of the
/// axis's positioning error, and what was applied is m/m. Of the spindle's tilt it is one of the
/// two below, beyond the 21 errors of the axes; + right-handed about X or Y (rad).
#pragma once

#include "holdable/machine/shop.hpp"

#include <string>
#include <utility>
#include <vector>

namespace holdable {

inline constexpr int a0c_index = 21; ///< tilt of the spindle about X
inline constexpr int b0c_index = 22; ///< tilt of the spindle about Y

/// What the shop corrected of a parameter by a day, each with the name of its unknown.
std::vector<std::pair<Correction, std::string>>
corrections_of(const Shop& shop, int parameter, Date day);

} // namespace holdable
