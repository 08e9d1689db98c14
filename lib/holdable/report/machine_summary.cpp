// SPDX-License-Identifier: MIT
#include "holdable/report/machine_summary.hpp"

#include "holdable/machine/square_seat.hpp"
#include "holdable/stats/distribution.hpp"
#include "holdable/stats/minimum_zone.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace holdable {
namespace {

constexpr double nothing_learnt = 0.01; // of the variance
constexpr int table_side = 21;          // places along each side of the table
constexpr double sure_low_spot = 2;     // standard uncertainties
constexpr std::size_t low_spots_named = 3;

/// The sign of a squareness as the way the tool moves (kinematics.hpp).
std::string sign_in_words(int index, double value) {
    if (value == 0)
        return {};
    const bool plus = value > 0;
    switch (index) {
    case c0y_index:
        return plus ? "going to +Y the tool moves to -X" : "going to +Y the tool moves to +X";
    case b0z_index:
        return plus ? "going up the tool moves to +X" : "going up the tool moves to -X";
    default:
        return plus ? "going up the tool moves to -Y" : "going up the tool moves to +Y";
    }
}

MotionSummary named(int index) {
    MotionSummary m;
    m.name = parameter_name(index);
    m.meaning = parameter_meaning(index);
    m.curve = index < c0y_index;
    m.angle = !m.curve || index % 6 >= 3;
    return m;
}

/// A squareness or a tilt of the spindle. @param row its form
/// @param words its sign in words
MotionSummary one_number(const MachineState& state,
                         MotionSummary m,
                         const Eigen::RowVectorXd& row,
                         std::string (*words)(int, double),
                         int index,
                         std::optional<double> without_class) {
    const auto estimate = state.of(row);
    const double before = state.model.prior_variance(row);
    m.value = estimate.value;
    m.standard = estimate.standard_uncertainty;
    m.standard_by_class = std::sqrt(before);
    m.learnt = before > 0 ? std::max(0.0, 1 - m.standard * m.standard / before) : 0;
    m.assumed_only = m.learnt < nothing_learnt;
    if (m.learnt < 1e-9)
        m.value = 0; // not the rounding of the solve
    if (!m.assumed_only) {
        m.in_words = words(index, m.value);
        m.without_class = without_class;
    }
    m.sources = doubt_sources(state, row);
    return m;
}

MotionSummary squareness(const MachineState& state, int index, const MachineState* without) {
    const auto value_of = [index](const MachineState& s) {
        return s.of(s.model.parameter(index, 0, s.model.job())).value;
    };
    return one_number(state,
                      named(index),
                      state.model.parameter(index, 0, state.model.job()),
                      sign_in_words,
                      index,
                      without != nullptr ? std::optional(value_of(*without)) : std::nullopt);
}

/// Where the nose points from straight down: the tip of a tool stands at (-L B0C, +L A0C).
std::string lean_in_words(int about, double value) {
    if (value == 0)
        return {};
    const bool plus = (value > 0) == (about == 0);
    return fmt::format(
        "the spindle's nose leans to {}{}", plus ? '+' : '-', about == 0 ? 'Y' : 'X');
}

MotionSummary tilt(const MachineState& state, Axis about, const MachineState* without) {
    MotionSummary m;
    m.name = about == Axis::x ? "A0C" : "B0C";
    m.meaning = about == Axis::x ? "spindle's tilt in YZ" : "spindle's tilt in XZ";
    m.curve = false;
    m.angle = true;
    const auto value_of = [about](const MachineState& s) {
        return s.of(s.model.spindle_tilt(about, s.model.job())).value;
    };
    return one_number(state,
                      std::move(m),
                      state.model.spindle_tilt(about, state.model.job()),
                      lean_in_words,
                      static_cast<int>(about),
                      without != nullptr ? std::optional(value_of(*without)) : std::nullopt);
}

std::string lost_in_words(int axis, double value) {
    if (value == 0)
        return {};
    return fmt::format("turning round, {} {} where it is sent",
                       "XYZ"[axis],
                       value > 0 ? "stops short of" : "goes beyond");
}

AxisSummary axis_summary(const MachineState& state, Axis axis, const MachineState* without) {
    AxisSummary summary;
    summary.axis = axis;
    MotionSummary m;
    m.meaning = fmt::format("lost motion of {}", letter(axis));
    m.curve = false;
    const auto value_of = [axis](const MachineState& s) {
        return s.of(s.model.lost_motion(axis, s.model.job())).value;
    };
    summary.lost_motion =
        one_number(state,
                   std::move(m),
                   state.model.lost_motion(axis, state.model.job()),
                   lost_in_words,
                   static_cast<int>(axis),
                   without != nullptr ? std::optional(value_of(*without)) : std::nullopt);
    summary.lost_motion.value = value_of(state); // of the class, where nothing was read
    summary.repeatability = repeatability(state.model.shop(), axis, state.model.job());
    return summary;
}

RunOutSummary run_out(const MachineState& state, double length, bool interpolated) {
    RunOutSummary summary;
    summary.at = run_out_at(state, length);
    auto& at = summary.at;
    const double before = at.standard_by_class * at.standard_by_class;
    summary.learnt = before > 0 ? std::max(0.0, 1 - at.standard * at.standard / before) : 0;
    summary.assumed_only = summary.learnt < nothing_learnt;
    summary.interpolated = interpolated;
    if (summary.learnt < 1e-9)
        at.total = at.high_at = 0; // not the rounding of the solve
    const auto rows = state.model.run_out(length, state.model.job());
    summary.sources = doubt_sources(
        state, std::cos(at.high_at) * rows.row(0) + std::sin(at.high_at) * rows.row(1));
    return summary;
}

MotionSummary motion(const MachineState& state, int index) {
    auto m = named(index);
    const auto& travel = state.model.shop().travel[static_cast<std::size_t>(index / 6)];
    double lowest = 0;
    double highest = 0;
    double left = 0;
    double before = 0;
    Eigen::RowVectorXd worst;
    for (int k = 0; k < curve_knots; ++k) {
        const double q = travel.low + (travel.high - travel.low) * k / (curve_knots - 1);
        const auto row = state.model.parameter(index, q, state.model.job());
        const auto estimate = state.of(row);
        lowest = k == 0 ? estimate.value : std::min(lowest, estimate.value);
        highest = k == 0 ? estimate.value : std::max(highest, estimate.value);
        const double prior = state.model.prior_variance(row);
        left += estimate.standard_uncertainty * estimate.standard_uncertainty;
        before += prior;
        m.standard_by_class = std::max(m.standard_by_class, std::sqrt(prior));
        if (k == 0 || estimate.standard_uncertainty > m.standard) {
            m.standard = estimate.standard_uncertainty;
            m.where = q;
            worst = row;
        }
    }
    m.learnt = before > 0 ? std::max(0.0, 1 - left / before) : 0;
    m.value = m.learnt < 1e-9 ? 0 : highest - lowest; // not the rounding of the solve
    m.assumed_only = m.learnt < nothing_learnt;
    m.sources = doubt_sources(state, worst);
    return m;
}

ThermalSummary thermal_summary(const ThermalLog& log, const LogTrace& trace) {
    constexpr double hour = 3600;
    constexpr double left = 0.05; // of the growth, when it is called settled
    ThermalSummary s;
    s.check = log.name;
    s.axis = trace.axis;
    s.length = log.length();
    if (const auto slope = room_slope(log, trace))
        s.room_slope = {slope->slope, slope->standard};
    if (!log.spindle_runs) {
        for (const double span : {hour / 4, hour, 4 * hour, 8 * hour})
            if (span < s.length && span >= s.length / static_cast<double>(log.times.size() - 1))
                s.drift.push_back({span, range_within(log.times, trace.readings, span)});
        s.drift.push_back({s.length, range_within(log.times, trace.readings, s.length)});
        return s;
    }
    const auto rise = warm_up(log, trace);
    const auto first = stats::rise_between(rise, 0, hour);
    s.warm_up = WarmUpSummary{log.speed,
                              {rise.rise, std::sqrt(rise.covariance(1, 1))},
                              {rise.time_constant, std::sqrt(rise.covariance(2, 2))},
                              {first.value, first.standard},
                              -std::log(left) * rise.time_constant,
                              rise.bends};
    return s;
}

void add_instrument(std::vector<InstrumentSummary>& list,
                    const MachineState& state,
                    const std::string& name,
                    bool angle) {
    const auto& unknowns = state.model.unknowns();
    const auto found = std::find_if(
        unknowns.begin(), unknowns.end(), [&](const Input& i) { return i.name == name; });
    if (found == unknowns.end())
        return;
    auto row = state.model.zero();
    row[found - unknowns.begin()] = 1;
    const auto estimate = state.of(row);
    list.push_back({found->meaning,
                    angle,
                    estimate.value,
                    estimate.standard_uncertainty,
                    stats::mean(found->law),
                    stats::standard_uncertainty(found->law)});
}

/// The unknowns from `first` on as a covariance, shape k × k.
Eigen::MatrixXd covariance_of(const MachineState& state, Eigen::Index first, Eigen::Index k) {
    Eigen::MatrixXd map = state.error_map.middleRows(first, k);
    for (Eigen::Index j = 0; j < map.cols(); ++j)
        map.col(j) *= std::sqrt(variance(state.inputs[static_cast<std::size_t>(j)]));
    return map * map.transpose();
}

/// The places of a grid over the table as forms of its shapes.
struct TableGrid {
    Eigen::MatrixXd heights; ///< over their least-squares plane, shape side² × shapes
    Eigen::MatrixXd plane;   ///< its columns, orthonormal, side² × 3
};

TableGrid table_grid(const TableField& field, const TableSummary& t) {
    Eigen::MatrixXd rows(table_side * table_side, field.shapes());
    Eigen::MatrixXd plane(table_side * table_side, 3);
    for (int i = 0; i < table_side; ++i)
        for (int j = 0; j < table_side; ++j) {
            const double u = static_cast<double>(i) / (table_side - 1);
            const double v = static_cast<double>(j) / (table_side - 1);
            rows.row(i * table_side + j) = field.weights(t.x_low + u * (t.x_high - t.x_low),
                                                         t.y_low + v * (t.y_high - t.y_low));
            plane.row(i * table_side + j) << 1, u - 0.5, v - 0.5;
        }
    plane.colwise().normalize(); // orthogonal already, by symmetry
    rows -= plane * (plane.transpose() * rows);
    return {std::move(rows), std::move(plane)};
}

bool is_lowest_around(const Eigen::VectorXd& heights, int i, int j) {
    const auto at = [&](int a, int b) { return heights[a * table_side + b]; };
    for (int a = std::max(0, i - 1); a <= std::min(table_side - 1, i + 1); ++a)
        for (int b = std::max(0, j - 1); b <= std::min(table_side - 1, j + 1); ++b)
            if (at(a, b) < at(i, j))
                return false;
    return true;
}

std::optional<TableSummary> table_of(const MachineState& state) {
    const auto& model = state.model;
    if (!model.has_table())
        return std::nullopt;
    std::optional<TableArea> area;
    for (const auto& check : model.shop().table_checks)
        if (check.date <= model.job()) {
            if (!area)
                area = mapped_area(check);
            area->include(mapped_area(check));
        }
    TableSummary t;
    t.x_low = area->x_low;
    t.x_high = area->x_high;
    t.y_low = area->y_low;
    t.y_high = area->y_high;
    const auto grid = table_grid(model.table(), t);
    const auto& rows = grid.heights;
    const auto first = model.first_table_shape();
    const Eigen::VectorXd heights = rows * state.estimate.segment(first, rows.cols());
    const auto covariance = covariance_of(state, first, rows.cols());
    const auto zone = stats::minimum_zone(grid.plane, heights);
    t.flatness = zone.width;
    Eigen::RowVectorXd width = Eigen::RowVectorXd::Zero(rows.cols()); // its derivative
    for (std::size_t k = 0; k < zone.contacts.size(); ++k)
        width += 2 * zone.weights[static_cast<Eigen::Index>(k)] * rows.row(zone.contacts[k]);
    t.standard = std::sqrt((width * covariance * width.transpose())(0, 0));
    t.standard_by_class = width.norm(); // the shapes' variance is 1
    for (int i = 0; i < table_side; ++i)
        for (int j = 0; j < table_side; ++j) {
            const auto row = rows.row(i * table_side + j);
            const double u = std::sqrt((row * covariance * row.transpose())(0, 0));
            const double height = heights[i * table_side + j];
            if (height < -sure_low_spot * u && is_lowest_around(heights, i, j))
                t.low_spots.push_back({t.x_low + (t.x_high - t.x_low) * i / (table_side - 1),
                                       t.y_low + (t.y_high - t.y_low) * j / (table_side - 1),
                                       -height,
                                       u});
        }
    std::stable_sort(t.low_spots.begin(), t.low_spots.end(), [](const auto& a, const auto& b) {
        return a.depth > b.depth;
    });
    t.low_spots.resize(std::min(low_spots_named, t.low_spots.size()));
    return t;
}

std::vector<SeatSummary> seats_of(const MachineModel& model) {
    std::vector<SeatSummary> seats;
    for (const auto& check : model.shop().square_checks) {
        if (check.date > model.job() || check.low_spot)
            continue;
        for (std::size_t i = 0; i < check.settings.size(); ++i) {
            SeatSummary s;
            s.setting = setting_name(check, i + 1);
            if (const auto seat = seat_on_map(model, check, check.settings[i], s.setting)) {
                s.mapped = true;
                s.tilt = seat->expected;
                s.standard = seat->standard;
                s.other_contacts = seat->other_contacts;
                s.rocks_by = seat->rocks_by;
            } else if (!check.settings[i].leg_stations.empty())
                continue; // its tilt was measured along the leg
            seats.push_back(std::move(s));
        }
    }
    return seats;
}

std::vector<StandSummary> stands_of(const MachineState& state) {
    std::vector<StandSummary> stands;
    for (const auto& check : state.model.shop().level_checks) {
        const auto& unknowns = state.model.unknowns();
        const auto found = std::find_if(unknowns.begin(), unknowns.end(), [&](const Input& i) {
            return i.name == check.name + ", stand";
        });
        if (!check.turned || found == unknowns.end())
            continue;
        auto row = state.model.zero();
        row[found - unknowns.begin()] = 1;
        const auto estimate = state.of(row);
        stands.push_back({check.name, check.points, estimate.value, estimate.standard_uncertainty});
    }
    return stands;
}

} // namespace

