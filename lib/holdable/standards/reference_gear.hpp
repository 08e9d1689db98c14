// SPDX-License-Identifier: MIT
/// What reference gear may be wrong by when it has no certificate.
#pragma once

#include <string_view>

namespace holdable {

/// Deviation from square of a steel square, over its length, allowed by its grade.
/// @param grade  "00", "0", "1" or "2" @param length of the edge, 10 mm to 1 m (m)
/// @return half-width (m)
/// @throws InputError [grade-unknown] for another grade or length
/// @source DIN 875, limits from memory: 2 + L/100, 5 + L/50, 10 + L/20, 20 + L/10 (µm, L in mm)
double square_grade_limit(std::string_view grade, double length);

} // namespace holdable
