// SPDX-License-Identifier: MIT
#include "holdable/propagate/monte_carlo.hpp"

#include "holdable/base/error.hpp"
#include "holdable/model/block.hpp"
#include "holdable/propagate/agreement.hpp"
#include "holdable/propagate/draws.hpp"
#include "holdable/propagate/joint_region.hpp"
#include "holdable/propagate/parallel.hpp"
#include "holdable/propagate/tails.hpp"
#include "holdable/base/clones.ipp"
#include "holdable/stats/covariance.hpp"
#include "holdable/stats/shortest.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <atomic>
#include <cassert>
#include <cmath>
#include <iterator>
#include <limits>
#include <memory>
#include <numeric>
#include <span>

namespace holdable::propagate {
namespace {

using model::BlockRegisters;
using stats::draw_block;

constexpr std::uint64_t first_batches = 10;

constexpr std::uint64_t pilot_blocks = 16;
constexpr std::uint64_t long_run = 1 << 18; // trials from which on the tails alone are kept

constexpr std::uint64_t most_values = 200'000'000; // kept of all outputs, 1.6 GB

/// Order statistics that stand for a streaming run.
constexpr std::size_t streamed = 1 << 20;

std::vector<bool> any_of(const std::vector<std::vector<bool>>& rows, std::size_t size) {
    std::vector<bool> result(size);
    for (const auto& row : rows)
        for (std::size_t i = 0; i < size; ++i)
            result[i] = result[i] || row[i];
    return result;
}

/// What one block of draws gave.
struct BlockResult {
    std::size_t kept = 0;             ///< trials in which all outputs have a value
    std::vector<std::size_t> kept_of; ///< of each low-discrepancy replicate
};

/// Figures of one output from a part of the trials.
struct PartResult {
    stats::Moments moments;
    double median = 0; ///< only where it stands for the mean
    stats::Interval interval;
};

/// What a thread works in, so that no block of trials allocates.
struct Workspace {
    BlockRegisters registers;
    std::vector<double> rows;   ///< draws of each input
    std::vector<double> values; ///< of each output in a block
};

/// What is kept of the values.
enum class Keep { all, tails, cells };

Workspace& workspace() {
    thread_local Workspace mine;
    return mine;
}

/// The state of a run: values of all outputs in all trials so far.
class Run {
  public:
    Run(const Budget& budget, const MonteCarloOptions& options)
        : budget_(budget), options_(options), compiled_(compile(budget)),
          uses_(model::dependencies(compiled_.tape)),
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
        if (!options_.trials)
            result.digits_reached = adapt(result.notes);
        else if (!keep_outer_values(*options_.trials))
            extend(*options_.trials);
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

    /// All trials of one draw block.
    void run_block(std::uint64_t block, Workspace& in);

    /// Runs the trials keeping outer values only. False, and nothing done, where that is not enough
    /// or would not be less.
    bool keep_outer_values(std::uint64_t total);

    /// As at the beginning, to keep all values.
    void start_again();

    /// Trials of the blocks so far that have a value.
    std::size_t kept() const;

    /// Of several outputs, over all blocks.
    Eigen::MatrixXd covariance() const;

    /// Moments of an output over all blocks.
    stats::Moments all_moments(std::size_t output) const;

    /// Values of an output in order, as far as intervals need them: the tails, or all.
    stats::Ordered ordered(std::size_t output, std::size_t kept, bool all);

