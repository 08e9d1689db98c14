// SPDX-License-Identifier: MIT
#include "holdable/machine/state.hpp"

#include "holdable/machine/equations.hpp"
#include "holdable/stats/distribution.hpp"

#include <Eigen/Cholesky>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

namespace holdable {
namespace {

constexpr double named_residual = 3.5;

/// Upper point of χ² with ν degrees of freedom.
double chi_squared_point(int nu, double p) {
    return stats::quantile(stats::Gamma{double(nu), std::sqrt(2.0 * nu), std::nullopt}, p);
}

/// The balance of a check, if it has one.
std::optional<Balance>
balance_of(const Equations& e, std::size_t check, const std::vector<Observation>& observations) {
    Eigen::RowVectorXd row = Eigen::RowVectorXd::Zero(e.rows.cols());
    double value = 0;
    double spread = 0;
    bool balanced = false;
    for (const auto at : e.readings[check]) {
        const double weight = observations[static_cast<std::size_t>(at)].balance;
        balanced = balanced || weight != 0;
        row += weight * e.rows.row(at);
        value += weight * e.values[at];
        spread += weight * weight * e.noise[at];
    }
    if (!balanced)
        return std::nullopt;
    spread += row.cwiseAbs2().dot(e.prior_variance);
    const double standard = std::sqrt(spread);
    return Balance{
        value, standard, std::abs(value - row.dot(e.prior_mean)) > named_residual * standard};
}

/// χ² of some readings, given all others: what it grows by as they come to those.
double chi_squared_given_others(const Fit& f, const std::vector<Eigen::Index>& some) {
    const Eigen::Index m = f.readings.size();
    if (static_cast<Eigen::Index>(some.size()) == m)
        return f.chi_squared;
    // Their block of S⁻¹ is the inverse of their covariance given the others.
    const Eigen::Index first = *std::min_element(some.begin(), some.end());
    const Eigen::MatrixXd columns = f.inverse_root(Eigen::seqN(first, m - first), some);
    const Eigen::VectorXd w = f.weighted(some);
    Eigen::MatrixXd block = Eigen::MatrixXd::Zero(columns.cols(), columns.cols());
    block.selfadjointView<Eigen::Lower>().rankUpdate(columns.transpose());
    return w.dot(block.selfadjointView<Eigen::Lower>().llt().solve(w));
}

CheckOutcome outcome(const Equations& e,
                     const Fit& f,
                     std::size_t check,
                     const std::vector<Observation>& observations) {
    const auto& readings = e.readings[check];
    CheckOutcome result;
    result.name = e.names[check];
    result.readings = static_cast<int>(readings.size());
    for (const auto at : readings) {
        const auto& o = observations[static_cast<std::size_t>(at)];
        result.angle = o.angle;
        if (o.closure)
            result.closures.push_back(*o.closure);
        // Deleting one reading predicts it with variance 1 / (S⁻¹)ᵢᵢ.
        const double information = f.inverse_root.col(at).squaredNorm();
        const double normalised = f.weighted[at] / std::sqrt(information);
        if (std::abs(normalised) > named_residual)
            result.outliers.push_back({o.what, f.weighted[at] / information, normalised});
    }
    result.chi_squared = chi_squared_given_others(f, readings);
    result.degrees_of_freedom = result.readings - e.offsets[check];
    result.balance = balance_of(e, check, observations);
    return result;
}

/// The next coarser class, if there is one.
std::optional<std::string_view> coarser(std::string_view name) {
    std::optional<std::string_view> before;
    for (const auto& c : machine_classes()) {
        if (c.name == name)
            return before;
        before = c.name;
    }
    return std::nullopt;
}

/// The direction in which the prior leaves a form open: along it, the form alone becomes free.
Eigen::VectorXd direction_of(const Equations& e, const Eigen::RowVectorXd& row) {
    constexpr double free = 1000; // times what the prior says
    Eigen::VectorXd padded = Eigen::VectorXd::Zero(e.prior_variance.size());
    padded.head(row.size()) = row.transpose();
    const Eigen::VectorXd along = e.prior_variance.cwiseProduct(padded);
    return free * along / std::sqrt(padded.dot(along));
}

/// The deviations of the unknowns from their prior means, as inputs.
void add_unknowns(MachineState& state) {
    for (auto input : state.model.unknowns()) {
        std::visit(
            [](auto& law) {
                if constexpr (requires { law.mean = 0.0; })
                    law.mean = 0;
            },
            input.law);
        state.inputs.push_back(std::move(input));
    }
}

MachineState solved(MachineModel model,
                    std::vector<Observation> observations,
                    double& excess,
                    const Eigen::RowVectorXd* freed = nullptr) {
    MachineState state{std::move(model), {}, {}, {}, {}, {}, false};
    const auto m = static_cast<Eigen::Index>(observations.size());
    auto e = equations(state.model, observations);
    if (freed != nullptr)
        e.freed = direction_of(e, *freed);
    const auto n = static_cast<Eigen::Index>(state.model.unknowns().size());
    if (m == 0) { // nothing was read: all is as it was thought to be
        excess = 0;
        state.estimate = e.prior_mean;
        add_unknowns(state);
        state.error_map.setIdentity(n, n);
        return state;
    }
    Eigen::VectorXd noise = e.noise;
    Fit f = fit(e, noise);

    int free_readings = static_cast<int>(m);
    for (const int offsets : e.offsets)
        free_readings -= offsets;
    excess = f.chi_squared / chi_squared_point(std::max(1, free_readings), 0.99);

    for (std::size_t c = 0; c < e.names.size(); ++c) {
        auto checked = outcome(e, f, c, observations);
        const int nu = std::max(1, checked.degrees_of_freedom);
        if (checked.chi_squared > chi_squared_point(nu, 0.999)) {
            checked.noise_factor = checked.chi_squared / nu;
            for (const auto at : e.readings[c])
                noise[at] *= checked.noise_factor;
            state.disagreement = true;
        }
        state.checks.push_back(std::move(checked));
    }
    if (state.disagreement)
        f = fit(e, noise);

    state.estimate = e.prior_mean + f.gain * f.readings;
    const Eigen::VectorXd left = e.values - e.rows * state.estimate;
    for (std::size_t c = 0; c < e.names.size(); ++c)
        for (const auto at : e.readings[c])
            state.checks[c].residuals.push_back(
                {observations[static_cast<std::size_t>(at)].what, left[at], e.values[at]});

    // Inputs: the unknowns' own deviations, then the noises of each reading.
    add_unknowns(state);
    // An unknown that no reading hangs on stays as it was; the others, by the readings made
    // independent.
    std::vector<Eigen::Index> seen;
    for (Eigen::Index j = 0; j < n; ++j)
        if (!f.gain.row(j).isZero(0) || !f.rows.col(j).isZero(0))
            seen.push_back(j);
    const Eigen::MatrixXd gain = f.gain(seen, Eigen::all);
    const Eigen::MatrixXd of_unknowns = gain * f.rows(Eigen::all, seen);
    const Eigen::MatrixXd of_readings = gain * f.inverse_root.triangularView<Eigen::Lower>();
    Eigen::Index noises = 0;
    for (const auto& o : observations)
        noises += static_cast<Eigen::Index>(o.noise.size());
    state.error_map.setZero(n, n + noises);
    state.error_map.diagonal().setOnes();
    state.error_map(seen, seen) -= of_unknowns;
    Eigen::Index column = n;
    for (Eigen::Index i = 0; i < m; ++i) {
        const double widened = std::sqrt(e.noise[i] > 0 ? noise[i] / e.noise[i] : 1);
        for (auto& part : observations[static_cast<std::size_t>(i)].noise) {
            state.error_map(seen, column++) = -widened * of_readings.col(i);
            state.inputs.push_back(std::move(part));
        }
    }
    return state;
}

void note_disagreements(MachineState& state) {
    for (const auto& check : state.checks) {
        for (const auto& o : check.outliers)
            state.notes.push_back(
                fmt::format("{} is off by {:.1f} of its standard deviations from what all "
                            "other readings say: read it again",
                            o.what,
                            std::abs(o.normalised)));
        if (check.noise_factor > 1)
            state.notes.push_back(
                fmt::format("the check {} disagrees with the others and the class: its doubt "
                            "was multiplied by {:.1f}",
                            check.name,
                            std::sqrt(check.noise_factor)));
    }
}

MachineState
solve_class(const Shop& shop, Date job, std::string_view prior, double factor, double& excess) {
    MachineModel model(shop, job, prior, factor);
    auto observations = observe(model);
    return solved(std::move(model), std::move(observations), excess);
}

} // namespace

Eigen::RowVectorXd MachineState::sensitivity(const Eigen::RowVectorXd& row) const {
    return row * error_map.topRows(row.size());
}

Estimate MachineState::of(const Eigen::RowVectorXd& row) const {
    const auto c = sensitivity(row);
    double sum = 0;
    for (Eigen::Index j = 0; j < c.size(); ++j)
        sum += c[j] * c[j] * variance(inputs[static_cast<std::size_t>(j)]);
    return {row.dot(estimate.head(row.size())), std::sqrt(sum)};
}

MachineState solve_freed(MachineModel model,
                         std::vector<Observation> observations,
                         const Eigen::RowVectorXd& row) {
    double excess = 0;
    return solved(std::move(model), std::move(observations), excess, &row);
}

MachineState solve_with_prior(const Shop& shop, Date job, double prior_factor) {
    double excess = 0;
    auto state = solve_class(shop, job, {}, prior_factor, excess);
    note_disagreements(state);
    return state;
}

MachineState solve(const Shop& shop, Date job) {
    double excess = 0;
    auto state = solve_class(shop, job, {}, 1, excess);
    const std::string declared(state.model.assumed_class().name);
    std::string used = declared;
    const auto by_declared = state.checks;
    while (excess > 1) {
        const auto next = coarser(used);
        if (!next)
            break;
        used = *next;
        state = solve_class(shop, job, used, 1, excess);
    }
    // A coarser class, taken because the readings are wild, is no reason to find that they close.
    for (std::size_t c = 0; c < by_declared.size(); ++c)
        state.checks[c].balance = by_declared[c].balance;
    note_disagreements(state);
    if (used != declared)
        state.notes.push_back(
            fmt::format("what was measured exceeds the declared class \"{}\": \"{}\" is assumed "
                        "for what was not measured",
                        declared,
                        used));
    if (shop.machine_class.empty())
        state.notes.push_back(
            fmt::format("no class of machine is declared: \"{}\" is assumed for what was not "
                        "measured",
                        used));
    return state;
}

} // namespace holdable
