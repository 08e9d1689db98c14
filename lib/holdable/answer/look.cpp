// SPDX-License-Identifier: MIT
#include "holdable/answer/improve.hpp"
#include "holdable/answer/verdicts.hpp"
#include "holdable/machine/thermal.hpp"

#include <utility>

namespace holdable {

Look look(const Shop& stated, const Job& job, Date day, const AnswerOptions& o) {
    std::vector<std::string> out_of_season;
    const auto shop =
        job.temperatures.stated ? in_season(stated, job.temperatures.scale, out_of_season) : stated;
    const auto state = solve(shop, day);
    const auto asked = question(state, job);
    auto c = computable(asked, job);
    Look seen;
    seen.disagreement = state.disagreement;
    seen.callouts.resize(job.callouts.size());
    if (!c.callouts.empty()) {
        const auto promises = first_look(c.model, promise_options(job, o), true);
        for (std::size_t k = 0; k < c.callouts.size(); ++k) {
            const auto& p = promises[k];
            seen.callouts[c.callouts[k]] = {
                rule(p, o, state.disagreement).verdict, true, p.smallest, p.gamma};
        }
    }
    const auto options = promise_options(job, o);
    Prover prover(state, asked, job, options);
    for (std::size_t i = 0; i < job.callouts.size(); ++i)
        if (!job.callouts[i].gauge.empty()) {
            const auto proof = prover.prove(i, seen.callouts[i].computed, false);
            seen.callouts[i].prove = proof.verdict;
            seen.callouts[i].lost = proof.cost.lost;
        }
    seen.model = std::move(c.model);
    seen.computed = std::move(c.callouts);
    return seen;
}

} // namespace holdable
