// SPDX-License-Identifier: MIT
/// Run-out of the spindle by a test bar, at its nose and at a length, re-seated several times.
///
/// Equation. Total indicator reading and high spot are a vector, the place e of the bar's centre in
/// a frame that turns with the spindle: |e| = total / 2, towards the high spot at the angle φ from
/// a mark on the spindle. In seat i, with the bar put in turned by θ against the spindle,
///
///     at the nose   e = n + R(θ) b_n + d_i              n, t: the spindle
///     (`MachineModel::run_out`) at the length e = n + ℓ t + R(θ) b_ℓ + d_i + ℓ q_i
///
/// b is what the bar itself adds at each place, and turns with it: seats at θ = 0 and 180° part it
/// from the spindle. d_i, q_i: how seat i differs, shift and tilt. Each vector gives two rows,
/// along the high spot (|e|) and across it (0), so that a doubtful angle of the high spot does not
/// touch the length of the vector.
///
/// Spread of the seats. With enough seats it is read off them, by least squares for n and b, with 2
/// degrees of freedom for each seat beyond those: it holds the repeat of the indicator and of the
/// angle, and has a scale input, since few seats say little. One seat alone gets a typical spread,
/// and the doubts of its readings beside it. The last digit is added where the spread is below half
/// of it. An indicator at a slow turn sees this eccentricity only, not the error motion of the
/// bearings (ISO 230-7).
///
/// Typical values of what was not stated are common practice, no source.
#pragma once

#include "holdable/base/date.hpp"
#include "holdable/propagate/input.hpp"

#include <optional>
#include <string>
#include <vector>

namespace holdable {

class MachineModel;
struct Measurand;
struct Observation;

/// A run-out as read.
struct RunOutReading {
    double total = 0;   ///< total indicator reading (m)
    double high_at = 0; ///< angle of the high spot from the mark, to the left seen from above (rad)
};

/// One seating of the bar.
struct RunOutSeat {
    double bar_turned = 0; ///< the bar against the spindle, to the left seen from above (rad)
    RunOutReading nose;
    std::optional<RunOutReading> at_length; ///< in all seats or in none
};

/// A test bar read at the nose, and perhaps at a length from it.
struct RunOutCheck {
    std::string name;
    Date date;
    std::string indicator;
    double length = 0;                 ///< of the second place from the nose (m)
    std::optional<double> bar_total;   ///< run-out of the bar itself, total (m)
    std::optional<double> angle_doubt; ///< half-width of the angle of a high spot (rad)
    std::vector<RunOutSeat> seats;
    bool planned = false; ///< the readings are yet to come: zeros, of which none tells a scatter
};

/// How seats differ, each of two components.
struct SeatScatter {
    double shift = 0;              ///< at the nose, standard deviation (m)
    double tilt = 0;               ///< standard deviation (rad)
    double degrees_of_freedom = 0; ///< 0: typical, not measured
};

/// What is usual where nobody seated a bar more than once.
SeatScatter typical_seat_scatter();

/// What the seats of a check say of the scatter. @throws InputError [check-shape]
SeatScatter seat_scatter(const RunOutCheck& check);

/// Adds the rows of the check to `observations`, and to the model the unknowns it brings in.
/// @throws InputError [check-shape], [instrument-unknown]
void observe(MachineModel& model, const RunOutCheck& check, std::vector<Observation>& observations);

/// The total indicator reading of a true bar at the nose, and at the length if that was read, as
/// far as it points to where these readings say; on the day of the check (m).
std::vector<Measurand> measured_by(const MachineModel& model, const RunOutCheck& check);

} // namespace holdable
