// SPDX-License-Identifier: MIT
// The part put elsewhere on the table.
#include "holdable/answer/action_families.ipp"
#include "holdable/answer/where.hpp"

#include <fmt/format.h>

#include <cmath>

namespace holdable {
namespace {

/// "50.0 mm towards -X", "2.00 in towards +Y".
std::string way(double m, char axis, bool inch) {
    const auto size = inch ? fmt::format("{:.2f} in", std::abs(m) / 0.0254)
                           : fmt::format("{:.0f} mm", std::abs(m) * 1e3);
    return fmt::format("{} towards {}{}", size, m > 0 ? '+' : '-', axis);
}

} // namespace

std::optional<Action> move_part(const Facts& facts, const AnswerOptions& options) {
    WhereOptions asked;
    asked.answer = options;
    asked.answer.on = facts.day;
    const auto found = where(facts.shop, facts.job, asked);
    if (!found.found)
        return std::nullopt;
    std::string what = "put the part";
    const auto& best = found.best;
    const char* comma = " ";
    for (const auto& [shift, axis] :
         {std::pair{best.x, 'X'}, std::pair{best.y, 'Y'}, std::pair{best.z, 'Z'}})
        if (std::abs(shift) > 1e-6) {
            what += comma + way(shift, axis, facts.job.inch);
            comma = ", ";
        }
    if (best.quarter_turns % 4 != 0)
        what += fmt::format("{}turned by {}°", comma, 90 * ((best.quarter_turns % 4 + 4) % 4));
    Action action;
    action.name = "another-place";
    action.what = std::move(what);
    action.kind = ActionKind::job;
    action.minutes = facts.minutes_of("another place");
    action.rests_on = "it can be held there";
    action.carry_out = [best](Shop&, Job& job) { job = placed(job, best); };
    return action;
}

} // namespace holdable
