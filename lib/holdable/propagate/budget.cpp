// SPDX-License-Identifier: MIT
#include "holdable/propagate/budget.hpp"

#include "holdable/base/error.hpp"
#include "holdable/model/formula.hpp"
#include "holdable/stats/covariance.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cassert>
#include <cmath>
#include <numeric>
#include <set>
#include <utility>

namespace holdable::propagate {
namespace {

const stats::Readings* readings(const BudgetInput& input) {
    return input.parts.size() == 1 ? std::get_if<stats::Readings>(&input.parts.front().law)
                                   : nullptr;
}

/// Correlation coefficient of two lists of the same length (GUM 5.2.3 and C.3.6).
double paired_coefficient(const std::vector<double>& a, const std::vector<double>& b) {
    const auto n = static_cast<double>(a.size());
    const double mean_a = std::accumulate(a.begin(), a.end(), 0.0) / n;
    const double mean_b = std::accumulate(b.begin(), b.end(), 0.0) / n;
    double aa = 0, bb = 0, ab = 0;
    for (std::size_t k = 0; k < a.size(); ++k) {
        const double da = a[k] - mean_a, db = b[k] - mean_b;
        aa += da * da;
        bb += db * db;
        ab += da * db;
    }
    return aa > 0 && bb > 0 ? ab / std::sqrt(aa * bb) : 0.0;
}

/// Everything found wrong so far.
class Findings {
  public:
    void add(Diagnostic diagnostic) { found_.push_back(std::move(diagnostic)); }

    /// Runs `f`; what it refuses is found at `pointer`. @return whether it refused nothing
    template <class F>
    bool gather(const std::string& pointer, F f) {
        try {
            f();
            return true;
        } catch (const InputError& error) {
            for (auto diagnostic : error.diagnostics()) {
                diagnostic.location.pointer = pointer;
                if (!known_.contains(diagnostic.message))
                    found_.push_back(std::move(diagnostic));
            }
            return false;
        }
    }

    /// There is no step of that name, and why has been said.
    void without(const std::string& step) {
        known_.insert(fmt::format("unknown name \"{}\"", step));
    }

    void raise() {
        if (!found_.empty())
            throw InputError(std::move(found_));
    }

