// SPDX-License-Identifier: MIT
/// "What to fix or measure next, and what it buys": actions, each answered anew.
///
/// Every action (action.hpp) is carried out on a copy of the facts, and the copy is answered: what
/// stands here is the look (`look`) that any answer begins with, on the same draws, so two of them
/// differ by the action alone. Ranked: callouts that become YES, then how far verdicts come, then
/// minutes. What lowers no t(P, C) by 1 % and moves no verdict is left out.
///
/// The least that does it. Of the actions that help, up to three together are tried in the order of
/// their minutes, those that cannot reach it left out: where 1/2 of what is missing in t² is not
/// in the sum of what its members win alone. Beyond three, one after the other the one that wins
/// most per minute, and then those not needed are dropped, the dearest first. What is found is
/// answered in full. A callout that all actions together do not make YES is out of reach.
///
/// What one alone would have to do. λ solves t(λ) = T for the callout that lacks most, one
/// contributor scaled by λ and all else as it is, by bisection on common draws (docs/theory.md).
///
/// What a check may come out as. Its readings y are N(H ξ̂, H C Hᵀ + R), so the estimate moves by
/// N(0, C - C'), C' being what the check leaves; the chance is the share of such outcomes after
/// which the verdict is YES.
#pragma once

#include "holdable/answer/action.hpp"
#include "holdable/answer/answer.hpp"
#include "holdable/part/features.hpp"

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace holdable {

/// How to answer, and what else could be done.
struct ImproveOptions {
    AnswerOptions answer{};
    Minutes minutes{};          ///< of the machine file, instead of the usual
    std::vector<Action> more{}; ///< beside `actions`
    std::size_t outcomes = 400; ///< of a check, drawn for its chance, ≥ 200
    bool elsewhere = true;      ///< look for a better place of the part too; as long as all else
};

/// One callout by a look.
struct Outlook {
    Verdict verdict = Verdict::cant_say; ///< MAKE
    bool computed = false; ///< false where something is missing; then the next two mean nothing
    double smallest = 0;   ///< t(P, C) (m)
    double gamma = 0;      ///< share of worlds with enough good parts
    std::optional<Verdict> prove = {}; ///< PROVE; none where the job names no gauge
    double lost = 1;                   ///< share of the tolerance that proving costs

    /// It can be made, and be proved where a gauge is named.
    bool yes() const {
        return verdict == Verdict::yes && prove.value_or(Verdict::yes) == Verdict::yes;
    }
};

/// What is seen of all callouts of a job.
struct Look {
    std::vector<Outlook> callouts;     ///< in the order of the job
    PartModel model;                   ///< of those that can be computed
    std::vector<std::size_t> computed; ///< which these are
    bool disagreement = false;         ///< of the machine's checks
};

/// The look that `answer` begins with: never grown, on the same draws whatever the facts.
/// @throws as `answer`
Look look(const Shop& shop, const Job& job, Date day, const AnswerOptions& options);

/// An action and what the answer is after it.
struct Improved {
    Action action;
    std::vector<Outlook> after; ///< in the order of the callouts
    int won = 0;                ///< callouts that become YES
    /// Of a check: chance of each callout to be YES once it is made, whatever it reads; none where
    /// that was not asked.
    std::vector<std::optional<double>> chance;
};

/// Several actions together.
struct Together {
    std::vector<std::size_t> actions; ///< which of `Improvement::actions`, in their order there
    double minutes = 0;               ///< of all (min)
    std::vector<Outlook> after;       ///< by a full answer
    std::vector<std::size_t> out_of_reach; ///< callouts that nothing makes YES
    std::vector<Outlook> best;             ///< after everything that helps
    bool reaches = false;                  ///< all callouts that are not out of reach are YES
    bool exact = true;                     ///< three or fewer: none that takes less does it
};

/// How far one contributor would have to shrink.
struct Shrink {
    std::string what; ///< shop words; "everything", "all that is not known", …
    Evidence evidence = Evidence::measured;
    bool known = false;           ///< a known error
    bool several = false;         ///< more than one contributor
    std::optional<double> factor; ///< λ, 0 … 1; none: alone it cannot
    double at_zero = 0;           ///< t if it were nothing (m)
};

/// How far the contributors of one characteristic would have to shrink, each alone, the weightiest
/// first, then known errors, knowledge, parts and everything. @param target T (m)
/// @throws as `promise`
std::vector<Shrink>
required_shrinks(const PartModel& part, double target, const PromiseOptions& options);

/// Chance that a callout is YES after a check, from the part before it and after it as expected;
/// both of one characteristic, over the same unknowns. @param outcomes that are drawn
/// @throws as `promise`
double chance_of_yes(const PartModel& before,
                     const PartModel& after,
                     bool disagreement,
                     const Job& job,
                     const AnswerOptions& options,
                     std::size_t outcomes);

/// The answer.
struct Improvement {
    std::string shop, machine, job;
    Date day;
    double parts = 0.95, confidence = 0.95;
    std::uint64_t seed = 1;
    bool inch = false;
    std::vector<Callout> callouts;
    std::vector<Outlook> now;
    std::vector<Improved> actions;    ///< those that help, best first
    Together least;                   ///< of them, the least that does it
    std::optional<std::size_t> worst; ///< callout of `shrinks`; none: all are YES
    std::vector<Shrink> shrinks;
    std::vector<std::string> notes;

    bool all_yes() const; ///< nothing is wanted
};

/// Weighs all that could be done. @throws as `answer`
Improvement improve(const Shop& shop, const Job& job, const ImproveOptions& options);

} // namespace holdable
