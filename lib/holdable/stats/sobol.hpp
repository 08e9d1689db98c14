// SPDX-License-Identifier: MIT
/// Low-discrepancy uniform numbers: Sobol's sequence under independent digital shifts.
///
/// Point n of dimension d is the exclusive or, over the binary ones of n, of the direction numbers
/// v(d, 0), v(d, 1), … (Joe and Kuo 2008, as Boost.Random has them), 52 bits each. A digital shift
/// is 52 random bits, of (seed, input, replicate) by Philox4x32-10, that are changed in all points
/// of a replicate: every point by itself is uniform, and replicates are independent, so their
/// scatter is the error of their mean.
///
/// Trial t belongs to replicate (t / 128) mod 16 and takes its point ⌊t / 2048⌋ · 128 + t mod 128:
/// a block of `draw_block` trials holds 128 points of each of 16 replicates. A trial's number is a
/// pure function of (seed, input, dimension, t), (m + 1/2)/2^52 as in random.hpp.
#pragma once

#include "holdable/stats/random.hpp"

#include <array>
#include <cstddef>
#include <cstdint>
#include <span>

namespace holdable::stats {

/// One dimension of the sequence, for one input.
class Sobol {
  public:
    static constexpr std::size_t replicates = 16;                    ///< independent shifts (count)
    static constexpr std::size_t together = draw_block / replicates; ///< trials of one in a row
    static constexpr std::size_t dimensions = 3667;                  ///< that the table has (count)

    /// @param input `name_hash` of the input's full name, which gives its shifts
    /// @param dimension from 0, below `dimensions` (asserted); no two inputs may share one
    Sobol(std::uint64_t seed, std::uint64_t input, std::size_t dimension);

    /// Fills `uniform` with the numbers of trials first_trial …, each in (0, 1). Any split of a
    /// range gives the same bits.
    void fill(std::uint64_t first_trial, std::span<double> uniform) const noexcept;

  private:
    std::array<std::uint64_t, 52> direction_;
    std::array<std::uint64_t, together> pattern_; // points 0 … 127
    std::array<std::uint64_t, replicates> shift_;
};

} // namespace holdable::stats
