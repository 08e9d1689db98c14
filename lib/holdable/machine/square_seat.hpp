// SPDX-License-Identifier: MIT
/// How a square stands where the table was mapped: the tilt of its base from the heights under it.
///
/// The base is a rectangle from the edge along the leg, its footprint 9 × 3 points; the weight acts
/// at one place of it. It rests on three points (rest_plane.hpp) of the map's estimate, and its
/// tilt is the linear map of the table's heights there: one and the same unknowns as the map's own
/// readings. Where the doubt of the map leaves other contacts a chance above 1 % (2000 draws of the
/// heights, given all checks but those by square), the tilt is one named input instead, with mean
/// and standard deviation of the tilts so drawn. The base itself is as straight as the edge: ± its
/// form over the length of the base.
#pragma once

#include "holdable/machine/square_check.hpp"

#include <Eigen/Core>

#include <optional>
#include <string>

namespace holdable {

class MachineModel;

/// A square on the map.
struct SquareSeat {
    Eigen::RowVectorXd tilt; ///< at the estimate's contacts, over the unknowns (rad)
    double expected = 0;     ///< mean of the tilt, of the drawn ones if contacts are doubtful (rad)
    double standard = 0;     ///< its standard uncertainty by the map (rad)
    double other_contacts = 0;      ///< chance that it rests otherwise (pure number)
    std::optional<double> rocks_by; ///< change of tilt if a finger tips it; none if it stands (rad)
};

/// Beyond that chance of other contacts the tilt is drawn.
inline constexpr double doubtful_contacts = 0.01;

/// A centre of gravity that rises by less than this is tipped by a finger (m), and a change of tilt
/// by more than that is called rocking (rad): 2 µm over 200 mm. Common practice, no source.
inline constexpr double rocking_rise = 0.2e-6;
inline constexpr double rocking_tilt = 10e-6;

/// Whether the whole footprint lies within the map of a table check made by the day of the job.
bool stands_on_map(const MachineModel& model,
                   const SquareCheck& check,
                   const SquareSetting& setting);

/// The seat of one setting; nothing if no map is known there, or the check states its low spot.
/// @param name of the setting, on which the draws depend
std::optional<SquareSeat> seat_on_map(const MachineModel& model,
                                      const SquareCheck& check,
                                      const SquareSetting& setting,
                                      const std::string& name);

/// The name of a setting, from 1.
std::string setting_name(const SquareCheck& check, std::size_t number);

} // namespace holdable
