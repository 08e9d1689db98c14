// SPDX-License-Identifier: MIT
/// What must hold of any bytes as a quantity or a unit: they are refused with an id, or the value
/// is finite, is the number times the factor of the unit, and is the same when number and unit are
/// written again; and for each measure it is that value or refused.
#pragma once

#include "fuzz/whole.hpp"
#include "holdable/base/quantity.hpp"

#include <cmath>
#include <cstdio>
#include <string>
#include <string_view>

namespace holdable::fuzz {

/// What does not hold of a refusal of words that did not come from a file.
inline std::string fault_of_words(const InputError& error, std::string_view text) {
    for (const auto& d : error.diagnostics())
        if (d.id.empty() || d.message.empty() ||
            d.location.column > static_cast<int>(text.size()) + 1)
            return "not well said: " + std::string(error.what());
    return unprintable(error.what()).empty() ? ""
                                             : "not to be printed: " + std::string(error.what());
}

/// What does not hold; empty if all does.
inline std::string fault_of_quantity(std::string_view text) {
    Quantity read;
    try {
        read = parse_quantity(text);
    } catch (const InputError& error) {
        return fault_of_words(error, text);
    }
    const auto& unit = read.unit;
    if (!std::isfinite(read.value) || !std::isfinite(unit.factor) || unit.factor <= 0 ||
        !std::isfinite(unit.offset))
        return "not finite";
    const auto split = split_quantity(text);
    const double direct = split.number * unit.factor + unit.offset;
    if (std::abs(direct - read.value) > 1e-12 * (std::abs(direct) + std::abs(unit.offset)))
        return "not its number times its factor";
    char number[40];
    std::snprintf(number, sizeof number, "%.17g ", split.number);
    try {
        if (parse_quantity(number + split.unit).value != read.value)
            return "read differently: " + (number + split.unit);
    } catch (const InputError& error) {
        return "written, then refused: " + std::string(error.what());
    }
    bool some = false;
    for (const auto measure : {Measure::length,
                               Measure::angle,
                               Measure::number,
                               Measure::temperature,
                               Measure::temperature_difference,
                               Measure::expansion,
                               Measure::time,
                               Measure::mass,
                               Measure::force,
                               Measure::stiffness,
                               Measure::speed,
                               Measure::rotation_rate})
        try {
            if (parse_as(measure, text) != read.value)
                return "another value as " + describe(measure);
            some = true;
        } catch (const InputError& error) {
            if (auto fault = fault_of_words(error, text); !fault.empty())
                return fault;
        }
    // A length is a length: the refusal must not be of everything.
    return !some && unit.dimension == Dimension{1, 0, 0, 0, 0} ? "a length that is none" : "";
}

} // namespace holdable::fuzz
