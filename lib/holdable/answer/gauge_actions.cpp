// SPDX-License-Identifier: MIT
// How parts are measured: the gauge that a callout names used better, or another of the shop's.
#include "holdable/answer/action_families.ipp"
#include "holdable/answer/gauging.hpp"
#include "holdable/answer/prove.hpp"
#include "holdable/base/error.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>
#include <utility>

namespace holdable {
namespace {

/// The inspection, if the gauge can make it.
std::optional<decide::Inspection>
possible(const decide::PartGauge& gauge, const Callout& callout, const Facts& facts) {
    try {
        return inspection_of(gauge, callout, facts.job, facts.shop);
    } catch (const InputError&) {
        return std::nullopt;
    }
}

/// A gauge used better, or known better.
void use_better(const Facts& facts,
                const decide::PartGauge& gauge,
                const Callout& callout,
                std::vector<Action>& all) {
    const auto inspection = possible(gauge, callout, facts);
    if (!inspection)
        return;
    for (auto& could : changes(*inspection)) {
        Action action;
        action.name = kebab(fmt::format("{} {}", gauge.name, could.action));
        action.what = fmt::format("measure better with \"{}\": {}", gauge.name, could.action);
        action.kind = ActionKind::gauge;
        action.minutes = facts.minutes_of(could.work);
        action.rests_on = "it buys what is usual (common practice, no source)";
        action.carry_out = [name = gauge.name, change = std::move(could.change)](Shop& shop, Job&) {
            for (auto& one : shop.gauges)
                if (one.name == name)
                    change(one.how);
        };
        all.push_back(std::move(action));
    }
}

/// Another gauge of the shop for one callout.
void use_another(const Facts& facts, std::size_t callout, std::vector<Action>& all) {
    const auto& now = facts.job.callouts[callout];
    for (const auto& gauge : facts.shop.gauges) {
        if (gauge.name == now.gauge || !possible(gauge, now, facts))
            continue;
        Action action;
        action.name = kebab(fmt::format("prove {} with {}", now.name, gauge.name));
        action.what = fmt::format("prove {} with \"{}\"", now.name, gauge.name);
        action.kind = ActionKind::gauge;
        action.minutes = facts.minutes_of("another gauge");
        action.rests_on = gauge.on_machine() ? "the part stays clamped as it was cut"
                                             : "the gauge can reach what it measures";
        action.instead = fmt::format("gauge of {}", now.name);
        action.carry_out = [callout, name = gauge.name](Shop&, Job& job) {
            job.callouts[callout].gauge = name;
        };
        all.push_back(std::move(action));
    }
}

} // namespace

void add_gauges(const Facts& facts, std::vector<Action>& all) {
    std::set<std::string> done;
    for (std::size_t i = 0; i < facts.job.callouts.size(); ++i) {
        const auto& callout = facts.job.callouts[i];
        if (callout.gauge.empty())
            continue;
        for (const auto& gauge : facts.shop.gauges)
            if (gauge.name == callout.gauge && done.insert(gauge.name).second)
                use_better(facts, gauge, callout, all);
        use_another(facts, i, all);
    }
}

} // namespace holdable
