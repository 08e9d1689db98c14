// SPDX-License-Identifier: MIT
/// Spindle axis against the motion of Z: a test bar in the spindle passes an indicator on the
/// table.
///
/// Equation. The indicator stands on the table at the height H, on the side f = ±1 of the bar. With
/// Z at z it touches the bar at ℓ = z + nose_to_table - H from the spindle's gauge point, so that
/// the tool vector is (0, 0, -ℓ) and grows as Z rises. The reading is turned to "bar minus
/// indicator" along the horizontal axis u, X or Y:
///
///     in XZ: r = δ_x(P, ℓ) - ℓ B0C + (bar)    in YZ: r = δ_y(P, ℓ) + ℓ A0C + (bar)
///     (bar) = c(ψ) · (ℓ t + w(ℓ)) + f (v(ℓ) + taper) + approach (z - z₀) + offset + drift - g r
///
/// so the slope of r over z is B0Z - B0C, in YZ -(A0Z - A0C), besides straightness and tilts of Z,
/// which δ holds. t, the tilt of the bar in its seat, and w, the straightness of its axis, turn
/// with it: c(ψ) = (cos ψ, -sin ψ) in XZ, (sin ψ, cos ψ) in YZ, where the spindle was turned by ψ
/// from +X to +Y; at 0 and 180° they cancel. What does not: the radius v of the bar at each place,
/// its taper over the run, and the clearance of the ways, read in one direction. g: gain of the
/// indicator.
///
/// Source: ISO 230-1 for parallelism of an axis of rotation to a motion. Typical values of what was
/// not stated are common practice, no source.
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

/// One traverse along the bar.
struct TestBarSetting {
    double turned = 0;             ///< the spindle with its bar, from +X towards +Y (rad)
    std::vector<double> readings;  ///< bar minus indicator along + of the horizontal axis (m)
    std::optional<double> closing; ///< first station read again at the end (m)
    std::vector<double> spread;    ///< standard deviation of repeats at each station (m), or empty
    std::vector<int> repeats;      ///< readings averaged at each station, or empty for one each
};

/// A bar in the spindle, an indicator on the table, Z moves.
struct TestBarCheck {
    std::string name;
    Date date;
    Axis across = Axis::x; ///< X for the XZ plane, Y for the YZ plane
    std::string indicator;
    double x = 0, y = 0;            ///< of the axes (m)
    double height = 0;              ///< of the indicator's tip above the table (m)
    bool on_plus_face = true;       ///< it touches the side that looks to + of the horizontal axis
    std::optional<double> bar_form; ///< of the bar: cylindricity as a zone (m)
    std::vector<double> stations;   ///< coordinates of Z (m)
    std::vector<TestBarSetting> settings; ///< one, or two with the spindle turned by half a turn
};

/// Adds the rows of the check to `observations`, and to the model the unknowns it brings in.
/// @throws InputError [check-shape], [instrument-unknown]
void observe(MachineModel& model,
             const TestBarCheck& check,
             std::vector<Observation>& observations);

/// The tilt of the spindle in the plane of the check, on its day (rad).
std::vector<Measurand> measured_by(const MachineModel& model, const TestBarCheck& check);

} // namespace holdable
