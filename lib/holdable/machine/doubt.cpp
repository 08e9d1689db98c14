// SPDX-License-Identifier: MIT
#include "holdable/machine/doubt.hpp"

#include "holdable/machine/checks.hpp"
#include "holdable/machine/observation.hpp"
#include "holdable/stats/distribution.hpp"

#include <algorithm>
#include <map>

namespace holdable {
namespace {

constexpr double least_source = 0.01; // of the variance

} // namespace

std::vector<DoubtSource> doubt_sources(const MachineState& state, const Eigen::RowVectorXd& row) {
    const auto c = state.sensitivity(row);
    std::map<std::string, DoubtSource> groups;
    double total = 0;
    for (Eigen::Index j = 0; j < c.size(); ++j) {
        const auto& input = state.inputs[static_cast<std::size_t>(j)];
        const double u = c[j] * stats::standard_uncertainty(input.law);
        auto& group = groups[input.group.empty() ? input.name : input.group];
        if (group.meaning.empty())
            group.meaning = input.meaning;
        group.share += u * u;
        group.evidence = std::max(group.evidence, input.evidence);
        total += u * u;
    }
    std::vector<DoubtSource> sources;
    for (auto& [name, group] : groups) {
        group.share = total > 0 ? group.share / total : 0;
        if (group.share >= least_source)
            sources.push_back(std::move(group));
    }
    std::stable_sort(sources.begin(), sources.end(), [](const auto& a, const auto& b) {
        return a.share > b.share;
    });
    return sources;
}

std::vector<CheckDoubt> check_doubts(const Shop& shop, Date job) {
    MachineModel prior(shop, job);
    learn_table(prior);
    std::vector<CheckDoubt> doubts;
    for_each_check(shop, [&](const auto& check) {
        if (check.date > job)
            return;
        auto model = prior;
        std::vector<Observation> own;
        observe(model, check, own);
        for (const auto& measurand : measured_by(model, check)) {
            const auto state = solve_freed(model, own, measurand.freed);
            const auto estimate = state.of(measurand.row);
            CheckDoubt doubt{check.name,
                             measurand.meaning,
                             measurand.angle,
                             estimate.value,
                             estimate.standard_uncertainty,
                             doubt_sources(state, measurand.row),
                             0};
            for (double gone = 0; gone < 0.75 && doubt.to_halve < doubt.sources.size();)
                gone += doubt.sources[doubt.to_halve++].share;
            doubts.push_back(std::move(doubt));
        }
    });
    return doubts;
}

} // namespace holdable
