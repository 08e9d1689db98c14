// SPDX-License-Identifier: MIT
/// Y against the motion of X by a square that lies flat on the table.
///
/// An indicator in the spindle follows the leg as X moves and the edge as Y moves. With ξ and η
/// from the corner along +X and +Y, s = ±1 as the leg points to +X or -X, d = |η| the distance
/// along the edge, ψ the rotation of the square as it was put down, and r turned to "surface minus
/// tool" along +Y at the leg and along +X at the edge:
///
///     leg:  r = ψ ξ                   - δ_y(P) + form of the leg + offset + drift - g r
///     edge: r = s σ d + s S(d) - ψ η - δ_x(P)                    + offset + drift - g r
///
/// -δ_x has the slope C0Y along Y, so one setting gives C0Y = k_x + k_y - s σ with the slopes k of
/// the two runs, and turning the square over (the leg to the other side) takes σ out. σ and S are
/// the unknowns of the square in every check (square_unknowns.hpp), ψ is free in each setting.
///
/// Sources: ISO 230-1 for the measured error; Evans, Hocken, Estler, CIRP Annals 45/2 (1996) 617
/// for reversal. Typical values of what was not stated are common practice, no source.
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

/// Readings along one leg of the square.
struct FlatRun {
    std::vector<double> stations;  ///< coordinates of the axis that moves (m)
    std::vector<double> readings;  ///< surface minus tool along + (m)
    std::optional<double> closing; ///< first station read again at the end (m)
    std::vector<double> spread;    ///< standard deviation of repeats at each station (m), or empty
    std::vector<int> repeats;      ///< readings averaged at each station, or empty for one each
};

/// One way of laying the square down. Turned over and laid so that its leg covers the same X as
/// before, the square's error comes out free of how straight X is.
struct FlatSquareSetting {
    Eigen::Vector2d corner = Eigen::Vector2d::Zero(); ///< X and Y of the square's corner (m)
    bool leg_towards_plus = true;                     ///< its leg points to +X
    bool edge_towards_plus = true;                    ///< its edge points to +Y
    FlatRun leg;                                      ///< X moves, the readings along +Y
    FlatRun edge;                                     ///< Y moves, the readings along +X
};

/// Y against X with a square lying flat.
struct FlatSquareCheck {
    std::string name;
    Date date;
    std::string square;
    std::string indicator;
    double z = 0;                            ///< where the Z axis stands (m)
    double gauge_length = 0;                 ///< spindle gauge point to the indicator's tip (m)
    std::vector<FlatSquareSetting> settings; ///< one, or two with the square turned over
};

/// Adds the rows of the check to `observations`, and to the model the unknowns it brings in.
/// @throws InputError [check-shape], [instrument-unknown]
void observe(MachineModel& model,
             const FlatSquareCheck& check,
             std::vector<Observation>& observations);

/// The angle between the motions of X and Y less 90°, over the places read and on its day (rad).
std::vector<Measurand> measured_by(const MachineModel& model, const FlatSquareCheck& check);

} // namespace holdable
