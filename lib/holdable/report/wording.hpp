// SPDX-License-Identifier: MIT
/// Words and numbers that the text and the JSON of an answer have in common.
#pragma once

#include "holdable/answer/answer.hpp"
#include "holdable/report/shop_units.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace holdable {

/// What an input rests on, as a table says it: "measured here", "typical, not measured".
std::string_view evidence_words(Evidence evidence);

/// A share that the user chose, as percent without needless zeros: "95 %", "99.73 %".
std::string chosen_percent(double p);

/// The habit in which a callout was written; that of the job where that is not known.
Habit habit_of(const Callout& callout, Habit of_job);

/// The known errors, or the doubts, of "what limits it", largest first. Shares of one meaning and
/// evidence are one: what acts in X and in Y alike.
std::vector<Share> shares_by_meaning(const std::vector<Share>& shares, bool known);

/// How many are out on average: rounded up, to a tenth from 0.1 to 100.
std::string average_count(double n);

/// "Ø" before the width of a round zone, "±" before half the width of a size, else nothing.
std::string_view zone_sign(const Callout& callout);

/// What a callout allows, as its writer wrote it: "Ø.0010 in", "25 H7".
std::string zone_asked(const Callout& callout, Habit habit);

/// A zone promised, in the unit of the callout, rounded up, never over the callout where it keeps
/// it: "Ø.00083 in". @param promised (m)
std::string zone_promised(double promised, const Callout& callout, Habit habit);

/// The same, the other unit in brackets.
std::string zone_promised_in_both(double promised, const Callout& callout, Habit habit);

/// Requirement and place in words: "perpendicular to A within Ø.0010 in (0.025 mm) over 3.000 in
/// of depth, at X 6.000 in, Y 4.000 in".
std::string requirement(const Callout& callout, Habit habit);

/// The same without its tolerance and without its place on the machine, for who has the print:
/// "perpendicular to A, over 3.000 in of depth".
std::string requirement_in_short(const Callout& callout, Habit habit);

/// A capability index, rounded down to two places.
std::string index_text(double index);

/// Of a batch: "of 25, expect about 0.8 out; 95 % sure of no more than 3".
std::string batch_sentence(const Answer& answer);

/// Until when the answer holds, in words.
std::string validity_sentence(const Answer& answer);

} // namespace holdable
