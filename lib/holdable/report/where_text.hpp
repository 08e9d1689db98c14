// SPDX-License-Identifier: MIT
/// Where a job holds best, as a page of text.
///
/// Order: the move in shop words with what it gains, every callout before and after, the part as a
/// whole, the map, other turns and heights, what limits, how it was looked for. The map is seen as
/// one stands at the machine: X to the right, Y away, the front at the bottom. Where one callout
/// decides everywhere its cells are t(P, C) of that one in one unit, else the share of its
/// tolerance that the deciding callout needs, with a letter for it.
#pragma once

#include "holdable/answer/where.hpp"
#include "holdable/report/shop_units.hpp"

#include <string>

namespace holdable {

/// A move in shop words: "2.000 in to the left, turned a quarter counterclockwise"; empty where it
/// is none.
std::string move_words(const Placement& move, Habit habit);

/// What to say, one or two sentences: the move and what it gains.
std::string where_sentence(const Where& where);

/// The words of caution that go with it.
std::string where_caution();

/// The page: lines of at most 80 columns, each ended.
/// @throws NumericError if a number that is to be printed is not finite
std::string where_text(const Where& where);

} // namespace holdable
