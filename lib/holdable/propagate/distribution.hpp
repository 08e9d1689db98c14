// SPDX-License-Identifier: MIT
/// The next part's value as a distribution, and the yield against the tolerance: what a picture of
/// a promise needs and an answer does not.
///
/// Drawn as promises are (promise.hpp): worlds of knowledge, the same parts in each, every draw a
/// pure function of (seed, input, number). The next part is any part of any world, so all of them
/// together are its law.
#pragma once

#include "holdable/propagate/promise.hpp"
#include "holdable/stats/sample.hpp"

#include <cstddef>
#include <string>
#include <vector>

namespace holdable {

/// One characteristic of the next part. Values as the reduction gives them, a signed value with its
/// sign (m).
struct PartDistribution {
    std::string name;
    std::vector<double> edges; ///< of bins equally wide, rising, one more than `share` (m)
    std::vector<double> share; ///< of the parts in each bin; what is beyond the ends is left out
    double median = 0;         ///< (m)
    double mean = 0;           ///< (m)
    double standard_deviation = 0; ///< (m)
    stats::Interval symmetric;     ///< holds P of the parts, as many below as above (m)
    stats::Interval shortest;      ///< the shortest that holds P (m)
    double below = 0, above = 0;   ///< share of the parts below the lower, above the upper limit
    std::vector<double> tolerance; ///< half-width about the middle, or upper limit; rising (m)
    std::vector<double> expected;  ///< yield with each of them: chance that the next part is good
    std::vector<double> assured;   ///< yield with each of them that is assured with confidence C
    double parts = 0.95;           ///< P
    double confidence = 0.95;      ///< C
    std::size_t worlds = 0, parts_in_world = 0; ///< draws behind it
};

/// Draws them: 2000 worlds × 1000 parts (300 × 400 where a zone floats), more of either where P or
/// C ask for it. The tolerances reach from nothing past that of the drawing and past all but a
/// thousandth of the parts, but not beyond three times the latter.
/// @param c number of the characteristic
/// @throws NumericError as `promise`
PartDistribution
distribution_of(const PartModel& part, std::size_t c, const PromiseOptions& options);

} // namespace holdable
