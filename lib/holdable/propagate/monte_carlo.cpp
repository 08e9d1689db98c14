// SPDX-License-Identifier: MIT
#include "holdable/propagate/monte_carlo.hpp"

#include "holdable/base/error.hpp"
#include "holdable/model/block.hpp"
#include "holdable/propagate/agreement.hpp"
#include "holdable/propagate/draws.hpp"
#include "holdable/propagate/parallel.hpp"
#include "holdable/stats/clones.ipp"
#include "holdable/stats/covariance.hpp"
#include "holdable/stats/shortest.hpp"

#include <Eigen/Cholesky>
#include <fmt/format.h>

#include <algorithm>
#include <atomic>
#include <cassert>
#include <cmath>
#include <iterator>
#include <limits>
#include <numeric>
#include <span>

namespace holdable::propagate {
namespace {

using model::Block;
using stats::draw_block;

constexpr std::uint64_t first_batches = 10;

bool has_two_operands(model::Operation operation) {
    using enum model::Operation;
    switch (operation) {
    case add:
    case subtract:
    case multiply:
    case divide:
    case power:
    case atan2:
    case min:
    case max:
    case hypot:
        return true;
    default:
        return false;
    }
}

/// For each output, which inputs it hangs on.
std::vector<std::vector<bool>> dependencies(const model::Tape& tape) {
    std::vector<std::vector<bool>> of(tape.registers(), std::vector<bool>(tape.inputs));
    for (std::size_t i = 0; i < tape.inputs; ++i)
        of[i][i] = true;
    for (std::size_t k = 0; k < tape.code.size(); ++k) {
        const auto& step = tape.code[k];
        if (step.operation == model::Operation::constant)
            continue;
        for (std::size_t i = 0; i < tape.inputs; ++i)
            of[tape.inputs + k][i] =
                of[step.first][i] || (has_two_operands(step.operation) && of[step.second][i]);
    }
    std::vector<std::vector<bool>> result;
    for (const auto output : tape.outputs)
        result.push_back(of[output]);
    return result;
}

std::vector<bool> any_of(const std::vector<std::vector<bool>>& rows, std::size_t size) {
    std::vector<bool> result(size);
    for (const auto& row : rows)
        for (std::size_t i = 0; i < size; ++i)
            result[i] = result[i] || row[i];
    return result;
}

/// What one block of draws gave.
struct BlockResult {
    stats::JointMoments joint;        ///< of several outputs
    std::size_t kept = 0;             ///< trials in which all outputs have a value
    std::vector<std::size_t> kept_of; ///< of each low-discrepancy replicate
};

/// Figures of one output from a part of the trials.
struct PartResult {
    stats::Moments moments;
    double median = 0; ///< only where it stands for the mean
    stats::Interval interval;
};

constexpr std::uint64_t most_values = 200'000'000; // of all outputs, 1.6 GB

/// What a thread works in, so that no block of trials allocates.
struct Workspace {
    std::vector<Block> registers;
    std::vector<double> rows; ///< draws of each input
};

Workspace& workspace() {
    thread_local Workspace mine;
    return mine;
}

/// The state of a run: values of all outputs in all trials so far.
class Run {
  public:
    Run(const Budget& budget, const MonteCarloOptions& options)
        : budget_(budget), options_(options), compiled_(compile(budget)),
          uses_(dependencies(compiled_.tape)),
          draws_(budget, options.seed, any_of(uses_, budget.inputs.size()), options.quasi),
          lacking_(budget.outputs.size()) {
        for (const auto& input : budget.inputs)
            estimates_.push_back(estimate(input));
    }

    MonteCarloResult operator()() {
        MonteCarloResult result;
        result.seed = options_.seed;
        result.notes = compiled_.notes;
        result.notes.insert(result.notes.end(), draws_.notes().begin(), draws_.notes().end());
        if (options_.trials)
            extend(*options_.trials);
        else
            result.digits_reached = adapt(result.notes);
        result.trials = trials_;
        summarise(result);
        return result;
    }