    /// Fraction of the values that intervals need on either side.
    double tail_fraction() const { return 1 - budget_.coverage; }

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
    Keep keep_ = Keep::all;
    std::vector<std::vector<double>> values_; ///< of each output; a block fills from its start
    std::vector<std::unique_ptr<Tails>> tails_; ///< of each output, where these are kept
    std::vector<std::unique_ptr<TailCells>> cells_;
    std::vector<BlockResult> blocks_;
    std::vector<stats::Moments> moments_;             ///< of each output in each block
    std::vector<double> products_; ///< Σ(y − ȳ)(z − z̄) of each block, several outputs y after z
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

void Run::run_block(std::uint64_t block, Workspace& in) {
    const auto& tape = compiled_.tape;
    const std::uint64_t begin = block * draw_block;
    const auto size = static_cast<std::size_t>(std::min<std::uint64_t>(draw_block, trials_ - begin));
    const auto column = [&](std::size_t k) { return in.values.data() + k * draw_block; };
    for (std::size_t first = 0; first < size; first += options_.at_once) {
        const std::size_t together = std::min(options_.at_once, size - first);
        draws_.fill(begin + first, together, {in.rows.data(), tape.inputs * together});
        for (std::size_t at = 0; at < together; at += BlockRegisters::most) {
            const std::size_t count = std::min(BlockRegisters::most, together - at);
            in.registers.trials(count);
            for (std::size_t i = 0; i < tape.inputs; ++i)
                if (draws_.draws(i))
                    in.registers.set(i, in.rows.data() + i * together + at);
            model::evaluate(tape, in.registers);
            for (std::size_t k = 0; k < this->count(); ++k)
                into_unit({in.registers.values(tape.outputs[k]), count},
                          budget_.outputs[k].unit.unit,
                          column(k) + first + at);
        }
    }

    auto& result = blocks_[block];
    result.kept = size;
    bool complete = true;
    for (std::size_t k = 0; k < count(); ++k)
        complete = complete && all_values({column(k), size});
    if (!complete) {
        result.kept = 0;
        if (options_.quasi)
            result.kept_of.assign(stats::Sobol::replicates, 0);
        for (std::size_t t = 0; t < size; ++t) {
            bool good = true;
            for (std::size_t k = 0; k < count(); ++k) {
                const double y = column(k)[t];
                if (!std::isfinite(overflowing * y)) {
                    good = false;
                    ++lacking_[k];
                }
                column(k)[result.kept] = y;
            }
            result.kept += good;
            if (options_.quasi)
                result.kept_of[t / stats::Sobol::together] += good;
        }
    }
    for (std::size_t k = 0; k < count(); ++k) {
        const std::span<const double> values(column(k), result.kept);
        moments_[block * count() + k] = stats::moments(values);
        switch (keep_) {
        case Keep::all:
            std::copy(values.begin(), values.end(), values_[k].data() + begin);
            break;
        case Keep::tails:
            tails_[k]->add(values);
            break;
        case Keep::cells:
            cells_[k]->add(values);
            break;
        }
    }
    for (std::size_t i = 0; i < count(); ++i)
        for (std::size_t k = 0; k < i; ++k)
            products_[(block * count() + i) * count() + k] =
                stats::sum_of_products({column(i), result.kept},
                                       moments_[block * count() + i].mean,
                                       {column(k), result.kept},
                                       moments_[block * count() + k].mean);
}

Eigen::MatrixXd Run::covariance() const {
    const auto size = static_cast<Eigen::Index>(count());
    stats::JointMoments all, block{0, Eigen::VectorXd(size), Eigen::MatrixXd(size, size)};
    for (std::size_t b = 0; b < blocks_.size(); ++b) {
        block.count = static_cast<double>(blocks_[b].kept);
        for (Eigen::Index i = 0; i < size; ++i) {
            const auto at = b * count() + static_cast<std::size_t>(i);
            block.mean(i) = moments_[at].mean;
            block.sum2(i, i) = moments_[at].sum2;
            for (Eigen::Index k = 0; k < i; ++k)
                block.sum2(i, k) = block.sum2(k, i) =
                    products_[at * count() + static_cast<std::size_t>(k)];
        }
        merge_into(all, block);
    }
    return all.covariance();
}

void Run::extend(std::uint64_t total) {
    assert(trials_ % draw_block == 0);
    const std::size_t done = trials_ / draw_block;
    trials_ = total;
    if (keep_ == Keep::all) {
        values_.resize(count());
        for (auto& column : values_)
            column.resize(total);
    }
    blocks_.resize((total + draw_block - 1) / draw_block);
    moments_.resize(blocks_.size() * count());
    if (count() > 1)
        products_.resize(blocks_.size() * count() * count());

    // A few blocks share one set of registers.
    constexpr std::size_t together = 4;
    const std::size_t tasks = (blocks_.size() - done + together - 1) / together;
    Told told(options_.progress,
              "trials",
              options_.trials ? static_cast<std::size_t>(*options_.trials) : 0,
              done * draw_block);
    parallel(tasks, options_.threads, [&](std::size_t task) {
        auto& mine = workspace();
        mine.registers.resize(compiled_.tape);
        for (std::size_t i = 0; i < estimates_.size(); ++i)
            if (!draws_.draws(i))
                mine.registers.set(i, estimates_[i]);
        if (mine.rows.size() < row_length() * estimates_.size())
            mine.rows.resize(row_length() * estimates_.size());
        if (mine.values.size() < draw_block * count())
            mine.values.resize(draw_block * count());
        const std::size_t begin = done + task * together;
        for (std::size_t block = begin; block < std::min(begin + together, blocks_.size()); ++block)
            run_block(block, mine);
        const std::uint64_t end = std::min<std::uint64_t>((begin + together) * draw_block, trials_);
        told.add(static_cast<std::size_t>(end - begin * draw_block));
    });
}

/// Whether a few trials make the standard deviation: it is that of no law that a sample shows.
bool runs_away(double standard, double half_interval) {
    constexpr double most = 100; // in half intervals
    return standard > most * half_interval;
}

bool Run::keep_outer_values(std::uint64_t total) {
    const bool possible = options_.streaming || (count() == 1 && !options_.quasi);
    const double fraction = tail_fraction();
    if (!possible || total < long_run || fraction > 0.25)
        return false;
    for (std::size_t k = 0; k < count(); ++k)
        if (student_dof(k) <= 1) {
            if (options_.streaming)
                throw NumericError(fmt::format(
                    "{}: an input is drawn from a t law with one degree of freedom or fewer, so the "
                    "value is the median, which needs all trials; leave out --streaming",
                    budget_.outputs[k].name));
            return false;
        }
    extend(pilot_blocks * draw_block);
    auto pilot = std::move(values_);
    values_.clear();
    for (std::size_t k = 0; k < count(); ++k) {
        std::vector<double> values;
        for (std::size_t block = 0; block < blocks_.size(); ++block) {
            const auto from = pilot[k].begin() + static_cast<std::ptrdiff_t>(block * draw_block);
            values.insert(
                values.end(), from, from + static_cast<std::ptrdiff_t>(blocks_[block].kept));
        }
        if (values.size() < 1000) {
            start_again();
            return false;
        }
        const auto cuts = tail_cuts(values, fraction);
        if (options_.streaming) {
            cells_.push_back(std::make_unique<TailCells>(cuts));
            cells_.back()->add(values);
        } else {
            tails_.push_back(std::make_unique<Tails>(cuts, fraction, total));
            tails_.back()->add(values);
        }
    }
    keep_ = options_.streaming ? Keep::cells : Keep::tails;
    extend(total);
    const std::size_t tail = stats::tail_count(budget_.coverage, kept());
    for (std::size_t k = 0; k < count(); ++k) {
        const bool enough = options_.streaming ? cells_[k]->enough(tail) : tails_[k]->enough(tail);
        if (!enough) {
            start_again();
            return false;
        }
        if (!has_deviation(k))
            continue;
        const auto interval = stats::symmetric_interval(ordered(k, kept(), false), budget_.coverage);
        if (runs_away(all_moments(k).standard_deviation(), interval.width() / 2)) {
            if (options_.streaming)
                throw NumericError(fmt::format(
                    "{}: a few trials come near a pole of the formula and run away, so the value is "
                    "the median, which needs all trials; leave out --streaming",
                    budget_.outputs[k].name));
            start_again();
            return false;
        }
    }
    return true;
}

void Run::start_again() {
    if (*options_.trials > most_values / count())
        throw NumericError(fmt::format(
            "the values of so many trials do not fall as the first of them did, so all would have "
            "to be kept; at most {} can be run",
            most_values / count()));
    keep_ = Keep::all;
    tails_.clear();
    cells_.clear();
    blocks_.clear();
    moments_.clear();
    trials_ = 0;
    for (auto& n : lacking_)
        n = 0;
}

std::size_t Run::kept() const {
    return std::accumulate(blocks_.begin(),
                           blocks_.end(),
                           std::size_t{0},
                           [](std::size_t sum, const BlockResult& b) { return sum + b.kept; });
}

stats::Moments Run::all_moments(std::size_t output) const {
    stats::Moments moments;
    for (std::size_t block = 0; block < blocks_.size(); ++block)
        moments = merge(moments, moments_[block * count() + output]);
    return moments;
}

stats::Ordered Run::ordered(std::size_t output, std::size_t kept, bool all) {
    const double p = budget_.coverage;
    if (keep_ == Keep::tails)
        return tails_[output]->ordered(stats::tail_count(p, kept), kept, options_.threads);
    if (keep_ == Keep::cells) {
        const std::size_t size = std::min(streamed, kept);
        return cells_[output]->ordered(stats::tail_count(p, size), size, kept);
    }
    auto& column = values_[output];
    if (all)
        std::sort(column.begin(), column.end());
    else
        stats::sort_tails(column, stats::tail_count(p, kept));
    return column;
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
            const auto& [kept, kept_of] = blocks_[block];
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
        if (keep_ == Keep::all && kept != begin)
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

    if (count() > 1)
        result.covariance = covariance();
    for (std::size_t k = 0; k < count(); ++k) {
        const auto moments = all_moments(k);
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
    if (count() > 1 && keep_ == Keep::all)
        joint_factors(result); // while the columns are still trial by trial

    for (std::size_t k = 0; k < count(); ++k) {
        auto& out = result.outputs[k];
        const double p = budget_.coverage;
        const double nu = student_dof(k);
        const auto y = ordered(k, kept, nu <= 1);
        if (nu <= 1) {
            out.value = stats::sample_quantile(y, 0.5);
            out.value_error = stats::sample_quantile_error(y, 0.5);
        }
        // Fewer order statistics may stand for the values; their errors are those of so few.
        const double sparse = std::sqrt(static_cast<double>(y.size()) / static_cast<double>(kept));
        const auto error = [&](const stats::Interval& of) {
            return stats::Interval{sparse * of.low, sparse * of.high};
        };
        out.interval = stats::symmetric_interval(y, p);
        const auto shortest = stats::smoothed_shortest_interval(y, p);
        out.shortest = shortest.interval;
        out.shortest_error = error(shortest.error);
        out.shortest_raw = shortest.raw;
        const double tail = 0.5 * static_cast<double>(stats::tail_count(p, y.size())) /
                            static_cast<double>(y.size());
        out.interval_error = error(
            {stats::sample_quantile_error(y, tail), stats::sample_quantile_error(y, 1 - tail)});
        if (keep_ == Keep::cells)
            out.interval_width = {cells_[k]->width_at(out.interval.low),
                                  cells_[k]->width_at(out.interval.high)};
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
            const auto all = ordered(k, kept, true);
            out.value = stats::sample_quantile(all, 0.5);
            out.value_error = stats::sample_quantile_error(all, 0.5);
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
    if (const auto factors =
            joint_region(values_, mean, u, result.correlation, budget_.coverage)) {
        result.ellipsoid_factor = factors->ellipsoid;
        result.rectangle_factor = factors->rectangle;
    }
}

} // namespace

MonteCarloResult monte_carlo(const Budget& budget, const MonteCarloOptions& options) {
    assert(options.digits >= 1 && options.at_once >= 1);
    assert(!options.trials || *options.trials >= 1);
    assert(!options.streaming || (options.trials && !options.quasi));
    const auto outputs = std::max<std::size_t>(budget.outputs.size(), 1);
    const auto most = most_values / outputs;
    // Of a run that keeps its outer values alone there may be eight times as many.
    const bool outer = options.trials && outputs == 1 && !options.quasi;
    const auto most_asked = outer ? 8 * most : most;
    if (options.trials && !options.streaming && *options.trials > most_asked)
        throw NumericError(fmt::format("{} trials of {} output{} are more than memory is taken for; "
                                       "at most {} can be run, or any number with --streaming",
                                       *options.trials,
                                       outputs,
                                       outputs == 1 ? "" : "s",
                                       most_asked));
    auto bounded = options;
    bounded.most_trials = std::min<std::uint64_t>(options.most_trials, most);
    return Run(budget, bounded)();
}

} // namespace holdable::propagate
