// SPDX-License-Identifier: MIT
/// The outer values of a long run: all that both coverage intervals ask for.
///
/// A pilot says beyond which values the lowest and the highest part of the run will lie; only what
/// falls there is kept. The order statistics found are those of the whole run, exactly. Where the
/// pilot misled there are not `enough`, and the run is to be done with all its values kept.
///
/// Or, of one size however long the run is: counts in narrow cells in place of values. An order
/// statistic is then known to within the cell it lies in.
#pragma once

#include "holdable/stats/sample.hpp"

#include <atomic>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <span>
#include <vector>

namespace holdable::propagate {

/// What a pilot says of a run, in the unit of its values.
struct TailCuts {
    double low = 0;     ///< what lies at it or below is kept
    double high = 0;    ///< what lies at it or above is kept
    double lowest = 0;  ///< of the pilot
    double highest = 0; ///< of the pilot
};

/// Cuts such that the part `fraction` (pure number, below 1/2) of the run lies beyond each, but for
/// a chance of 1e-6. Reorders the pilot, of at least 1000 values (asserted).
TailCuts tail_cuts(std::span<double> pilot, double fraction);

/// The values of a run beyond its cuts.
class Tails {
  public:
    /// For a run of so many trials, of which `fraction` is asked for on each side.
    Tails(const TailCuts& cuts, double fraction, std::uint64_t trials);

    /// Keeps what lies beyond the cuts, in no order; from any thread.
    void add(std::span<const double> values) noexcept;

    /// Whether so many (count) are there on each side.
    bool enough(std::size_t tail) const;

    /// The `count` values of the run, of which `tail` are known on each side, no more than are
    /// there (asserted). Sorts; what it gives lives as long as this.
    stats::Ordered ordered(std::size_t tail, std::size_t count, unsigned threads);

  private:
    struct Side {
        std::unique_ptr<double[]> values; ///< memory is taken as it fills
        std::atomic<std::size_t> count{0};
    };

    void append(Side& side, const double* values, std::size_t count) noexcept;

    TailCuts cuts_;
    std::size_t room_; ///< of each side (count)
    Side low_, high_;
};

/// Counts of a run's values beyond its cuts.
class TailCells {
  public:
    static constexpr std::size_t cells = 1 << 16; ///< on each side

    explicit TailCells(const TailCuts& cuts);

    /// Counts what lies beyond the cuts; from any thread.
    void add(std::span<const double> values) noexcept;

    /// Whether so many (count) are there on each side.
    bool enough(std::size_t tail) const;

    /// `size` order statistics at evenly spread ranks that stand for the `count` values of the run,
    /// `tail` of them known on each side, no more than are there (asserted). What it gives lives as
    /// long as this.
    stats::Ordered ordered(std::size_t tail, std::size_t size, std::size_t count);

    /// How far a value of `ordered` lies at most from the order statistic of the run: the width of
    /// its cell. The cells reach twice as far from the cut as the pilot did; beyond, the distance to
    /// the outermost value.
    double width_at(double value) const;

  private:
    /// Cells from a cut outward; the last is all that lies beyond.
    struct Side {
        double cut = 0;
        double step = 0; ///< of a cell; negative on the low side
        std::vector<std::atomic<std::uint64_t>> counts = std::vector<std::atomic<std::uint64_t>>(cells + 1);
        std::atomic<double> outermost;
        std::vector<double> read;

        double edge(std::size_t cell) const { return cut + step * static_cast<double>(cell); }

        double outer_edge(std::size_t cell) const {
            return cell == cells ? outermost.load() : edge(cell + 1);
        }

        void take(double value) noexcept;
        std::uint64_t total() const;
        void read_from_outermost(std::size_t number, double each);
    };

    Side low_, high_;
};

} // namespace holdable::propagate
