// SPDX-License-Identifier: MIT
/// The one place that prints a measured number.
///
/// An uncertainty has two significant digits and is rounded to the nearest; the estimate goes to
/// the same decimal place (GUM 7.2.6). What is promised is rounded up, acceptance limits go inward,
/// yields and indices down. Decisions are made on unrounded numbers; nothing printed here is read
/// back. Digits are recounted after a carry: 9.96 at two digits is "10", 0.0996 is "0.10".
///
/// A binary fraction that stands within 1e-9 of a decimal one is that decimal one, so that 3.2,
/// stored as 3.2000000000000002, is not "rounded up" to 3.3.
#pragma once

#include <string>

namespace holdable {

/// Which way a number may move when digits are dropped.
enum class Rounding {
    nearest, ///< to the nearer neighbour, a tie away from zero
    up,      ///< towards +∞: promises, claims, guard bands
    down     ///< towards -∞: yields, probabilities, indices
};

/// The decimal place (power of ten) of the last of `digits` significant digits of |x|, after
/// rounding: -1 for 0.27 at one digit, 0 for 9.96 at two.
/// @param x      any finite number but 0
/// @param digits significant digits kept, 1 to 15
/// @throws NumericError if x is 0 or not finite, or digits is out of range
int last_place(double x, int digits, Rounding rounding = Rounding::nearest);

/// Prints x with its last digit at the place 10^place, trailing zeros kept: (0.1, -3) is "0.100",
/// (1234, 2) is "1200". A result of zero has no sign.
/// @throws NumericError if x is not finite, or has over 15 digits before that place
std::string to_place(double x, int place, Rounding rounding = Rounding::nearest);

/// Prints x at a number of significant digits. Zero prints as "0".
/// @throws NumericError as last_place and to_place
std::string to_digits(double x, int digits, Rounding rounding = Rounding::nearest);

/// An estimate and its standard or expanded uncertainty, printed to one place.
struct Printed {
    std::string value;       ///< to the place of the uncertainty's last digit
    std::string uncertainty; ///< to `digits` significant digits
};

/// Prints an estimate with its uncertainty by GUM 7.2.6; with u = 0 the value gets six digits.
/// @param u uncertainty in the unit of the value, ≥ 0
/// @throws NumericError if either is not finite or u is negative
Printed with_uncertainty(double value, double u, int digits = 2);

/// Prints a probability (0 to 1) as percent, rounded down, never as 0 or 100 %: "97.1 %",
/// "> 99.99 %", "< 0.01 %".
/// @throws NumericError if p is outside 0 … 1
std::string percent_down(double p);

/// The same rounded up, as for the chance that something goes wrong.
/// @throws NumericError if p is outside 0 … 1
std::string percent_up(double p);

} // namespace holdable
