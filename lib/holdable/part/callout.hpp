// SPDX-License-Identifier: MIT
/// One requirement of the print: a characteristic, the feature that shall have it, and its datum.
///
/// Plain facts in SI units, coordinates as in feature.hpp.
#pragma once

#include "holdable/part/feature.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <variant>

namespace holdable {

/// The datum of an orientation: a plane about level.
struct PlaneDatum {
    enum class Kind {
        face,   ///< milled in the same set-up: built from its own errors over its extent
        seat,   ///< the table or parallels the part sits on
        touched ///< a face that was there: found by touching it; only heights come from it
    };

    Kind kind = Kind::face;
    std::string name; ///< as on the print, "A"
    Face face;        ///< of `face`, and where a `touched` one is touched
};

/// The datums of a position: two edges square to each other, the part lined up with X.
struct EdgeDatum {
    enum class Kind {
        picked_up, ///< found by edge finder, indicator or probe
        cut        ///< milled in the same set-up
    };

    Kind kind = Kind::picked_up;
    std::string name;       ///< as on the print, "A|B|C"
    double x = 0;           ///< coordinate of the edge that fixes X (m)
    double y = 0;           ///< coordinate of the edge that fixes Y (m)
    double height = 0;      ///< where they are touched or cut (m)
    double tool_length = 0; ///< of what touched or cut them (m)
};

/// A wall cut in the same set-up.
struct WallDatum {
    std::string name;
    Wall wall;
};

/// The axis of a bore, cut in the same set-up or in one before the part was turned over.
struct BoreDatum {
    std::string name;
    Hole hole;
    std::optional<Axis> flipped; ///< turned over about X or Y before the feature was cut
    bool indicated = true;       ///< found again at the bore itself, else by the edges
    double indicated_at = 0;     ///< height in the second set-up at which it is found (m)
    double thickness = 0;        ///< of the part between its two tops (m)
};

/// The holes of a pattern to each other: the zone floats.
struct EachOther {
    std::string name;
};

/// A datum; none for size and form.
using Datum = std::variant<std::monostate, PlaneDatum, EdgeDatum, WallDatum, BoreDatum, EachOther>;

/// What a characteristic is, in the words of ISO 1101 and ISO 14405.
enum class Requirement {
    position,
    perpendicularity,
    parallelism,
    angularity,
    flatness,
    straightness,
    roundness,
    cylindricity,
    profile,
    coaxiality,
    run_out,
    diameter,
    distance, ///< of two holes
    height,   ///< of a face over another plane; a depth too
    width,    ///< of a slot or a boss
    length    ///< of two walls, or of a wall and an edge
};

/// "position", "run-out", …
std::string_view word(Requirement requirement);

/// A size has two limits, all others a zone.
bool is_size(Requirement requirement);

/// Whether its zone is a cylinder, so that its width is a diameter.
bool is_diametral(Requirement requirement, const Feature& feature);

/// The two limits of a size.
struct SizeLimits {
    double nominal = 0;        ///< (m)
    double lower = 0;          ///< limit less nominal (m)
    double upper = 0;          ///< limit less nominal (m)
    std::optional<double> aim; ///< size the program is set to; none: the middle of the limits (m)
    std::string source;        ///< "as written", "H7 of ISO 286-1", "ISO 2768-m", "title block"

    double middle() const { return (lower + upper) / 2; }

    double half_width() const { return (upper - lower) / 2; }
};

/// How a form is evaluated.
enum class Evaluation { minimum_zone, least_squares };

/// One requirement of the print.
struct Callout {
    Requirement kind = Requirement::perpendicularity;
    std::string name;     ///< unique, as on the print: "bore 2"
    double tolerance = 0; ///< width or diameter of the zone; of a size half of the width (m)
    SizeLimits size;      ///< of a size
    Feature feature;
    Datum datum;
    Evaluation evaluation = Evaluation::minimum_zone;
    bool along_y = false;   ///< of a straightness on a face: the line runs along Y, else X
    bool one_way = false;   ///< of a distance: both holes approached from the same side
    std::string bonus_from; ///< at maximum material: name of the callout of the hole's size
    std::string setup;      ///< name of the set-up; callouts of one share what it shares
    std::string gauge;      ///< of the shop, that is to prove it; empty: none is named
    std::string written;    ///< as the user wrote the tolerance: "0.001 in"

    /// The first hole; makes the feature one where it is none.
    Hole& hole();
    const Hole& hole() const;

    /// The datum of that kind; makes it one where it is none.
    PlaneDatum& plane();
    const PlaneDatum& plane() const;
    EdgeDatum& edges();
    const EdgeDatum& edges() const;
};

/// The datum's letters as on the print; empty where there is none.
std::string_view datum_name(const Callout& callout);

} // namespace holdable
