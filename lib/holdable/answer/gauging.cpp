// SPDX-License-Identifier: MIT
#include "holdable/answer/gauging.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <utility>

namespace holdable {
namespace {

constexpr double good = 0.25, bearable = 0.5; // share of the tolerance that proving costs
constexpr double worth_saying = 0.99;         // of what it costs now
constexpr double room_temperature = 293.15, settled = 0.5; // (K)
constexpr double certified = 0.2; // U of a certificate, of the limit of error (common practice)

using decide::Inspection;

Verdict judged(const decide::Worth& worth) {
    if (!worth.guard || worth.lost > bearable)
        return Verdict::no;
    return worth.lost <= good ? Verdict::yes : Verdict::marginal;
}

using Change = std::function<void(Inspection&)>;

/// What could be done, as changes to the inspection.
std::vector<std::pair<std::string, Change>> changes(const Inspection& now) {
    std::vector<std::pair<std::string, Change>> all;
    all.emplace_back(fmt::format("average {} readings instead of {}", 4 * now.repeats, now.repeats),
                     [](Inspection& i) { i.repeats *= 4; });
    all.emplace_back("read ten times finer", [](Inspection& i) { i.resolution /= 10; });
    all.emplace_back("let part and gauge come to 20 °C, within 0.5 K", [](Inspection& i) {
        i.part.temperature = i.gauge.temperature = room_temperature;
        i.temperature_limit = std::min(i.temperature_limit, settled);
    });
    if (!now.corrected)
        all.emplace_back("correct the readings for temperature",
                         [](Inspection& i) { i.corrected = true; });
    if (now.max_error && !now.certificate)
        all.emplace_back(
            "have the gauge calibrated, U a fifth of its limit of error, and correct by it",
            [](Inspection& i) {
                i.certificate =
                    decide::Doubt{certified * *i.max_error / 2, {}, Evidence::certificate};
            });
    if (now.master_doubt.standard > 0)
        all.emplace_back("set it on a master with half the U",
                         [](Inspection& i) { i.master_doubt.standard /= 2; });
    if (now.operators.standard > 0)
        all.emplace_back("train those who measure, to half the difference",
                         [](Inspection& i) { i.operators.standard /= 2; });
    return all;
}

Lever lever(std::string action, const decide::Worth& worth) {
    return {std::move(action), worth.error.expanded, worth.lost, judged(worth)};
}

std::string reason_of(const GaugingAnswer& answer) {
    const auto& worth = answer.worth;
    if (!worth.guard)
        return "the doubt is so large that no reading proves a good part";
    const auto lines = worth.error.contributions;
    const auto largest = std::max_element(lines.begin(), lines.end(), [](auto& a, auto& b) {
        return a.contribution < b.contribution;
    });
    const auto input = std::find_if(answer.budget.inputs.begin(),
                                    answer.budget.inputs.end(),
                                    [&](auto& i) { return i.name == largest->input; });
    const bool known = std::abs(worth.known_error) >
                       (answer.inspection.lower ? 2 : 1) * *worth.guard * worth.error.standard;
    return fmt::format("proving costs {} % of the tolerance; most comes from: {}",
                       std::lround(100 * worth.lost),
                       known ? "temperature, not corrected" : input->meaning);
}

} // namespace

GaugingAnswer gauging(const Inspection& inspection) {
    GaugingAnswer answer;
    answer.inspection = inspection;
    answer.worth = decide::worth(inspection);
    answer.budget = decide::budget(inspection);
    answer.verdict = judged(answer.worth);
    answer.reason = reason_of(answer);
    auto everything = inspection;
    for (const auto& [action, change] : changes(inspection)) {
        auto changed = inspection;
        change(changed);
        const auto worth = decide::worth(changed);
        const bool helps = worth.lost < worth_saying * answer.worth.lost ||
                           worth.error.expanded < worth_saying * answer.worth.error.expanded;
        if (!helps)
            continue;
        change(everything);
        answer.levers.push_back(lever(action, worth));
    }
    std::stable_sort(answer.levers.begin(), answer.levers.end(), [](auto& a, auto& b) {
        return std::pair(a.lost, a.expanded) < std::pair(b.lost, b.expanded);
    });
    if (answer.levers.size() > 1)
        answer.levers.push_back(lever("all of these", decide::worth(everything)));
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
