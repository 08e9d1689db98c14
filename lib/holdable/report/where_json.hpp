// SPDX-License-Identifier: MIT
/// Where a job holds best, for programs: `where-result/1`.
#pragma once

#include "holdable/answer/where.hpp"
#include "holdable/report/origin.hpp"

#include <string>

namespace holdable {

/// Everything in the result, lengths in metres at full precision, the rounded numbers and words of
/// the page as `text`. What does not exist is null.
/// @throws NumericError if a number is not finite
std::string where_json(const Where& where, const Origin& origin = {});

} // namespace holdable
