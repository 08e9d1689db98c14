// SPDX-License-Identifier: MIT
/// The scores of many parts at once (inner.hpp), in blocks that the processor's vectors take.
///
/// A zone that floats is bracketed for a block: above, by itself where it stands; below, by the
/// contacts of parts before (floating_zone.hpp). Only parts between are searched by themselves.
/// What is found hangs on no other part.
#pragma once

#include "holdable/propagate/floating_zone.hpp"

#include <cstddef>
#include <span>

namespace holdable::propagate {

/// What the scores of all worlds are made of: element e of part p is the world's own number plus,
/// for each scale, the world's factor times the part's draw.
struct Terms {
    Reduction reduction;
    bool two_sided;
    bool bonus;
    std::size_t elements;
    std::size_t points;
    std::size_t scales;
    const Eigen::MatrixXd* folded;        ///< points × elements that enter by their magnitude
    const FloatingZone* floating;         ///< null where the zone stands
    std::span<const double* const> draws; ///< of the parts, elements of one scale after the other;
                                          ///< null where all are 0
    std::span<const double> least, most;  ///< of each of these over all parts
};

/// The numbers of some worlds: for each its elements, then the factors of its scales.
struct Numbers {
    std::vector<double> rows;
    std::size_t width;
};

/// Makes values of scores that are their squares, over `times` squared.
void take_roots(std::span<double> score, double times);

/// The score of each part of one world.
void fill_scores(const Terms& t, const double* world, std::span<double> score);

/// The same for the part of this rank; scores of others may only be right as to the side of it.
void fill_scores_about(const Terms& t,
                       const double* world,
                       std::size_t rank,
                       std::span<double> score);

/// Adds to `within`, one a world, how many of the parts have a score of at most `limit`.
void count_within(const Terms& t,
                  const double* worlds,
                  std::size_t width,
                  double limit,
                  std::size_t parts,
                  std::span<double> within);

/// Clears in `good`, part by part and world after world, those with a score beyond `limit`. What is
/// cleared already is not looked at.
void and_within(const Terms& t,
                const double* worlds,
                std::size_t width,
                double limit,
                std::span<unsigned char> good,
                std::size_t count_of_worlds);

} // namespace holdable::propagate