MachineSummary summary(const MachineState& state, const MachineState* without_class) {
    const auto& shop = state.model.shop();
    MachineSummary s;
    s.shop = shop.name;
    s.machine = shop.machine;
    s.machine_class = state.model.assumed_class().name;
    s.day = state.model.job();
    s.inch = shop.inch;
    for (int i = 0; i < geometric_parameters; ++i)
        s.motions[static_cast<std::size_t>(i)] =
            i < c0y_index ? motion(state, i) : squareness(state, i, without_class);
    for (const auto about : {Axis::x, Axis::y})
        s.tilts[static_cast<std::size_t>(about)] = tilt(state, about, without_class);
    const double reach = run_out_reach(shop);
    for (const double part : {0.0, 0.5, 1.0})
        s.run_out.push_back(run_out(state, part * reach, part == 0.5));
    for (const auto axis : {Axis::x, Axis::y, Axis::z})
        s.axes.push_back(axis_summary(state, axis, without_class));
    for (const auto& check : shop.positioning_checks)
        if (check.date <= s.day)
            s.positioning.push_back({check.name, check.axis, iso_230_2(deviations(shop, check))});
    for (const auto& log : shop.thermal_logs)
        if (log.date <= s.day)
            for (const auto& trace : log.traces)
                s.thermal.push_back(thermal_summary(log, trace));
    for (const auto& line : shop.notebook_lines)
        if (line.date <= s.day) {
            const auto room = shop.room_temperatures.find(line.name);
            s.notebook.push_back({line,
                                  room == shop.room_temperatures.end()
                                      ? std::nullopt
                                      : std::optional(room->second)});
        }
    for (const auto& square : shop.squares)
        add_instrument(s.instruments, state, fmt::format("square \"{}\"", square.name), true);
    for (const auto& indicator : shop.indicators)
        add_instrument(
            s.instruments, state, fmt::format("indicator \"{}\", gain", indicator.name), false);
    for (const auto& level : shop.levels)
        add_instrument(s.instruments, state, fmt::format("level \"{}\", gain", level.name), false);
    s.table = table_of(state);
    s.seats = seats_of(state.model);
    s.stands = stands_of(state);
    s.checks = state.checks;
    s.disagreement = state.disagreement;
    s.notes = state.notes;
    return s;
}

} // namespace holdable