  private:
    std::size_t count() const { return budget_.outputs.size(); }

    /// Fewest degrees of freedom of the t laws behind an output.
    double student_dof(std::size_t output) const {
        double fewest = std::numeric_limits<double>::infinity();
        for (std::size_t i = 0; i < budget_.inputs.size(); ++i)
            if (uses_[output][i])
                fewest = std::min(fewest, draws_.student_dof(i).value_or(fewest));
        return fewest;
    }

    bool has_deviation(std::size_t output) const { return student_dof(output) > 2; }

    std::size_t row_length() const { return std::min(options_.at_once, draw_block); }

    /// Runs trials up to the number `total`.
    void extend(std::uint64_t total);

    /// Trials `first` … of one draw block.
    void run_block(std::uint64_t block, std::vector<Block>& registers, double* rows);

    /// Batches until the digits stand; false where the trials ran out before.
    bool adapt(std::vector<std::string>& notes);

    bool digits_stand(std::uint64_t batch_blocks) const;

    /// Batch number `part` of so many blocks each, or the low-discrepancy replicate of that number.
    PartResult part(std::size_t output, std::uint64_t part, std::uint64_t batch_blocks) const;

    /// Standard errors from the scatter over replicates.
    void set_quasi_errors(std::size_t output, MonteCarloOutput& out) const;

    void summarise(MonteCarloResult& result);

    void joint_factors(MonteCarloResult& result) const;

