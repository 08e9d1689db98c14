// SPDX-License-Identifier: MIT
/// What the yields of all worlds say of one characteristic, or of a batch.
#pragma once

#include "holdable/propagate/inner.hpp"

#include <cmath>
#include <utility>
#include <vector>

namespace holdable::propagate {

/// Share of the worlds that hold, with its standard errors from the finite number of worlds and of
/// parts.
struct Chance {
    double value = 0;
    double outer_error = 0;
    double inner_error = 0;

    double error() const { return std::hypot(outer_error, inner_error); }

    /// Within two standard errors of a threshold.
    bool near(double threshold) const { return std::abs(value - threshold) < 2 * error(); }
};

/// C-quantile over worlds of the P-quantile over parts, with its standard errors (m).
struct Assured {
    double value = 0;
    double outer_error = 0;
    double inner_error = 0;
    std::vector<std::pair<std::size_t, double>> window; ///< worlds near it, weights of sum 1

    double error() const { return std::hypot(outer_error, inner_error); }
};

/// Yield within the drawing's tolerance, world by world.
std::vector<double> yields(const Inner& inner, std::size_t worlds, unsigned threads);

/// Share of the worlds whose yield is at least p; `parts` drawn a world, 0 = yields are exact.
Chance chance(const std::vector<double>& yields, double p, std::size_t parts);

/// t(p, confidence). @param yields those within the drawing's tolerance, world by world: what they
/// say need not be counted again
Assured assured(const Inner& inner,
                const std::vector<double>& yields,
                double p,
                double confidence,
                unsigned threads);

/// Yield within all tolerances together, world by world. @param parts drawn a world
std::vector<double> joint_yields(const std::vector<Inner>& inner,
                                 std::size_t worlds,
                                 std::size_t parts,
                                 unsigned threads);

/// p-quantile of the value of the next part (m): t with mean yield p. The search begins at `guess`
/// with steps of `scale` (m). Of many draws a part is used.
double next_part_limit(const Inner& inner,
                       std::size_t worlds,
                       std::size_t parts,
                       double p,
                       double guess,
                       double scale,
                       unsigned threads);

/// Sum over count, in order.
double mean(const std::vector<double>& x);

/// The ⌈pM⌉-th smallest.
double quantile(std::vector<double> x, double p);

/// Mean of Y^quantity: the chance that a whole batch is good.
double all_good(const std::vector<double>& yields, int quantity);

/// Smallest m such that at most m parts of the batch are out, with this confidence.
int out_at_most(const std::vector<double>& yields, int quantity, double confidence);

} // namespace holdable::propagate
