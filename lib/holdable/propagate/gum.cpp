// SPDX-License-Identifier: MIT
#include "holdable/propagate/gum.hpp"

#include "holdable/base/error.hpp"
#include "holdable/model/derivatives.hpp"
#include "holdable/stats/boost_policy.ipp"
#include "holdable/stats/covariance.hpp"
#include "holdable/stats/normal.hpp"

#include <boost/math/distributions/students_t.hpp>
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cassert>
#include <cmath>

namespace holdable::propagate {
namespace {

// Of an uncertainty, so that its square and the product of two squares are numbers.
constexpr double smallest_squared = 1e-70;
constexpr double largest_squared = 1e70;

/// The budget in numbers, the same for all outputs.
struct Problem {
    const Budget& budget;
    CompiledBudget compiled;
    std::vector<CorrelatedGroup> groups;
    std::vector<double> estimates;
    std::vector<std::size_t> varying;       ///< numbers of the inputs with u > 0
    Eigen::VectorXd u;                      ///< of the varying ones
    std::vector<std::optional<double>> dof; ///< of the varying ones
    Eigen::MatrixXd r;                      ///< correlation of the varying ones

    explicit Problem(const Budget& b)
        : budget(b), compiled(compile(b)), groups(correlated_groups(b)) {
        for (std::size_t i = 0; i < b.inputs.size(); ++i) {
            estimates.push_back(estimate(b.inputs[i]));
            if (standard_uncertainty(b.inputs[i]) > 0) {
                varying.push_back(i);
                dof.push_back(degrees_of_freedom(b.inputs[i]));
            }
        }
        const auto n = static_cast<Eigen::Index>(varying.size());
        u.resize(n);
        for (Eigen::Index k = 0; k < n; ++k)
            u(k) = standard_uncertainty(input(k));
        r = Eigen::MatrixXd::Identity(n, n);
        for (const auto& group : groups)
            for (std::size_t i = 0; i < group.members.size(); ++i)
                for (std::size_t j = 0; j < i; ++j) {
                    const auto a = place(group.members[i]), b2 = place(group.members[j]);
                    if (a < n && b2 < n)
                        r(a, b2) = r(b2, a) = group.correlation(static_cast<Eigen::Index>(i),
                                                                static_cast<Eigen::Index>(j));
                }
    }

    const BudgetInput& input(Eigen::Index k) const {
        return budget.inputs[varying[static_cast<std::size_t>(k)]];
    }

