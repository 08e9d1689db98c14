// SPDX-License-Identifier: MIT
/// A gauge for parts, as the shop describes it once, and its use for one characteristic.
#pragma once

#include "holdable/decide/inspection.hpp"

#include <optional>
#include <string>

namespace holdable::decide {

/// What the readings of a gauge err by, whatever part it measures.
///
/// Of a position or a profile its doubts are those of one coordinate; the value is twice the
/// largest of them, and errs by twice as much. Of a lean or a form they are those of the value.
struct PartGauge {
    std::string name;
    Inspection how; ///< all but the characteristic, its limits, its size, and what the part is of
    std::optional<double> smallest{}, largest{}; ///< sizes that it takes (m)
    std::string indicator{};                     ///< of the machine file, that reads; else empty
    std::string square{};               ///< of the machine file, a lean is read against; else empty
    std::optional<double> gauge_length; ///< of a probe on the machine that cuts the part (m)

    /// The part stays on the machine that cut it, and that machine measures it.
    bool on_machine() const { return gauge_length.has_value(); }
};

/// A requirement of the print as a gauge meets it.
struct Asked {
    std::string characteristic;    ///< in words
    double nominal = 0;            ///< size over which part and gauge expand, may be 0 (m)
    std::optional<double> lower{}; ///< limit; none: a zone that begins at 0 (m)
    double upper = 0;              ///< limit (m)
    double times = 1;              ///< what the value errs by, in errors of the reading
    Body part{};                   ///< of which only the expansion is looked at
};

/// Measuring that with the gauge. All lengths that come from the gauge are multiplied by `times`.
Inspection inspection_with(const PartGauge& gauge, const Asked& asked);

} // namespace holdable::decide
