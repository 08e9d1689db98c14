// SPDX-License-Identifier: MIT
/// What a callout of one line lacks, or contradicts itself in.
#pragma once

#include "holdable/files/ask.hpp"
#include "holdable/files/ask_line.hpp"

namespace holdable {

/// What was said of a callout, and in which columns.
struct Mentioned {
    bool kind = false, amount = false, round = false, place = false, between = false, over = false,
         circle = false, of = false, along = false, datum = false, making = false;
    bool fault = false; ///< something was not understood: what seems to be missing may be that
    int column = 1;     ///< of the callout
    int kind_at = 1, place_at = 1, over_at = 1, datum_at = 1;
    int count = 0; ///< column of "4X", 0 if there is none
};

/// What a number without unit is in: as the line states, else as the shop works [ask-unit].
void settle_units(AskLine& line, AskedQuestion& question, bool inch_shop);

/// Puts a number into the one form it has in its unit.
void canonical(AskedLength& length);

/// Settles the kind of a callout that names none, and reports what is wrong with it as a whole
/// [ask-kind, ask-tolerance, ask-diameter, ask-length, ask-datum, ask-place, ask-count, ask-clause,
/// tolerance-zero, holes-many, and as `parse_size`].
void check(AskLine& line, AskedCallout& callout, const Mentioned& mentioned);

/// Reports lengths that are nothing or beyond any machine [ask-range].
void check_lengths(AskLine& line, AskedQuestion& question);

} // namespace holdable
