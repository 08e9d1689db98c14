// SPDX-License-Identifier: MIT
/// How the tool wanders against the work by warmth: logs of a machine that stands, and of one whose
/// spindle runs.
///
/// A trace holds readings m "surface minus tool" along + of its axis, at the times of its log; the
/// tool has moved by -m. Nothing of it is an error of the 21: a job sets its zero anew, and what
/// counts is how far the tool wanders from then to the last cut, in the span T of the job.
///
/// Drift, the spindle off. What a log says of a span T is the largest range in any window of that
/// length,
///
///     D(T) = max |m_i - m_j|  over |t_i - t_j| ≤ T,
///
/// not the range of the whole log. A part is cut somewhere in it: rectangular ± D(T)/2. Where the
/// log is shorter than T it says too little, and the class's figure for 8 h stands if it is larger.
///
/// Warm-up, the spindle runs evenly from the first reading on. -m rises as a + b (1 - e^(-t/τ))
/// (stats/rise.hpp). A job that sets its zero after a time W of running and ends a time T later
/// sees g = b (e^(-W/τ) - e^(-(W+T)/τ)) more of it: a known error of g/2, rectangular ± g/2 from
/// part to part, and as knowledge the doubt of g/2 with the indicator's gain. Spindle work since
/// voids it.
///
/// Slope against the room, where its temperatures were logged: m by least squares over temperature.
/// Neighbouring readings err alike; with the correlation ρ of neighbouring residuals the standard
/// uncertainty is multiplied by √((1+ρ)/(1-ρ)). It is reported and enters nothing.
///
/// Season. Levels and logs made in a room more than 5 K from that of the job say nothing of it
/// (common practice, no source): `in_season` takes them out and says so.
///
/// Source: ISO 230-3 for the procedure, from memory; common practice for the use.
#pragma once

#include "holdable/base/date.hpp"
#include "holdable/machine/kinematics.hpp"
#include "holdable/propagate/input.hpp"
#include "holdable/stats/rise.hpp"

#include <optional>
#include <string>
#include <vector>

namespace holdable {

struct Shop;

/// What one indicator read.
struct LogTrace {
    Axis axis = Axis::x;
    std::string indicator;
    std::vector<double> readings; ///< one a time, surface minus tool along + (m)
};

/// Readings against time.
struct ThermalLog {
    std::string name;
    Date date;
    bool spindle_runs = false;             ///< a warm-up; else everything stands
    double speed = 0;                      ///< of the spindle, where it runs (1/s)
    std::vector<double> times;             ///< from the start, increasing, the first ≥ 0 (s)
    std::vector<LogTrace> traces;          ///< at most one an axis
    std::vector<double> temperatures = {}; ///< of the room, one a time, or empty (K)

    /// From the first to the last reading (s).
    double length() const { return times.empty() ? 0 : times.back() - times.front(); }
};

inline constexpr double usual_shift = 8 * 3600; ///< span of a job that states none (s)
inline constexpr double season = 5;             ///< a room farther from the job's is another (K)

/// D(T): largest difference of two values at most `span` apart. @param times increasing
double
range_within(const std::vector<double>& times, const std::vector<double>& values, double span);

/// How a trace follows the room.
struct RoomSlope {
    double slope = 0;    ///< tool minus surface, so + where the tool goes to + in warmth (m/K)
    double standard = 0; ///< its standard uncertainty (m/K)
};

/// None where no temperatures were logged, or they stayed within 0.5 K or on fewer than 4 readings.
std::optional<RoomSlope> room_slope(const ThermalLog& log, const LogTrace& trace);

/// The rise of the tool against the surface (m, s).
/// @throws NumericError as `stats::fit_rise`
stats::Rise warm_up(const ThermalLog& log, const LogTrace& trace);

/// How far a tool drifts within a span.
struct Drifting {
    double half_width = 0; ///< rectangular (m)
    Evidence evidence = Evidence::measured;
    std::string basis; ///< in words
};

/// By the log made by a day that says most of it; none where no log has the axis.
std::optional<Drifting> drift_within(const Shop& shop, Axis axis, Date day, double span);

/// What a warming spindle still moves the tool by.
struct Growth {
    double value = 0;    ///< g along + of the axis (m)
    double standard = 0; ///< its standard uncertainty, with the indicator's gain (m)
    std::string basis;   ///< in words
};

/// By the latest warm-up log made by a day that has the axis and was not voided since.
/// @param warmed_up W (s) @param span T (s)
/// @throws InputError [instrument-unknown]
std::optional<Growth>
growth_within(const Shop& shop, Axis axis, Date day, double warmed_up, double span);

/// The shop without what was read in another season than that of a room (K).
/// @param notes gets a line for each check left out
Shop in_season(Shop shop, double room, std::vector<std::string>& notes);

} // namespace holdable
