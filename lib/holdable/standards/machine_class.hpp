// SPDX-License-Identifier: MIT
/// What a class of machine is like, for what nobody measured on this one.
///
/// Ranges for machines with about 400 × 300 × 300 mm of travel. They are experience (common
/// practice, no source): the user may override each, and an answer that rests on one says so.
/// The upper figure is taken as the 95 % point of the magnitude.
#pragma once

#include <span>
#include <string_view>

namespace holdable {

/// A range from the better to the worse machines of a class (SI units).
struct TypicalRange {
    double low;  ///< > 0
    double high; ///< > low, or = low where only a bound is known
};

/// The typical errors of one class of three-axis milling machine.
struct MachineClass {
    std::string_view name;        ///< as written in a file, e.g. "entry vmc"
    TypicalRange squareness;      ///< between two axes, magnitude (rad)
    TypicalRange straightness;    ///< peak to valley over the travel (m)
    TypicalRange angular;         ///< roll, pitch, yaw, peak to valley over the travel (rad)
    TypicalRange lead_per_300_mm; ///< positioning error, peak to valley in 300 mm (m)
    TypicalRange reversal;        ///< lost motion (m)
    TypicalRange repeatability;   ///< standard deviation, one direction of approach (m)
    TypicalRange runout_nose;     ///< total indicator reading at the spindle nose (m)
    TypicalRange runout_300_mm;   ///< total indicator reading 300 mm from the nose (m)
    TypicalRange tram;            ///< tilt of the spindle axis in one plane, magnitude (rad)
    TypicalRange table_flatness;  ///< minimum zone (m)
    TypicalRange spindle_growth;  ///< along Z, cold to warm (m)
    TypicalRange drift_8_h;       ///< tool against table, 8 h with a swing of 5 K (m)
    TypicalRange rocking;         ///< whole machine on its mounts as the table moves (rad)
};

/// All classes, from the coarsest to the finest.
std::span<const MachineClass> machine_classes();

/// The class of that name. @throws InputError [class-unknown], naming all classes
const MachineClass& machine_class(std::string_view name);

} // namespace holdable
