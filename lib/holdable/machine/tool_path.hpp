// SPDX-License-Identifier: MIT
/// Where a tool has been, and what the machine's errors left there, as forms of its unknowns.
///
/// A bore follows the tool point along Z, a milled face is what the tool point left over X and Y.
/// Their directions are least-squares lines and planes over sampled points: the slope of a bore's
/// axis is that of δ_x and δ_y over height, the slope of a face that of δ_z over X and Y. A bore
/// leans against the normal of a face by the sum of both. What is asked of a part
/// (part/features.hpp) and what was measured on one (test_cut.hpp) is built from these.
#pragma once

#include "holdable/base/date.hpp"

#include <Eigen/Core>

#include <string>

namespace holdable {

class MachineModel;

/// A hole and the tool that made it. Heights are above the table.
struct Bore {
    double x = 0, y = 0;    ///< its axis (m)
    double top = 0;         ///< height of its upper end (m)
    double depth = 0;       ///< its length considered (m)
    double tool_length = 0; ///< from the gauge point to the tip (m)
};

/// A face and the tool that milled it.
struct MilledFace {
    double x_low = 0, x_high = 0, y_low = 0, y_high = 0; ///< (m)
    double height = 0;                                   ///< above the table (m)
    double tool_length = 0;                              ///< (m)
};

/// The error of the tool point with its tip at a place, shape 3 × n (m).
/// @param whose the part or check, and @param what the place, for the message
/// @throws InputError [feature-outside] where an axis would leave its travel
Eigen::MatrixXd tip_error(const MachineModel& model,
                          const Eigen::Vector3d& tip,
                          double tool_length,
                          Date day,
                          const std::string& whose,
                          const std::string& what);

/// Slope of a bore's axis to +X and +Y going up, 9 points along it, shape 2 × n (rad).
/// @throws as `tip_error`
Eigen::MatrixXd
axis_slope(const MachineModel& model, const Bore& bore, Date day, const std::string& whose);

/// Slope of a face along X and Y, + where it rises towards +, 9 × 9 points, shape 2 × n (rad).
/// @throws as `tip_error`
Eigen::MatrixXd
face_slope(const MachineModel& model, const MilledFace& face, Date day, const std::string& whose);

} // namespace holdable
