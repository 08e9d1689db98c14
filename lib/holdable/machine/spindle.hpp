// SPDX-License-Identifier: MIT
/// What a state says of the spindle's run-out, at any distance from its nose.
///
/// The run-out is 2|e(ℓ)|, e the vector of `MachineModel::run_out`, interpolated along a straight
/// bar: what stands skew to the axis may run truer in the middle than at both ends. Its doubt is of
/// first order, along e; where the run-out is not larger than twice the doubt it is only an order
/// of magnitude. A tool put in anew adds the scatter of a seat to it.
#pragma once

#include "holdable/machine/state.hpp"

namespace holdable {

/// The spindle's run-out at a distance from the nose.
struct RunOut {
    double length = 0;            ///< from the nose (m)
    double total = 0;             ///< total indicator reading of a true bar, mean of seats (m)
    double standard = 0;          ///< its standard uncertainty (m)
    double standard_by_class = 0; ///< the same before any reading (m)
    double high_at = 0; ///< angle of the high spot from the mark on the spindle, 0 … 2π (rad)
    double seat_scatter = 0;     ///< of a seat: 2 · standard deviation of a component of e (m)
    bool seats_measured = false; ///< else the scatter is typical
};

/// The run-out on the day of the state. @param length from the nose, ≥ 0 (m)
RunOut run_out_at(const MachineState& state, double length);

/// Farthest place from the nose at which a run-out was read; 300 mm where none was (m).
double run_out_reach(const Shop& shop);

} // namespace holdable
