// SPDX-License-Identifier: MIT
/// What a shop knows of its process, beside the machine.
///
/// Plain facts in SI units. An empty field is not known: where a callout needs it, the answer is
/// "can't say". `typical_process` fills what has a documented default of the trade.
#pragma once

#include "holdable/propagate/input.hpp"

#include <optional>
#include <string>
#include <string_view>

namespace holdable {

/// A doubt about the process: a half-width (rectangular), and what it rests on.
struct Allowance {
    double half_width = 0; ///< (unit of what it is about)
    Evidence evidence = Evidence::typical;
    std::string basis; ///< in words, as "electronic edge finder"
};

/// What has a sign of its own: somewhere from `low` to `high` (rectangular).
struct Span {
    double low = 0, high = 0; ///< (unit of what it is about)
    Evidence evidence = Evidence::typical;
    std::string basis;
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

/// How a hole is made: it decides what its axis and its size follow.
enum class HoleMaking {
    bored,       ///< single point, fed by Z: follows the travel of Z; its size is the head's
    reamed,      ///< follows its pilot, which is bored; its size is the reamer's
    drilled,     ///< wanders from the travel of Z
    tapped,      ///< follows the drilled hole, within the float of the tap
    interpolated ///< milled round, in steps of Z: follows Z; its size is the path's and the tool's
};

/// The word of the trade in a file: "boring", "reaming", …
std::string_view word(HoleMaking making);

struct Process {
    std::optional<Allowance> work_zero;    ///< finding each datum edge or face (m); set-up
    std::optional<Allowance> location;     ///< putting each part into the same place (m); part
    std::optional<Allowance> line_up;      ///< lining the part up with X, a slope (rad); set-up
    std::optional<Allowance> pick_up;      ///< indicating a bore in, per axis (m); set-up
    std::optional<Scatter> axis_repeat;    ///< repeatability of an axis, one direction (m); part
    std::optional<Allowance> reversal;     ///< half of the lost motion left (m); job
    std::optional<Allowance> short_wave;   ///< of the screws: amplitude at the lead (m); job
    std::optional<Allowance> drift;        ///< tool against table within the job (m); part
    std::optional<Allowance> seat;         ///< seat on table or parallels, tilt (rad); set-up
    std::optional<Scatter> hole_direction; ///< direction of the hole in each plane (rad); part
    std::optional<Scatter> hole_place;     ///< where the tool starts, per axis (m); part
    std::optional<Span> hole_size;         ///< hole less what head or tool was set to (m); tool
    std::optional<Scatter> size_repeat;    ///< diameter from part to part (m); part
    std::optional<Allowance> lobes;        ///< of bored rounds: out of round, half of p-v (m); job
    std::optional<Allowance> tool_size;    ///< diameter of a milling tool (m); tool
    std::optional<Allowance> tool_length;  ///< length of a tool as set (m); tool
    std::optional<Span> tool_run_out;      ///< total, at the edge of a milling tool (m); tool
    std::optional<Span> wear;              ///< of the cutting edge over the batch (m); part
    std::optional<Span> side_force;        ///< on a milling tool as it finishes (N); job
    std::optional<Allowance> first_piece;  ///< measuring it, to offset by it (m); set-up
    std::optional<Allowance> distortion;   ///< part let go after the cut: half of its bow (m); part
};

/// Fills what is empty with the defaults of the trade for this way of making holes and this class
/// of machine. @source ranges of experience (common practice, no source), the upper figure of each
Process typical_process(const Process& given, HoleMaking making, std::string_view machine_class);

} // namespace holdable
