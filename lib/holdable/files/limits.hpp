// SPDX-License-Identifier: MIT
/// How much a file may hold, so that no file takes all memory or all day. Each is far beyond what a
/// shop writes down; docs/robustness.md lists them all, with what a file at the limit costs.
///
/// Those of a text before its meaning is known stand in document.hpp, those of one formula in
/// model/formula.hpp, that of a question in one line in ask.hpp.
#pragma once

#include "holdable/base/error.hpp"
#include "holdable/files/reader.hpp"

#include <cstddef>
#include <string_view>
#include <vector>

namespace holdable {

/// So many mistakes of one file are told.
inline constexpr std::size_t most_mistakes = 100;

/// Of a machine file: checks, events, corrections, instruments, gauges, each.
inline constexpr std::size_t most_of_machine = 500;

/// Of a machine file: readings of all checks, of which the solve makes an equation each; repeats at
/// a station count once.
inline constexpr std::size_t most_readings = 2000;

/// Of a machine file: readings of all logs of drift and warm-up.
inline constexpr std::size_t most_logged = 100'000;

/// Of a job.
inline constexpr std::size_t most_callouts = 200;

/// Of a budget: inputs, steps, outputs, each.
inline constexpr std::size_t most_of_budget = 500;

/// Of a budget: parts of all its inputs.
inline constexpr std::size_t most_parts = 1000;

/// Of a budget: pairs of inputs with a correlation.
inline constexpr std::size_t most_pairs = 10'000;

/// Of a budget: length of all formulas together (bytes).
inline constexpr std::size_t most_formulas = 100'000;

/// [mistakes-many], in place of those that are not told. @param where the first of them is, or the
/// last that is told
Diagnostic more_mistakes(Location where);

/// [too-many]. @param things in words, with what holds them: "callouts", "a job"
void report_too_many(const Reader& at,
                     std::size_t count,
                     std::size_t most,
                     std::string_view things,
                     std::string_view holder);

/// The elements of an array, at most so many [too-many].
std::vector<Reader> elements_up_to(std::size_t most,
                                   const Reader& field,
                                   std::string_view things,
                                   std::string_view holder);

} // namespace holdable
