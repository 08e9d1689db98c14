// SPDX-License-Identifier: MIT
/// Checks as observation equations: each reading is a row over the unknowns, a value and its noise.
///
/// Each kind of check has its facts and its equations in a header of its own, square_check.hpp and
/// those beside it; what they have in common is in observation.hpp.
#pragma once

#include "holdable/machine/model.hpp"
#include "holdable/machine/observation.hpp"

#include <vector>

namespace holdable {

/// Turns all checks of the model's shop that were made by the day of the job into observations,
/// those by square first, then the others in the order of `for_each_check`. Adds to the model the
/// unknowns that the checks bring in, and what the maps of the table say before a square stands on
/// it.
/// @throws InputError [check-shape] where counts differ or stations are too few,
/// [instrument-unknown] where a check names an instrument that is not there
std::vector<Observation> observe(MachineModel& model);

/// Takes in what the maps of the table say, for a square that is to stand on it; adds no unknowns.
/// @throws as `observe`
void learn_table(MachineModel& model);

} // namespace holdable
