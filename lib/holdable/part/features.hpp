// SPDX-License-Identifier: MIT
/// From the state of a machine to the characteristics of the parts it will cut.
///
/// A feature is the set of points its tool touched. Each point's error is that of the tool point at
/// the place of the axes (machine/kinematics.hpp) plus the process; the datum is built from its own
/// points; what is compared with the tolerance follows as ISO 1101 says. Every step but the last is
/// linear, so a characteristic is a known vector and its effects (propagate/promise.hpp). The
/// equations stand in docs/features/, one page a kind, and beside the code:
///
///   hole_features.cpp     position, hole to hole, lean of an axis, coaxiality, run-out;
///   round_features.cpp    diameter, roundness, cylindricity;
///   surface_features.cpp  flatness, straightness, orientation and profile of faces and walls;
///   size_features.cpp     heights and depths, slots and bosses, lengths.
///
/// What cancels between feature and datum does so by itself: the same unknown stands in both.
#pragma once

#include "holdable/machine/state.hpp"
#include "holdable/part/job.hpp"
#include "holdable/propagate/promise.hpp"

#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace holdable {

/// What a callout lacks for an answer, and what was taken for granted.
struct Readiness {
    std::vector<std::string> missing;      ///< each with what to do; not empty = can't say
    std::vector<std::string> notes;        ///< "the whole part is taken as the face"
    std::vector<std::string> must_be_true; ///< conditions of the answer, shop words
    std::vector<std::string> left_out;     ///< what its figure does not hold
};

/// A part ready to be judged.
struct PartQuestion {
    PartModel model;                  ///< one characteristic a callout, in their order
    std::vector<Readiness> readiness; ///< of each callout
    std::set<std::string> trends;     ///< inputs and known errors that grow over the batch from the
                                      ///< first piece on, by their names
};

/// What is known of a hole at maximum material and no error: the room that its size leaves.
inline constexpr std::string_view bonus_room = "room over maximum material";

/// Whether such a requirement can be asked of its feature against its datum.
bool suits(const Callout& callout);

/// Samples all callouts of a job and collects what each depends on.
/// @param refine multiplies the density of sampled points; 1 is enough (tests/part/invariance.cpp)
/// @throws InputError [feature-outside] where a point lies beyond the travel, [material-unknown],
/// [test-cut-unknown], [callout-shape] where feature and datum do not suit the requirement
PartQuestion question(const MachineState& state, const Job& job, int refine = 1);

/// What the machine that cut a job errs by as it measures the parts, still clamped, with a probe:
/// of each callout the d that its reading is short of the part's, so that what is read is the
/// reduction of d(part) − d(here). Errors of the machine, where the feature and its datum lie, and
/// of its warmth; not those of the probe. The names of inputs are those of `question`: what stands
/// in both moves part and reading alike and is not seen.
///
/// It comes from one side, so lost motion shows; so does all that the process adds, drift, and the
/// tilt of a seat.
/// @param probe_length gauge length of the probe, for all features (m)
/// @throws as `question`
PartQuestion seen_by_machine(const MachineState& state, const Job& job, double probe_length);

/// How the signed numbers of a lean read against a square grow with the square's own error, shape q
/// (m/rad): in both directions alike of a hole, with the height of a wall. Empty for what no square
/// shows.
Eigen::VectorXd against_a_square(const MachineState& state, const Job& job, const Callout& callout);

} // namespace holdable
