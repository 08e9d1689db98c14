// SPDX-License-Identifier: MIT
/// What would help: changes tried one by one, each weighed anew. For .cpp files only.
#pragma once

#include "holdable/answer/gauging.hpp"

#include <algorithm>
#include <utility>
#include <vector>

namespace holdable {

/// U of a certificate, of the limit it stands instead of (common practice).
inline constexpr double certified = 0.2;

inline constexpr double worth_saying = 0.99; ///< of what it costs or leaves in doubt now

/// Those of the changes that help, most effective first; with several, last all of them together.
/// @param changes pairs of an action and a change of a Plan @param weigh worth of a plan
/// @param helps of a changed plan and its worth @param lever of an action, a plan and its worth
template <class Plan, class Changes, class Weigh, class Helps, class MakeLever>
std::vector<Lever>
levers_of(const Plan& now, const Changes& changes, Weigh weigh, Helps helps, MakeLever lever) {
    std::vector<Lever> levers;
    auto everything = now;
    for (const auto& [action, change] : changes) {
        auto changed = now;
        change(changed);
        const auto worth = weigh(changed);
        if (!helps(changed, worth))
            continue;
        change(everything);
        levers.push_back(lever(action, changed, worth));
    }
    std::stable_sort(levers.begin(), levers.end(), [](const Lever& a, const Lever& b) {
        return std::pair(a.lost, a.expanded) < std::pair(b.lost, b.expanded);
    });
    if (levers.size() > 1)
        levers.push_back(lever("all of these", everything, weigh(everything)));
    return levers;
}

} // namespace holdable
