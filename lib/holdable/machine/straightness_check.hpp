// SPDX-License-Identifier: MIT
/// Straightness of an axis by a straightedge and an indicator, the edge turned over if it was.
///
/// The straightedge lies along the axis that moves, an indicator in the spindle touches its edge
/// across. With q the coordinate of the moving axis, d the distance from the marked end of the
/// straightedge, u = d / length, f = +1 where the edge faces + of the direction and -1 where -, and
/// r turned to surface minus tool along + of the direction:
///
///     r = f S(d) - γ 4u(1 - u) + β 4u(1 - u) + ψ q - δ(q) + offset + drift - g r
///
/// S is how far the edge stands out there, one unknown whenever this straightedge is read at d; γ
/// its sag, in the vertical direction only, which does not turn over; β its bend by warmth and ψ
/// how it was laid down, new in each setting. Turned half a turn about its long axis and read on
/// the same edge, its form comes out: δ = -(r₊ + r₋) / 2 but for a line. How the axis goes between
/// stations is left to its curve.
///
/// Sources: ISO 230-1 for the error; Evans, Hocken, Estler, CIRP Annals 45/2 (1996) 617 for
/// reversal. Typical values of what was not stated are common practice, no source.
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

/// One way of laying the straightedge down.
struct StraightnessSetting {
    bool faces_plus = true;        ///< its edge faces + of the direction
    std::vector<double> readings;  ///< surface minus tool along + (m)
    std::optional<double> closing; ///< first station read again at the end (m)
    std::vector<double> spread;    ///< standard deviation of repeats at each station (m), or empty
    std::vector<int> repeats;      ///< readings averaged at each station, or empty for one each
};

/// Straightness of one axis in one direction.
struct StraightnessCheck {
    std::string name;
    Date date;
    Axis axis = Axis::x;      ///< that moves
    Axis direction = Axis::y; ///< in which it is read, another one
    std::string straightedge;
    std::string indicator;
    Eigen::Vector3d place = Eigen::Vector3d::Zero(); ///< position of the other axes (m)
    double gauge_length = 0;                   ///< spindle gauge point to the indicator's tip (m)
    double marked_end = 0;                     ///< where the moving axis is over that end (m)
    std::optional<double> sag;                 ///< at most, between its supports (m)
    std::vector<double> stations;              ///< coordinates of the moving axis (m)
    std::vector<StraightnessSetting> settings; ///< one, or two with the straightedge turned over
};

/// Most that a straightedge sags on supports at its ends, where nothing is stated: steel, 50 mm
/// deep (m). @param length of its edge (m)
double typical_sag(double length);

/// Adds the rows of the check to `observations`, and to the model the unknowns it brings in.
/// @throws InputError [check-shape], [instrument-unknown]
void observe(MachineModel& model,
             const StraightnessCheck& check,
             std::vector<Observation>& observations);

/// The error at the station nearest to the middle over the line through both ends, at its place and
/// on its day (m).
std::vector<Measurand> measured_by(const MachineModel& model, const StraightnessCheck& check);

} // namespace holdable