    const Budget& budget_;
    const MonteCarloOptions& options_;
    CompiledBudget compiled_;
    std::vector<std::vector<bool>> uses_;
    Draws draws_;
    std::vector<double> estimates_;
    std::uint64_t trials_ = 0;
    std::vector<std::vector<double>> values_; ///< of each output; a block fills from its start
    std::vector<BlockResult> blocks_;
    std::vector<stats::Moments> moments_;             ///< of each output in each block
    std::vector<std::atomic<std::uint64_t>> lacking_; ///< trials in which an output has no value
};

/// Values inside to numbers of the unit.
HOLDABLE_CLONES
void into_unit(std::span<const double> from, const Unit& unit, double* to) {
    for (std::size_t t = 0; t < from.size(); ++t)
        to[t] = (from[t] - unit.offset) / unit.factor;
}

/// Beyond 2e70 a value has run away over a pole: its fourth power, in the moments, is no number.
constexpr double overflowing = 1e238; // times such a value is not finite

HOLDABLE_CLONES
bool all_values(std::span<const double> values) {
    double lanes[8] = {}; // 0 · y is 0 for finite y only
    std::size_t t = 0;
    for (; t + 8 <= values.size(); t += 8)
        for (std::size_t lane = 0; lane < 8; ++lane)
            lanes[lane] += 0 * (overflowing * values[t + lane]);
    for (; t < values.size(); ++t)
        lanes[0] += 0 * (overflowing * values[t]);
    return std::all_of(std::begin(lanes), std::end(lanes), [](double x) { return x == 0; });
}

void Run::run_block(std::uint64_t block, std::vector<Block>& registers, double* rows) {
    const auto& tape = compiled_.tape;
    const std::uint64_t begin = block * draw_block;
    const std::uint64_t end = std::min<std::uint64_t>(begin + draw_block, trials_);
    for (std::uint64_t first = begin; first < end; first += options_.at_once) {
        const auto size =
            static_cast<std::size_t>(std::min<std::uint64_t>(options_.at_once, end - first));
        draws_.fill(first, size, {rows, tape.inputs * size});
        for (std::size_t at = 0; at < size; at += Block::size) {
            const std::size_t part = std::min(Block::size, size - at);
            for (std::size_t i = 0; i < tape.inputs; ++i)
                if (draws_.draws(i))
                    std::copy_n(rows + i * size + at, part, registers[i].value.data());
            model::evaluate(tape, registers);
            for (std::size_t k = 0; k < count(); ++k) {
                const auto& from = registers[tape.outputs[k]].value;
                const auto& unit = budget_.outputs[k].unit.unit;
                double* to = values_[k].data() + first + at;
                into_unit({from.data(), part}, unit, to);
            }
        }
    }

    const auto size = static_cast<std::size_t>(end - begin);
    auto& result = blocks_[block];
    result.kept = size;
    if (!std::all_of(values_.begin(), values_.end(), [&](const auto& column) {
            return all_values({column.data() + begin, size});
        })) {
        result.kept = 0;
        if (options_.quasi)
            result.kept_of.assign(stats::Sobol::replicates, 0);
        for (std::size_t t = 0; t < size; ++t) {
            bool good = true;
            for (std::size_t k = 0; k < count(); ++k) {
                const double y = values_[k][begin + t];
                if (!std::isfinite(overflowing * y)) {
                    good = false;
                    ++lacking_[k];
                }
                values_[k][begin + result.kept] = y;
            }
            result.kept += good;
            if (options_.quasi)
                result.kept_of[t / stats::Sobol::together] += good;
        }
    }
    for (std::size_t k = 0; k < count(); ++k)
        moments_[block * count() + k] = stats::moments({values_[k].data() + begin, result.kept});
    if (count() > 1) {
        Eigen::MatrixXd draws(static_cast<Eigen::Index>(count()),
                              static_cast<Eigen::Index>(result.kept));
        for (std::size_t k = 0; k < count(); ++k)
            for (std::size_t t = 0; t < result.kept; ++t)
                draws(static_cast<Eigen::Index>(k), static_cast<Eigen::Index>(t)) =
                    values_[k][begin + t];
        result.joint = stats::joint_moments(draws);
    }
}

void Run::extend(std::uint64_t total) {
    assert(trials_ % draw_block == 0);
    const std::size_t done = trials_ / draw_block;
    trials_ = total;
    values_.resize(count());
    for (auto& column : values_)
        column.resize(total);
    blocks_.resize((total + draw_block - 1) / draw_block);
    moments_.resize(blocks_.size() * count());

    // A few blocks share one set of registers.
    constexpr std::size_t together = 4;
    const std::size_t tasks = (blocks_.size() - done + together - 1) / together;
    Told told(options_.progress,
              "trials",
              options_.trials ? static_cast<std::size_t>(*options_.trials) : 0,
              done * draw_block);
    parallel(tasks, options_.threads, [&](std::size_t task) {
        auto& [registers, rows] = workspace();
        registers.resize(compiled_.tape.registers());
        for (std::size_t i = 0; i < estimates_.size(); ++i)
            registers[i] = Block(estimates_[i]);
        if (rows.size() < row_length() * estimates_.size())
            rows.resize(row_length() * estimates_.size());
        const std::size_t begin = done + task * together;
        for (std::size_t block = begin; block < std::min(begin + together, blocks_.size()); ++block)
            run_block(block, registers, rows.data());
        const std::uint64_t end = std::min<std::uint64_t>((begin + together) * draw_block, trials_);
        told.add(static_cast<std::size_t>(end - begin * draw_block));
    });
}

/// Whether a few trials make the standard deviation: it is that of no law that a sample shows.
bool runs_away(double standard, double half_interval) {
    constexpr double most = 100; // in half intervals
    return standard > most * half_interval;
}

PartResult Run::part(std::size_t output, std::uint64_t number, std::uint64_t batch_blocks) const {
    std::vector<double> draws;
    const auto take = [&](std::uint64_t block, std::size_t from, std::size_t size) {
        const double* first = values_[output].data() + block * draw_block + from;
        draws.insert(draws.end(), first, first + size);
    };
    if (options_.quasi) {
        constexpr std::size_t together = stats::Sobol::together;
        for (std::uint64_t block = 0; block < blocks_.size(); ++block) {
            const auto& [joint, kept, kept_of] = blocks_[block];
            if (kept_of.empty()) {
                const std::size_t from = std::min<std::size_t>(number * together, kept);
                take(block, from, std::min(together, kept - from));
            } else {
                const auto before = kept_of.begin() + static_cast<std::ptrdiff_t>(number);
                take(block, std::accumulate(kept_of.begin(), before, std::size_t{0}), *before);
            }
        }
    } else {
        for (std::uint64_t b = number * batch_blocks; b < (number + 1) * batch_blocks; ++b)
            take(b, 0, blocks_[b].kept);
    }
    PartResult result;
    result.moments = stats::moments(draws);
    if (student_dof(output) > 1) {
        stats::sort_tails(draws, stats::tail_count(budget_.coverage, draws.size()));
    } else {
        std::sort(draws.begin(), draws.end());
        if (!draws.empty())
            result.median = stats::sample_quantile(draws, 0.5);
    }
    result.interval = stats::symmetric_interval(draws, budget_.coverage);
    return result;
}

bool Run::digits_stand(std::uint64_t batch_blocks) const {
    const std::uint64_t parts =
        options_.quasi ? stats::Sobol::replicates : blocks_.size() / batch_blocks;
    for (std::size_t k = 0; k < count(); ++k) {
        stats::Moments all, of_value, of_standard, of_low, of_high;
        const auto take = [](stats::Moments& moments, double x) {
            moments = merge(moments, stats::moments({&x, 1}));
        };
        for (std::uint64_t b = 0; b < parts; ++b) {
            const auto batch = part(k, b, batch_blocks);
            all = merge(all, batch.moments);
            take(of_value, batch.moments.mean);
            take(of_standard, batch.moments.standard_deviation());
            take(of_low, batch.interval.low);
            take(of_high, batch.interval.high);
        }
        // Without a standard deviation the width of the interval stands for it.
        const double half = (of_high.mean - of_low.mean) / 2;
        const bool deviates = has_deviation(k) && !runs_away(all.standard_deviation(), half);
        const double u =
            deviates ? all.standard_deviation() : half / coverage_factor(budget_.coverage, {});
        const double tolerance = numerical_tolerance(u, options_.digits);
        const auto stands = [&](const stats::Moments& moments) {
            return 2 * moments.mean_error() <= tolerance;
        };
        if (!stands(of_low) || !stands(of_high) ||
            (deviates && !(stands(of_standard) && stands(of_value))))
            return false;
    }
    return true;
}

bool Run::adapt(std::vector<std::string>& notes) {
    const double least = std::max(std::ceil(100 / (1 - budget_.coverage)), 1e4);
    const auto batch_blocks =
        static_cast<std::uint64_t>(std::ceil(least / static_cast<double>(draw_block)));
    const std::uint64_t most =
        std::max(first_batches, options_.most_trials / (batch_blocks * draw_block));
    std::uint64_t batches = first_batches;
    for (;;) {
        extend(batches * batch_blocks * draw_block);
        if (digits_stand(batch_blocks))
            return true;
        if (batches == most)
            break;
        batches = std::min(most, batches + std::max<std::uint64_t>(1, batches / 4));
    }
    notes.push_back(fmt::format("after {} trials the results are not yet sure to {} digit(s) of "
                                "the standard uncertainty; see their standard errors",
                                trials_,
                                options_.digits));
    return false;
}

void Run::set_quasi_errors(std::size_t output, MonteCarloOutput& out) const {
    stats::Moments value, standard, low, high;
    const auto take = [](stats::Moments& moments, double x) {
        moments = merge(moments, stats::moments({&x, 1}));
    };
    for (std::uint64_t r = 0; r < stats::Sobol::replicates; ++r) {
        const auto one = part(output, r, 0);
        take(value, student_dof(output) > 1 ? one.moments.mean : one.median);
        take(standard, one.moments.standard_deviation());
        take(low, one.interval.low);
        take(high, one.interval.high);
    }
    out.value_error = value.mean_error();
    if (out.standard)
        out.standard_error = standard.mean_error();
    out.interval_error = {low.mean_error(), high.mean_error()};
}

void Run::summarise(MonteCarloResult& result) {
    std::vector<MonteCarloOutput> replicated(options_.quasi ? count() : 0);
    for (std::size_t k = 0; k < replicated.size(); ++k) {
        if (has_deviation(k))
            replicated[k].standard = 0;
        set_quasi_errors(k, replicated[k]);
    }
    // Close the gaps that trials without a value left at the ends of blocks.
    std::size_t kept = 0;
    for (std::size_t block = 0; block < blocks_.size(); ++block) {
        const std::size_t begin = block * draw_block;
        if (kept != begin)
            for (auto& column : values_)
                std::copy_n(column.data() + begin, blocks_[block].kept, column.data() + kept);
        kept += blocks_[block].kept;
    }
    result.without_value = trials_ - kept;
    for (std::size_t k = 0; k < count(); ++k) {
        const auto lacking = lacking_[k].load();
        if (static_cast<double>(lacking) >
            0.01 * (1 - budget_.coverage) * static_cast<double>(trials_))
            throw NumericError(fmt::format(
                "{}: the formula has no value in {} of {} trials (a division by zero, or a root "
                "or logarithm of a negative number); the laws of its inputs reach where the "
                "formula does not hold; choose laws with limits, or another formula",
                budget_.outputs[k].name,
                lacking,
                trials_));
        if (lacking > 0)
            result.notes.push_back(fmt::format("{}: the formula has no value in {} of {} trials; "
                                               "these are left out",
                                               budget_.outputs[k].name,
                                               lacking,
                                               trials_));
    }
    for (auto& column : values_)
        column.resize(kept);

    stats::JointMoments joint;
    if (count() > 1) {
        for (const auto& block : blocks_)
            joint = merge(joint, block.joint);
        result.covariance = joint.covariance();
    }
    for (std::size_t k = 0; k < count(); ++k) {
        stats::Moments moments;
        for (std::size_t block = 0; block < blocks_.size(); ++block)
            moments = merge(moments, moments_[block * count() + k]);
        const auto at = static_cast<Eigen::Index>(k);
        if (count() == 1)
            result.covariance = Eigen::MatrixXd::Constant(1, 1, moments.variance());
        else
            result.covariance(at, at) = moments.variance();

        MonteCarloOutput out;
        out.name = budget_.outputs[k].name;
        out.unit = budget_.outputs[k].unit;
        out.value = moments.mean;
        out.value_error = moments.mean_error();
        if (has_deviation(k)) {
            out.standard = moments.standard_deviation();
            out.standard_error = moments.standard_deviation_error();
            out.skewness = moments.skewness();
        }
        result.outputs.push_back(std::move(out));
    }
    result.correlation = stats::correlation(result.covariance);
    if (count() > 1)
        joint_factors(result); // while the columns are still trial by trial

    for (std::size_t k = 0; k < count(); ++k) {
        auto& out = result.outputs[k];
        auto& column = values_[k];
        const double p = budget_.coverage;
        const std::size_t q = stats::coverage_steps(p, kept);
        const double nu = student_dof(k);
        if (nu > 1) {
            stats::sort_tails(column, kept - q);
        } else {
            std::sort(column.begin(), column.end());
            out.value = stats::sample_quantile(column, 0.5);
            out.value_error = stats::sample_quantile_error(column, 0.5);
        }
        out.interval = stats::symmetric_interval(column, p);
        const auto shortest = stats::smoothed_shortest_interval(column, p);
        out.shortest = shortest.interval;
        out.shortest_error = shortest.error;
        out.shortest_raw = shortest.raw;
        const double tail = 0.5 * static_cast<double>(kept - q) / static_cast<double>(kept);
        out.interval_error = {stats::sample_quantile_error(column, tail),
                              stats::sample_quantile_error(column, 1 - tail)};
        if (options_.quasi) {
            out.value_error = replicated[k].value_error;
            if (out.standard)
                out.standard_error = replicated[k].standard_error;
            out.interval_error = replicated[k].interval_error;
        }
        if (out.standard && runs_away(*out.standard, (out.interval.high - out.interval.low) / 2)) {
            out.standard.reset();
            out.standard_error.reset();
            out.skewness = 0;
            std::sort(column.begin(), column.end());
            out.value = stats::sample_quantile(column, 0.5);
            out.value_error = stats::sample_quantile_error(column, 0.5);
            result.notes.push_back(
                fmt::format("{}: a few trials come near a pole of the formula and run away: it has "
                            "no mean and no standard deviation (the value is the median); the "
                            "intervals stand",
                            out.name));
        }
        if (nu <= 2)
            result.notes.push_back(fmt::format(
                "{}: an input is drawn from a t law with {:.3g} degrees of freedom, which has no "
                "standard deviation{}; the intervals stand",
                out.name,
                nu,
                nu <= 1 ? " and no mean (the value is the median)" : ""));
    }
}

void Run::joint_factors(MonteCarloResult& result) const {
    for (std::size_t k = 0; k < count(); ++k)
        // A spread of rounding alone is none.
        if (!has_deviation(k) ||
            !(*result.outputs[k].standard > 1e-13 * std::abs(result.outputs[k].value)))
            return;
    const auto size = static_cast<Eigen::Index>(count());
    Eigen::VectorXd mean(size), u(size);
    for (Eigen::Index k = 0; k < size; ++k) {
        mean(k) = result.outputs[static_cast<std::size_t>(k)].value;
        u(k) = *result.outputs[static_cast<std::size_t>(k)].standard;
    }
    // In standardised outputs, so that units do not matter to "singular".
    const Eigen::LLT<Eigen::MatrixXd> root(result.correlation);
    if (root.info() != Eigen::Success || root.matrixLLT().diagonal().minCoeff() < 1e-5)
        return;
    const std::size_t kept = values_.front().size();
    std::vector<double> ellipsoid(kept), rectangle(kept);
    Eigen::VectorXd z(size);
    for (std::size_t t = 0; t < kept; ++t) {
        for (Eigen::Index k = 0; k < size; ++k)
            z(k) = (values_[static_cast<std::size_t>(k)][t] - mean(k)) / u(k);
        rectangle[t] = z.cwiseAbs().maxCoeff();
        root.matrixL().solveInPlace(z);
        ellipsoid[t] = z.norm();
    }
    const auto fraction = [&](std::vector<double>& sizes) {
        const auto place = stats::coverage_steps(budget_.coverage, kept) - 1;
        const auto at = sizes.begin() + static_cast<std::ptrdiff_t>(place);
        std::nth_element(sizes.begin(), at, sizes.end());
        return *at;
    };
    result.ellipsoid_factor = fraction(ellipsoid);
    result.rectangle_factor = fraction(rectangle);
}

} // namespace

MonteCarloResult monte_carlo(const Budget& budget, const MonteCarloOptions& options) {
    assert(options.digits >= 1 && options.at_once >= 1);
    assert(!options.trials || *options.trials >= 1);
    // All values are kept, for the intervals.
    const auto outputs = std::max<std::size_t>(budget.outputs.size(), 1);
    const auto most = most_values / outputs;
    if (options.trials && *options.trials > most)
        throw NumericError(fmt::format(
            "{} trials of {} output{} are more than memory is taken for; at most {} can "
            "be run",
            *options.trials,
            outputs,
            outputs == 1 ? "" : "s",
            most));
    auto bounded = options;
    bounded.most_trials = std::min<std::uint64_t>(options.most_trials, most);
    return Run(budget, bounded)();
}

} // namespace holdable::propagate
