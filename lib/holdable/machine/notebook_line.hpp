// SPDX-License-Identifier: MIT
/// A squareness as it stands in a notebook: a number and a side, the readings gone.
///
/// The line says that one axis leans by a length over a length towards a side, as against the
/// square: Z to X or Y, or Y to X. Along the axis and over that length, at the middle of the table
/// and of the travel where no place is told, with the tool point δ, H the least-squares slope over
/// five stations:
///
///     ZX, ZY: lean = H(δ_u over z) + s,   s = H(δ_z over u) with the leg swept along u, else
///                                         s = - tilt of the table - low spot under the square
///     XY:     lean = H(δ_x over y) + H(δ_y over x)
///
/// and the number written is
///
///     lean + σ + seat or bend + clearance + place + last digit + reading
///
/// A reversed square has no σ; of one that was not, nobody knows to which side its leg pointed, so
/// that its certified deviation d with u is as good as √(d² + u²) about nothing; one that is not
/// named is a workshop square of grade 1. What was read on two settings counts half from each. The
/// place is anywhere on the table: normal, with the variance by which the lean differs there from
/// that in the middle by the class, on average over 3 × 3 places. What was written to a digit may
/// be off by half of it, and what was read by one of it. No reading of the line is shared with
/// another check.
///
/// Source: the doubts are common practice, no source.
#pragma once

#include "holdable/base/date.hpp"
#include "holdable/machine/kinematics.hpp"

#include <Eigen/Core>

#include <optional>
#include <string>
#include <vector>

namespace holdable {

class MachineModel;
struct Measurand;
struct Observation;

/// A line of a notebook.
struct NotebookLine {
    std::string name;
    Date date;
    std::string line;       ///< as it stands there
    Axis along = Axis::z;   ///< the axis that leans: Z, or Y
    Axis across = Axis::x;  ///< towards which: X or Y
    double lean = 0;        ///< its + end to + of `across`, over `length` (m)
    double length = 0;      ///< (m)
    double last_digit = 0;  ///< of the lean as written (m)
    bool reversed = false;  ///< mean of two settings, the square turned between
    bool leg_swept = false; ///< as against the motion of `across`; else against the table
    std::string square;     ///< id; empty: not named
    std::optional<Eigen::Vector2d> place; ///< X and Y of the axes (m); none: not told
};

/// Adds the row of the line to `observations`, and to the model the unknowns it brings in.
/// @throws InputError [check-shape], [instrument-unknown]
void observe(MachineModel& model, const NotebookLine& line, std::vector<Observation>& observations);

/// The squareness at its place, against what it was read against, on its day.
std::vector<Measurand> measured_by(const MachineModel& model, const NotebookLine& line);

} // namespace holdable
