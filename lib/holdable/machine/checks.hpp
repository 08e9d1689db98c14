// SPDX-License-Identifier: MIT
/// Checks as observation equations: each reading is a row over the unknowns, a value and its noise.
///
/// Z by square and indicator. With h the height above the leg, s = ±1 as the base leg points to +
/// or to -, u the horizontal axis of the plane (X or Y) and r the reading turned to "surface minus
/// tool":
///
///     edge: r = s σ h + s S(h) + (τ + tilt of the table) h - δ_u(P) + offset + drift - g r
///     leg:  r =                - (τ + tilt of the table) ℓ - δ_z(P) + offset + drift - g r
///
/// σ is that of the certificate and grows old: + wear a year · years since. σ, S and g (lean and form of the square, gain of the indicator) are one unknown in every check
/// that uses the instrument; the tilt τ by low spots under the base is one for each setting, the
/// table's tilt against the motion of X or Y one for all; δ is the error of the tool point at the
/// place of the reading. Turning the square, sweeping its leg, leaving readings out: the same rows.
///
/// Level on the table or the head. Its slope is + where the end at + of the axis it points along is
/// high; the body's rotation against the work gives
///
///     r = sign · ε(q) + rocking + zero + drift - g r
///
/// Sources: ISO 230-1 for the measured errors; Evans, Hocken, Estler, CIRP Annals 45/2 (1996) 617
/// for reversal. Typical values of what was not stated are common practice, no source.
#pragma once

#include "holdable/machine/model.hpp"

#include <Eigen/Core>

#include <string>
#include <vector>

namespace holdable {

/// One reading as an equation: value = row · ξ + noise.
struct Observation {
    std::string check;        ///< name of its check
    std::string what;         ///< which reading, in words
    Eigen::RowVectorXd row;   ///< shape of the unknowns declared when it was made
    double value = 0;         ///< (m or rad)
    std::vector<Input> noise; ///< what is new in this reading alone, zero mean
    int offsets = 0;          ///< free offsets and drifts of its run, on one reading of the run
};

/// Turns all checks of the model's shop that were made by the day of the job into observations,
/// squares first. Adds to the model the unknowns that the checks bring in.
/// @throws InputError [check-shape] where counts differ or stations are too few,
/// [instrument-unknown] where a check names an instrument that is not there
std::vector<Observation> observe(MachineModel& model);

} // namespace holdable
