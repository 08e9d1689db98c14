// SPDX-License-Identifier: MIT
/// What a value in a formula measures, and what the operations make of it.
///
/// Values of one dimension may be added; products and powers add and multiply exponents. A bare
/// number, an angle, a slope and a percentage have no dimension and mix freely.
///
/// Temperatures are points on a scale and not amounts. A value carries the number of temperatures
/// in it: 1 for a temperature, 0 for a difference and for all else. Sums add these numbers and
/// constant factors scale them, so t1 - t2 is a difference (0), (t1 + t2)/2 a temperature (1), and
/// t1 + t2 (2) is neither and good only on the way to such a mean. Anywhere else an amount is
/// needed: a temperature is refused there, as 293 K where 0 K of difference was meant spoils a
/// result without a sign.
///
/// A unit that the tool does not know is opaque: it is carried by its spelling, may be added to the
/// same spelling only, and is given up (`unchecked`) where it is multiplied by another unit.
#pragma once

#include "holdable/base/quantity.hpp"
#include "holdable/model/tape.hpp"

#include <array>
#include <optional>
#include <string>

namespace holdable::model {

/// What a value measures. By default a number without dimension.
struct Kind {
    std::array<double, 5> exponents = {}; ///< of m, kg, s, K, A; halves come from roots
    double temperatures = 0;              ///< 1 a temperature, 0 a difference and all else
    std::string opaque;                   ///< spelling of a unit not known; empty if known
    bool unchecked = false;               ///< made of opaque units in a way that is not followed
};

/// The kind of values written in a unit the tool knows.
Kind kind_of(const Unit& unit);

/// The kind of values in a unit the tool does not know.
Kind opaque_kind(std::string spelling);

/// In words with an article: `a number`, `a length (m)`, `a temperature`, `a quantity in m^2/K`.
std::string describe(const Kind& kind);

/// The kind an operation gives. `b` is ignored by operations of one operand.
/// @param a_constant value of the first operand if it is a constant
/// @param b_constant value of the second operand if it is a constant
/// @throws InputError [formula-dimension] if the operation makes no sense for the operands
Kind kind_after(Operation operation,
                const Kind& a,
                const Kind& b,
                std::optional<double> a_constant,
                std::optional<double> b_constant);

/// Checks that a result may be expressed in the unit of an output; opaque results always may.
/// @throws InputError [formula-dimension]
void check_output(const Kind& result, const Unit& unit);

/// Checks a result whose output names no unit: a temperature or an amount, nothing between.
/// @throws InputError [formula-dimension]
void check_output(const Kind& result);

} // namespace holdable::model
