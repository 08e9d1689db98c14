// SPDX-License-Identifier: MIT
/// "Will this check show what I want to say of the machine?": a check that is yet to come.
///
/// The number x that the check measures shall be shown to lie within ± w, or, where it has no sign
/// as a run-out, not above w: a zone T = 2w, or T = w with one limit. The doubt u of x is what the
/// check says by itself (holdable/machine/doubt.hpp): by its equations, with the doubts of its
/// instruments and all else its readings touch, before a reading is taken. U = k u at 95 %, k from
/// the degrees of freedom of u. A result proves it where it leaves at most 5 % chance that x is
/// beyond, g standard uncertainties inside the zone (decide/rule.hpp), which costs the share
///
///     lost = 2 g u/T, with one limit g u/T
///
/// of it: YES to a quarter, MARGINAL to a half, else NO (common practice, no source). Where much of
/// u is the error of reference gear of which nothing is stated, neither certificate nor grade, the
/// answer is CAN'T SAY, unless it is NO without that too.
///
/// Readings are zeros, so the gain of an indicator, which errs in proportion, counts nothing.
#pragma once

#include "holdable/answer/gauging.hpp"
#include "holdable/decide/rule.hpp"
#include "holdable/machine/doubt.hpp"
#include "holdable/machine/shop.hpp"

#include <cstddef>
#include <functional>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace holdable {

/// A check of a machine, planned, and what it is for.
struct PlannedCheck {
    std::string title;
    Shop machine;              ///< with its instruments and the checks made so far
    Shop check;                ///< the planned check is the only one in it; nothing else is used
    Date day;                  ///< on which it will be made
    std::size_t measurand = 0; ///< which of the numbers it measures, in the order of `measured_by`
    double within = 0;         ///< w > 0 (m or rad)
    double warmth = 1;         ///< of the usual drift and bend while reading (pure number)
    bool critical = false;     ///< lifting, pressure, medical, flight: only the customer's rule
    std::optional<decide::CustomerRule> rule{};
    bool inch = false; ///< what reports print
    std::vector<std::string> notes;
    /// Files read beside the one it stands in, each with its SHA-256.
    std::vector<std::pair<std::string, std::string>> files{};
};

/// What it would be worth.
struct PlannedWorth {
    CheckDoubt doubt;     ///< meaning of the number, u, its sources
    double k = 0;         ///< coverage factor at 95 %
    double expanded = 0;  ///< U (m or rad)
    double tolerance = 0; ///< T (m or rad)
    double ratio = 0;     ///< T/(2U), with one limit T/U (pure number)
    decide::Cost cost;    ///< g and what it costs
    double shown_to = 0;  ///< results up to this magnitude prove it; below 0 none does (m or rad)
};

/// @throws InputError, NumericError as `planned_doubts`
PlannedWorth worth(const PlannedCheck& planned);

/// The answer.
struct PlannedAnswer {
    PlannedCheck planned;
    std::string name; ///< of the check
    PlannedWorth worth;
    Verdict verdict = Verdict::no;
    std::string reason;        ///< one, in shop words
    std::vector<Lever> levers; ///< those that help, most effective first; with several, last all
};

/// Judges a planned check. @throws as `worth`
PlannedAnswer gauging(const PlannedCheck& planned);

/// Something that could be done: in shop words, and as a change.
using PlannedChange = std::pair<std::string, std::function<void(PlannedCheck&)>>;

/// What could be done about a planned check, of all kinds: those that apply, whether they help or
/// not. What they take for granted stands in docs/gauging.md (common practice, no source).
std::vector<PlannedChange> changes(const PlannedCheck& planned);

} // namespace holdable
