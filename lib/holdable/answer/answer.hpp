// SPDX-License-Identifier: MIT
/// "Can we hold these callouts?": from a shop and a job to a verdict for each.
#pragma once

#include "holdable/answer/prove.hpp"
#include "holdable/answer/verdict.hpp"
#include "holdable/base/progress.hpp"
#include "holdable/machine/shop.hpp"
#include "holdable/part/job.hpp"
#include "holdable/propagate/promise.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace holdable {

/// How to answer.
struct AnswerOptions {
    double parts = 0.95;      ///< share of the parts promised
    double confidence = 0.95; ///< in that
    std::optional<Date> on;   ///< day of the job if the job has none; else today
    std::uint64_t seed = 1;
    std::size_t trials = 0; ///< knowledge draws to begin with; 0 = default
    unsigned threads = 0;   ///< 0 = all cores
    bool validity = true;   ///< look for the last day on which it holds; else it is `day`
    Progress progress{};    ///< is told how far it has come
};

/// Something that would help.
struct Fix {
    std::string action;                   ///< what to do, shop words
    std::optional<double> smallest_after; ///< t(P, C) once it is done, where that was computed (m)
    std::optional<Verdict> verdict_after;
};

/// Capability indices that the yields come to, -z(share out)/3: predicted, not seen on a run of
/// parts, and so no Cpk.
struct PredictedIndex {
    double expected = 0;   ///< by the chance of the next part
    double assured = 0;    ///< by the yield assured with confidence C
    bool at_least = false; ///< no simulated part was out: they may be higher
};

/// The answer to one callout.
struct CalloutAnswer {
    Callout callout;
    Verdict verdict = Verdict::cant_say;
    std::string reason;                    ///< one, in shop words
    Promise promise;                       ///< meaningless where `computed` is false
    bool computed = true;                  ///< false where something is missing
    std::vector<Fix> to_fix;               ///< what would move the verdict, most effective first
    std::vector<std::string> must_be_true; ///< conditions
    std::vector<std::string> left_out;     ///< what its figure does not hold
    std::vector<std::string> notes;
    std::optional<double> after_first_piece; ///< t(P, C) once offset by the first piece (m)
    std::optional<PredictedIndex> index;     ///< where the job asks for it
    Proof proof;                             ///< PROVE
    std::optional<int> grade; ///< of a size: finest standard tolerance grade that holds 2 t
};

/// The answer to a job.
struct Answer {
    std::string shop, machine, job;
    Date day;         ///< for which it holds
    Date valid_until; ///< the day before the verdict would change, at most 12 months
    bool valid_until_is_limit = true; ///< true if the 12 months end it
    std::string gauge_that_ends_it;   ///< whose calibration runs out first; empty: none does
    double parts = 0.95, confidence = 0.95;
    int quantity = 1;
    std::optional<decide::CustomerRule> rule; ///< by which readings decide; none: 95 % is proved
    bool critical = false;
    std::vector<CalloutAnswer> callouts;
    PromiseResult whole; ///< the part as a whole, over the callouts that could be computed
    std::vector<std::string> not_included; ///< of all callouts: what the figures leave out
    std::vector<std::string> notes;        ///< of the machine state and the sampling
    std::uint64_t seed = 1;
    bool inch = false;
    std::string asked;                ///< the question, where it was one line and no file
    std::vector<std::string> assumed; ///< what that line left out and how it was filled
};

/// Answers all callouts of a job by rules for MAKE: γ, γ without guesses, P and C (see
/// docs/theory.md).
/// @throws InputError, NumericError as `solve`, `question`, `promise`, `Prover`
Answer answer(const Shop& shop, const Job& job, const AnswerOptions& options);

/// Whether all is YES: every callout can be made, and be proved where a gauge is named for it.
bool all_yes(const Answer& answer);

} // namespace holdable
