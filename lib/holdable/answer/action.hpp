// SPDX-License-Identifier: MIT
/// What a shop could do about an answer: each a change of the plain facts.
///
/// An action changes shop and job as its user would change his files: a check more, an adjustment
/// with the check that shows it, an allowance measured, another way of cutting. What it buys is
/// then no estimate of its own: it is the answer to the changed facts (improve.hpp). Each takes
/// something for granted, which it names:
///
/// - a check that is yet to come reads what the present estimate predicts (machine/plan_check.hpp),
///   so that nothing moves and only the doubt shrinks;
/// - an adjustment takes out what is known now; what stays is the doubt, and a check shows it;
/// - an allowance of the process, once measured, comes to half of what is usually taken, which is
///   the upper figure of experience (common practice, no source).
///
/// Families are functions of their own, action_families.ipp; more may come from outside as
/// `ImproveOptions::more`.
#pragma once

#include "holdable/answer/works.hpp"
#include "holdable/machine/shop.hpp"
#include "holdable/part/job.hpp"

#include <functional>
#include <string>
#include <string_view>
#include <vector>

namespace holdable {

/// What an action changes.
enum class ActionKind {
    adjustment, ///< the machine itself, and shows it by a check
    check,      ///< what is known of the machine
    process,    ///< how it is cut, or what is known of that
    job,        ///< what the promise covers
    gauge       ///< how parts are measured
};

/// "adjustment", "check", "process", "job", "gauge".
std::string_view word(ActionKind kind);

/// Something that could be done.
struct Action {
    std::string name; ///< unique and stable: "straightness-of-y-in-z"
    std::string what; ///< what to do, shop words, without a full stop
    ActionKind kind = ActionKind::check;
    double minutes = 0;   ///< that it takes (min)
    std::string rests_on; ///< what the number after it takes for granted
    std::string instead;  ///< actions of one such name exclude each other; empty: none
    std::function<void(Shop&, Job&)> carry_out; ///< changes the facts; throws as `observe` and
                                                ///< `solve` where it cannot be done
};

/// All that can be thought of for these facts, adjustments first, which is the order in which
/// several are carried out; not all of them help. @param day of the job and of what is done
/// @param minutes that the shop states, instead of the usual
std::vector<Action>
actions(const Shop& shop, const Job& job, Date day, const Minutes& minutes = {});

/// Carries out several, adjustments before checks, before the rest.
/// @throws as they do
void carry_out(std::vector<const Action*> several, Shop& shop, Job& job);

} // namespace holdable
