// SPDX-License-Identifier: MIT
/// Coefficients of linear thermal expansion near 20 °C.
///
/// Handbook values differ by several percent between melts (Swyt, J. Res. NIST 99 (1994) 31), so
/// each comes with the half-width of a rectangular distribution. Values for alloys are from memory
/// of handbooks; gauge-block steel is (11.5 ± 1.0) µm/m/K by ISO 3650. "Stainless" alone is not
/// known: its kinds lie between 10 and 18.
#pragma once

#include <span>
#include <string_view>

namespace holdable {

/// At which lengths hold (K): 20 °C, ISO 1.
inline constexpr double reference_temperature = 293.15;

/// A material's coefficient of expansion and how far it may be wrong.
struct Expansion {
    std::string_view material; ///< as written in a file
    double coefficient;        ///< (1/K)
    double half_width;         ///< of a rectangular distribution about it (1/K)
};

/// All materials known by name.
std::span<const Expansion> expansions();

/// The expansion of a material.
/// @throws InputError [material-unknown], with the reason where a name means several materials
const Expansion& expansion_of(std::string_view material);

} // namespace holdable
