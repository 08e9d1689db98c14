// SPDX-License-Identifier: MIT
/// From the numbers of a callout to the word for it (MAKE), and the same by a glance.
///
/// `answer` has all that can be said of a job; what asks many times over, as how long an answer
/// holds or what a change of the facts would do, needs only verdicts.
#pragma once

#include "holdable/answer/answer.hpp"
#include "holdable/part/features.hpp"

#include <cstddef>
#include <string>
#include <vector>

namespace holdable {

/// Whether nobody measured it.
bool is_guess(Evidence evidence);

/// The verdict of one callout from its numbers; the words in the order of rules that end it.
struct Ruling {
    Verdict verdict;
    std::string reason;
};

/// MAKE. Within two standard errors of a threshold the worse word stands.
/// @param disagreement some check of the machine does not fit the others
Ruling rule(const Promise& promise, const AnswerOptions& options, bool disagreement);

/// How a job is sampled.
PromiseOptions promise_options(const Job& job, const AnswerOptions& options);

/// The characteristics that can be computed, and which callouts they belong to.
struct Computable {
    PartModel model;
    std::vector<std::size_t> callouts;
};

/// Those of a question.
Computable computable(const PartQuestion& question, const Job& job);

/// A part of one of its characteristics.
PartModel only(const PartModel& part, std::size_t characteristic);

/// The verdicts of all callouts on a day, by a glance, and a look where that leaves doubt.
/// @throws as `answer`
std::vector<Verdict>
verdicts_on(const Shop& shop, const Job& job, Date day, const AnswerOptions& options);

} // namespace holdable
