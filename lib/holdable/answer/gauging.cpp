// SPDX-License-Identifier: MIT
#include "holdable/answer/gauging.hpp"

#include "holdable/answer/levers.ipp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <optional>
#include <utility>

namespace holdable {
namespace {

constexpr double good = 0.25, bearable = 0.5; // share of the tolerance that proving costs
constexpr double room_temperature = 293.15, settled = 0.5; // (K)

using decide::Inspection;

Verdict judged(const Inspection& inspection, const decide::Worth& worth) {
    if (inspection.critical && !inspection.rule)
        return Verdict::cant_say;
    const auto verdict = verdict_of(worth.cost);
    return verdict != Verdict::no && !inspection.error_stated() ? Verdict::cant_say : verdict;
}

/// The limit of error up to which a gauge of which nothing is stated would be good enough.
std::optional<double> wanted_limit(const Inspection& inspection) {
    const auto good_with = [&](double limit) {
        auto with = inspection;
        with.max_error = limit;
        return verdict_of(decide::worth(with).cost) == Verdict::yes;
    };
    double low = 1e-9, high = inspection.tolerance();
    if (!good_with(low))
        return std::nullopt;
    for (int i = 0; i < 40; ++i)
        (good_with((low + high) / 2) ? low : high) = (low + high) / 2;
    return low;
}

/// Two digits, rounded down, as a limit that is asked for. @param length (m)
std::string limit_text(double length, bool inch) {
    const double number = length / (inch ? 0.0254 : 1e-6);
    const int decimals = std::max(0, 1 - static_cast<int>(std::floor(std::log10(number))));
    const double steps = std::pow(10.0, decimals);
    const auto text = fmt::format("{:.{}f}", std::floor(number * steps) / steps, decimals);
    return inch ? text.substr(1) + " in" : text + " µm";
}

Lever lever(std::string action, const Inspection& inspection, const decide::Worth& worth) {
    return {std::move(action),
            worth.error.expanded,
            worth.cost.lost,
            judged(inspection, worth),
            worth.acceptance.low < worth.acceptance.high};
}

std::string reason_of(const GaugingAnswer& answer) {
    const auto& worth = answer.worth;
    if (answer.verdict == Verdict::cant_say)
        return answer.inspection.error_stated()
                   ? std::string("a critical part needs the customer's own decision rule")
                   : fmt::format("nothing is stated of the error of the {}: it has neither a "
                                 "certificate nor a limit of error",
                                 answer.inspection.instrument);
    if (!worth.cost.guard)
        return "the doubt is so large that no reading proves a good part";
    const auto lines = worth.error.contributions;
    const auto largest = std::max_element(lines.begin(), lines.end(), [](auto& a, auto& b) {
        return a.contribution < b.contribution;
    });
    const auto input = std::find_if(answer.budget.inputs.begin(),
                                    answer.budget.inputs.end(),
                                    [&](auto& i) { return i.name == largest->input; });
    const bool known = std::abs(worth.known_error) >
                       (answer.inspection.lower ? 2 : 1) * *worth.cost.guard * worth.error.standard;
    return fmt::format("proving costs {} % of the tolerance; most comes from: {}",
                       std::lround(100 * worth.cost.lost),
                       known ? answer.inspection.found && !answer.inspection.found->corrected
                                   ? "known errors, not corrected"
                                   : "temperature, not corrected"
                             : input->meaning);
}

} // namespace

Verdict verdict_of(const decide::Cost& cost) {
    if (!cost.guard || cost.lost > bearable)
        return Verdict::no;
    return cost.lost <= good ? Verdict::yes : Verdict::marginal;
}

std::vector<InspectionChange> changes(const Inspection& now) {
    std::vector<InspectionChange> all;
    all.push_back({fmt::format("average {} readings instead of {}", 4 * now.repeats, now.repeats),
                   [](Inspection& i) { i.repeats *= 4; },
                   "more readings"});
    all.push_back(
        {"read ten times finer", [](Inspection& i) { i.resolution /= 10; }, "finer gauge"});
    if (now.expands)
        all.push_back({"let part and gauge come to 20 °C, within 0.5 K",
                       [](Inspection& i) {
                           i.part.temperature = i.gauge.temperature = room_temperature;
                           i.temperature_limit = std::min(i.temperature_limit, settled);
                       },
                       "settle at 20 °C"});
    if (now.expands && !now.corrected)
        all.push_back({"correct the readings for temperature",
                       [](Inspection& i) { i.corrected = true; },
                       "correct the readings"});
    if (now.found && !now.found->corrected)
        all.push_back({"correct the readings for the error found of the gauge",
                       [](Inspection& i) { i.found->corrected = true; },
                       "correct the readings"});
    if (now.max_error && !now.certificate && !now.found)
        all.push_back(
            {"have the gauge calibrated, U a fifth of its limit of error, and correct by it",
             [](Inspection& i) {
                 i.certificate =
                     decide::Doubt{certified * *i.max_error / 2, {}, Evidence::certificate};
             },
             "calibrate a gauge"});
    if (!now.error_stated())
        if (const auto limit = wanted_limit(now))
            all.push_back({"find a certificate or a limit of error for the gauge; it would be "
                           "good enough, if its error is not more than about " +
                               limit_text(*limit, now.inch),
                           [limit](Inspection& i) { i.max_error = *limit; },
                           "calibrate a gauge"});
    if (now.master_doubt.standard > 0)
        all.push_back({"set it on a master with half the U",
                       [](Inspection& i) { i.master_doubt.standard /= 2; },
                       "better master"});
    if (now.operators.standard > 0)
        all.push_back({"train those who measure, to half the difference",
                       [](Inspection& i) { i.operators.standard /= 2; },
                       "train who measures"});
    return all;
}

GaugingAnswer gauging(const Inspection& inspection) {
    GaugingAnswer answer;
    answer.inspection = inspection;
    answer.worth = decide::worth(inspection);
    answer.budget = decide::budget(inspection);
    answer.verdict = judged(inspection, answer.worth);
    answer.reason = reason_of(answer);
    std::vector<std::pair<std::string, std::function<void(Inspection&)>>> could;
    for (auto& one : changes(inspection))
        could.emplace_back(std::move(one.action), std::move(one.change));
    answer.levers = levers_of(
        inspection,
        could,
        decide::worth,
        [&](const Inspection& changed, const decide::Worth& worth) {
            return worth.cost.lost < worth_saying * answer.worth.cost.lost ||
                   worth.error.expanded < worth_saying * answer.worth.error.expanded ||
                   (!inspection.error_stated() && changed.error_stated());
        },
        lever);
    answer.notes = inspection.notes;
    if (!decide::resolves(inspection.resolution, inspection.tolerance()))
        answer.notes.emplace_back("the gauge reads more coarsely than a twentieth of the "
                                  "tolerance (ISO 22514-7, from memory)");
    if (inspection.study)
        answer.notes.insert(
            answer.notes.end(), inspection.study->notes.begin(), inspection.study->notes.end());
    return answer;
}

} // namespace holdable
