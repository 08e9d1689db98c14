// SPDX-License-Identifier: MIT
/// What a customer asks for, and how the shop means to cut it.
///
/// Plain facts in SI units. X and Y are machine coordinates; heights are above the table. The tip
/// of a tool of length L stands at height h when Z = h + L - nose_to_table.
#pragma once

#include "holdable/base/date.hpp"
#include "holdable/machine/kinematics.hpp"
#include "holdable/propagate/input.hpp"

#include <Eigen/Core>

#include <array>
#include <optional>
#include <string>
#include <vector>

namespace holdable {

/// A doubt about the process: a half-width (rectangular), and what it rests on.
struct Allowance {
    double half_width = 0; ///< (unit of what it is about)
    Evidence evidence = Evidence::typical;
    std::string basis; ///< in words, as "electronic edge finder"
};

/// Scatter from part to part, seen or typical.
struct Scatter {
    double standard_deviation = 0; ///< (m or rad)
    double dof = 0;                ///< degrees of freedom if it comes from readings, 0 = well known
    double mean = 0;               ///< mean of the readings, a known error (m or rad)
    int readings = 0;              ///< how many, 0 if it is not from readings
    Evidence evidence = Evidence::typical;
    std::string basis;
    std::string from = {}; ///< name of the test cut that shows it; then only that, and `basis`
};

/// How a hole is made: it decides what its axis follows.
enum class HoleMaking {
    bored,  ///< single point, fed by Z: follows the travel of Z
    reamed, ///< follows its pilot, which is bored
    drilled ///< wanders from the travel of Z
};

/// What the job knows of its process. An empty field is not known: where a callout needs it, the
/// answer is "can't say". `typical()` fills all with documented defaults of the trade.
struct Process {
    std::optional<Allowance> work_zero; ///< finding each datum edge, per axis (m); set-up
    std::optional<Allowance>
        location; ///< putting each part into the same place, per axis (m); part
    std::optional<Scatter> axis_repeat; ///< repeatability of X and Y, one direction (m); part
    std::optional<Allowance> reversal;  ///< lost motion left after compensation (m); job
    std::optional<Allowance> drift;     ///< tool against table within the job, per axis (m); part
    std::optional<Scatter> hole_direction; ///< direction of the hole in each plane (rad); part
    std::optional<Scatter> hole_place;     ///< where the tool starts, per axis (m); part
    std::optional<Allowance> seat; ///< seat of the part on table or parallels, tilt (rad); set-up
    std::optional<Allowance> tool_size; ///< diameter of the tool that cut the datum edges (m); tool
};

/// Fills what is empty with the defaults of the trade for this way of making holes and this class
/// of machine. @source ranges of experience (common practice, no source), the upper figure of each
Process typical_process(const Process& given, HoleMaking making, std::string_view machine_class);

/// A rectangle on the part or the table (m).
struct Extent {
    double x_low = 0, x_high = 0, y_low = 0, y_high = 0;
};

/// The datum of an orientation.
struct OrientationDatum {
    enum class Kind {
        face, ///< milled in the same set-up: built from its own errors over its extent
        seat  ///< the table or parallels the part sits on
    };

    Kind kind = Kind::face;
    std::string name;             ///< as on the print, "A"
    std::optional<Extent> extent; ///< of the face; none = the whole part is taken, and said
    double height = 0;            ///< of the face (m)
    double tool_length = 0;       ///< of the tool that cut it (m)
};

/// The datums of a position: two edges square to each other, the part lined up with X.
struct PositionDatum {
    enum class Kind {
        picked_up, ///< found by edge finder, indicator or probe
        cut        ///< milled in the same set-up
    };

    Kind kind = Kind::picked_up;
    std::string names;      ///< as on the print, "A|B|C"
    double x = 0;           ///< coordinate of the edge that fixes X (m)
    double y = 0;           ///< coordinate of the edge that fixes Y (m)
    double height = 0;      ///< where they are touched or cut (m)
    double tool_length = 0; ///< of what touched or cut them (m)
};

/// One requirement of the print.
struct Callout {
    enum class Kind {
        perpendicularity, ///< of a hole's axis to a face, diametral zone
        position          ///< of a hole's axis, diametral zone, both ends
    };

    Kind kind = Kind::perpendicularity;
    std::string name;       ///< unique, as on the print: "bore 2"
    double tolerance = 0;   ///< diameter of the zone (m)
    double x = 0, y = 0;    ///< true position of the hole (m)
    double top = 0;         ///< height of the hole's upper end (m)
    double depth = 0;       ///< length of the hole considered (m)
    double tool_length = 0; ///< of the tool that makes it (m)
    HoleMaking making = HoleMaking::bored;
    OrientationDatum orientation; ///< for perpendicularity
    PositionDatum position;       ///< for position
    std::string written;          ///< as the user wrote the tolerance: "0.001 in"
};

/// Temperatures while cutting; none given = typical doubt about 20 °C.
struct Temperatures {
    double part = 293.15;  ///< mean while cut (K)
    double scale = 293.15; ///< of screws or scales (K)
    double doubt = 3;      ///< half-width of each, rectangular (K)
    Evidence evidence = Evidence::typical;
    bool stated = false; ///< the job says so
};

/// A job.
struct Job {
    std::string name;
    std::string material; ///< as in standards/expansion.hpp
    int quantity = 1;
    std::optional<Date> date;    ///< day of cutting
    bool critical = false;       ///< lifting, pressure, medical, flight
    std::optional<Extent> part;  ///< outline of the part on the table
    bool several_setups = false; ///< the promise covers several set-ups
    Process process;
    bool process_typical = false;   ///< "process": "typical" was written
    std::optional<double> duration; ///< from setting the zero to the last cut (s); none: a shift
    double warmed_up = 0;           ///< how long the spindle ran before the zero was set (s)
    Temperatures temperatures;
    std::vector<Callout> callouts;
    bool inch = false;              ///< units of the print
    std::vector<std::string> notes; ///< what looks odd in its file, each with the place
};

} // namespace holdable
