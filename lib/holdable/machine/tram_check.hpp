// SPDX-License-Identifier: MIT
/// Tilt of the spindle's average line by a sweep: an indicator on a bar is turned round by hand.
///
/// Equation. The tip turns on a circle of the radius R; at the angle φ, 0 at +X and on to +Y seen
/// from above, it stands at t = (R cos φ, R sin φ, -L) from the spindle's gauge point. The reading
/// is turned to "surface minus tool" along +Z:
///
///     r = R (B0C cos φ - A0C sin φ) - δ_z(P, t) + f(φ) + s(φ)
///         + a cos φ + b sin φ + d v + ΔR (r - r̄) / R + offset + drift - g r
///
/// δ_z holds the tilts of the three axes at that place, so that the pitch of X tilts a table that
/// is swept at the end of X. Two surfaces:
///  - the table: the spindle stands at the place P, and f = -R (p_x cos φ + p_y sin φ), with p_x,
///  p_y
///    the table not parallel to the motions of X and Y, one unknown in every check that meets it;
///    s is the form of the table at each spot;
///  - one block: it stays where it is on the table, and X and Y bring it under the tip, so that the
///    spindle stands at P = block - R (cos φ, sin φ), with δ_z at each of these places; f = 0, and
///    s is what the block's face and the tip's place on it add.
/// a, b: the spindle moves along its axis once a turn, which no sweep tells from a tilt; one
/// unknown in all sweeps. d: the lever lags where it is swept one way only, v = ±1 as the reading
/// before was lower or higher. g: gain of the indicator.
///
/// Without the rest, N equal steps give B = 2/(N R) Σ r cos φ, A = -2/(N R) Σ r sin φ; with four,
/// B = (r₀ - r₁₈₀)/2R, A = (r₂₇₀ - r₉₀)/2R, and r₀ + r₁₈₀ - r₉₀ - r₂₇₀ = 0 whatever the tilt: where
/// it is not, the table is not flat, or something moved. Four readings at other angles have such a
/// sum too (`Observation::balance`).
///
/// Source: ISO 230-1 for the tilts meant. Typical values of what was not stated are common
/// practice, no source.
#pragma once

#include "holdable/base/date.hpp"

#include <Eigen/Core>

#include <optional>
#include <string>
#include <vector>

namespace holdable {

class MachineModel;
struct Measurand;
struct Observation;

/// What a sweep touches.
enum class SweptSurface {
    table, ///< the table's own surface, another spot at each angle
    block  ///< one block or ground disc, brought under the tip by X and Y
};

/// A sweep of an indicator turned round with the spindle.
struct TramCheck {
    std::string name;
    Date date;
    std::string indicator;
    SweptSurface against = SweptSurface::table;
    Eigen::Vector3d place = Eigen::Vector3d::Zero(); ///< table: of the axes; block: of the axes
                                                     ///< when the spindle stands over the block (m)
    double gauge_length = 0;              ///< spindle gauge point to the indicator's tip (m)
    double sweep_diameter = 0;            ///< of the circle of the tip (m)
    std::optional<double> diameter_doubt; ///< half-width (m)
    std::optional<double> low_spot;       ///< depth of low spots where it touches (m)
    bool both_ways = false;               ///< readings are means of sweeps in both directions
    bool planned = false; ///< the readings are yet to come: zeros, of which none tells how the
                          ///< lever lags
    std::vector<double> angles;    ///< in the order of reading, 0 at +X, towards +Y (rad)
    std::vector<double> readings;  ///< surface minus tool along +Z (m)
    std::optional<double> closing; ///< first angle read again at the end (m)
    std::vector<double> spread;    ///< standard deviation of repeats at each angle (m), or empty
    std::vector<int> repeats;      ///< readings averaged at each angle, or empty for one each
};

/// Adds the rows of the check to `observations`, and to the model the unknowns it brings in.
/// @throws InputError [check-shape], [instrument-unknown]
void observe(MachineModel& model, const TramCheck& check, std::vector<Observation>& observations);

/// The tilts B0C and A0C of the spindle on the day of the check (rad).
std::vector<Measurand> measured_by(const MachineModel& model, const TramCheck& check);

} // namespace holdable
