// SPDX-License-Identifier: MIT
#include "holdable/answer/action_families.ipp"
#include "holdable/machine/thermal.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>

namespace holdable {
namespace {

template <class Instrument, class Doubt>
const Instrument& least(const std::vector<Instrument>& all, Doubt doubt) {
    return *std::min_element(
        all.begin(), all.end(), [&](const auto& a, const auto& b) { return doubt(a) < doubt(b); });
}

/// As a standard uncertainty.
double stated(double standard, double limit) {
    return standard > 0 ? standard : limit / std::sqrt(3.0);
}

} // namespace

std::string_view word(ActionKind kind) {
    switch (kind) {
    case ActionKind::adjustment:
        return "adjustment";
    case ActionKind::check:
        return "check";
    case ActionKind::process:
        return "process";
    case ActionKind::job:
        return "job";
    case ActionKind::gauge:
        return "gauge";
    }
    return {};
}

MachineState state_for(const Shop& shop, const Job& job, Date day) {
    std::vector<std::string> left_out;
    return job.temperatures.stated ? solve(in_season(shop, job.temperatures.scale, left_out), day)
                                   : solve(shop, day);
}

std::string kebab(std::string_view text) {
    std::string name;
    for (const char c : text)
        if (std::isalnum(static_cast<unsigned char>(c)))
            name += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
        else if (!name.empty() && name.back() != '-')
            name += '-';
    while (name.ends_with('-'))
        name.pop_back();
    return name;
}

std::string free_name(const Shop& shop, std::string name) {
    const auto taken = [&](const std::string& wanted) {
        bool found = false;
        for_each_check(shop, [&](const auto& check) { found = found || check.name == wanted; });
        return found || std::any_of(shop.thermal_logs.begin(),
                                    shop.thermal_logs.end(),
                                    [&](const auto& log) { return log.name == wanted; });
    };
    const auto stem = name;
    for (int number = 2; taken(name); ++number)
        name = fmt::format("{} {}", stem, number);
    return name;
}

const Square& best_square(const Shop& shop) {
    return least(shop.squares, [](const auto& s) { return stated(s.standard, s.limit); });
}

const Straightedge& best_straightedge(const Shop& shop) {
    return least(shop.straightedges, [](const auto& s) { return s.form; });
}

const Level& best_level(const Shop& shop) {
    return least(shop.levels, [](const auto& l) { return l.division * l.read_to; });
}

const LengthStandard& best_standard(const Shop& shop) {
    return least(shop.length_standards, [](const auto& l) {
        return stated(l.standard, l.limit) + 0.3 * stated(l.scale_standard, l.scale_limit);
    });
}

std::vector<Action> actions(const Shop& shop, const Job& job, Date day, const Minutes& minutes) {
    const Facts facts{shop, job, day, minutes};
    std::vector<Action> all;
    add_adjustments(facts, all);
    add_new_checks(facts, all);
    add_repeated_checks(facts, all);
    add_process(facts, all);
    add_job(facts, all);
    add_gauges(facts, all);
    return all;
}

void carry_out(std::vector<const Action*> several, Shop& shop, Job& job) {
    std::stable_sort(several.begin(), several.end(), [](const Action* a, const Action* b) {
        return a->kind < b->kind;
    });
    for (const auto* action : several)
        action->carry_out(shop, job);
}

} // namespace holdable
