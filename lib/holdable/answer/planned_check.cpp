// SPDX-License-Identifier: MIT
#include "holdable/answer/planned_check.hpp"

#include "holdable/answer/levers.ipp"
#include "holdable/propagate/gum.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace holdable {
namespace {

constexpr double matters = 0.1; // of the variance

/// Whether a source is the error of reference gear.
bool is_gear(const DoubtSource& source) {
    const auto& name = source.name;
    return name.starts_with("square \"") || name.starts_with("straightedge \"") ||
           name.starts_with("level \"") || name.starts_with("length standard \"") ||
           name.ends_with(", form of the bar") || name.ends_with(", bar");
}

/// The share of all gear of which nothing is stated, and what that is.
std::pair<double, std::string> unstated(const CheckDoubt& doubt) {
    double share = 0;
    std::string meaning;
    for (const auto& source : doubt.sources) {
        // Wear is known of no square; its certificate or grade is.
        const bool wear = source.name.find("change in a year") != std::string::npos;
        const bool certified = source.name.starts_with("square \"");
        if (!is_gear(source) || source.evidence < Evidence::typical || wear || certified)
            continue;
        share += source.share;
        if (meaning.empty())
            meaning = source.meaning;
    }
    return {share, meaning};
}

/// U, what it costs and how far results prove, of a doubt.
void weigh(const PlannedCheck& planned, PlannedWorth& worth) {
    const int limits = worth.doubt.magnitude ? 1 : 2;
    worth.k = propagate::coverage_factor(decide::proof, worth.doubt.dof);
    worth.expanded = worth.k * worth.doubt.standard;
    worth.tolerance = limits * planned.within;
    worth.ratio = worth.tolerance / (limits * worth.expanded);
    worth.cost = decide::cost_of_proof({worth.doubt.standard, worth.expanded, worth.doubt.dof},
                                       worth.tolerance,
                                       limits,
                                       0,
                                       planned.rule);
    worth.shown_to =
        worth.cost.guard ? planned.within - *worth.cost.guard * worth.doubt.standard : -1;
}

Verdict judged(const PlannedCheck& planned, const PlannedWorth& worth) {
    if (planned.critical && !planned.rule)
        return Verdict::cant_say;
    const auto verdict = verdict_of(worth.cost);
    const double share = unstated(worth.doubt).first;
    if (verdict == Verdict::no && share > 0) {
        auto perfect = worth;
        perfect.doubt.standard *= std::sqrt(std::max(0.0, 1 - share));
        weigh(planned, perfect);
        return share >= matters && verdict_of(perfect.cost) != Verdict::no ? Verdict::cant_say
                                                                           : Verdict::no;
    }
    return share >= matters ? Verdict::cant_say : verdict;
}

std::string reason_of(const PlannedAnswer& answer) {
    const auto& worth = answer.worth;
    if (answer.verdict == Verdict::cant_say) {
        if (answer.planned.critical && !answer.planned.rule)
            return "a critical part needs the customer's own decision rule";
        const auto [share, meaning] = unstated(worth.doubt);
        return fmt::format("{} % of the variance is a guess at reference gear of which neither "
                           "certificate nor grade is stated: {}",
                           std::lround(100 * share),
                           meaning);
    }
    const auto most =
        worth.doubt.sources.empty() ? std::string("readings") : worth.doubt.sources.front().meaning;
    if (!worth.cost.guard || worth.cost.lost >= 1)
        return "the doubt is so large that no result shows it; most comes from: " + most;
    return fmt::format("showing it costs {} % of the zone; most comes from: {}",
                       std::lround(100 * worth.cost.lost),
                       most);
}

Lever lever(std::string action, const PlannedCheck& planned, const PlannedWorth& worth) {
    return {std::move(action),
            worth.expanded,
            worth.cost.lost,
            judged(planned, worth),
            worth.cost.guard && worth.cost.lost < 1};
}

} // namespace

PlannedWorth worth(const PlannedCheck& planned) {
    PlannedWorth worth;
    worth.doubt = planned_doubts(planned.machine, planned.check, planned.day, planned.warmth)
                      .at(planned.measurand);
    weigh(planned, worth);
    return worth;
}

PlannedAnswer gauging(const PlannedCheck& planned) {
    PlannedAnswer answer;
    answer.planned = planned;
    answer.worth = worth(planned);
    answer.name = answer.worth.doubt.check;
    answer.verdict = judged(planned, answer.worth);
    answer.reason = reason_of(answer);
    answer.levers = levers_of(
        planned,
        changes(planned),
        [](const PlannedCheck& changed) { return worth(changed); },
        [&](const PlannedCheck& changed, const PlannedWorth& with) {
            return with.cost.lost < worth_saying * answer.worth.cost.lost ||
                   with.expanded < worth_saying * answer.worth.expanded ||
                   judged(changed, with) < answer.verdict;
        },
        lever);
    return answer;
}

} // namespace holdable
