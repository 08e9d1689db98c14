// SPDX-License-Identifier: MIT
/// What a finite list of draws says: moments, quantiles, coverage intervals.
///
/// M draws y, sorted y(1) ≤ … ≤ y(M), in any unit; every result is in that unit. Draws are finite
/// numbers (the caller's promise).
#pragma once

#include <cassert>
#include <cstddef>
#include <span>
#include <vector>

namespace holdable::stats {

/// Count, mean and sums of powers of deviations from the mean, Σ(y − ȳ)^k for k = 2, 3, 4, of a
/// block of draws. Blocks are merged in a fixed order, so that threads change no digit.
struct Moments {
    double count = 0;
    double mean = 0;
    double sum2 = 0;
    double sum3 = 0;
    double sum4 = 0;

    /// Unbiased variance Σ(y − ȳ)²/(M − 1) (JCGM 101 equation 17); 0 for fewer than two draws.
    double variance() const;

    /// √variance, the standard uncertainty of the draws.
    double standard_deviation() const;

    /// Third standardised moment (pure number); 0 where all draws are equal.
    double skewness() const;

    /// Fourth standardised moment less 3 (pure number), 0 for the normal law and where all draws
    /// are equal.
    double excess_kurtosis() const;

    /// Standard error of `mean` from the finite number of draws.
    double mean_error() const;

    /// Standard error of `standard_deviation`, from the fourth moment; first order in 1/M.
    double standard_deviation_error() const;
};

/// The moments of one block, in two passes over it.
Moments moments(std::span<const double> draws) noexcept;

/// The moments of both together, to rounding. Source: Pébay, Sandia report SAND2008-6212 (from
/// memory; tested against direct sums).
Moments merge(const Moments& first, const Moments& second) noexcept;

/// An interval of the quantity, low ≤ high.
struct Interval {
    double low = 0;
    double high = 0;

    double width() const { return high - low; }
};

/// q = ⌊pM + 1/2⌋, the number of steps between the order statistics that bound a fraction p of M
/// draws (JCGM 101 7.7.1). Throws NumericError where M is too small for it: q = M, or q = 0.
std::size_t coverage_steps(double p, std::size_t count);

/// Draws in order, y(0) ≤ y(1) ≤ …, of which only the lowest and the highest need be known. A view:
/// the draws stay where they are.
class Ordered {
  public:
    /// All draws, at their places; what is not asked for need not be in order.
    Ordered(std::span<const double> all) : lowest_(all), highest_(all), size_(all.size()) {}

    Ordered(const std::vector<double>& all) : Ordered(std::span<const double>(all)) {}

    /// `size` draws, of which these are the lowest and the highest, both rising.
    Ordered(std::span<const double> lowest, std::span<const double> highest, std::size_t size)
        : lowest_(lowest), highest_(highest), size_(size) {}

    std::size_t size() const { return size_; }

    /// Draw number `rank` from 0; one that is known (asserted).
    double operator[](std::size_t rank) const {
        if (rank < lowest_.size())
            return lowest_[rank];
        assert(rank < size_ && size_ - rank <= highest_.size());
        return highest_[highest_.size() - (size_ - rank)];
    }

  private:
    std::span<const double> lowest_, highest_;
    std::size_t size_;
};

/// Reorders the draws so that the lowest `tail` and the highest `tail` of them stand sorted at
/// their places; sorts all where the two meet.
void sort_tails(std::span<double> draws, std::size_t tail);

/// Reorders the draws so that the lowest `count` of them, no more than there are, stand sorted at
/// the beginning.
void sort_lowest(std::span<double> draws, std::size_t count);

/// The same of the highest, at the end.
void sort_highest(std::span<double> draws, std::size_t count);

/// Draws to give `sort_tails` for both intervals of fraction p below: M − q, never less than 1.
/// Throws as `coverage_steps`.
std::size_t tail_count(double p, std::size_t count);

/// Probabilistically symmetric coverage interval [y(r), y(r + q)], r = ⌊(M − q)/2 + 1/2⌋ (JCGM 101
/// 7.7.2), of draws whose tails are known. Throws as `coverage_steps`.
Interval symmetric_interval(const Ordered& y, double p);

/// Shortest coverage interval [y(r), y(r + q)] over all r, the lowest of equally short ones (JCGM
/// 101 7.7.3), of draws whose tails are known. Throws as `coverage_steps`. Its ends converge only
/// as M^(-1/3).
Interval shortest_interval(const Ordered& y, double p);

/// y(⌈pM⌉), the smallest draw with at least a fraction p of all at or below it; known there, at
/// least one (asserted); p in [0, 1].
double sample_quantile(const Ordered& y, double p);

/// Standard error of `sample_quantile` without assuming a law: half the distance between the order
/// statistics one binomial standard deviation √(Mp(1 − p)) to either side.
double sample_quantile_error(const Ordered& y, double p);

} // namespace holdable::stats
