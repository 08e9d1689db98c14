// SPDX-License-Identifier: MIT
/// General tolerances: what holds where the drawing names only a class, such as "ISO 2768-mK".
///
/// The small letter is the class of ISO 2768-1:1989 for lengths, radii, chamfers and angles: f
/// fine, m medium, c coarse, v very coarse. Each is a half-width: the true value may lie that far
/// to either side of the drawing's. The capital, H, K or L, is the class of ISO 2768-2:1989 for
/// form and place; each of those is the full width of a zone. That part was withdrawn in 2021:
/// drawings that name it still mean its values.
///
/// Steps run from over one limit up to and including the next; sizes are compared to 1e-9 of
/// themselves. Below 0.5 mm there is no general tolerance: the drawing must state one beside the
/// size.
///
/// Sources: lengths, straightness, flatness and symmetry from printed copies (copies that differ
/// are about; these agree with memory). Radii, angles, perpendicularity and run-out from memory,
/// not confirmed: look them up before a part is refused by one of them.
#pragma once

#include <optional>
#include <string_view>

namespace holdable {

/// The classes a drawing names.
struct GeneralClass {
    char dimension = 'm'; ///< 'f', 'm', 'c' or 'v'
    std::optional<char>
        geometry{}; ///< 'H', 'K' or 'L'; none: form and place have no general tolerance
};

/// The classes written as "m" or "mK". @throws InputError [general-tolerance], naming what is known
GeneralClass general_class(std::string_view text);

// All that follow throw InputError [general-tolerance] for another class, and outside the table,
// saying where it ends.

/// Half-width for a length, a diameter, a depth: size 0.5 mm … 4 m, f to 2 m, v from over 3 mm (m).
double general_length(double size, char dimension);

/// Half-width for an outside radius or the height of a chamfer: size from 0.5 mm (m).
double general_edge(double size, char dimension);

/// Half-width for an angle (rad); `leg` is its shorter leg, above 0 (m).
double general_angle(double leg, char dimension);

/// Width of the zone of straightness or flatness (m). `length` of the line, of the longer side of
/// the surface, or its diameter: above 0 up to 3 m (m).
double general_flatness(double length, char geometry);

/// Width of the zone of perpendicularity (m); `length` of the shorter leg, above 0 up to 3 m (m).
double general_perpendicularity(double length, char geometry);

/// Width of the zone of symmetry (m); `length` of the shorter of both features, above 0 up to 3 m
/// (m).
double general_symmetry(double length, char geometry);

/// Circular run-out, full reading (m).
double general_run_out(char geometry);

} // namespace holdable
