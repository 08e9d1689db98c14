// SPDX-License-Identifier: MIT
/// Z against the motion of X or Y by square and indicator.
///
/// Equations. With h the height above the leg, ℓ the distance along it, s = ±1 as the base leg
/// points to + or to -, u the horizontal axis of the plane (X or Y) and r the reading turned to
/// "surface minus tool":
///
///     edge: r = s σ h + s S(h) + (τ + tilt of the table) h - δ_u(P) + offset + drift - g r
///     leg:  r =                - (τ + tilt of the table) ℓ - δ_z(P) + offset + drift - g r
///
/// σ is that of the certificate and grows old: + wear a year · years since. σ, S and g (lean and
/// form of the square, gain of the indicator) are one unknown in every check that uses the
/// instrument; the tilt τ by low spots under the base is one for each setting: where a check maps
/// the table there it is that of a base at rest on the map (square_seat.hpp), else a guess by the
/// class; the table's tilt against the motion of X or Y is one for all; δ is the error of the tool
/// point at the place of the reading. Turning the square, sweeping its leg, leaving readings out:
/// the same rows.
///
/// Sources: ISO 230-1 for the measured errors; Evans, Hocken, Estler, CIRP Annals 45/2 (1996) 617
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

/// One setting of the square: where it stood turned, and what was read.
struct SquareSetting {
    bool leg_towards_plus = true;      ///< its base leg points to + of the horizontal axis
    std::vector<double> leg_stations;  ///< coordinates along the leg; empty if it was not swept (m)
    std::vector<double> leg_readings;  ///< surface minus tool along +Z (m)
    std::vector<double> edge_readings; ///< surface minus tool along + of the horizontal axis (m)
    std::optional<double> closing;     ///< first station read again at the end (m)
    std::vector<double>
        edge_spread;               ///< standard deviation of repeats at each station (m), or empty
    std::vector<int> edge_repeats; ///< readings averaged at each station, or empty for one each
};

/// Z against the motion of X or Y with a square: an indicator in the spindle follows its edge.
struct SquareCheck {
    std::string name;
    Date date;
    Axis across = Axis::x; ///< horizontal axis of the plane: X for ZX, Y for ZY
    std::string square;    ///< name of the square
    std::string indicator; ///< name of the indicator
    Eigen::Vector3d place =
        Eigen::Vector3d::Zero();         ///< X and Y of the edge, Z of the leg's top (m)
    double gauge_length = 0;             ///< spindle gauge point to the indicator's tip (m)
    double base = 0;                     ///< length of the square's base on the table (m)
    std::optional<double> low_spot;      ///< depth of the table's low spots under the base (m)
    std::vector<double> stations;        ///< Z coordinates of the readings along the edge (m)
    std::vector<SquareSetting> settings; ///< one, or two with the square turned round
    std::optional<double> base_width;    ///< across the leg; none: a fifth of the base (m)
    std::optional<double> weight_at; ///< from the edge along the leg; none: a third of the base (m)
};

/// Adds the rows of the check to `observations`, and to the model the unknowns it brings in.
/// @throws InputError [check-shape], [instrument-unknown]
void observe(MachineModel& model, const SquareCheck& check, std::vector<Observation>& observations);

/// The lean of Z as the check sees it: change of the horizontal error over the heights read, at its
/// place and on its day (rad).
std::vector<Measurand> measured_by(const MachineModel& model, const SquareCheck& check);

} // namespace holdable
