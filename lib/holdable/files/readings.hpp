// SPDX-License-Identifier: MIT
/// Raw readings, however a shop writes them down.
///
///     "readings": ["0 in", "-0.0002 in", "-0.0003 in"]            quantities
///     "readings": [0, -2, -3], "unit": "0.0001 in"                numbers of a unit
///     "readings": "0 -2 -3", "unit": "0.0001 in"                  the same in one string
///     "readings": [[0, 0.5, 0], [-2, -2, -1.5]], "unit": "…"      repeats at each station
#pragma once

#include "holdable/files/reader.hpp"

#include <optional>
#include <string>
#include <vector>

namespace holdable {

/// What a bare number among readings counts.
struct ReadingUnit {
    Measure measure = Measure::length; ///< of the readings: length, angle or time
    std::optional<double> size;        ///< of one unit (m, rad, s); none where no unit is given
};

/// Reads the key "unit": a quantity ("0.0001 in") or a unit alone ("µm"). For a level also
/// "division". @param division slope of one division, where the word may stand (rad)
ReadingUnit read_unit(const std::optional<Reader>& field,
                      Measure measure,
                      std::optional<double> division = std::nullopt);

/// A reading, or the mean of its repeats.
struct Reading {
    double value = 0;  ///< (m or rad)
    double spread = 0; ///< standard deviation of the repeats, 0 for a single reading (m or rad)
    int repeats = 1;
};

/// Reads one reading.
double read_single_reading(const Reader& field, const ReadingUnit& unit);

/// Reads readings in any of the ways above; as many come back as stand there, wrong ones as 0.
/// Says [unit-missing] for numbers without unit, [readings-syntax] for a string that holds
/// something else. @param notes gets remarks on repeats that are few or all the same
std::vector<Reading>
read_readings(const Reader& field, const ReadingUnit& unit, std::vector<std::string>& notes);

/// The same where a station has one reading [field-kind]. @return their values
std::vector<double> read_single_readings(const Reader& field, const ReadingUnit& unit);

/// Mean and standard deviation of repeats, at least two [repeats-few].
Reading read_repeats(const Reader& field, const ReadingUnit& unit, std::vector<std::string>& notes);

} // namespace holdable
