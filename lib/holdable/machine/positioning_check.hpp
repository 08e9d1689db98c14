// SPDX-License-Identifier: MIT
/// Positioning of an axis against gauge blocks, a step gauge or an instrument that reads how far it
/// went, approached from both sides.
///
/// Equation. At the target c an axis stands at c + δ(c), δ its error of the tool point along itself
/// with the tilts of all axes at that place (Abbe), ∓ half of its lost motion L where it came
/// towards + or towards -. At 20 °C its own scale would be out by δ; warmer by θ_s it grows by
/// α_s θ_s, the standard by α_g θ_g. With r from the first target along the axis, σ = ±1 as the
/// lengths grow towards + or -, ℓ the length at the target and d its certified deviation, a reading
/// m "surface minus tool" gives the deviation, that is actual less target position, as
///
///     x = σ (ℓ + d) - c - m                              (blocks, step gauge)
///     x = displacement read - (c - c of the first target) (displacement)
///
/// and of either it is known that
///
///     x = δ(c) ∓ L/2 + (α_s θ_s - α_g θ_g) r - r φ²/2 - σ e - b r - σ u
///         + w₁ cos 2πc/p + w₂ sin 2πc/p + g m + offset + drift
///
/// φ: the standard lies skew to the axis, so that it shows too little. e: error of that length, one
/// unknown in all checks that use it; b: what is common to all lengths of the standard; u: the
/// setting of a block. Each of α_s, α_g, θ_s, θ_g has its doubt, and one thermometer is off by the
/// same for both. w₁, w₂: the short-wave error of a screw of the lead p, not in the curves of the
/// state. Where all targets are whole leads apart it is the same at each of them and vanishes in
/// the offset: nothing is learnt of it (`whole_leads_apart`). g: gain of the indicator.
///
/// A row is the mean of the runs of one direction at one target; their scatter is pooled over the
/// check. It is the repeatability of the axis in one direction, read with that instrument. Drift is
/// taken as linear over the whole check.
///
/// The figures of ISO 230-2 (iso_230_2.hpp) come from the same deviations and enter nothing.
///
/// Source: ISO 230-2 for the procedure; expansion as in ISO/TR 16015. Typical values of what was
/// not stated are common practice, no source.
#pragma once

#include "holdable/base/date.hpp"
#include "holdable/machine/iso_230_2.hpp"
#include "holdable/machine/kinematics.hpp"

#include <Eigen/Core>

#include <optional>
#include <string>
#include <vector>

namespace holdable {

class MachineModel;
struct Measurand;
struct Observation;
struct Shop;

/// One pass over all targets.
struct PositioningRun {
    bool towards_plus = true;     ///< every target was approached towards +
    std::vector<double> readings; ///< in the order of the targets: surface minus tool along +, or,
                                  ///< of a displacement, what is read less what was commanded (m)
};

/// An axis compared with lengths.
struct PositioningCheck {
    std::string name;
    Date date;
    Axis axis = Axis::x;
    std::string standard;
    std::string indicator;                           ///< empty: the standard reads by itself
    Eigen::Vector3d place = Eigen::Vector3d::Zero(); ///< of the other axes (m)
    double gauge_length = 0;     ///< spindle gauge point to the tip, or to what is measured (m)
    std::vector<double> targets; ///< coordinates of the axis, two or more (m)
    std::vector<double> lengths; ///< of the standard, one a target; displacement: empty (m)
    std::optional<double> lead;  ///< of the screw; none: no screw decides the place (m)
    double scale_expansion = 0;  ///< of the machine's own scale or screw (1/K)
    double scale_expansion_doubt = 0;     ///< half-width (1/K)
    double scale_warmer = 0;              ///< than 20 °C (K)
    std::optional<double> scale_doubt;    ///< of `scale_warmer` against the thermometer (K)
    double standard_warmer = 0;           ///< than 20 °C (K)
    std::optional<double> standard_doubt; ///< of `standard_warmer` against the thermometer (K)
    std::optional<double> thermometer;    ///< how far it may be off (K)
    std::optional<double> skew;           ///< of the standard to the axis, at most (rad)
    std::vector<PositioningRun> runs;     ///< in the order of time
    std::optional<double> closing;        ///< first reading of all taken again at the end (m)
    bool planned =
        false; ///< the readings are yet to come, zeros: the axis repeats as it did before
};

/// Whether all targets are whole multiples of the lead apart, within 2 % of it.
bool whole_leads_apart(const std::vector<double>& targets, double lead);

inline constexpr double nearest_length = 1e-3; ///< of a target to the end of its length (m)

/// +1 where lengths grow towards +, -1 where towards -. @param targets,lengths of the same number
double length_sign(const std::vector<double>& targets, const std::vector<double>& lengths);

/// Deviations reduced to 20 °C, actual less target, as `iso_230_2` wants them.
/// @throws InputError [check-shape], [instrument-unknown]
PositioningRuns deviations(const Shop& shop, const PositioningCheck& check);

/// How an axis repeats, approached from one side.
struct AxisRepeatability {
    double standard = 0;           ///< standard deviation (m)
    double degrees_of_freedom = 0; ///< of it; 0 = the upper figure of the class
};

/// Pooled over the checks of the axis made by a day, since it was last crashed or adjusted.
/// @throws InputError [class-unknown], [instrument-unknown]
AxisRepeatability repeatability(const Shop& shop, Axis axis, Date day);

/// Adds the rows of the check to `observations`, and to the model the unknowns it brings in.
/// @throws InputError [check-shape], [instrument-unknown]
void observe(MachineModel& model,
             const PositioningCheck& check,
             std::vector<Observation>& observations);

/// The scale of the axis between the outermost targets, at 20 °C (m/m), and, if it was approached
/// from both sides, its lost motion (m), on the day of the check.
std::vector<Measurand> measured_by(const MachineModel& model, const PositioningCheck& check);

} // namespace holdable
