// SPDX-License-Identifier: MIT
/// What a shop writes down of its machine: travel, instruments, checks with raw readings.
///
/// Plain facts, in SI units and in the machine's own coordinates; nothing here is computed.
#pragma once

#include "holdable/base/date.hpp"
#include "holdable/machine/curves.hpp"
#include "holdable/machine/kinematics.hpp"
#include "holdable/propagate/input.hpp"

#include <array>
#include <optional>
#include <string>
#include <vector>

namespace holdable {

/// Who calibrated an instrument, and until when that holds.
struct Certificate {
    std::string reference;   ///< number on the certificate
    std::optional<Date> due;  ///< day on which it runs out
    std::optional<Date> date; ///< day of the calibration
};

/// A lever or plunger indicator.
struct Indicator {
    std::string name;
    double resolution = 0; ///< smallest difference read (m)
    double gain_doubt = 0; ///< relative half-width of its gain, rectangular (pure number)
    Evidence gain_evidence = Evidence::typical;
    double repeatability = 0;     ///< standard deviation of one reading (m)
    double repeatability_dof = 0; ///< its degrees of freedom; 0 = well known
    Evidence repeatability_evidence = Evidence::typical;
    std::optional<Certificate> certificate;
};

/// A square. Its error σ is the lean of the edge towards the side its base leg points to, so that
/// the included angle is 90° - σ.
struct Square {
    std::string name;
    double length = 0;    ///< of the edge (m)
    double lean = 0;      ///< σ as certified, else 0 (rad)
    double standard = 0;  ///< standard uncertainty of σ if certified (rad)
    double limit = 0;     ///< half-width of σ, rectangular, if only a grade is known (rad)
    double edge_form = 0; ///< straightness of its edge, peak to valley (m)
    Evidence evidence = Evidence::specification;
    Evidence form_evidence = Evidence::typical;
    std::optional<Certificate> certificate;
};

/// A spirit or electronic level.
struct Level {
    std::string name;
    double division = 0;      ///< slope of one division (rad)
    double read_to = 0.2;     ///< smallest part of a division read
    double gain_doubt = 0.05; ///< relative half-width of its sensitivity, rectangular
    Evidence gain_evidence = Evidence::typical;
    std::optional<Certificate> certificate;
};

/// One setting of the square: where it stood turned, and what was read.
struct SquareSetting {
    bool leg_towards_plus = true;      ///< its base leg points to + of the horizontal axis
    std::vector<double> leg_stations;  ///< coordinates along the leg; empty if it was not swept (m)
    std::vector<double> leg_readings;  ///< surface minus tool along +Z (m)
    std::vector<double> edge_readings; ///< surface minus tool along + of the horizontal axis (m)
    std::optional<double> closing;     ///< first station read again at the end (m)
    std::vector<double>
        edge_spread;               ///< standard deviation of repeats at each station (m), or empty
    std::vector<int> edge_repeats; ///< readings averaged at each station, or empty for one each
};

/// Z against the motion of X or Y with a square: an indicator in the spindle follows its edge.
struct SquareCheck {
    std::string name;
    Date date;
    Axis across = Axis::x; ///< horizontal axis of the plane: X for ZX, Y for ZY
    std::string square;    ///< name of the square
    std::string indicator; ///< name of the indicator
    Eigen::Vector3d place =
        Eigen::Vector3d::Zero();         ///< X and Y of the edge, Z of the leg's top (m)
    double gauge_length = 0;             ///< spindle gauge point to the indicator's tip (m)
    double base = 0;                     ///< length of the square's base on the table (m)
    std::optional<double> low_spot;      ///< depth of the table's low spots under the base (m)
    std::vector<double> stations;        ///< Z coordinates of the readings along the edge (m)
    std::vector<SquareSetting> settings; ///< one, or two with the square turned round
};

/// What a level lies on.
enum class LevelRides { table, head };

/// Roll or pitch of an axis by a level that rides along.
struct LevelCheck {
    std::string name;
    Date date;
    Axis axis = Axis::x;   ///< the axis that moves
    Axis points = Axis::x; ///< X or Y: along which the level points
    LevelRides rides = LevelRides::table;
    std::string level;
    Eigen::Vector3d place = Eigen::Vector3d::Zero(); ///< position of the other axes (m)
    std::vector<double> stations;                    ///< coordinates of the moving axis (m)
    std::vector<double> readings;  ///< slope, + if the end at + is high, zero error in it (rad)
    std::optional<double> closing; ///< first station read again at the end (rad)
};

/// Something that happened to the machine and ends what was known before.
enum class EventKind { crash, move, relevel, adjustment, spindle_work };

struct Event {
    EventKind kind = EventKind::crash;
    Date date;
    std::optional<Axis> axis; ///< for an adjustment: the axis adjusted
    std::string note;
};

/// A known error that the shop has removed since (trim, pitch table).
struct Correction {
    int parameter = c0y_index; ///< c0y_index, b0z_index or a0z_index
    double applied = 0;        ///< added to the parameter, with its sign (rad)
    Date date;
};

/// A shop's machine.
struct Shop {
    std::string name;    ///< the shop
    std::string machine; ///< its own name for the machine
    AxisOrder order = {Axis::x, Axis::y, Axis::z};
    std::array<Travel, 3> travel;
    double nose_to_table = 0;  ///< spindle gauge point to the table with Z at coordinate 0 (m)
    std::string machine_class; ///< empty = none declared
    std::vector<Indicator> indicators;
    std::vector<Square> squares;
    std::vector<Level> levels;
    std::vector<SquareCheck> square_checks;
    std::vector<LevelCheck> level_checks;
    std::vector<Event> events;
    std::vector<Correction> corrections;
    bool inch = false;              ///< the shop's units, for reports
    std::vector<std::string> notes; ///< what looks odd in its file, each with the place
};

} // namespace holdable
