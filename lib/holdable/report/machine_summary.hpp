// SPDX-License-Identifier: MIT
/// What the readings say about a machine, in the numbers that a report shows.
///
/// A squareness is one number. An error motion is a curve over the travel: its estimate is told by
/// its peak to valley over its knots, its doubt by the largest standard uncertainty at any knot.
/// The spindle has two tilts, told as a squareness is, and its run-out at some distances from its
/// nose. An axis has its lost motion and how it repeats; the figures of ISO 230-2 stand beside,
/// read off the runs and used by nothing.
#pragma once

#include "holdable/machine/doubt.hpp"
#include "holdable/machine/next_check.hpp"
#include "holdable/machine/spindle.hpp"
#include "holdable/machine/state.hpp"

#include <array>
#include <optional>
#include <string>
#include <vector>

namespace holdable {

/// One of the 21 geometric errors, or a tilt of the spindle.
struct MotionSummary {
    std::string name;             ///< as in ISO 230-1, "B0Z"
    std::string meaning;          ///< "Z square to X"
    bool curve = true;            ///< an error motion, not a squareness or a tilt
    bool angle = false;           ///< value in rad, not in m
    double value = 0;             ///< squareness with its sign, or peak to valley (m or rad)
    double standard = 0;          ///< standard uncertainty, of a curve the largest (m or rad)
    double standard_by_class = 0; ///< the same before any reading (m or rad)
    std::optional<double> where;  ///< coordinate of a curve's largest uncertainty (m)
    double learnt = 0;        ///< part of the class's variance that the readings removed, 0 … 1
    bool assumed_only = true; ///< no reading says anything of it (learnt below 1 %)
    std::string in_words;     ///< the sign in words, if it is no curve; empty if not measured
    std::optional<double> without_class; ///< value from the readings alone, if it was asked for
    std::vector<DoubtSource> sources;    ///< of `standard`, largest first, each 1 % or more
};

/// The spindle's run-out at one place.
struct RunOutSummary {
    RunOut at;
    double learnt = 0;         ///< part of the class's variance that the readings removed, 0 … 1
    bool assumed_only = true;  ///< no reading says anything of it (learnt below 1 %)
    bool interpolated = false; ///< nobody read it here: along a straight bar
    std::vector<DoubtSource> sources; ///< of the doubt, largest first, each 1 % or more
};

/// What an axis does when it comes back to a target.
struct AxisSummary {
    Axis axis = Axis::x;
    MotionSummary lost_motion; ///< arriving towards - less arriving towards + (m)
    AxisRepeatability repeatability;
};

/// The figures of ISO 230-2 from one check of positioning.
struct PositioningSummary {
    std::string check; ///< its name
    Axis axis = Axis::x;
    Iso230 figures;
};

/// The most a tool drifted in any window of a span.
struct DriftSummary {
    double span = 0;  ///< (s)
    double range = 0; ///< (m)
};

/// A number with its standard uncertainty.
struct Measured {
    double value = 0;
    double standard = 0;
};

/// The growth of a spindle that runs.
struct WarmUpSummary {
    double speed = 0;       ///< of the spindle (1/s)
    Measured growth;        ///< from cold to warm, along + of the axis (m)
    Measured time_constant; ///< (s)
    Measured first_hour;    ///< growth in the first hour (m)
    double settled = 0;     ///< running time after which a twentieth is left (s)
    bool bends = true;      ///< the log shows where the growth ends
};

/// One trace of a log against time.
struct ThermalSummary {
    std::string check;
    Axis axis = Axis::x;
    double length = 0;                    ///< of the log (s)
    std::vector<DriftSummary> drift;      ///< the spindle off; over spans that hold readings
    std::optional<WarmUpSummary> warm_up; ///< the spindle running
    std::optional<Measured> room_slope;   ///< along + as the room warms (m/K)
};

/// What a line of a notebook was taken to mean.
struct NotebookSummary {
    NotebookLine line;
    std::optional<double> room; ///< its temperature (K)
};

/// What an instrument turned out to be.
struct InstrumentSummary {
    std::string meaning;
    bool angle = true;       ///< error of a square (rad); false: a gain (pure number)
    double value = 0;        ///< estimate
    double standard = 0;     ///< its standard uncertainty
    double value_before = 0; ///< as stated
    double standard_before = 0;
};

/// A place where the table is low.
struct LowSpot {
    double x = 0, y = 0;
    double depth = 0;    ///< below the least-squares plane of the table, > 0 (m)
    double standard = 0; ///< its standard uncertainty (m)
};

/// The table as far as it was mapped: a rectangle, in machine coordinates of X and Y (m).
struct TableSummary {
    double x_low = 0, x_high = 0, y_low = 0, y_high = 0;
    double flatness = 0; ///< narrowest zone of the estimate at 21 × 21 places, ISO 1101 (m)
    double standard = 0; ///< its standard uncertainty, by the heights at its contacts (m)
    double standard_by_class = 0;   ///< the same before any reading (m)
    std::vector<LowSpot> low_spots; ///< deeper than 2 u, the deepest first, three at most
};

/// How a square stood in one setting.
struct SeatSummary {
    std::string setting;
    bool mapped = false;            ///< else its tilt is a guess by the class, and the rest is 0
    double tilt = 0;                ///< of its base by the map (rad)
    double standard = 0;            ///< its standard uncertainty (rad)
    double other_contacts = 0;      ///< chance that it rests on other points (pure number)
    std::optional<double> rocks_by; ///< change of its tilt if a finger tips it (rad)
};

/// How the machine stands, told by a level turned end for end.
struct StandSummary {
    std::string check;
    Axis along = Axis::x;
    double slope = 0;    ///< + where the end at + is high (rad)
    double standard = 0; ///< its standard uncertainty (rad)
};

/// A machine on a day.
struct MachineSummary {
    std::string shop, machine, machine_class;
    Date day;
    bool inch = false;
    std::array<MotionSummary, geometric_parameters> motions; ///< in the order of kinematics.hpp
    std::array<MotionSummary, 2> tilts;                      ///< of the spindle: A0C, B0C
    std::vector<RunOutSummary> run_out;                      ///< from the nose outward
    std::vector<AxisSummary> axes;                           ///< X, Y, Z
    std::vector<PositioningSummary> positioning;             ///< one each check of positioning
    std::vector<ThermalSummary> thermal;                     ///< one each trace of a log
    std::vector<NotebookSummary> notebook;                   ///< lines written by the day
    std::vector<InstrumentSummary> instruments;              ///< those that a check used
    std::optional<TableSummary> table;                       ///< if a check maps it
    std::vector<SeatSummary> seats; ///< where the tilt of a square rests on a map or on the class
    std::vector<StandSummary> stands;
    std::vector<CheckOutcome> checks;
    std::vector<CheckDoubt> doubts; ///< of the checks, each by itself; empty if not asked for
    std::vector<NextCheck> next;    ///< what would teach most, best first; empty if not asked for
    bool disagreement = false;
    std::vector<std::string> notes;
};

/// Reads all that off a state.
/// @param without_class the same shop and day solved with a prior so wide that it says nothing
/// (`solve_with_prior`, 30); its squarenesses are shown beside where they differ
MachineSummary summary(const MachineState& state, const MachineState* without_class = nullptr);

} // namespace holdable
