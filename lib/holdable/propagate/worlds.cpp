// SPDX-License-Identifier: MIT
#include "holdable/propagate/worlds.hpp"

#include "holdable/base/error.hpp"
#include "holdable/propagate/parallel.hpp"
#include "holdable/propagate/valuation.hpp"
#include "holdable/base/clones.ipp"
#include "holdable/stats/random.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

namespace holdable::propagate {
namespace {

using Eigen::Index;

[[noreturn]] void impossible(const std::string& what) {
    throw NumericError(what);
}

/// Checks how many signed numbers there are, and what they are. @return their number
Index elements_of(const Characteristic& c) {
    const Index q = c.known.size();
    const Index points = points_of(c);
    const bool zone = c.reduction == Reduction::twice_worst || c.reduction == Reduction::width ||
                      c.reduction == Reduction::twice_largest;
    if (!zone && (c.free.cols() > 0 || c.folded.cols() > 0))
        impossible(fmt::format("characteristic '{}': only a zone about points floats or has folded "
                               "elements",
                               c.name));
    if (c.free.cols() > 0 && c.reduction == Reduction::twice_largest)
        impossible(
            fmt::format("characteristic '{}': a zone about the true form cannot float", c.name));
    if (c.bonus && c.reduction != Reduction::twice_worst)
        impossible(fmt::format("characteristic '{}': only a position has a bonus", c.name));
    const bool fits = c.reduction == Reduction::signed_value  ? points == 1
                      : c.reduction == Reduction::twice_worst ? points >= 2 && points % 2 == 0
                      : c.reduction == Reduction::width       ? points >= 2
                                                              : points >= 1;
    if (!fits)
        impossible(fmt::format("characteristic '{}': {} signed numbers do not fit its reduction "
                               "(signed value: 1, magnitude: 1 or more, position: pairs, width: 2 "
                               "points or more; then {} folded and {} of bonus)",
                               c.name,
                               q,
                               c.folded.cols(),
                               c.bonus ? 1 : 0));
    const auto a_row_a_point = [&](const Eigen::MatrixXd& matrix, const char* what) {
        if (matrix.cols() > 0 && matrix.rows() != points)
            impossible(fmt::format("characteristic '{}': {} has {} rows, wanted {}",
                                   c.name,
                                   what,
                                   matrix.rows(),
                                   points));
        if (!matrix.allFinite())
            impossible(
                fmt::format("characteristic '{}' holds a number that is not finite", c.name));
    };
    a_row_a_point(c.free, "free");
    a_row_a_point(c.folded, "folded");
    if (floating_span(c).cols() >= points)
        impossible(fmt::format("characteristic '{}': the zone floats in as many directions as "
                               "there are numbers, {}: nothing is left to judge",
                               c.name,
                               points));
    return q;
}

void check(const Characteristic& c, Index inputs) {
    const Index q = elements_of(c);
    if (c.effect.rows() != q || c.effect.cols() != inputs)
        impossible(fmt::format("characteristic '{}': effect is {} x {}, wanted {} x {}",
                               c.name,
                               c.effect.rows(),
                               c.effect.cols(),
                               q,
                               inputs));
    if (!c.known.allFinite() || !c.effect.allFinite() || !c.known_parts.allFinite() ||
        !std::isfinite(c.upper) || !std::isfinite(c.lower.value_or(0)))
        impossible(fmt::format("characteristic '{}' holds a number that is not finite", c.name));
    const Index r = c.known_parts.cols();
    if (r != static_cast<Index>(c.known_names.size()) || (r > 0 && c.known_parts.rows() != q))
        impossible(fmt::format("characteristic '{}': known_parts is {} x {}, wanted {} x {}",
                               c.name,
                               c.known_parts.rows(),
                               r,
                               q,
                               c.known_names.size()));
    if (r > 0 && (c.known_parts.rowwise().sum() - c.known).cwiseAbs().maxCoeff() >
                     1e-9 * c.known_parts.cwiseAbs().sum())
        impossible(fmt::format("characteristic '{}': known_parts do not sum to known", c.name));
    if (c.lower && (c.reduction != Reduction::signed_value || *c.lower >= c.upper))
        impossible(fmt::format("characteristic '{}': a lower limit needs a signed value and an "
                               "upper limit above it",
                               c.name));
}

/// Columns of X that one product takes.
std::vector<Index> select(Index n, const std::function<bool(std::size_t)>& wanted) {
    std::vector<Index> list;
    for (Index i = 0; i < n; ++i)
        if (wanted(static_cast<std::size_t>(i)))
            list.push_back(i);
    return list;
}

/// Deviations of the listed inputs in the trials of one block: b × list; less the mean of the law
/// where the input has a scale.
Eigen::MatrixXd block_draws(const Stack& stack,
                            const std::vector<Index>& list,
                            std::uint64_t seed,
                            std::size_t first,
                            std::size_t count) {
    Eigen::MatrixXd x(static_cast<Index>(count), static_cast<Index>(list.size()));
    for (std::size_t j = 0; j < list.size(); ++j) {
        const auto i = static_cast<std::size_t>(list[j]);
        const std::span<double> column(x.col(static_cast<Index>(j)).data(), count);
        stats::fill_uniform(seed, stack.hash[i], first, column);
        stack.sampler[i](column);
        if (stack.scale_of[i] != 0)
            x.col(static_cast<Index>(j)).array() -= stack.mean[list[j]];
    }
    return x;
}

std::size_t blocks(std::size_t trials) {
    return (trials + stats::draw_block - 1) / stats::draw_block;
}

/// Calls f(first trial, trials) for each block of draws.
void each_block(std::size_t trials,
                unsigned threads,
                const std::function<void(std::size_t, std::size_t)>& f) {
    parallel(blocks(trials), threads, [&](std::size_t b) {
        const std::size_t first = b * stats::draw_block;
        f(first, std::min(stats::draw_block, trials - first));
    });
}

/// Trials that a tile of a product takes, in vectors of four.
constexpr Index tile_trials = 12, tile_elements = 4;

using Four = double __attribute__((vector_size(32)));

/// Wherever it lies. Copied by memcpy, GCC goes by halves through the stack in the AVX2 version.
using FourAnywhere =
    double __attribute__((vector_size(32), aligned(sizeof(double)), may_alias));

/// d[e] += Σ_i a[i, e] x[i] for 12 trials and a few elements, sums kept in registers, terms added
/// in the order of inputs.
/// @param x of each input 12 trials, one after the other @param a of each input its elements
template <int elements>
[[gnu::always_inline]] inline void
add_tile(const double* x, const double* a, Index inputs, double* const* d) {
    Four sum[elements][3] = {};
    for (Index i = 0; i < inputs; ++i) {
        const auto* term = reinterpret_cast<const FourAnywhere*>(x + i * tile_trials);
        for (int e = 0; e < elements; ++e) {
            const double f = a[i * elements + e];
            const Four factor = {f, f, f, f};
            for (int v = 0; v < 3; ++v)
                sum[e][v] += factor * term[v];
        }
    }
    for (int e = 0; e < elements; ++e) {
        auto* there = reinterpret_cast<FourAnywhere*>(d[e]);
        for (int v = 0; v < 3; ++v)
            there[v] += sum[e][v];
    }
}

/// The tile of some trials for all elements. @param a packed: four elements at a time, then what is
/// left one by one, of each input after the other
HOLDABLE_CLONES
void add_tiles(const double* x, const double* a, Index inputs, double* d, Index stride, Index q) {
    Index e = 0;
    for (; e + tile_elements <= q; e += tile_elements, a += tile_elements * inputs) {
        double* const rows[] = {
            d + e * stride, d + (e + 1) * stride, d + (e + 2) * stride, d + (e + 3) * stride};
        add_tile<4>(x, a, inputs, rows);
    }
    for (; e < q; ++e, a += inputs) {
        double* const row = d + e * stride;
        add_tile<1>(x, a, inputs, &row);
    }
}

/// A set of inputs drawn together, and how they enter a table of deviations.
struct Product {
    std::vector<Index> list;
    std::vector<double> packed; ///< effects, as `add_tiles` wants them
    Index elements;

