// SPDX-License-Identifier: MIT
/// What is not known of the scale or screw of an axis, one unknown in every check that goes along
/// it, and what is new in the mean of runs over the same places.
#pragma once

#include "holdable/machine/observation.hpp"

#include <array>
#include <string>
#include <vector>

namespace holdable {

/// Its expansion. @param half_width (1/K) @return index of the unknown
int shared_scale_expansion(MachineModel& model, Axis axis, double half_width);

/// Its error within a turn of the screw: amplitudes of cosine and sine. @return their indices
std::array<int, 2> shared_short_wave(MachineModel& model, Axis axis);

/// How runs scatter about their means.
struct RunScatter {
    double standard = 0;           ///< of one run (m)
    double degrees_of_freedom = 0; ///< of it; 0 = not seen: the class's upper figure is taken
};

/// The noise of a mean of runs: their repeat, and what the last digit hides, which runs do not
/// average unless they wander over it. @param what which reading @param resolution (m)
std::vector<Input> runs_noise(const MachineModel& model,
                              const std::string& check,
                              const std::string& what,
                              const RunScatter& scatter,
                              double resolution,
                              int runs);

} // namespace holdable
