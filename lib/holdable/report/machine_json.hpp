// SPDX-License-Identifier: MIT
/// What the readings say about a machine, for programs: `machine-result/1`.
#pragma once

#include "holdable/report/machine_summary.hpp"
#include "holdable/report/origin.hpp"

#include <string>

namespace holdable {

/// Everything in the summary, lengths in metres and angles in radians at full precision, with the
/// words of the page as `text`.
/// @throws NumericError if a number is not finite
std::string machine_json(const MachineSummary& summary, const Origin& origin = {});

} // namespace holdable
