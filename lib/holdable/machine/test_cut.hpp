// SPDX-License-Identifier: MIT
/// Test cuts: what was measured on parts that this machine made.
///
/// Only what has a sign can be averaged into the errors of a machine: how far apart two holes are,
/// along X, along Y or straight across, and how a bore leans against a face cut in the same set-up.
/// With the error δ of the tool point where it was (tool_path.hpp), the deviation of the part,
/// measured less nominal, is
///
///     distance: e = v · (δ(second) - δ(first)) - L (α_p θ_p - α_s θ_s) + lost motion + scatter
///     lean:     e = (slope of the axis + slope of the face) along X or Y + scatter
///
/// and the mean of n parts is one reading of it, with gauge and s/√n. v: the direction measured, L
/// the distance along it, θ warmer than 20 °C while it was cut, p the part, s the machine's scales.
/// Lost motion is in a distance where the holes were approached from any side: ± the class's
/// figure.
///
/// The scatter of the parts is the process's own: a job may take it over (`Scatter::from`), with
/// the gauge's share of it removed. What else varied from part to part in that run is then covered
/// by it and is not counted twice; the run says what did.
///
/// Source: weighing test cuts as one more observation is the least squares of state.hpp; expansion
/// as in ISO/TR 16015. Typical values of what was not stated are common practice, no source.
#pragma once

#include "holdable/base/date.hpp"
#include "holdable/machine/tool_path.hpp"
#include "holdable/propagate/input.hpp"

#include <Eigen/Core>

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace holdable {

struct Measurand;
struct Observation;

/// What was measured on the parts.
enum class CutQuantity { along_x, along_y, distance, lean_x, lean_y };

/// Whether it is the lean of one bore, else a distance of two.
inline bool is_lean(CutQuantity quantity) {
    return quantity == CutQuantity::lean_x || quantity == CutQuantity::lean_y;
}

/// What the parts were measured with.
struct CutGauge {
    std::string name;
    double standard = 0; ///< standard uncertainty that all parts share (m or rad)
    Evidence evidence = Evidence::certificate;
    double repeatability = 0; ///< standard deviation of one measurement, in the scatter (m or rad)
};

/// How warm it was while the parts were cut.
struct CutWarmth {
    std::string material;  ///< of the part, as in standards/expansion.hpp
    double part = 293.15;  ///< (K)
    double scale = 293.15; ///< of the machine's screws or scales (K)
    double doubt = 3;      ///< half-width of each (K)
    bool doubt_stated = false;
};

/// Parts of one run, measured.
struct TestCut {
    std::string name;
    Date date;
    CutQuantity quantity = CutQuantity::distance;
    Bore first;            ///< the bore; of a distance the one it is measured from
    Bore second;           ///< of a distance the one it is measured to
    MilledFace face;       ///< of a lean
    bool one_side = false; ///< both holes were approached from the same side
    std::vector<double>
        readings; ///< measured less nominal at 20 °C, one a part, two or more (m or rad)
    CutGauge gauge;
    CutWarmth warmth;                 ///< of a distance
    std::vector<std::string> covered; ///< keys of the process that varied between these parts
};

/// The scatter of a process.
struct CutScatter {
    double standard = 0; ///< standard deviation from part to part, the gauge's removed (m or rad)
    double dof = 0;      ///< its degrees of freedom
    bool gauge_hides_it = false; ///< the gauge's is as large: nothing was removed
};

/// Of the quantity measured; a hole's place scatters by 1/√2 of a distance between two.
/// @throws InputError [check-shape] with fewer than two parts
CutScatter cut_scatter(const TestCut& cut);

class MachineModel;

/// Adds the reading of the cut to `observations`, and to the model the unknowns it brings in.
/// @throws InputError [check-shape], [feature-outside], [material-unknown]
void observe(MachineModel& model, const TestCut& cut, std::vector<Observation>& observations);

/// The deviation that the machine by itself gives such a part, on the day of the cut (m or rad).
std::vector<Measurand> measured_by(const MachineModel& model, const TestCut& cut);

} // namespace holdable