    /// Of what moves nothing, nothing is drawn.
    Product(const Stack& stack, const std::function<bool(std::size_t)>& wanted)
        : list(select(stack.inputs(),
                      [&](std::size_t i) {
                          return wanted(i) && !stack.effect.col(static_cast<Index>(i)).isZero(0);
                      })),
          elements(stack.elements()) {
        packed.reserve(list.size() * static_cast<std::size_t>(elements));
        const Index whole = elements - elements % tile_elements;
        for (Index e = 0; e < whole; e += tile_elements)
            for (const Index i : list)
                for (Index k = 0; k < tile_elements; ++k)
                    packed.push_back(stack.effect(e + k, i));
        for (Index e = whole; e < elements; ++e)
            for (const Index i : list)
                packed.push_back(stack.effect(e, i));
    }

    /// Of the trials of one block, trials × Q. @param x trials × list
    Eigen::MatrixXd of(const Eigen::MatrixXd& x) const {
        const Index inputs = x.cols();
        const Index padded = (x.rows() + tile_trials - 1) / tile_trials * tile_trials;
        Eigen::MatrixXd d = Eigen::MatrixXd::Zero(padded, elements);
        std::vector<double> tile(static_cast<std::size_t>(inputs * tile_trials));
        for (Index first = 0; first < padded; first += tile_trials) {
            const Index count = std::min(tile_trials, x.rows() - first);
            for (Index i = 0; i < inputs; ++i)
                std::copy_n(&x(first, i), count, &tile[static_cast<std::size_t>(i * tile_trials)]);
            add_tiles(tile.data(), packed.data(), inputs, &d(first, 0), padded, elements);
        }
        return d.topRows(x.rows());
    }
};

Eigen::MatrixXd factors(const Stack& stack, std::uint64_t seed, std::size_t worlds) {
    Eigen::MatrixXd factor =
        Eigen::MatrixXd::Ones(static_cast<Index>(worlds), static_cast<Index>(stack.scales.size()));
    for (std::size_t s = 1; s < stack.scales.size(); ++s) {
        const double nu = stack.scale_dof[s];
        auto column = factor.col(static_cast<Index>(s));
        const std::span<double> f(column.data(), worlds);
        stats::fill_uniform(seed, stats::name_hash("scale: " + stack.scales[s]), 0, f);
        // χ²_ν is the gamma law of mean ν and variance 2ν.
        stats::sampler(stats::Gamma{nu, std::sqrt(2 * nu), {}})(f);
        column = (nu / column.array().max(1e-12 * nu)).sqrt();
    }
    return factor;
}

} // namespace

Stack::Stack(const PartModel& part, bool several_setups) {
    const auto n = static_cast<Index>(part.inputs.size());
    if (part.characteristics.empty())
        impossible("a part without characteristics promises nothing");
    first.push_back(0);
    for (const Characteristic& c : part.characteristics) {
        check(c, n);
        first.push_back(first.back() + c.known.size());
    }
    effect.resize(first.back(), n);
    known.resize(first.back());
    for (std::size_t c = 0; c < part.characteristics.size(); ++c) {
        const Characteristic& one = part.characteristics[c];
        effect.middleRows(first[c], one.known.size()) = one.effect;
        known.segment(first[c], one.known.size()) = one.known;
    }
    mean.resize(n);
    scales.emplace_back();
    scale_dof.push_back(0);
    std::set<std::string> names;
    for (Index i = 0; i < n; ++i) {
        const Input& input = part.inputs[static_cast<std::size_t>(i)];
        if (!names.insert(input.name).second)
            impossible(fmt::format("two inputs have the name '{}'", input.name));
        stats::check(input.law);
        mean[i] = stats::mean(input.law);
        knowledge.push_back(input.sharing == Sharing::job ||
                            (!several_setups && input.sharing != Sharing::part));
        guess.push_back(input.evidence == Evidence::typical || input.evidence == Evidence::assumed);
        hash.push_back(stats::name_hash(input.name));
        sampler.push_back(stats::sampler(input.law));
        if (input.scale.empty()) {
            scale_of.push_back(0);
            continue;
        }
        if (!(std::isfinite(input.scale_dof) && input.scale_dof > 0))
            impossible(fmt::format("input '{}': scale '{}' needs degrees of freedom above 0",
                                   input.name,
                                   input.scale));
        const auto at = std::find(scales.begin(), scales.end(), input.scale);
        const auto place = static_cast<std::size_t>(at - scales.begin());
        if (at == scales.end()) {
            scales.push_back(input.scale);
            scale_dof.push_back(input.scale_dof);
        } else if (scale_dof[place] != input.scale_dof) {
            impossible(fmt::format("scale '{}' has {} and {} degrees of freedom",
                                   input.scale,
                                   scale_dof[place],
                                   input.scale_dof));
        }
        scale_of.push_back(place);
    }
}

BothWorlds draw(const Stack& stack,
                std::uint64_t seed,
                std::size_t worlds,
                std::size_t parts,
                unsigned threads) {
    const bool guesses =
        std::find(stack.guess.begin(), stack.guess.end(), true) != stack.guess.end();
    const auto m = static_cast<Index>(worlds);
    const auto n = static_cast<Index>(parts);
    const std::size_t scales = stack.scales.size();
    BothWorlds both;
    both.all.factor = factors(stack, seed, worlds);
    both.all.shared.resize(m, stack.elements());
    both.all.own.resize(scales);
    both.all.parts_ = parts;
    // What is constant: known errors, means of the laws that the scales leave alone, and, where
    // guesses are frozen, theirs.
    Eigen::VectorXd constant = stack.known;
    Eigen::VectorXd frozen = stack.known;
    for (std::size_t i = 0; i < stack.hash.size(); ++i) {
        const Eigen::VectorXd at_mean =
            stack.effect.col(static_cast<Index>(i)) * stack.mean[static_cast<Index>(i)];
        if (stack.scale_of[i] != 0)
            constant += at_mean;
        if (stack.scale_of[i] != 0 || stack.guess[i])
            frozen += at_mean;
    }
    if (guesses) {
        both.sure = both.all;
        both.sure.shared.rowwise() = frozen.transpose();
        both.sure.without_guesses = true;
    }
    both.all.shared.rowwise() = constant.transpose();

    const auto add = [&](bool knowledge, std::size_t scale) {
        const Product sure(stack, [&](std::size_t i) {
            return stack.knowledge[i] == knowledge && stack.scale_of[i] == scale && !stack.guess[i];
        });
        const Product guess(stack, [&](std::size_t i) {
            return stack.knowledge[i] == knowledge && stack.scale_of[i] == scale && stack.guess[i];
        });
        if (sure.list.empty() && guess.list.empty())
            return;
        if (!knowledge) {
            both.all.own[scale].setZero(n, stack.elements());
            if (guesses)
                both.sure.own[scale].setZero(n, stack.elements());
        }
        each_block(knowledge ? worlds : parts, threads, [&](std::size_t first, std::size_t count) {
            const auto into = [&](Worlds& w, const Eigen::MatrixXd& d) {
                const auto at = static_cast<Index>(first);
                if (!knowledge) {
                    w.own[scale].middleRows(at, d.rows()) += d;
                    return;
                }
                const auto f = both.all.factor.col(static_cast<Index>(scale)).segment(at, d.rows());
                w.shared.middleRows(at, d.rows()).array() += d.array().colwise() * f.array();
            };
            if (!sure.list.empty()) {
                const auto d = sure.of(block_draws(stack, sure.list, seed, first, count));
                into(both.all, d);
                if (guesses)
                    into(both.sure, d);
            }
            if (!guess.list.empty())
                into(both.all, guess.of(block_draws(stack, guess.list, seed, first, count)));
        });
    };
    for (std::size_t s = 0; s < scales; ++s) {
        add(true, s);
        add(false, s);
    }
    return both;
}

Eigen::MatrixXd contributions(const Stack& stack,
                              const Weights& weights,
                              std::uint64_t seed,
                              std::size_t worlds,
                              std::size_t parts,
                              unsigned threads) {
    Eigen::MatrixXd sum = Eigen::MatrixXd::Zero(stack.elements(), stack.inputs());
    const Eigen::MatrixXd factor = factors(stack, seed, worlds);
    const auto add = [&](bool knowledge, std::size_t scale) {
        const Product all(stack, [&](std::size_t i) {
            return stack.knowledge[i] == knowledge && stack.scale_of[i] == scale;
        });
        if (all.list.empty())
            return;
        const Eigen::MatrixXd& w = knowledge ? weights.on_shared : weights.on_own[scale];
        if (w.rows() == 0)
            return;
        const std::size_t trials = knowledge ? worlds : parts;
        std::vector<Eigen::MatrixXd> partial(blocks(trials));
        each_block(trials, threads, [&](std::size_t first, std::size_t count) {
            const auto at = static_cast<Index>(first);
            const auto rows = static_cast<Index>(count);
            Eigen::MatrixXd mine = w.middleRows(at, rows);
            if (knowledge && scale != 0)
                mine.array().colwise() *=
                    factor.col(static_cast<Index>(scale)).segment(at, rows).array();
            partial[first / stats::draw_block] =
                mine.transpose() * block_draws(stack, all.list, seed, first, count);
        });
        for (const Eigen::MatrixXd& p : partial)
            for (std::size_t j = 0; j < all.list.size(); ++j)
                sum.col(all.list[j]) += p.col(static_cast<Index>(j));
    };
    for (std::size_t s = 0; s < stack.scales.size(); ++s) {
        add(true, s);
        add(false, s);
    }
    for (Index i = 0; i < stack.inputs(); ++i)
        if (stack.scale_of[static_cast<std::size_t>(i)] != 0)
            sum.col(i) += weights.on_constant * stack.mean[i];
    return (sum.array() * stack.effect.array()).matrix();
}

} // namespace holdable::propagate
