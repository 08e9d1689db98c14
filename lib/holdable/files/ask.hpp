// SPDX-License-Identifier: MIT
/// A question in one line, as a shop writes it, and back into one line.
///
///     perp Ø.001 over 3.00 at 6,4
///     4X pos Ø.003 to A|B|C over .75 at 5,5 and 11,5 and 11,9 and 5,9, ...
///     10.000 ±.0005 between 3,6 and 13,6; Ø42 mm H7; par .0005 over 8 x 4 to seat
///
/// docs/ask.md has the whole grammar, with what is accepted and what is refused. Nothing is guessed
/// here: what the line leaves out is left empty, and `job_from` (ask_job.hpp) fills it and says so.
/// A number is kept as it was written, for its places say something: ".500" is not ".5".
#pragma once

#include "holdable/part/callout.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace holdable {

inline constexpr std::string_view ask_file = "--ask"; ///< stands for the file in diagnostics
inline constexpr std::size_t ask_bytes = 2000;        ///< no longer line is read

/// The units of a line.
enum class AskedUnit { inch, mm, um, thou, uin };

/// Its spelling: "in", "mm", "µm", "thou", "µin".
std::string_view word(AskedUnit unit);

/// Whether it is one of the inch.
bool of_inch(AskedUnit unit);

/// A length as written.
struct AskedLength {
    std::string number; ///< decimal, without exponent: ".500" of inches, "0.500" of others
    AskedUnit unit = AskedUnit::inch;
    int column = 0; ///< where it stands in the line, from 1; no part of what is asked

    double value() const; ///< (m)

    bool operator==(const AskedLength& other) const {
        return number == other.number && unit == other.unit;
    }
};

/// A place in plan, in the coordinates of the machine.
struct AskedPlace {
    AskedLength x, y;

    bool operator==(const AskedPlace&) const = default;
};

/// Length along X by width along Y.
struct AskedExtent {
    AskedLength x, y;

    bool operator==(const AskedExtent&) const = default;
};

/// A size with its limits; what stands beside the first number is in its unit.
struct AskedSize {
    enum class Form {
        plus_minus, ///< "10.000 ±.0005"
        deviations, ///< ".250 +.001/0"
        limits,     ///< "1.0005/1.0000"
        fit         ///< "42 H7"
    };

    Form form = Form::plus_minus;
    AskedLength first;  ///< nominal, or one of two limits
    std::string second; ///< the half-width, the upper deviation with its sign, the other limit, the
                        ///< fit
    std::string third;  ///< the lower deviation with its sign, else empty

    bool operator==(const AskedSize&) const = default;
};

/// As `parse_size` reads it, its unit in it: "10.000 ±.0005 in", "42 mm H7".
std::string size_text(const AskedSize& size);

/// What kind of datum a line names.
enum class AskedDatum {
    none,
    plane,     ///< "to A"
    seat,      ///< "to seat"
    edges,     ///< "to A|B|C"
    each_other ///< "to each other"
};

/// One callout of a line.
struct AskedCallout {
    Requirement kind = Requirement::perpendicularity;
    std::optional<AskedLength> tolerance; ///< of all but sizes
    std::optional<AskedSize> size;        ///< of sizes
    bool depth = false;                   ///< of a height: downwards
    bool axis = false;                    ///< of a straightness: of a hole's axis, else a line
    int count = 1;                        ///< of holes made alike
    std::vector<AskedPlace> places;       ///< of holes, the middle of a face; empty: not said
    std::optional<AskedLength> circle;    ///< diameter on which the holes lie, round the one place
    std::optional<AskedLength> over;      ///< depth of a hole, length of a line
    std::optional<AskedExtent> extent;    ///< of a face
    std::optional<AskedLength> of;        ///< nominal diameter of a round
    AskedDatum datum = AskedDatum::none;  ///< none: not said
    std::string datum_name;               ///< "A" or "A|B|C", else empty
    std::optional<HoleMaking> making;
    bool along_y = false; ///< of a line on a face: it runs along Y, else X

    bool operator==(const AskedCallout&) const = default;
};

/// What was asked.
struct AskedQuestion {
    std::vector<AskedCallout> callouts;
    std::string material;             ///< as in standards/expansion.hpp; empty: not said
    std::optional<int> quantity;      ///< parts
    bool critical = false;            ///< lifting, pressure, medical, flight
    std::optional<AskedExtent> part;  ///< outline
    std::optional<AskedPlace> corner; ///< of the part, its least X and Y
    bool inch = false;                ///< family of the unit of the first callout

    bool operator==(const AskedQuestion&) const = default;
};

/// Whether its feature is a hole or several; else it is a face.
bool of_holes(const AskedCallout& callout);

/// Reads a line.
/// @param inch_shop unit of bare numbers where the line states none
/// @throws InputError with all that is wrong, by column: [ask-...], [unit-refused],
/// [tolerance-zero], [quantity-zero], [holes-many] and as `parse_size`
AskedQuestion read_ask(std::string_view line, bool inch_shop);

/// Writes it in the one canonical way: `read_ask(write_ask(q), any) == q` for every q that
/// `read_ask` returned.
std::string write_ask(const AskedQuestion& question);

/// Calls `f` with each length of a question, in the order in which `write_ask` writes them.
template <class Question, class F>
void for_each_length(Question& question, F f) {
    for (auto& c : question.callouts) {
        if (c.tolerance)
            f(*c.tolerance);
        if (c.size)
            f(c.size->first);
        if (c.of)
            f(*c.of);
        if (c.over)
            f(*c.over);
        if (c.extent) {
            f(c.extent->x);
            f(c.extent->y);
        }
        if (c.circle)
            f(*c.circle);
        for (auto& place : c.places) {
            f(place.x);
            f(place.y);
        }
    }
    if (question.part) {
        f(question.part->x);
        f(question.part->y);
    }
    if (question.corner) {
        f(question.corner->x);
        f(question.corner->y);
    }
}

} // namespace holdable
