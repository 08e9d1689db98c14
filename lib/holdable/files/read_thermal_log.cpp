// SPDX-License-Identifier: MIT
#include "holdable/files/read_checks.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string_view>
#include <utility>

namespace holdable {
namespace {

constexpr Range some_time = {.low = 0, .high = 30 * 86400.0}; // a log ends within a month (s)
constexpr Range some_interval = {.low = 0, .high = 86400, .low_open = true};
constexpr Range some_turning = {.low = 0, .high = 5000, .low_open = true}; // (1/s)
constexpr double short_log = 4 * 3600.0;  // of a machine that stands (s)
constexpr std::size_t least_standing = 3; // readings
constexpr std::size_t least_warming = 6;  // a rise has three coefficients

class ThermalLogReader {
  public:
    ThermalLogReader(CheckFields& fields, bool spindle_runs)
        : fields_(fields), least_(spindle_runs ? least_warming : least_standing) {
        log_.spindle_runs = spindle_runs;
    }

    ThermalLog read(const Reader& item, std::string name);

  private:
    static std::vector<double> times(const Reader& item, std::size_t readings);
    static std::size_t longest(const std::vector<LogTrace>& traces);
    LogTrace trace(const Reader& item, Axis axis, const std::optional<Date>& date);
    void temperatures(const Reader& item);
    void compare(const Reader& item);

    CheckFields& fields_;
    std::size_t least_;
    ThermalLog log_;
};

/// The times from "every", for as many readings as there are, or from "times".
std::vector<double> ThermalLogReader::times(const Reader& item, std::size_t readings) {
    const auto every = item.find("every");
    const auto listed = item.find("times");
    const auto unit = read_unit(item.find("time_unit"), Measure::time);
    std::vector<double> times;
    if (every && listed)
        item.report(Diagnostic{"given-twice",
                               {},
                               "\"every\" and \"times\" say the same thing twice",
                               "leave one out"});
    if (every) {
        const double step = every->quantity(Measure::time, some_interval);
        for (std::size_t i = 0; i < readings; ++i)
            times.push_back(step * static_cast<double>(i));
        return times;
    }
    const auto field =
        listed ? *listed : item.at("times", "or \"every\": the time from one reading to the next");
    if (!sound(item, [&] { times = read_single_readings(field, unit); }))
        return {};
    for (std::size_t i = 0; i < times.size(); ++i)
        if (times[i] < some_time.low || times[i] > some_time.high ||
            (i > 0 && times[i] <= times[i - 1])) {
            field.report(Diagnostic{
                "times-order",
                {},
                fmt::format("time {} is not after the one before it, or not within 30 days", i + 1),
                "times run from the start of the log: 0, 10, 20 with \"time_unit\": \"min\""});
            return {};
        }
    return times;
}

std::size_t ThermalLogReader::longest(const std::vector<LogTrace>& traces) {
    std::size_t n = 0;
    for (const auto& trace : traces)
        n = std::max(n, trace.readings.size());
    return n;
}

LogTrace ThermalLogReader::trace(const Reader& item, Axis axis, const std::optional<Date>& date) {
    LogTrace trace;
    trace.axis = axis;
    trace.indicator =
        fields_.instrument(item.at("indicator"), fields_.shop().indicators, "indicator", date);
    auto touched = fields_.touch({item});
    touched.sign *= read_end(item.at("touches"), std::string(1, letter(axis)), " face").sign;
    const auto field = item.at("readings");
    const bool read = sound(item, [&] {
        for (const double reading : read_single_readings(field, touched.unit))
            trace.readings.push_back(touched.sign * reading);
    });
    if (!read || field.node() == nullptr)
        return trace;
    if (trace.readings.size() < least_) {
        field.report(Diagnostic{"stations-few",
                                {},
                                fmt::format("{} readings are no log", trace.readings.size()),
                                fmt::format("log {} times or more", least_)});
        return trace;
    }
    const auto& c = class_of(fields_.shop());
    const double upper = log_.spindle_runs ? c.spindle_growth.high : c.drift_8_h.high;
    const auto [low, high] = std::minmax_element(trace.readings.begin(), trace.readings.end());
    if (*high - *low > surely_wrong * upper)
        field.report(Diagnostic{
            "readings-size",
            {},
            fmt::format("the readings differ by {:.3g} mm, more than {} times the figure of the "
                        "class \"{}\"",
                        (*high - *low) * 1e3,
                        surely_wrong,
                        c.name),
            "is the unit right (µm meant)? or does the class flatter the machine?"});
    if (*high == *low)
        fields_.notes().push_back(remark(field,
                                         "all readings are the same: what moved hides behind the "
                                         "last digit"));
    fields_.check_trace(field, trace.readings);
    return trace;
}

void ThermalLogReader::temperatures(const Reader& item) {
    const auto field = item.find("temperatures");
    if (!field || !sound(item, [&] {
            log_.temperatures = field->quantities(Measure::temperature, room_temperature);
        }))
        return;
    if (log_.temperatures.size() != log_.times.size() && !log_.times.empty())
        field->report(Diagnostic{"readings-count",
                                 {},
                                 fmt::format("{} temperatures for {} times",
                                             log_.temperatures.size(),
                                             log_.times.size()),
                                 "the room is read with every reading, or not at all"});
}

/// What is odd in a log that was read without fault.
void ThermalLogReader::compare(const Reader& item) {
    if (!log_.spindle_runs) {
        if (log_.length() < short_log)
            fields_.notes().push_back(remark(
                item,
                "less than four hours of drift: it says nothing of a longer job (ISO 230-3, from "
                "memory, asks for four hours or more)"));
        return;
    }
    for (const auto& trace : log_.traces)
        if (!warm_up(log_, trace).bends)
            fields_.notes().push_back(
                remark(item,
                       fmt::format("along {} the growth has no end, or no beginning, in this log: "
                                   "its time constant is not seen; log longer, or more often",
                                   letter(trace.axis))));
}

ThermalLog ThermalLogReader::read(const Reader& item, std::string name) {
    const auto before = item.faults();
    log_.name = std::move(name);
    const auto date = fields_.date(item);
    log_.date = date.value_or(Date{});
    if (log_.spindle_runs)
        log_.speed = item.at("speed").quantity(Measure::rotation_rate, some_turning);
    constexpr std::string_view letters[] = {"X", "Y", "Z"};
    std::vector<Reader> traced;
    for (std::size_t i = 0; i < 3; ++i)
        if (const auto one = item.find(letters[i])) {
            traced.push_back(*one);
            log_.traces.push_back(trace(*one, static_cast<Axis>(i), date));
        }
    if (log_.traces.empty() && item.faults() == before)
        item.at("Z", "or \"X\" or \"Y\": along which axis it was read");
    log_.times = times(item, longest(log_.traces));
    for (std::size_t i = 0; i < traced.size(); ++i) {
        const auto count = log_.traces[i].readings.size();
        if (!log_.times.empty() && count >= least_ && count != log_.times.size())
            traced[i]
                .at("readings")
                .report(
                    Diagnostic{"readings-count",
                               {},
                               fmt::format("{} readings for {} times", count, log_.times.size()),
                               "every trace has a reading at every time"});
    }
    temperatures(item);
    if (item.faults() == before)
        compare(item);
    return std::move(log_);
}

} // namespace

ThermalLog
read_thermal_log(const Reader& item, std::string name, bool spindle_runs, CheckFields& fields) {
    return ThermalLogReader(fields, spindle_runs).read(item, std::move(name));
}

} // namespace holdable
