// SPDX-License-Identifier: MIT
#include "holdable/answer/distributions.hpp"

#include "holdable/answer/verdicts.hpp"
#include "holdable/machine/state.hpp"
#include "holdable/part/features.hpp"

#include <algorithm>

namespace holdable {

std::vector<std::optional<PartDistribution>>
distributions(const Shop& stated,
              const Job& job,
              const AnswerOptions& o,
              const std::vector<std::size_t>& callouts) {
    std::vector<std::string> notes; // the answer has them
    const auto shop =
        job.temperatures.stated ? in_season(stated, job.temperatures.scale, notes) : stated;
    const auto state = solve(shop, job.date ? *job.date : o.on ? *o.on : today());
    const auto c = computable(question(state, job), job);
    const auto options = promise_options(job, o);
    std::vector<std::optional<PartDistribution>> all;
    for (const auto asked : callouts) {
        const auto at = std::find(c.callouts.begin(), c.callouts.end(), asked);
        if (at == c.callouts.end())
            all.emplace_back();
        else
            all.emplace_back(distribution_of(
                only(c.model, static_cast<std::size_t>(at - c.callouts.begin())), 0, options));
    }
    return all;
}

} // namespace holdable
