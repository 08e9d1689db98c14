// SPDX-License-Identifier: MIT
/// The answer to a job as a page of text.
///
/// Order: verdict, number against the callout, how sure, what limits it, what would fix it, what
/// must be true, what is left out, validity, caution, and last a sentence for the phone. The next
/// part and the assured yield are always told apart; known errors stand apart from doubt, with
/// their sign. Of many callouts a table comes first, one line each, then one of them in full.
#pragma once

#include "holdable/answer/answer.hpp"

#include <optional>
#include <string>

namespace holdable {

/// The words of caution that go with every answer.
std::string_view answer_caution();

/// The place of the worst callout, from 0: NO before CAN'T SAY before MARGINAL before YES, then the
/// one that comes nearest to its limit. @param answer with at least one callout
std::size_t worst_callout(const Answer& answer);

/// What to say on the phone, one or two sentences.
std::string phone_sentence(const Answer& answer);

/// The page: lines of at most 80 columns, each ended.
/// @param item number of the callout to print in full, from 1; none = the worst
/// @throws InputError [item-unknown] if there is no such callout; NumericError if a number that is
/// to be printed is not finite
std::string answer_text(const Answer& answer, std::optional<int> item = std::nullopt);

} // namespace holdable
