// SPDX-License-Identifier: MIT
/// Roll or pitch of an axis by a level on the table or the head.
///
/// Equation. Its slope is + where the end at + of the axis it points along is high; the rotation ε
/// of the body against the work gives
///
///     r = sign · ε(q) + rocking + zero + drift - g r
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

/// What a level lies on.
enum class LevelRides { table, head };

/// Roll or pitch of an axis by a level that rides along.
struct LevelCheck {
    std::string name;
    Date date;
    Axis axis = Axis::x;   ///< the axis that moves
    Axis points = Axis::x; ///< X or Y: along which the level points
    LevelRides rides = LevelRides::table;
    std::string level;
    Eigen::Vector3d place = Eigen::Vector3d::Zero(); ///< position of the other axes (m)
    std::vector<double> stations;                    ///< coordinates of the moving axis (m)
    std::vector<double> readings;  ///< slope, + if the end at + is high, zero error in it (rad)
    std::optional<double> closing; ///< first station read again at the end (rad)
};

/// Adds the rows of the check to `observations`, and to the model the unknowns it brings in.
/// @throws InputError [check-shape], [instrument-unknown]
void observe(MachineModel& model, const LevelCheck& check, std::vector<Observation>& observations);

/// The rotation of the axis between the first and the last of its stations in order of coordinate,
/// on the day of the check (rad).
std::vector<Measurand> measured_by(const MachineModel& model, const LevelCheck& check);

} // namespace holdable
