// SPDX-License-Identifier: MIT
/// From the state of a machine to the characteristics of the parts it will cut.
///
/// A feature is the set of points its tool touched. Each point's error is that of the tool point at
/// the place of the axes (machine/kinematics.hpp) plus the process; the datum is built from its own
/// points; what is compared with the tolerance follows as ISO 1101 says. Every step but the last is
/// linear, so a characteristic is a known vector and its effects (propagate/promise.hpp):
///
///   perpendicularity of an axis: d = depth · (axis slope + datum slope) in X and Y, both by least
///     squares over sampled points; value = |d| (diameter of the zone: L θ, not 2 L θ);
///   position of an axis: d = (ux, uy) at the upper and at the lower end; value = 2 max |u|.
///
/// What cancels between hole and datum does so by itself: the same unknown stands in both.
#pragma once

#include "holdable/machine/state.hpp"
#include "holdable/part/job.hpp"
#include "holdable/propagate/promise.hpp"

#include <string>
#include <vector>

namespace holdable {

/// What a callout lacks for an answer, and what was taken for granted.
struct Readiness {
    std::vector<std::string> missing;      ///< each with what to do; not empty = can't say
    std::vector<std::string> notes;        ///< "the whole part is taken as the face"
    std::vector<std::string> must_be_true; ///< conditions of the answer, shop words
};

/// A part ready to be judged.
struct PartQuestion {
    PartModel model;                  ///< one characteristic a callout, in their order
    std::vector<Readiness> readiness; ///< of each callout
};

/// Samples all callouts of a job and collects what each depends on.
/// @throws InputError [feature-outside] where a point lies beyond the travel, [material-unknown]
PartQuestion question(const MachineState& state, const Job& job);

} // namespace holdable
