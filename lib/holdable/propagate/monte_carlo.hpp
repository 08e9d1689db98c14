// SPDX-License-Identifier: MIT
/// Propagation of distributions by Monte Carlo (JCGM 101 and 102; docs/theory.md, 2).
///
/// Each trial draws every input (holdable/propagate/draws.hpp) and runs the formulas. Moments are
/// taken over the fixed blocks of `stats::draw_block` trials and merged in their order, so neither
/// threads nor the number of trials processed together change a digit.
///
/// Adaptive runs follow JCGM 101 7.9: batches of M = max(J, 10⁴) trials, J = ⌈100/(1 − p)⌉, rounded
/// up to whole blocks; they end when twice the standard error, from the scatter over batches, of
/// value, standard uncertainty and both ends of the symmetric interval is below the numerical
/// tolerance of u. Differing from 7.9 the rule is first asked after 10 batches, then each time a
/// quarter more are there.
///
/// Low-discrepancy runs cover the inputs more evenly than chance does; the standard errors of
/// value, standard uncertainty and symmetric ends are from the scatter over their 16 independent
/// replicates (holdable/stats/sobol.hpp), in adaptive runs as well; those of the shortest interval
/// are as for random draws, which is no less than they are.
///
/// Of a long run with one output and a fixed number of trials only the outer values are kept, of
/// which both intervals are read exactly. A streaming run keeps counts in cells instead
/// (holdable/propagate/tails.hpp): the ends of the symmetric interval are then within
/// `interval_width` of those order statistics, and the factors for several outputs are left out.
#pragma once

#include "holdable/base/progress.hpp"
#include "holdable/propagate/budget.hpp"
#include "holdable/stats/random.hpp"
#include "holdable/stats/sample.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace holdable::propagate {

/// How a Monte Carlo run is done.
struct MonteCarloOptions {
    std::uint64_t seed = 1;
    std::optional<std::uint64_t> trials{};   ///< this many (count); none: adaptive
    int digits = 2;                          ///< significant digits of u, 1 or 2, that adaptive
                                             ///< runs make sure of
    std::uint64_t most_trials = 10'000'000;  ///< where adaptive runs give up (count)
    bool quasi = false;                      ///< low-discrepancy numbers in place of random ones
    bool streaming = false;                  ///< memory does not grow with the trials, see above
    unsigned threads = 0;                    ///< 0: all cores; changes no digit
    std::size_t at_once = stats::draw_block; ///< trials processed together; changes no digit
    Progress progress{};                     ///< is told how far it has come
};

/// What Monte Carlo says of one output; numbers in the unit of the output.
struct MonteCarloOutput {
    std::string name;
    BudgetUnit unit;
    double value = 0;       ///< mean of the draws; their median if an input's t law has no mean
    double value_error = 0; ///< its standard error
    /// Standard deviation of the draws; none if an input is drawn from a t law that has none
    /// (2 degrees of freedom or fewer).
    std::optional<double> standard;
    std::optional<double> standard_error; ///< of `standard`
    stats::Interval interval;             ///< probabilistically symmetric (JCGM 101 7.7.2)
    stats::Interval interval_error;       ///< standard errors of its ends
    /// Of a streaming run that counts in cells: how far either end may lie from that of all values.
    std::optional<stats::Interval> interval_width;
    stats::Interval shortest;             ///< shortest, smoothed where that holds
    stats::Interval shortest_error;       ///< standard errors of its ends
    stats::Interval shortest_raw;         ///< shortest as JCGM 101 7.7.3 has it
    double skewness = 0;                  ///< pure number; 0 where `standard` is none
};

/// What Monte Carlo says of a budget.
struct MonteCarloResult {
    std::vector<MonteCarloOutput> outputs;
    std::uint64_t seed = 1;
    std::uint64_t trials = 0;        ///< run (count)
    std::uint64_t without_value = 0; ///< of these left out, as a formula has no value there (count)
    std::optional<bool> digits_reached; ///< of adaptive runs; none for a fixed number of trials
    Eigen::MatrixXd covariance;         ///< of the outputs, each in its unit
    Eigen::MatrixXd correlation;        ///< of the outputs (pure numbers)
    /// Several outputs: a fraction p of the draws has (y − ȳ)ᵀ V⁻¹ (y − ȳ) ≤ k², V the covariance
    /// (JCGM 102 7.7.2); none where V is singular or does not exist.
    std::optional<double> ellipsoid_factor;
    /// Several outputs: a fraction p of the draws has |y_j − ȳ_j| ≤ k u_j for all j (JCGM 102
    /// 7.7.3); none as above.
    std::optional<double> rectangle_factor;
    std::vector<std::string> notes;
};

/// Propagates a budget.
/// @throws InputError as `compile`; NumericError where a formula has no value in more than a
/// hundredth of the fraction 1 − p of the trials; the trials are too few for p or for replicates, or
/// more than memory is taken for; the correlations or so many dimensions cannot be drawn; or a
/// streaming run, which needs a fixed number of plain trials (asserted), has no mean
MonteCarloResult monte_carlo(const Budget& budget, const MonteCarloOptions& options = {});

} // namespace holdable::propagate
