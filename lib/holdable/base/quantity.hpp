// SPDX-License-Identifier: MIT
/// Quantities and the units of the shop: text at the edge, SI inside.
///
/// Accepted: "0.0002 in", ".0005in", "12 µm", "12 um", "0.0005 in/ft", "0.02 mm/300mm",
/// "20 arcsec", "68 °F" and "20 degC" (temperatures), "2 K" and "3.6 Δ°F" (differences),
/// "11.5 µm/m/K", "6.4 µin/in/°F", "12 ppm/K", "1200 rev/min", "7.8 g/cm^3", "5 %".
/// Refused, with the reason: "3 tenths", "2 mil" (each word means two lengths), "5 C" (coulomb or
/// Celsius), "1,5 mm" (comma), "0.0005 in" where a slope is wanted (no length), "12" (no unit).
///
/// An angle has no dimension (SI Brochure, 9th edition, 5.4.8), so angles, slopes, percent and
/// parts per million convert into each other: 0.0005 in/ft = 41.67 µrad = 8.59 arcsec.
/// A temperature and a difference of temperatures are kept apart: °C or °F alone is a
/// temperature, K or Δ°C or Δ°F a difference; inside a compound unit every degree is a difference.
#pragma once

#include <array>
#include <string>
#include <string_view>
#include <vector>

namespace holdable {

/// Exponents of the SI base units m, kg, s, K, A.
using Dimension = std::array<int, 5>;

/// A unit of measurement: SI value = factor · number + offset.
struct Unit {
    std::string spelling;     ///< as written
    double factor = 1;        ///< SI units in one of this unit, > 0
    double offset = 0;        ///< SI value of the number 0 (K); 0 but for °C and °F
    Dimension dimension = {}; ///< exponents of m, kg, s, K, A
    bool temperature = false; ///< a temperature, not a difference of temperatures
};

/// A value with its unit, in SI.
struct Quantity {
    double value = 0; ///< in SI units (m, kg, s, K, A, rad)
    Unit unit;        ///< the unit it was written in
};

/// What a field of a file asks for.
enum class Measure {
    length,
    angle,
    number,
    temperature,
    temperature_difference,
    expansion,
    time,
    mass,
    force,
    stiffness,
    speed,
    rotation_rate
};

/// The measure in words, with a unit as example: `length, as in "0.25 mm" or "0.0100 in"`.
std::string describe(Measure measure);

/// Reads a unit. @throws InputError [unit-unknown, unit-refused, unit-syntax]
Unit parse_unit(std::string_view text);

/// A number and the text of the unit behind it, as written.
struct SplitQuantity {
    double number = 0; ///< finite, in that unit
    std::string unit;  ///< not empty; it may be no known unit
};

/// Takes a number from the text of its unit. @throws InputError [quantity-syntax, unit-missing]
SplitQuantity split_quantity(std::string_view text);

/// Reads a number followed by a unit.
/// @throws InputError [quantity-syntax, unit-missing, unit-unknown, unit-refused, unit-syntax]
Quantity parse_quantity(std::string_view text);

/// Reads a quantity of the measure wanted.
/// @return its value in SI units
/// @throws InputError as parse_quantity, and [unit-wrong] if it measures something else
double parse_as(Measure measure, std::string_view text);

/// The number in `unit` of a value given in SI units.
double in_unit(double si_value, const Unit& unit);

/// One row of the table of units, for `holdable units` and for tests.
struct UnitRow {
    std::string_view measure;   ///< heading it stands under
    std::string_view spellings; ///< all spellings, blank between, the first preferred
    double factor;              ///< SI units in one of it
    double offset;              ///< SI value of the number 0 (K)
    Dimension dimension;        ///< exponents of m, kg, s, K, A
    std::string_view source;    ///< where the factor comes from
};

/// All units known by name, in the order in which a reader looks for them.
const std::vector<UnitRow>& unit_table();

} // namespace holdable
