// SPDX-License-Identifier: MIT
/// "Is this measuring set-up good enough?": from an inspection to a verdict and what would help.
///
/// YES where proving costs at most a quarter of the tolerance, MARGINAL to a half, else NO
/// (common practice, no source). CAN'T SAY where nothing is stated of the error of the gauge,
/// unless it is NO without any, and for critical parts without a rule of the customer's own. Each
/// lever is the same inspection with one thing changed, computed anew.
#pragma once

#include "holdable/answer/answer.hpp"
#include "holdable/decide/inspection.hpp"

#include <functional>
#include <string>
#include <string_view>
#include <vector>

namespace holdable {

/// One change and what it buys.
struct Lever {
    std::string action;  ///< what to do, shop words
    double expanded = 0; ///< U with it (m)
    double lost = 0;     ///< share of the tolerance that proving then costs
    Verdict verdict = Verdict::no;
    bool proves = true; ///< false where with it still no reading proves anything
};

/// YES where proving costs a quarter or less, MARGINAL to a half, else NO.
Verdict verdict_of(const decide::Cost& cost);

/// The answer.
struct GaugingAnswer {
    decide::Inspection inspection;
    decide::Worth worth;
    propagate::Budget budget; ///< from which u comes
    Verdict verdict = Verdict::no;
    std::string reason;        ///< one, in shop words
    std::vector<Lever> levers; ///< those that help, most effective first; with several, last all
    std::vector<std::string> notes;
};

/// Something that could be done about an inspection.
struct InspectionChange {
    std::string action; ///< in shop words
    std::function<void(decide::Inspection&)> change;
    std::string_view work; ///< the piece of work that it is, as in works.hpp
};

/// What could be done about an inspection: what applies, whether it helps or not. What each takes
/// for granted stands in docs/gauging.md (common practice, no source).
std::vector<InspectionChange> changes(const decide::Inspection& now);

/// Judges an inspection. @throws NumericError as `decide::worth`
GaugingAnswer gauging(const decide::Inspection& inspection);

} // namespace holdable
