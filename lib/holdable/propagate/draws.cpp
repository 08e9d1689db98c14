// SPDX-License-Identifier: MIT
#include "holdable/propagate/draws.hpp"

#include "holdable/base/error.hpp"
#include "holdable/propagate/copula.hpp"
#include "holdable/stats/covariance.hpp"
#include "holdable/stats/normal.hpp"
#include "holdable/stats/random.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

namespace holdable::propagate {
namespace {

bool is_student(const stats::Distribution& law) {
    return std::holds_alternative<stats::Normal>(law) ||
           std::holds_alternative<stats::Student>(law) ||
           std::holds_alternative<stats::Readings>(law);
}

bool varies(const BudgetInput& input) {
    return standard_uncertainty(input) > 0;
}

bool is_normal(const BudgetInput& input) {
    const auto& law = input.parts.front().law;
    return std::holds_alternative<stats::Normal>(law) && !stats::degrees_of_freedom(law);
}

/// Scratch of a thread, so that no block of trials allocates.
std::span<double> draw_scratch(std::size_t size) {
    thread_local std::vector<double> memory;
    if (memory.size() < size)
        memory.resize(size);
    return {memory.data(), size};
}

double within(double p) {
    return std::clamp(p, 0x1p-53, 1 - 0x1p-53);
}

/// ρ of each pair such that the laws get the stated coefficients.
Eigen::MatrixXd adjusted(const Budget& budget,
                         const CorrelatedGroup& group,
                         const std::vector<std::string>& names) {
    auto rho = group.correlation;
    for (std::size_t i = 0; i < names.size(); ++i) {
        const auto& law = budget.inputs[group.members[i]].parts.front().law;
        if (!stats::standard_deviation(law))
            throw NumericError(fmt::format(
                "{} has no standard deviation ({} degrees of freedom), so a correlation "
                "coefficient of it means nothing; leave the correlation out",
                names[i],
                *stats::degrees_of_freedom(law)));
        for (std::size_t j = 0; j < i; ++j) {
            const auto a = static_cast<Eigen::Index>(i), b = static_cast<Eigen::Index>(j);
            const double r = group.correlation(a, b);
            if (r == 0)
                continue;
            const Copula copula(budget.inputs[group.members[j]].parts.front().law, law);
            const double low = copula.coefficient(-1), high = copula.coefficient(1);
            if (r < low - 1e-6 || r > high + 1e-6)
                throw NumericError(fmt::format("the laws of {} and {} cannot have the correlation "
                                               "coefficient {}; between {:.3f} and {:.3f} they can",
                                               names[j],
                                               names[i],
                                               r,
                                               std::ceil(low * 1000) / 1000,
                                               std::floor(high * 1000) / 1000));
            rho(a, b) = rho(b, a) = copula.rho(r);
        }
    }
    return rho;
}

} // namespace

Draws::Draws(const Budget& budget, std::uint64_t seed, const std::vector<bool>& wanted, bool quasi)
    : seed_(seed), quasi_(quasi), drawn_(budget.inputs.size()), student_dof_(budget.inputs.size()) {
    for (const auto& group : correlated_groups(budget)) {
        CorrelatedGroup moving{{}, {}, group.readings_together};
        std::vector<Eigen::Index> places;
        bool needed = false;
        for (std::size_t k = 0; k < group.members.size(); ++k)
            if (varies(budget.inputs[group.members[k]])) {
                moving.members.push_back(group.members[k]);
                places.push_back(static_cast<Eigen::Index>(k));
                needed = needed || wanted[group.members[k]];
            }
        if (!needed || moving.members.size() < 2)
            continue;
        moving.correlation = group.correlation(places, places);
        for (const auto i : moving.members)
            drawn_[i] = true;
        joints_.push_back(joint(budget, moving));
    }
    for (std::size_t i = 0; i < budget.inputs.size(); ++i)
        if (wanted[i] && !drawn_[i] && varies(budget.inputs[i]))
            add_single(budget.inputs[i], i);
    for (std::size_t i = 0; i < budget.inputs.size(); ++i)
        for (const auto& part : budget.inputs[i].parts)
            if (drawn_[i] && stats::degrees_of_freedom(part.law) && !is_student(part.law)) {
                notes_.push_back(fmt::format(
                    "{}: the degrees of freedom act in the coverage factor of the GUM only; the "
                    "Monte Carlo draws are from the law as it stands",
                    budget.inputs[i].name));
                break;
            }
}

Draws::Source Draws::source(const std::string& name) {
    Source result{stats::name_hash(name), {}};
    if (quasi_) {
        if (dimensions_ == stats::Sobol::dimensions)
            throw NumericError(fmt::format(
                "low-discrepancy numbers are known for {} inputs and parts of inputs at most, and "
                "this budget has more; leave out --quasi",
                stats::Sobol::dimensions));
        result.sobol.emplace(seed_, result.name, dimensions_++);
    }
    return result;
}

void Draws::uniform(const Source& source, std::uint64_t first, Row row) const {
    if (source.sobol)
        source.sobol->fill(first, row);
    else
        stats::fill_uniform(seed_, source.name, first, row);
}

void Draws::add_single(const BudgetInput& input, std::size_t i) {
    drawn_[i] = true;
    Single single{i, input.value, {}, {}};
    for (std::size_t k = 0; k < input.parts.size(); ++k) {
        const auto& law = input.parts[k].law;
        if (!(stats::standard_uncertainty(law) > 0)) {
            single.value += stats::mean(law);
            continue;
        }
        single.sources.push_back(
            source(input.parts.size() == 1 ? input.name : fmt::format("{}#{}", input.name, k + 1)));
        single.samplers.push_back(stats::sampler(law));
        if (const auto nu = stats::degrees_of_freedom(law); nu && is_student(law))
            student_dof_[i] = std::min(student_dof_[i].value_or(*nu), *nu);
    }
    singles_.push_back(std::move(single));
}

Draws::Joint Draws::joint(const Budget& budget, const CorrelatedGroup& group) {
    Joint result;
    result.members = group.members;
    const auto size = group.members.size();
    std::vector<std::string> names;
    bool all_normal = true;
    for (const auto i : group.members) {
        const auto& input = budget.inputs[i];
        names.push_back(input.name);
        result.sources.push_back(source(input.name));
        result.means.push_back(estimate(input));
        result.scales.push_back(standard_uncertainty(input));
        all_normal = all_normal && is_normal(input);
    }
    if (group.readings_together) {
        const auto& own = std::get<stats::Readings>(budget.inputs[group.members[0]].parts[0].law);
        const auto n = static_cast<double>(own.values.size());
        const double nu = n - static_cast<double>(size);
        if (nu < 1)
            throw NumericError(fmt::format(
                "{} are {} quantities read together, which needs {} sets of readings or more; "
                "there are {}",
                fmt::join(names, ", "),
                size,
                size + 1,
                n));
        result.root = stats::correlation_factor(group.correlation, names);
        for (double& scale : result.scales)
            scale *= std::sqrt((n - 1) / nu);
        result.nu = nu;
        result.scale = source(fmt::format("{}#together", fmt::join(names, "#")));
        result.chi_square = stats::sampler(stats::Gamma{nu, std::sqrt(2 * nu)});
        for (const auto i : group.members)
            student_dof_[i] = nu;
        notes_.push_back(fmt::format("{} are readings taken together and are drawn from a "
                                     "multivariate t with {} degrees of freedom (JCGM 102)",
                                     fmt::join(names, ", "),
                                     nu));
        return result;
    }
    if (all_normal) {
        result.root = stats::correlation_factor(group.correlation, names);
        return result;
    }
    result.root = stats::correlation_factor(adjusted(budget, group, names), names);
    for (const auto i : group.members) {
        const auto& input = budget.inputs[i];
        const auto& law = input.parts.front().law;
        result.samplers.push_back(stats::sampler(law));
        if (is_student(law))
            student_dof_[i] = stats::degrees_of_freedom(law);
    }
    // A copula draws the laws; the value of the input stands beside them.
    for (std::size_t k = 0; k < size; ++k)
        result.means[k] = budget.inputs[group.members[k]].value;
    notes_.push_back(fmt::format("{} are drawn from their own laws, joined by a Gaussian copula; "
                                 "a coefficient alone does not say how they vary together",
                                 fmt::join(names, ", ")));
    return result;
}

void Draws::fill(std::uint64_t first, std::size_t count, std::span<double> rows) const {
    const auto row = [&](std::size_t i) { return rows.subspan(i * count, count); };
    for (const auto& single : singles_)
        fill_single(single, first, row(single.input));
    for (const auto& joint : joints_)
        fill_joint(joint, first, row);
}

void Draws::fill_single(const Single& single, std::uint64_t first, Row row) const {
    uniform(single.sources.front(), first, row);
    single.samplers.front()(row);
    if (single.sources.size() > 1) {
        const Row part = draw_scratch(row.size());
        for (std::size_t k = 1; k < single.sources.size(); ++k) {
            uniform(single.sources[k], first, part);
            single.samplers[k](part);
            for (std::size_t t = 0; t < row.size(); ++t)
                row[t] += part[t];
        }
    }
    if (single.value != 0)
        for (double& x : row)
            x += single.value;
}

void Draws::fill_joint(const Joint& joint, std::uint64_t first, const Rows& rows) const {
    const std::size_t size = joint.members.size();
    for (std::size_t k = 0; k < size; ++k) {
        const Row z = rows(joint.members[k]);
        uniform(joint.sources[k], first, z);
        stats::normal_quantile(z);
    }
    Row stretch;
    if (joint.nu) {
        stretch = draw_scratch(rows(joint.members[0]).size());
        uniform(*joint.scale, first, stretch);
        joint.chi_square(stretch);
        for (double& w : stretch)
            w = std::sqrt(*joint.nu / std::max(w, 1e-300));
    }
    // From the last row up: each needs itself and those before it.
    for (std::size_t k = size; k-- > 0;) {
        const Row x = rows(joint.members[k]);
        const auto i = static_cast<Eigen::Index>(k);
        for (double& value : x)
            value *= joint.root(i, i);
        for (std::size_t m = 0; m < k; ++m) {
            const Row z = rows(joint.members[m]);
            const double weight = joint.root(i, static_cast<Eigen::Index>(m));
            for (std::size_t t = 0; t < x.size(); ++t)
                x[t] += weight * z[t];
        }
    }
    for (std::size_t k = 0; k < size; ++k) {
        const Row x = rows(joint.members[k]);
        if (!joint.samplers.empty()) {
            for (double& value : x)
                value = within(stats::normal_cdf(value));
            joint.samplers[k](x);
            for (double& value : x)
                value += joint.means[k];
        } else if (joint.nu) {
            for (std::size_t t = 0; t < x.size(); ++t)
                x[t] = joint.means[k] + joint.scales[k] * stretch[t] * x[t];
        } else {
            for (double& value : x)
                value = joint.means[k] + joint.scales[k] * value;
        }
    }
}

} // namespace holdable::propagate