    /// Place among the varying ones; their number if it is none.
    Eigen::Index place(std::size_t number) const {
        return std::find(varying.begin(), varying.end(), number) - varying.begin();
    }
};

/// c_i u_i of one output, inside units.
Eigen::VectorXd weighted(const Problem& problem, const model::Derivatives& f) {
    Eigen::VectorXd w = problem.u;
    for (Eigen::Index i = 0; i < w.size(); ++i)
        w(i) *= f.first[static_cast<std::size_t>(i)];
    return w;
}

/// ν_eff of a sum with terms w, whole u_c; notes where it is not what the formula is made for.
std::optional<double> effective_dof(const Problem& problem,
                                    const Eigen::VectorXd& w,
                                    double whole,
                                    const std::string& output,
                                    std::vector<std::string>& notes) {
    if (!(whole > 0))
        return {};
    double sum = 0; // Σ (u_g/u_c)⁴/ν_g over groups and single inputs
    const auto add = [&](double variance_ratio, const std::optional<double>& nu) {
        if (nu)
            sum += variance_ratio * variance_ratio / *nu;
    };
    std::vector<bool> grouped(static_cast<std::size_t>(w.size()));
    for (const auto& group : problem.groups) {
        Eigen::VectorXd own = Eigen::VectorXd::Zero(w.size());
        std::optional<double> fewest;
        std::vector<std::string> names;
        for (const auto member : group.members) {
            const auto k = problem.place(member);
            if (k == w.size())
                continue;
            const auto at = static_cast<std::size_t>(k);
            grouped[at] = true;
            own(k) = w(k) / whole;
            if (w(k) == 0)
                continue;
            names.push_back(problem.budget.inputs[member].name);
            if (problem.dof[at])
                fewest = std::min(fewest.value_or(*problem.dof[at]), *problem.dof[at]);
        }
        add(std::max(0.0, own.dot(problem.r * own)), fewest);
        if (fewest && names.size() > 1 && !group.readings_together)
            notes.push_back(fmt::format(
                "{}: the formula of Welch and Satterthwaite is for uncorrelated inputs (GUM G.4.1) "
                "and gives no degrees of freedom here; {} enter it as one term with the fewest of "
                "them, {:.4g}",
                output,
                fmt::join(names, ", "),
                *fewest));
    }
    for (Eigen::Index k = 0; k < w.size(); ++k)
        if (const auto at = static_cast<std::size_t>(k); !grouped[at])
            add(w(k) * w(k) / whole / whole, problem.dof[at]);
    if (sum > 0)
        return 1 / sum;
    return {};
}

/// Σ_ij (f_ij²/2 + f_i f_ijj) u_i² u_j².
double next_order(const Problem& problem, const model::Derivatives& f) {
    double sum = 0;
    for (std::size_t i = 0; i < f.first.size(); ++i)
        for (std::size_t j = 0; j < f.first.size(); ++j) {
            const double uu =
                problem.u(static_cast<Eigen::Index>(i)) * problem.u(static_cast<Eigen::Index>(j));
            sum += (f.second[i][j] * f.second[i][j] / 2 + f.first[i] * f.third[i][j]) * uu * uu;
        }
    return sum;
}

bool is_curved(const model::Derivatives& f) {
    const auto any = [](const auto& rows) {
        return std::any_of(rows.begin(), rows.end(), [](const auto& row) {
            return std::any_of(row.begin(), row.end(), [](double d) { return d != 0; });
        });
    };
    return f.order < 3 || any(f.second) || any(f.third);
}

bool is_asymmetric(const stats::Distribution& law) {
    return std::holds_alternative<stats::Exponential>(law) ||
           std::holds_alternative<stats::Gamma>(law);
}

void note_asymmetry(const Problem& problem,
                    const GumOutput& out,
                    const Eigen::VectorXd& w,
                    std::vector<std::string>& notes) {
    for (Eigen::Index k = 0; k < w.size(); ++k)
        for (const auto& part : problem.input(k).parts)
            if (is_asymmetric(part.law) && std::abs(w(k)) > 0.1 * w.norm())
                notes.push_back(fmt::format(
                    "{}: the law of {} is not symmetric; the interval value +- U is (GUM G.5.3)",
                    out.name,
                    problem.input(k).name));
    const double size = out.second_order_standard.value_or(out.standard);
    if (std::abs(out.bend) > 0.1 * size)
        notes.push_back(fmt::format(
            "{}: the formula is curved within the uncertainties; its mean lies {:.2g} {}beyond the "
            "value at the estimates, and the interval value +- U leaves that out",
            out.name,
            out.bend,
            out.unit.unit.spelling.empty() ? "" : out.unit.unit.spelling + " "));
}

/// Whether f depends on two inputs that hang together.
bool has_correlated_inputs(const Problem& problem, const model::Derivatives& f) {
    const auto acts = [&](std::size_t i) {
        const auto not_zero = [](double x) { return x != 0; };
        return f.first[i] != 0 ||
               (f.order >= 2 && std::any_of(f.second[i].begin(), f.second[i].end(), not_zero)) ||
               (f.order >= 3 && std::any_of(f.third[i].begin(), f.third[i].end(), not_zero));
    };
    for (std::size_t i = 0; i < f.first.size(); ++i)
        for (std::size_t j = 0; j < i; ++j)
            if (problem.r(static_cast<Eigen::Index>(i), static_cast<Eigen::Index>(j)) != 0 &&
                acts(i) && acts(j))
                return true;
    return false;
}

/// @throws NumericError naming the output that has no value at the estimates
void check_values(const Problem& problem) {
    const auto& tape = problem.compiled.tape;
    auto registers = problem.estimates;
    registers.resize(tape.registers());
    model::evaluate(tape, registers);
    for (std::size_t k = 0; k < tape.outputs.size(); ++k)
        if (!std::isfinite(registers[tape.outputs[k]]))
            throw NumericError(fmt::format(
                "{}: the formula has no value at the estimates (a division by zero, a root or "
                "logarithm of a negative number, or an overflow); check the values of its inputs",
                problem.budget.outputs[k].name));
}

GumOutput propagate_one(const Problem& problem,
                        std::size_t number,
                        Eigen::VectorXd& w,
                        std::vector<std::string>& notes) {
    const auto& asked = problem.budget.outputs[number];
    const auto f =
        model::derivatives(problem.compiled.tape, number, problem.estimates, problem.varying);
    GumOutput out;
    out.name = asked.name;
    out.unit = asked.unit;
    out.value = asked.unit.number(f.value);
    out.applies = f.order >= 1;
    w = weighted(problem, f);
    if (!out.applies) {
        notes.push_back(fmt::format(
            "{}: the formula has a kink or a pole at the estimates, so it has no sensitivities and "
            "the GUM's law of propagation does not apply",
            asked.name));
        return out;
    }
    if (const double largest = w.size() > 0 ? w.cwiseAbs().maxCoeff() : 0.0;
        largest > 0 && !(smallest_squared < largest && largest < largest_squared))
        throw NumericError(
            fmt::format("{}: an uncertainty of {:.3g} in SI units has no square that "
                        "can be computed; write the formula in other units",
                        asked.name,
                        largest));
    const double first_order = std::max(0.0, w.dot(problem.r * w));
    const double sum = w.squaredNorm();
    out.standard = asked.unit.difference(std::sqrt(first_order));
    if (sum > 0)
        out.correlation_share = (first_order - sum) / sum;

    const bool correlated = has_correlated_inputs(problem, f);
    if (f.order >= 2)
        for (Eigen::Index i = 0; i < w.size(); ++i)
            for (Eigen::Index j = 0; j < w.size(); ++j)
                out.bend += asked.unit.difference(
                    0.5 * f.second[static_cast<std::size_t>(i)][static_cast<std::size_t>(j)] *
                    problem.u(i) * problem.u(j) * problem.r(i, j));
    if (!is_curved(f)) {
        out.second_order_standard = out.standard;
    } else if (correlated) {
        notes.push_back(fmt::format("{}: the terms of the next order (GUM 5.1.2, note) are for "
                                    "uncorrelated inputs and are left out",
                                    asked.name));
    } else if (f.order < 3) {
        notes.push_back(fmt::format(
            "{}: the higher derivatives do not exist at the estimates; the terms of the next order "
            "are left out",
            asked.name));
    } else if (const double squares = first_order + next_order(problem, f); squares >= 0) {
        out.second_order_standard = asked.unit.difference(std::sqrt(squares));
        if (out.standard == 0 && squares > 0)
            notes.push_back(fmt::format("{}: all sensitivities are 0 at the estimates, so the "
                                        "first order sees no uncertainty; the next order does",
                                        asked.name));
    } else {
        notes.push_back(fmt::format("{}: the terms of the next order sum to a negative variance; "
                                    "the uncertainties are too wide for such a series",
                                    asked.name));
    }

    out.dof = effective_dof(problem, w, std::sqrt(first_order), asked.name, notes);
    // Truncated, but not where rounding alone is missing to a whole number.
    const auto whole = out.dof && *out.dof >= 1 ? std::floor(*out.dof * (1 + 1e-12)) : out.dof;
    out.k = coverage_factor(problem.budget.coverage, whole);
    out.expanded = out.k * out.standard;
    out.interval = {out.value - out.expanded, out.value + out.expanded};

    for (Eigen::Index k = 0; k < w.size(); ++k) {
        const auto at = static_cast<std::size_t>(k);
        const auto& input = problem.input(k);
        out.contributions.push_back({input.name,
                                     asked.unit.difference(f.first[at]) * input.unit.unit.factor,
                                     input.unit.difference(problem.u(k)),
                                     asked.unit.difference(std::abs(w(k))),
                                     sum > 0 ? w(k) * w(k) / sum : 0.0,
                                     problem.dof[at],
                                     evidence(input)});
    }
    note_asymmetry(problem, out, w, notes);
    return out;
}

} // namespace

double coverage_factor(double coverage, std::optional<double> nu) {
    assert(0 < coverage && coverage < 1);
    const double tail = 0.5 * (1 - coverage);
    if (!nu)
        return -stats::normal_quantile(tail);
    const boost::math::students_t_distribution<double, stats::BoostPolicy> law(*nu);
    return -boost::math::quantile(law, tail);
}

GumResult gum(const Budget& budget) {
    const Problem problem(budget);
    check_values(problem);
    const auto count = static_cast<Eigen::Index>(budget.outputs.size());
    Eigen::MatrixXd w(problem.u.size(), count);
    GumResult result;
    result.notes = problem.compiled.notes;
    for (Eigen::Index k = 0; k < count; ++k) {
        Eigen::VectorXd own;
        result.outputs.push_back(
            propagate_one(problem, static_cast<std::size_t>(k), own, result.notes));
        w.col(k) = own / budget.outputs[static_cast<std::size_t>(k)].unit.unit.factor;
    }
    result.covariance = w.transpose() * problem.r * w;
    result.correlation = stats::correlation(result.covariance);
    return result;
}

} // namespace holdable::propagate
