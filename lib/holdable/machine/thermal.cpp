// SPDX-License-Identifier: MIT
#include "holdable/machine/thermal.hpp"

#include "holdable/machine/observation.hpp"
#include "holdable/machine/shop.hpp"
#include "holdable/stats/regression.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <deque>

namespace holdable {
namespace {

constexpr double zero_celsius = 273.15; // (K)
constexpr double still_room = 0.5;      // (K)

const LogTrace* trace_of(const ThermalLog& log, Axis axis) {
    const auto at = std::find_if(
        log.traces.begin(), log.traces.end(), [axis](const LogTrace& t) { return t.axis == axis; });
    return at == log.traces.end() ? nullptr : &*at;
}

/// Tool minus surface, over time since the start of the log.
Eigen::VectorXd tool_moves(const LogTrace& trace) {
    return -Eigen::Map<const Eigen::VectorXd>(trace.readings.data(),
                                              static_cast<Eigen::Index>(trace.readings.size()));
}

bool voided(const Shop& shop, const ThermalLog& log, Date day) {
    return std::any_of(shop.events.begin(), shop.events.end(), [&](const Event& event) {
        return event.kind == EventKind::spindle_work && event.date >= log.date && event.date <= day;
    });
}

std::string hours(double seconds) {
    return seconds < 3600 ? fmt::format("{:.3g} min", seconds / 60)
                          : fmt::format("{:.3g} h", seconds / 3600);
}

bool another_season(double one, double other) {
    return std::abs(one - other) > season;
}

} // namespace

double
range_within(const std::vector<double>& times, const std::vector<double>& values, double span) {
    // The windows that end at each reading, with the candidates for highest and lowest in order.
    std::deque<std::size_t> high;
    std::deque<std::size_t> low;
    double range = 0;
    for (std::size_t i = 0; i < values.size(); ++i) {
        while (!high.empty() && values[high.back()] <= values[i])
            high.pop_back();
        while (!low.empty() && values[low.back()] >= values[i])
            low.pop_back();
        high.push_back(i);
        low.push_back(i);
        const double begin = times[i] - span * (1 + 1e-12);
        while (times[high.front()] < begin)
            high.pop_front();
        while (times[low.front()] < begin)
            low.pop_front();
        range = std::max(range, values[high.front()] - values[low.front()]);
    }
    return range;
}

std::optional<RoomSlope> room_slope(const ThermalLog& log, const LogTrace& trace) {
    const auto n = static_cast<Eigen::Index>(log.temperatures.size());
    if (n < 4)
        return std::nullopt;
    const Eigen::VectorXd room = Eigen::Map<const Eigen::VectorXd>(log.temperatures.data(), n);
    if (room.maxCoeff() - room.minCoeff() < still_room)
        return std::nullopt;
    const auto fit = stats::fit_line(room, tool_moves(trace), room.mean());
    const auto& e = fit.residuals;
    const double all = e.squaredNorm();
    const double together =
        all > 0 ? std::clamp(e.head(n - 1).dot(e.tail(n - 1)) / all, 0.0, 0.99) : 0;
    return RoomSlope{fit.coefficients[1],
                     std::sqrt(fit.covariance()(1, 1) * (1 + together) / (1 - together))};
}

stats::Rise warm_up(const ThermalLog& log, const LogTrace& trace) {
    require_shape(trace.readings.size() == log.times.size(),
                  log.name,
                  fmt::format("{} readings for {} times", trace.readings.size(), log.times.size()));
    const auto times = Eigen::Map<const Eigen::VectorXd>(
        log.times.data(), static_cast<Eigen::Index>(log.times.size()));
    return stats::fit_rise(times, tool_moves(trace));
}

std::optional<Drifting> drift_within(const Shop& shop, Axis axis, Date day, double span) {
    std::optional<Drifting> found;
    double covered = 0;
    for (const auto& log : shop.thermal_logs) {
        const auto* trace = trace_of(log, axis);
        if (log.spindle_runs || log.date > day || trace == nullptr)
            continue;
        const double half = range_within(log.times, trace->readings, span) / 2;
        if (!found || half > found->half_width)
            found = Drifting{half,
                             Evidence::measured,
                             fmt::format("drift log \"{}\", within {}", log.name, hours(span))};
        covered = std::max(covered, log.length());
    }
    const double of_class = class_of(shop).drift_8_h.high / 2;
    if (found && covered < span && found->half_width < of_class)
        return Drifting{of_class,
                        Evidence::typical,
                        fmt::format("drift of the class over a shift; the logs cover {} of {}",
                                    hours(covered),
                                    hours(span))};
    return found;
}

std::optional<Growth>
growth_within(const Shop& shop, Axis axis, Date day, double warmed_up, double span) {
    const ThermalLog* latest = nullptr;
    for (const auto& log : shop.thermal_logs)
        if (log.spindle_runs && log.date <= day && trace_of(log, axis) != nullptr &&
            !voided(shop, log, day) && (latest == nullptr || log.date >= latest->date))
            latest = &log;
    if (latest == nullptr)
        return std::nullopt;
    const auto& trace = *trace_of(*latest, axis);
    const auto& indicator =
        find_instrument(shop.indicators, trace.indicator, "indicator", latest->name);
    const auto left = stats::rise_between(warm_up(*latest, trace), warmed_up, warmed_up + span);
    return Growth{left.value,
                  std::hypot(left.standard, left.value * indicator.gain_doubt / std::sqrt(3.0)),
                  fmt::format("warm-up log \"{}\", {} to {} after its start",
                              latest->name,
                              hours(warmed_up),
                              hours(warmed_up + span))};
}

Shop in_season(Shop shop, double room, std::vector<std::string>& notes) {
    const auto out = [&](const std::string& name, double read_at) {
        if (!another_season(read_at, room))
            return false;
        notes.push_back(fmt::format(
            "the check \"{}\" was made at {:.3g} °C, more than {:.0f} K from the {:.3g} "
            "°C of the job: it says nothing of that season and is not used",
            name,
            read_at - zero_celsius,
            season,
            room - zero_celsius));
        return true;
    };
    std::erase_if(shop.level_checks, [&](const LevelCheck& check) {
        const auto at = shop.room_temperatures.find(check.name);
        return at != shop.room_temperatures.end() && out(check.name, at->second);
    });
    std::erase_if(shop.thermal_logs, [&](const ThermalLog& log) {
        const auto at = shop.room_temperatures.find(log.name);
        if (at != shop.room_temperatures.end())
            return out(log.name, at->second);
        const auto n = static_cast<double>(log.temperatures.size());
        double mean = 0;
        for (const double t : log.temperatures)
            mean += t / n;
        return n > 0 && out(log.name, mean);
    });
    return shop;
}

} // namespace holdable
