// SPDX-License-Identifier: MIT
/// An uncertainty budget from a file `budget/1` (docs/budget-file.md).
#pragma once

#include "holdable/files/document.hpp"
#include "holdable/propagate/budget.hpp"

#include <string>

namespace holdable {

/// Reads a budget and compiles its formulas once, so that they are right. Units that are not known
/// are carried by their spelling; what looks doubtful becomes a note.
/// @param file name of the file in diagnostics and notes
/// @return a budget that passes `propagate::compile`
/// @throws InputError with everything wrong, in the order of the file: [budget-limits,
/// certificate-k, given-twice, percent-of-what], those of `Reader`, those of `propagate::compile`
propagate::Budget read_budget(const Node& root, const std::string& file);

} // namespace holdable
