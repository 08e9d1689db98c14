// SPDX-License-Identifier: MIT
#include "holdable/machine/table_check.hpp"

#include "holdable/machine/observation.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <deque>
#include <limits>
#include <set>

namespace holdable {
namespace {

// Common practice, no source.
constexpr double typical_foot_contact = 1.5e-6; // of a foot put down anew, half-width (m)
constexpr double typical_map_drift = 3e-6;      // over a whole map by indicator, half-width (m)
constexpr double same_foot = 1e-6;              // two feet this near are one (m)

bool by_level(const TableCheck& check) {
    return !check.level.empty();
}

Eigen::Vector2d foot_of(const TableCheck& check, const TableLine& line, std::size_t step) {
    Eigen::Vector2d foot = line.from;
    foot[static_cast<int>(line.along)] += check.foot * static_cast<double>(step);
    return foot;
}

std::string step_name(std::size_t line, std::size_t step) {
    return fmt::format("line {}, reading {}", line + 1, step + 1);
}

void observe_level(MachineModel& model,
                   const TableCheck& check,
                   std::vector<Observation>& observations) {
    const auto& level = find_instrument(model.shop().levels, check.level, "level", check.name);
    require_shape(check.foot > 0, check.name, "the level's feet are apart");
    require_shape(!check.lines.empty(), check.name, "a level is walked along a line");
    const int gain = shared_gain(model, level, "level");
    IndicatorNoise noise(check.name, level);
    for (const auto& line : check.lines) {
        require_repeats(check.name, line.readings.size(), line.spread, line.repeats);
        require_shape(line.along != Axis::z, check.name, "a line goes along X or Y");
        require_shape(
            line.readings.size() >= 2, check.name, "a line needs two steps or more to show form");
        noise.pool(line.spread, line.repeats);
    }
    std::array<int, 2> stand{-1, -1};
    for (std::size_t l = 0; l < check.lines.size(); ++l) {
        const auto& line = check.lines[l];
        auto& tilted = stand[static_cast<std::size_t>(line.along)];
        const bool first = tilted < 0;
        if (first)
            tilted = model.add(offset_input(
                fmt::format("{}, stand along {}", check.name, line.along == Axis::x ? 'X' : 'Y'),
                free_level_zero));
        const Drift drift(model,
                          fmt::format("{}, line {}", check.name, l + 1),
                          typical_level_drift,
                          free_level_zero,
                          moved(line.closing, line.readings));
        const auto count = line.readings.size();
        const double last = static_cast<double>(line.closing ? count : count - 1);
        const auto add_step = [&](std::size_t step,
                                  double reading,
                                  double time,
                                  const std::string& what,
                                  int repeats) {
            const auto foot = foot_of(check, line, step);
            const auto next = foot_of(check, line, step + 1);
            Row row((model.table_form(next.x(), next.y()) - model.table_form(foot.x(), foot.y())) /
                    check.foot);
            row.add(tilted, 1);
            drift.apply(row, time);
            row.add(gain, -reading);
            auto parts = noise(what, repeats);
            // Repeats put it down anew, and show this in their spread, once they are made.
            if (repeats == 1 || line.spread.empty())
                parts.push_back(job_input(
                    what + ", feet",
                    check.name + ", feet of the level",
                    "how the level's feet meet the table",
                    rectangular_law(typical_foot_contact / check.foot / std::sqrt(double(repeats))),
                    Evidence::typical));
            observations.push_back({check.name, what, row.take(), reading, std::move(parts), 0});
        };
        for (std::size_t i = 0; i < count; ++i)
            add_step(i,
                     line.readings[i],
                     static_cast<double>(i) / last,
                     fmt::format("{}, {}", check.name, step_name(l, i)),
                     line.repeats.empty() ? 1 : line.repeats[i]);
        if (line.closing)
            add_step(0,
                     *line.closing,
                     1,
                     fmt::format("{}, line {}, closing reading", check.name, l + 1),
                     1);
        observations.back().offsets = (first ? 1 : 0) + (drift.closed() ? 1 : 0);
    }
}

void observe_indicator(MachineModel& model,
                       const TableCheck& check,
                       std::vector<Observation>& observations) {
    const auto& indicator =
        find_instrument(model.shop().indicators, check.indicator, "indicator", check.name);
    require_shape(check.x.size() >= 3 && check.y.size() >= 2,
                  check.name,
                  "a map needs three stations along X and two along Y, or more");
    require_shape(check.readings.size() == check.x.size() * check.y.size(),
                  check.name,
                  fmt::format("{} readings for {} × {} stations",
                              check.readings.size(),
                              check.x.size(),
                              check.y.size()));
    require_repeats(check.name, check.readings.size(), check.spread, check.repeats);
    const int gain = shared_gain(model, indicator, "indicator");
    IndicatorNoise noise(check.name, indicator);
    noise.pool(check.spread, check.repeats);
    const int slope_x = model.shared(model.table_against_motion(Axis::x));
    const int slope_y = model.shared(model.table_against_motion(Axis::y));
    const int offset = model.add(offset_input(check.name + ", offset", free_offset));
    const Drift drift(
        model, check.name, typical_map_drift, free_offset, moved(check.closing, check.readings));
    const auto count = check.readings.size();
    const double last = static_cast<double>(check.closing ? count : count - 1);
    const double z = check.gauge_length - model.shop().nose_to_table;
    const auto add_reading = [&](std::size_t i,
                                 double reading,
                                 double time,
                                 const std::string& what,
                                 int repeats) {
        const double x = check.x[i % check.x.size()];
        const double y = check.y[i / check.x.size()];
        Eigen::RowVectorXd form =
            -model.point_error({x, y, z}, {0, 0, -check.gauge_length}, check.date).row(2);
        form += model.table_form(x, y);
        Row row(std::move(form));
        row.add(slope_x, -(x - model.shop().travel[0].reference));
        row.add(slope_y, -(y - model.shop().travel[1].reference));
        row.add(offset, 1);
        drift.apply(row, time);
        row.add(gain, -reading);
        observations.push_back({check.name, what, row.take(), reading, noise(what, repeats), 0});
    };
    for (std::size_t i = 0; i < count; ++i)
        add_reading(i,
                    check.readings[i],
                    static_cast<double>(i) / last,
                    fmt::format("{}, run {}, reading {}",
                                check.name,
                                i / check.x.size() + 1,
                                i % check.x.size() + 1),
                    check.repeats.empty() ? 1 : check.repeats[i]);
    if (check.closing)
        add_reading(0, *check.closing, 1, check.name + ", closing reading", 1);
    observations.back().offsets = drift.closed() ? 2 : 1;
}

/// A step of the level between two feet.
struct Step {
    std::size_t from, to; // feet
    double rise;          // (m)
    std::string name;
    double sigma; // (m)
};

std::vector<Step> steps_of(const TableCheck& check, const Level& level) {
    std::vector<Eigen::Vector2d> feet;
    const auto number = [&](const Eigen::Vector2d& at) {
        for (std::size_t i = 0; i < feet.size(); ++i)
            if ((feet[i] - at).norm() < same_foot)
                return i;
        feet.push_back(at);
        return feet.size() - 1;
    };
    IndicatorNoise noise(check.name, level);
    for (const auto& line : check.lines)
        noise.pool(line.spread, line.repeats);
    std::vector<Step> steps;
    for (std::size_t l = 0; l < check.lines.size(); ++l) {
        const auto& line = check.lines[l];
        for (std::size_t i = 0; i < line.readings.size(); ++i) {
            const int repeats = line.repeats.empty() ? 1 : line.repeats[i];
            double variance = repeats == 1 ? std::pow(typical_foot_contact / check.foot, 2) / 3 : 0;
            for (const auto& part : noise({}, repeats))
                variance += std::pow(stats::standard_uncertainty(part.law), 2);
            steps.push_back({number(foot_of(check, line, i)),
                             number(foot_of(check, line, i + 1)),
                             check.foot * line.readings[i],
                             step_name(l, i),
                             check.foot * std::sqrt(variance)});
        }
    }
    return steps;
}

/// The fewest steps from the end of one back to its beginning, without itself; empty if none.
std::vector<std::size_t> way_back(const std::vector<Step>& steps, std::size_t closed) {
    constexpr auto none = std::numeric_limits<std::size_t>::max();
    std::size_t feet = 0;
    for (const auto& step : steps)
        feet = std::max({feet, step.from + 1, step.to + 1});
    std::vector<std::size_t> came_by(feet, none);
    std::deque<std::size_t> waiting{steps[closed].to};
    came_by[steps[closed].to] = closed;
    while (!waiting.empty() && came_by[steps[closed].from] == none) {
        const auto at = waiting.front();
        waiting.pop_front();
        for (std::size_t s = 0; s < steps.size(); ++s) {
            if (s == closed || (steps[s].from != at && steps[s].to != at))
                continue;
            const auto next = steps[s].from == at ? steps[s].to : steps[s].from;
            if (came_by[next] != none)
                continue;
            came_by[next] = s;
            waiting.push_back(next);
        }
    }
    std::vector<std::size_t> way;
    if (came_by[steps[closed].from] == none)
        return way;
    for (auto at = steps[closed].from; at != steps[closed].to;) {
        const auto& step = steps[came_by[at]];
        way.push_back(came_by[at]);
        at = step.from == at ? step.to : step.from;
    }
    return way;
}

} // namespace

TableArea mapped_area(const TableCheck& check) {
    std::vector<Eigen::Vector2d> places;
    for (const auto& line : check.lines)
        if (!line.readings.empty()) {
            places.push_back(line.from);
            places.push_back(foot_of(check, line, line.readings.size()));
        }
    for (const double x : check.x)
        for (const double y : check.y)
            places.emplace_back(x, y);
    if (places.empty())
        return {std::numeric_limits<double>::max(),
                std::numeric_limits<double>::lowest(),
                std::numeric_limits<double>::max(),
                std::numeric_limits<double>::lowest()};
    TableArea area{places[0].x(), places[0].x(), places[0].y(), places[0].y()};
    for (const auto& p : places)
        area.include({p.x(), p.x(), p.y(), p.y()});
    return area;
}

std::vector<TableLoop> loops(const TableCheck& check, const Level& level) {
    const auto steps = steps_of(check, level);
    std::set<std::set<std::size_t>> seen;
    std::vector<TableLoop> found;
    for (std::size_t s = 0; s < steps.size(); ++s) {
        const auto way = way_back(steps, s);
        std::set<std::size_t> all(way.begin(), way.end());
        all.insert(s);
        if (way.empty() || !seen.insert(all).second)
            continue;
        TableLoop loop;
        double variance = steps[s].sigma * steps[s].sigma;
        loop.error = steps[s].rise;
        loop.steps.push_back(steps[s].name);
        // Backwards from where the step began: what leads there counts against the way gone.
        for (auto at = steps[s].from; const auto k : way) {
            const bool ends_here = steps[k].to == at;
            loop.error += ends_here ? steps[k].rise : -steps[k].rise;
            at = ends_here ? steps[k].from : steps[k].to;
            variance += steps[k].sigma * steps[k].sigma;
            loop.steps.push_back(steps[k].name);
        }
        loop.expected = std::sqrt(variance);
        found.push_back(std::move(loop));
    }
    return found;
}

void observe(MachineModel& model, const TableCheck& check, std::vector<Observation>& observations) {
    if (by_level(check))
        observe_level(model, check, observations);
    else
        observe_indicator(model, check, observations);
}

std::vector<Measurand> measured_by(const MachineModel& model, const TableCheck& check) {
    const auto area = mapped_area(check);
    Eigen::RowVectorXd crown =
        model.table_form((area.x_low + area.x_high) / 2, (area.y_low + area.y_high) / 2);
    for (const double x : {area.x_low, area.x_high})
        for (const double y : {area.y_low, area.y_high})
            crown -= model.table_form(x, y) / 4;
    return {{"middle of the table over its corners", false, crown, crown}};
}

} // namespace holdable
