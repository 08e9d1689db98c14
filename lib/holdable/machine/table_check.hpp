// SPDX-License-Identifier: MIT
/// Flatness of the table: a level walked over it, or an indicator swept over it.
///
/// Equations. With h the height of the table over its own plane (table_field.hpp), b the distance
/// of the level's feet and r its slope, + where its end at + of the axis it points along is high:
///
///     level:     r = (h(next foot) - h(foot)) / b + stand + drift - g r
///     indicator: r = h(x, y) - t_X x - t_Y y - δ_z(P) + offset + drift - g r
///
/// The machine stands still under a level: how it stands (and the zero of the level) leaves the
/// plane open, one `stand` for each axis the level points along. Under an indicator X and Y move:
/// δ_z, the error of the tool point there, is in every reading, so that form and axis errors are
/// seen together and another check must separate them; t is the slope of the table against the
/// motion of X and Y, the same unknown that tilts a square (square_check.hpp).
///
/// Loops. Steps of a level that lead back to where they began must add to nothing. Each loop is
/// tested before anything is solved.
///
/// Sources: Moody, "How to calibrate surface plates in the plant" (1955), for walking a level;
/// ISO 230-1 for flatness (both from memory). Typical values are common practice, no source.
#pragma once

#include "holdable/base/date.hpp"
#include "holdable/machine/kinematics.hpp"
#include "holdable/machine/table_field.hpp"

#include <Eigen/Core>

#include <optional>
#include <string>
#include <vector>

namespace holdable {

class MachineModel;
struct Measurand;
struct Observation;
struct Level;

/// A level walked along one line, foot to foot, always pointing the same way.
struct TableLine {
    Axis along = Axis::x;                           ///< X or Y
    Eigen::Vector2d from = Eigen::Vector2d::Zero(); ///< X and Y of the first foot (m)
    std::vector<double> readings;  ///< slope of each step, + if the end at + is high (rad)
    std::vector<double> spread;    ///< standard deviation of repeats at each step (rad), or empty
    std::vector<int> repeats;      ///< readings averaged at each step, or empty for one each
    std::optional<double> closing; ///< the first step read again at the end (rad)
};

/// A map of the table: either `level`, `foot` and `lines`, or `indicator` and what follows it.
struct TableCheck {
    std::string name;
    Date date;
    std::string level;            ///< empty if an indicator was swept
    double foot = 0;              ///< from foot to foot (m)
    std::vector<TableLine> lines; ///< walked
    std::string indicator;        ///< empty if a level was walked
    double gauge_length = 0;      ///< spindle gauge point to the indicator's tip (m)
    std::vector<double> x, y;     ///< coordinates of the stations (m)
    std::vector<double> readings; ///< surface minus tool along +Z, a run along X for each y (m)
    std::vector<double> spread;   ///< as of a line (m)
    std::vector<int> repeats;
    std::optional<double> closing; ///< first station read again at the end (m)
};

/// The rectangle its stations or feet span; empty lines count nothing.
TableArea mapped_area(const TableCheck& check);

/// Steps of a level that lead back to where they began.
struct TableLoop {
    std::vector<std::string> steps; ///< which readings, "line 1, reading 2"
    double error = 0;               ///< what they add to (m)
    double expected = 0;            ///< its standard uncertainty, reading and feet (m)
};

/// The shortest loop through each step, each once; empty for an indicator.
std::vector<TableLoop> loops(const TableCheck& check, const Level& level);

/// A loop this many of its standard uncertainties open is named: one in 370 by chance.
inline constexpr double open_loop = 3;

/// Adds the rows of the check to `observations`, and to the model the unknowns it brings in.
/// @throws InputError [check-shape], [instrument-unknown]
void observe(MachineModel& model, const TableCheck& check, std::vector<Observation>& observations);

/// The crown of the table on the day of the check: the middle of the rectangle mapped over the mean
/// of its corners (m).
std::vector<Measurand> measured_by(const MachineModel& model, const TableCheck& check);

} // namespace holdable
