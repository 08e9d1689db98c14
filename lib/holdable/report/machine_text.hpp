// SPDX-License-Identifier: MIT
/// What the readings say about a machine, as a page of text.
#pragma once

#include "holdable/report/machine_summary.hpp"

#include <string>

namespace holdable {

/// The page: squarenesses with their sign in words, error motions, what rests on the class alone,
/// where the doubt comes from, instruments, checks, notes. Lines of at most 80 columns, each ended.
/// @throws NumericError if a number that is to be printed is not finite
std::string machine_text(const MachineSummary& summary);

} // namespace holdable
