// SPDX-License-Identifier: MIT
/// The shortest coverage interval, its noise smoothed away, with standard errors.
///
/// M draws sorted; q steps cover a fraction p, m = M − q are left outside. The interval that leaves
/// a part s of these below it, 0 < s < 1, has the width w(s) = y(sm + q) − y(sm). The raw shortest
/// (JCGM 101 7.7.3) is where w is least: w is flat there and its noise decides, so that the ends
/// are sure as M^(-1/3) only. Here w is fitted by
///
///     w(s) = c₀ + c₁ ln s − c₂ ln(1 − s) + c₃ s + c₄ s²/2,
///
/// whose logarithms are how quantiles run away in the tails, and the minimum of the fit is taken;
/// the ends are sure as M^(-1/2) then. What is fitted are the increments of w between 17 places,
/// equal steps of ln(s/(1 − s)): their noise is independent from one to the next and known from the
/// spacings of the draws, so that weighted least squares and its χ² apply. Where χ² says that the
/// form does not hold, a range of half the length about the raw minimum is tried, three times.
///
/// The raw interval stands where no fit holds, or has not just one minimum within its range: few
/// draws, several modes, densities highest at an edge (the minimum at s = 0), flat ones.
///
/// Errors are the scatter of the same steps over 64 sets of draws, made from the sorted ones: the
/// order statistic at rank u stands at rank u + G(u)/√M, G a Brownian bridge. The errors of a raw
/// interval are as rough as it is itself.
#pragma once

#include "holdable/stats/sample.hpp"

namespace holdable::stats {

/// A shortest interval, in the unit of the draws.
struct ShortestInterval {
    Interval interval;     ///< the best that the draws allow
    Interval error;        ///< standard errors of its ends
    Interval raw;          ///< as JCGM 101 7.7.3 has it: `shortest_interval`
    bool smoothed = false; ///< whether `interval` is smoothed, not `raw`
};

/// Shortest interval of fraction p of draws of which the lowest and the highest `tail_count` are
/// known. Throws as `coverage_steps`.
ShortestInterval smoothed_shortest_interval(const Ordered& y, double p);

} // namespace holdable::stats
