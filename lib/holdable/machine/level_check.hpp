// SPDX-License-Identifier: MIT
/// Roll or pitch of an axis by a level on the table or the head, or by one on each.
///
/// Equations. A slope is + where the end at + of the axis the level points along is high. With ε
/// the rotation of the tool-side body of the moving axis against the work, about Y for a level
/// along X (s = +1) and about X for one along Y (s = -1),
///
///     on the table: r = + s ε(q) + rocking + zero + drift - g r
///     on the head:  r = - s ε(q) + rocking + zero + drift - g r
///     head - table: r_h - r_t = - s ε(q) + zero + drift - g_h r_h + g_t r_t
///
/// so for X on a moving table EBX = + slope along X, EAX = - slope along Y; for Z on the head EAZ =
/// + slope along Y, EBZ = - slope along X. A yaw, about the vertical, moves no level. Read
/// together, two levels lose the rocking and drift of the whole machine, and say ε whichever body
/// moves.
///
/// Turned end for end at a station a level reads r' = - (s ε + rocking + stand) + zero: that tells
/// its zero from how the machine stands, which else are one offset.
///
/// What stands still. A level on a body that does not move over the floor as the axis does sees
/// nothing of it: refused, with `Shop::ground`.
///
/// Source: ISO 230-1. Typical values of what was not stated are common practice, no source.
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
struct Shop;

/// What a level lies on.
enum class LevelRides {
    table,
    head,
    both ///< one on each, read together
};

/// A level lifted and put down at the same place with its ends changed over.
struct LevelTurned {
    double at = 0;      ///< coordinate of the moving axis, a station of the run (m)
    double reading = 0; ///< what it shows, the same end of the level being plus as before (rad)
};

/// Roll or pitch of an axis by a level that rides along.
struct LevelCheck {
    std::string name;
    Date date;
    Axis axis = Axis::x;   ///< the axis that moves
    Axis points = Axis::x; ///< X or Y: along which the level points
    LevelRides rides = LevelRides::table;
    std::string level;                               ///< of two, the one on the table
    Eigen::Vector3d place = Eigen::Vector3d::Zero(); ///< position of the other axes (m)
    std::vector<double> stations;                    ///< coordinates of the moving axis (m)
    std::vector<double> readings;  ///< slope, + if the end at + is high, zero error in it (rad)
    std::optional<double> closing; ///< first station read again at the end (rad)
    std::vector<double> spread; ///< standard deviation of repeats at each station, or empty (rad)
    std::vector<int> repeats;   ///< readings averaged at each station, or empty for one each
    std::optional<LevelTurned> turned;
    std::string head_level;                         ///< of two, the one on the head
    std::vector<double> head_readings, head_spread; ///< its readings as those above (rad)
    std::vector<int> head_repeats;
    std::optional<double> head_closing;
};

/// Why a level that lies there sees nothing of the axis; empty if it does.
std::string level_stands_still(const Shop& shop, Axis axis, LevelRides rides);

/// Adds the rows of the check to `observations`, and to the model the unknowns it brings in.
/// @throws InputError [check-shape], [instrument-unknown]
void observe(MachineModel& model, const LevelCheck& check, std::vector<Observation>& observations);

/// The rotation of the axis between the first and the last of its stations in order of coordinate,
/// on the day of the check (rad).
std::vector<Measurand> measured_by(const MachineModel& model, const LevelCheck& check);

} // namespace holdable
