// SPDX-License-Identifier: MIT
#include "holdable/machine/doubt.hpp"

#include "holdable/machine/checks.hpp"
#include "holdable/machine/observation.hpp"
#include "holdable/stats/distribution.hpp"

#include <algorithm>
#include <map>
#include <utility>

namespace holdable {
namespace {

constexpr double least_source = 0.01; // of the variance

/// Degrees of freedom of a form's variance; none where all that was few readings counts nothing.
std::optional<double> degrees_of_freedom(const MachineState& state, const Eigen::RowVectorXd& row) {
    const auto c = state.sensitivity(row);
    std::map<std::string, std::pair<double, double>> scales; // variance, degrees of freedom
    double total = 0;
    for (Eigen::Index j = 0; j < c.size(); ++j) {
        const auto& input = state.inputs[static_cast<std::size_t>(j)];
        const double part = c[j] * c[j] * variance(input);
        total += part;
        if (input.scale.empty())
            continue;
        auto& [sum, dof] = scales[input.scale];
        sum += part;
        dof = input.scale_dof;
    }
    double doubt = 0;
    for (const auto& [name, scale] : scales)
        doubt += scale.first * scale.first / scale.second;
    return doubt > 0 ? std::optional(total * total / doubt) : std::nullopt;
}

/// Readings yet to come, as what is known beforehand lets expect them: zeros might disagree with
/// it.
void foretell(const MachineModel& model, std::vector<Observation>& readings) {
    for (auto& reading : readings) {
        reading.value = 0;
        for (Eigen::Index j = 0; j < reading.row.size(); ++j)
            reading.value +=
                reading.row[j] * stats::mean(model.unknowns()[static_cast<std::size_t>(j)].law);
    }
}

/// What one check says by itself. @param prior knows the table @param warmth as `planned_doubts`,
/// none for a check that was made
template <class Check>
void add_doubts(const MachineModel& prior,
                const Check& check,
                std::optional<double> warmth,
                std::vector<CheckDoubt>& doubts) {
    auto model = prior;
    std::vector<Observation> own;
    observe(model, check, own);
    if (warmth)
        foretell(model, own);
    if (warmth.value_or(1) != 1)
        for (std::size_t i = prior.unknowns().size(); i < model.unknowns().size(); ++i) {
            const auto& unknown = model.unknowns()[i];
            if (unknown.evidence == Evidence::typical &&
                (unknown.name.find(", drift") != std::string::npos ||
                 unknown.name.find("bend ") != std::string::npos))
                model.scale_doubt(static_cast<int>(i), *warmth);
        }
    for (const auto& measurand : measured_by(model, check)) {
        const auto state = solve_freed(model, own, measurand.freed);
        const auto estimate = state.of(measurand.row);
        CheckDoubt doubt{check.name,
                         measurand.meaning,
                         measurand.angle,
                         estimate.value,
                         estimate.standard_uncertainty,
                         doubt_sources(state, measurand.row),
                         0,
                         measurand.magnitude,
                         degrees_of_freedom(state, measurand.row)};
        for (double gone = 0; gone < 0.75 && doubt.to_halve < doubt.sources.size();)
            gone += doubt.sources[doubt.to_halve++].share;
        doubts.push_back(std::move(doubt));
    }
}

/// The machine before any reading; of maps that are yet to come it knows the area.
MachineModel before(const Shop& shop, const Shop& planned, Date day) {
    auto with = shop;
    with.table_checks.insert(
        with.table_checks.end(), planned.table_checks.begin(), planned.table_checks.end());
    return MachineModel(with, day);
}

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
        group.name = name;
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
        if (check.date <= job)
            add_doubts(prior, check, std::nullopt, doubts);
    });
    return doubts;
}

std::vector<Measurand> planned_measurands(const Shop& shop, const Shop& planned, Date day) {
    const auto prior = before(shop, planned, day);
    std::vector<Measurand> all;
    for_each_check(planned, [&](const auto& check) {
        for (auto& measurand : measured_by(prior, check))
            all.push_back(std::move(measurand));
    });
    return all;
}

std::vector<CheckDoubt>
planned_doubts(const Shop& shop, const Shop& planned, Date day, double warmth) {
    auto prior = before(shop, planned, day);
    if (planned.table_checks.empty())
        learn_table(prior);
    std::vector<CheckDoubt> doubts;
    for_each_check(planned, [&](const auto& check) { add_doubts(prior, check, warmth, doubts); });
    return doubts;
}

} // namespace holdable
