// SPDX-License-Identifier: MIT
/// What the answers about a part's inspection and about a planned check of a machine have in
/// common, on the page and in JSON. For .cpp files only.
#pragma once

#include "holdable/answer/planned_check.hpp"
#include "holdable/report/json.ipp"
#include "holdable/report/page.hpp"
#include "holdable/report/shop_units.hpp"
#include "holdable/report/wording.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace holdable {

/// One line of what limits a measurement.
struct LimitLine {
    std::string input, meaning;
    double contribution = 0; ///< to u (m or rad)
    double share = 0;        ///< of the variance
    std::optional<double> dof{};
    Evidence evidence = Evidence::measured;
};

inline std::string whole_percent(double share) {
    return fmt::format("{} %", to_place(100 * share, 0));
}

/// A table of them, the largest first; what is long goes on in the line below.
inline void limits_table(Page& page,
                         const std::vector<LimitLine>& lines,
                         const ShopUnit& unit,
                         std::string_view title = "What limits it") {
    constexpr std::size_t wide = 36;
    constexpr double least_share = 0.005; // of a line of its own
    const int place = place_in(unit, lines.empty() ? 0 : lines.front().contribution);
    const auto row = [&](std::string_view what,
                         std::string_view amount,
                         std::string_view share,
                         std::string_view evidence) {
        bool first = true;
        for (const auto& part : wrapped(what, wide - 1)) {
            page.row("  " + (first ? fitted(part, wide) + fitted_right(amount, 11) +
                                         fitted_right(share, 7) + "  " + std::string(evidence)
                                   : part));
            first = false;
        }
    };
    page.gap();
    row(title, fmt::format("u, {}", unit.spelling), "share", "evidence");
    double left = 1;
    for (const auto& line : lines) {
        if (line.share < least_share)
            continue;
        left -= line.share;
        row(line.meaning,
            number_in(unit, line.contribution, place),
            whole_percent(line.share),
            evidence_words(line.evidence));
    }
    if (left > least_share)
        row("all other doubts", "", whole_percent(left), "");
}

/// What would help, one paragraph a lever. @param size U in words
inline void levers_list(Page& page,
                        const std::vector<Lever>& levers,
                        std::string_view nothing_proves,
                        const std::function<std::string(double)>& size) {
    std::vector<std::string> lines;
    for (const auto& lever : levers) {
        const auto cost = lever.proves ? fmt::format("proving costs {}", whole_percent(lever.lost))
                                       : std::string(nothing_proves);
        lines.push_back(fmt::format("{}: then U = {}, {}: {}",
                                    lever.action,
                                    size(lever.expanded),
                                    cost,
                                    word(lever.verdict)));
    }
    if (lines.empty())
        return;
    page.gap();
    page.list("Would help", lines);
}

/// How the limits are set, in words. @param what "a part is proved good" @param by "reading"
/// @param band guard band in words
inline std::string rule_sentence(const decide::Cost& cost,
                                 const std::optional<decide::CustomerRule>& rule,
                                 std::string_view what,
                                 std::string_view by,
                                 const std::string& band) {
    if (rule && !rule->of_customer)
        return fmt::format("{}: {} up to the very limits, where half are bad", rule->name, what);
    if (rule && rule->ratio)
        return fmt::format("the customer's own, {}: {:.3g} to 1, {}",
                           rule->name,
                           *rule->ratio,
                           !cost.ratio_missed    ? "kept: up to the very limits"
                           : rule->guarded_below ? "missed: at most 5 % chance that it is not"
                                                 : "missed: no reading proves");
    if (rule && cost.guard && *cost.guard == 0)
        return fmt::format("the customer's own, {}: simple acceptance, {} up to the very limits",
                           rule->name,
                           what);
    if (rule && cost.guard)
        return fmt::format(
            "the customer's own, {}: limits {} inward, which is {} standard uncertainties",
            rule->name,
            band,
            to_digits(*cost.guard, 3));
    return fmt::format("{} where a {} leaves at most 5 % chance that it is not (ISO 14253-1, from "
                       "memory): {}",
                       what,
                       by,
                       cost.guard ? fmt::format("limits {} standard uncertainties inward",
                                                to_digits(*cost.guard, 3, Rounding::up))
                                  : fmt::format("no {} does", by));
}

/// Chance that what reads at a limit so set is beyond the limit of the print, in words.
inline std::string risk_at_limits(const decide::Cost& cost, const std::optional<double>& dof) {
    const double risk = 1 - decide::conformance(0, 1, {.high = *cost.guard}, dof);
    return to_place(100 * risk, risk < 0.0095 ? -1 : 0, Rounding::up) + " %";
}

inline Json lines_json(const std::vector<LimitLine>& lines) {
    Json all = Json::array();
    for (const auto& line : lines)
        all.push_back({{"input", line.input},
                       {"meaning", line.meaning},
                       {"contribution", finite(line.contribution, "contribution")},
                       {"share", finite(line.share, "share")},
                       {"dof", line.dof ? finite(*line.dof, "dof") : Json(nullptr)},
                       {"evidence", word(line.evidence)}});
    return all;
}

inline Json levers_json(const std::vector<Lever>& levers) {
    Json all = Json::array();
    for (const auto& lever : levers)
        all.push_back({{"action", lever.action},
                       {"expanded", finite(lever.expanded, "expanded")},
                       {"lost", finite(lever.lost, "lost")},
                       {"proves", lever.proves},
                       {"verdict", word(lever.verdict)}});
    return all;
}

inline Json rule_json(const std::optional<decide::CustomerRule>& rule) {
    if (!rule)
        return nullptr;
    return {{"name", rule->name},
            {"of_customer", rule->of_customer},
            {"ratio", rule->ratio ? finite(*rule->ratio, "ratio") : Json(nullptr)},
            {"guarded_below", rule->guarded_below},
            {"guard_band", rule->band ? finite(*rule->band, "guard_band") : Json(nullptr)},
            {"guard_band_in_U",
             rule->band ? Json(nullptr) : finite(rule->of_expanded, "guard_band_in_U")}};
}

} // namespace holdable