  private:
    std::vector<Diagnostic> found_;
    std::set<std::string> known_; // messages that would only repeat others
};

Location at(std::string pointer) {
    return {{}, 0, 0, std::move(pointer)};
}

void check_inputs(const Budget& budget, Findings& findings) {
    std::set<std::string> names;
    const auto check_name = [&](const std::string& name, const std::string& pointer) {
        if (!model::is_name(name))
            findings.add(
                Diagnostic{"budget-name",
                           at(pointer),
                           fmt::format("\"{}\" cannot stand in a formula", name),
                           "a name begins with a letter and is neither pi nor a function"});
        else if (!names.insert(name).second)
            findings.add(Diagnostic{"budget-name",
                                    at(pointer),
                                    fmt::format("\"{}\" is given twice", name),
                                    "give each input and step a name of its own"});
    };
    for (const auto& input : budget.inputs) {
        const std::string pointer = "/inputs/" + input.name;
        check_name(input.name, pointer);
        if (input.parts.empty())
            findings.add(Diagnostic{"budget-empty",
                                    at(pointer),
                                    fmt::format("nothing is known of \"{}\"", input.name),
                                    "give a kind, or parts"});
        for (std::size_t k = 0; k < input.parts.size(); ++k)
            findings.gather(input.parts.size() == 1 ? pointer
                                                    : fmt::format("{}/parts/{}", pointer, k),
                            [&] { stats::check(input.parts[k].law); });
    }
    for (const auto& step : budget.steps)
        check_name(step.name, "/steps/" + step.name);
    std::set<std::string> outputs;
    for (const auto& output : budget.outputs)
        if (output.name.empty() || !outputs.insert(output.name).second)
            findings.add(Diagnostic{
                "budget-name",
                at("/outputs/" + output.name),
                fmt::format("the output \"{}\" is given twice or has no name", output.name),
                "give each output a name of its own"});
    if (budget.outputs.empty())
        findings.add(Diagnostic{"budget-empty",
                                at("/outputs"),
                                "the budget asks for nothing",
                                "give an output with its formula"});
    if (!(budget.coverage > 0 && budget.coverage < 1))
        findings.add(
            Diagnostic{"budget-coverage",
                       at("/coverage"),
                       fmt::format("the coverage {} is not between 0 and 1", budget.coverage),
                       "write 0.95 for 95 %"});
}

void check_correlations(const Budget& budget, Findings& findings) {
    std::set<std::pair<std::string, std::string>> pairs;
    for (std::size_t c = 0; c < budget.correlations.size(); ++c) {
        const auto& entry = budget.correlations[c];
        const auto refuse = [&](std::string message, std::string hint) {
            findings.add(Diagnostic{"budget-correlation",
                                    at(fmt::format("/correlations/{}", c)),
                                    std::move(message),
                                    std::move(hint)});
        };
        const BudgetInput* inputs[2] = {};
        for (std::size_t side = 0; side < 2; ++side) {
            const auto& name = side == 0 ? entry.first : entry.second;
            const auto found = std::find_if(budget.inputs.begin(),
                                            budget.inputs.end(),
                                            [&](const auto& input) { return input.name == name; });
            if (found == budget.inputs.end())
                refuse(fmt::format("there is no input \"{}\"", name),
                       "a correlation stands between two inputs");
            else if (found->parts.size() > 1)
                refuse(fmt::format("\"{}\" has several parts; which of them is meant?", name),
                       "make the part an input of its own, and add it in a step");
            else
                inputs[side] = &*found;
        }
        if (!inputs[0] || !inputs[1])
            continue;
        if (inputs[0] == inputs[1])
            refuse(fmt::format("\"{}\" is correlated with itself", entry.first),
                   "name two different inputs");
        else if (!pairs.insert(std::minmax(entry.first, entry.second)).second)
            refuse(fmt::format("\"{}\" and \"{}\" are correlated twice", entry.first, entry.second),
                   "remove one of the entries");
        if (entry.coefficient) {
            if (!(std::abs(*entry.coefficient) <= 1))
                refuse(fmt::format("the coefficient {} is not within -1 and 1", *entry.coefficient),
                       "it is the covariance over the product of the standard uncertainties");
            continue;
        }
        const auto* first = readings(*inputs[0]);
        const auto* second = readings(*inputs[1]);
        if (!first || !second || first->values.size() != second->values.size())
            refuse(fmt::format("\"{}\" and \"{}\" are not readings taken in pairs",
                               entry.first,
                               entry.second),
                   "give a coefficient, or the same number of readings of both");
    }
}

} // namespace

CompiledBudget compile(const Budget& budget) {
    Findings findings;
    check_inputs(budget, findings);
    check_correlations(budget, findings);
    std::vector<model::Input> inputs;
    // A bad name is refused already; nothing in a formula can mean it.
    for (const auto& input : budget.inputs)
        inputs.push_back({model::is_name(input.name) ? input.name : "_",
                          input.unit.known ? model::kind_of(input.unit.unit)
                                           : model::opaque_kind(input.unit.unit.spelling)});
    model::Compiler compiler(inputs);
    for (const auto& step : budget.steps)
        if (!findings.gather("/steps/" + step.name, [&] {
                compiler.step(model::is_name(step.name) ? step.name : "_", step.formula);
            }))
            findings.without(step.name);
    std::vector<std::string> notes;
    for (const auto& output : budget.outputs)
        findings.gather("/outputs/" + output.name + "/formula", [&] {
            const auto& spelling = output.unit.unit.spelling;
            if (output.unit.known && !spelling.empty()) {
                compiler.output(output.formula, output.unit.unit);
                return;
            }
            compiler.output(output.formula);
            const auto& kind = compiler.output_kind(compiler.tape().outputs.size() - 1);
            if (!spelling.empty() && kind.opaque != spelling)
                notes.push_back(fmt::format(
                    "{}: the unit \"{}\" is a label: it is not checked", output.name, spelling));
        });
    findings.raise();
    notes.insert(notes.begin(), compiler.notes().begin(), compiler.notes().end());
    return {compiler.tape(), std::move(notes)};
}

double estimate(const BudgetInput& input) {
    double sum = input.value;
    for (const auto& part : input.parts)
        sum += stats::mean(part.law);
    return sum;
}

double standard_uncertainty(const BudgetInput& input) {
    if (input.parts.size() == 1)
        return stats::standard_uncertainty(input.parts.front().law);
    double squares = 0;
    for (const auto& part : input.parts) {
        const double u = stats::standard_uncertainty(part.law);
        squares += u * u;
    }
    return std::sqrt(squares);
}

std::optional<double> degrees_of_freedom(const BudgetInput& input) {
    if (input.parts.size() == 1)
        return stats::degrees_of_freedom(input.parts.front().law);
    const double whole = standard_uncertainty(input);
    double sum = 0; // Σ (u_p/u)⁴/ν_p
    for (const auto& part : input.parts) {
        const double ratio = whole > 0 ? stats::standard_uncertainty(part.law) / whole : 0;
        if (const auto nu = stats::degrees_of_freedom(part.law))
            sum += ratio * ratio * ratio * ratio / *nu;
    }
    if (sum > 0)
        return 1 / sum;
    return {};
}

Evidence evidence(const BudgetInput& input) {
    Evidence weakest = Evidence::measured; // the order of the words is from the best
    for (const auto& part : input.parts)
        weakest = std::max(weakest, part.evidence);
    return weakest;
}

double degrees_of_freedom_of_doubt(double doubt) {
    assert(doubt > 0);
    return 0.5 / (doubt * doubt);
}

std::vector<CorrelatedGroup> correlated_groups(const Budget& budget) {
    const std::size_t n = budget.inputs.size();
    std::vector<std::size_t> leader(n);
    std::iota(leader.begin(), leader.end(), std::size_t{0});
    const auto leader_of = [&](std::size_t i) {
        while (leader[i] != i)
            i = leader[i];
        return i;
    };
    const auto number_of = [&](const std::string& name) {
        const auto found = std::find_if(budget.inputs.begin(),
                                        budget.inputs.end(),
                                        [&](const auto& input) { return input.name == name; });
        assert(found != budget.inputs.end());
        return static_cast<std::size_t>(found - budget.inputs.begin());
    };
    for (const auto& entry : budget.correlations)
        if (entry.coefficient != 0.0) {
            const auto a = leader_of(number_of(entry.first));
            const auto b = leader_of(number_of(entry.second));
            leader[std::max(a, b)] = std::min(a, b);
        }

    std::vector<CorrelatedGroup> groups;
    for (std::size_t first = 0; first < n; ++first) {
        CorrelatedGroup group;
        for (std::size_t i = first; i < n; ++i)
            if (leader_of(i) == first)
                group.members.push_back(i);
        if (group.members.size() < 2)
            continue;
        const auto size = static_cast<Eigen::Index>(group.members.size());
        group.correlation = Eigen::MatrixXd::Identity(size, size);
        std::vector<std::string> names;
        bool paired = false;
        const auto* front = readings(budget.inputs[group.members.front()]);
        group.readings_together = front != nullptr;
        for (const std::size_t i : group.members) {
            const auto& input = budget.inputs[i];
            names.push_back(input.name);
            const auto* own = readings(input);
            group.readings_together =
                group.readings_together && own && own->values.size() == front->values.size();
        }
        const auto place = [&](const std::string& name) {
            return std::find(names.begin(), names.end(), name) - names.begin();
        };
        for (const auto& entry : budget.correlations)
            paired = paired || (!entry.coefficient && place(entry.first) < size);
        for (Eigen::Index i = 0; paired && i < size; ++i)
            for (Eigen::Index j = 0; j < i; ++j) {
                const auto at_place = [&](Eigen::Index k) {
                    return readings(budget.inputs[group.members[static_cast<std::size_t>(k)]]);
                };
                const auto *a = at_place(i), *b = at_place(j);
                if (a && b && a->values.size() == b->values.size())
                    group.correlation(i, j) = group.correlation(j, i) =
                        paired_coefficient(a->values, b->values);
            }
        for (const auto& entry : budget.correlations) {
            const auto i = place(entry.first), j = place(entry.second);
            if (entry.coefficient && i < size && j < size)
                group.correlation(i, j) = group.correlation(j, i) = *entry.coefficient;
        }
        stats::correlation_factor(group.correlation, names); // for its refusals
        groups.push_back(std::move(group));
    }
    return groups;
}

} // namespace holdable::propagate
