// SPDX-License-Identifier: MIT
#include "holdable/files/read_checks.hpp"
#include "holdable/machine/observation.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

namespace holdable {
namespace {

constexpr std::size_t most_stations = 2500; // of a map that is planned

class TableReader {
  public:
    explicit TableReader(CheckFields& fields) : fields_(fields) {}

    TableCheck read(const Reader& item, std::string name);

  private:
    void by_level(const Reader& item, TableCheck& check, const std::optional<Date>& date);
    TableLine line(const Reader& item, const Reader& check_item, const TableCheck& check);
    void test_loops(const Reader& lines, const TableCheck& check);
    void by_indicator(const Reader& item, TableCheck& check, const std::optional<Date>& date);
    std::vector<double> stations(const Reader& item, Axis axis) const;

    /// The figure of the class (m).
    double flatness() const { return class_of(fields_.shop()).table_flatness.high; }

    CheckFields& fields_;
};

TableLine TableReader::line(const Reader& item, const Reader& check_item, const TableCheck& check) {
    TableLine line;
    const auto high = read_end(item.at("plus_when_high"), "XY", " end");
    line.along = high.axis;
    const auto from = read_two(item.at("from"), any_place);
    line.from = {from[0], from[1]};
    const auto own = item.find("unit");
    const auto common = check_item.find("unit");
    const auto unit =
        read_unit(own ? own : common, Measure::angle, fields_.division_of(check.level));
    // A line has as many steps as readings, or as it is planned to have.
    const auto steps = fields_.planned() ? item.at("steps") : item.at("readings");
    const auto field = fields_.run(item,
                                   {unit, static_cast<double>(high.sign)},
                                   steps,
                                   "steps",
                                   {line.readings, line.spread, line.repeats, line.closing});
    if (fields_.planned()) {
        const auto count = static_cast<std::size_t>(steps.integer(2, 1000));
        line.readings.assign(count, 0);
        if (const int repeats = fields_.planned_repeats(); repeats > 1)
            line.repeats.assign(count, repeats);
    }
    if (!field)
        return line;
    if (line.readings.size() < 2) {
        field->report(Diagnostic{
            "stations-few", {}, "one step of a level shows no form", "walk it two steps or more"});
        return line;
    }
    const auto [least, most] = std::minmax_element(line.readings.begin(), line.readings.end());
    fields_.check_size(*field, *most - *least, flatness() / check.foot);
    fields_.check_trace(*field, line.readings);
    return line;
}

void TableReader::test_loops(const Reader& lines, const TableCheck& check) {
    for (const Level& level : fields_.shop().levels)
        if (level.name == check.level)
            for (const auto& loop : loops(check, level)) {
                if (std::abs(loop.error) <= open_loop * loop.expected)
                    continue;
                std::string steps;
                for (const auto& step : loop.steps)
                    steps += (steps.empty() ? "" : "; ") + step;
                fields_.notes().push_back(
                    remark(lines,
                           fmt::format("the loop of {} is open by {:.1f} µm, where {:.1f} µm is "
                                       "its standard uncertainty: a burr under a foot, or the "
                                       "level moved; read it again",
                                       steps,
                                       std::abs(loop.error) * 1e6,
                                       loop.expected * 1e6)));
            }
}

void TableReader::by_level(const Reader& item, TableCheck& check, const std::optional<Date>& date) {
    check.level = fields_.instrument(item.at("level"), fields_.shop().levels, "level", date);
    check.foot = item.at("foot").quantity(Measure::length, some_length);
    const auto lines = item.at("lines");
    const bool good = sound(item, [&] {
        const auto elements = lines.elements();
        if (lines.node() != nullptr && elements.empty())
            lines.report(Diagnostic{"stations-few", {}, "there is no line", ""});
        for (const Reader& one : elements)
            check.lines.push_back(line(one, item, check));
    });
    item.find("unit");
    if (good && check.foot > 0)
        test_loops(lines, check);
}

std::vector<double> TableReader::stations(const Reader& item, Axis axis) const {
    const auto field = item.at(axis == Axis::x ? "x" : "y");
    std::vector<double> at;
    if (!sound(item, [&] { at = field.quantities(Measure::length, any_place); }) ||
        field.node() == nullptr)
        return at;
    const auto elements = field.elements();
    for (std::size_t i = 0; i < elements.size(); ++i)
        fields_.inside(elements[i], axis, at[i]);
    CheckFields::check_stations(elements, at);
    if (axis == Axis::x)
        CheckFields::check_three(field);
    else if (at.size() < 2)
        field.report(Diagnostic{
            "stations-few", {}, "one run is a line, no map of the table", "take two or more"});
    return at;
}

void TableReader::by_indicator(const Reader& item,
                               TableCheck& check,
                               const std::optional<Date>& date) {
    check.indicator =
        fields_.instrument(item.at("indicator"), fields_.shop().indicators, "indicator", date);
    const auto length = item.at("gauge_length");
    if (sound(item, [&] { check.gauge_length = length.quantity(Measure::length, some_length); }) &&
        length.node() != nullptr)
        fields_.inside(length, Axis::z, check.gauge_length - fields_.shop().nose_to_table);
    check.x = stations(item, Axis::x);
    check.y = stations(item, Axis::y);
    auto touched = fields_.touch({item});
    const auto field = fields_.readings(item);
    if (!field) {
        auto count = check.x.size() * check.y.size();
        if (count > most_stations) {
            item.at("x").report(
                Diagnostic{"value-range",
                           {},
                           fmt::format("{} × {} stations are more than a table is read at",
                                       check.x.size(),
                                       check.y.size()),
                           fmt::format("plan {} at most", most_stations)});
            count = 0;
        }
        check.readings.assign(count, 0);
        if (const int repeats = fields_.planned_repeats(); repeats > 1)
            check.repeats.assign(check.readings.size(), repeats);
        check.closing = fields_.closing(item, touched, typical_drift);
        return;
    }
    const auto& runs = *field;
    const auto elements = runs.elements();
    const bool read = sound(item, [&] {
        const auto before = item.faults();
        for (const Reader& run : elements) {
            const auto sofar = check.readings.size();
            CheckFields::take(read_readings(run, touched.unit, fields_.notes()),
                              touched.sign,
                              check.readings,
                              check.spread,
                              check.repeats);
            CheckFields::check_count(
                run, check.readings.size() - sofar, item.at("x"), "stations along X");
        }
        CheckFields::check_count(runs, elements.size(), item.at("y"), "runs along X");
        if (item.faults() != before)
            touched.unit.size = touched.unit.size.value_or(0);
        check.closing = fields_.closing(item, touched, typical_drift);
    });
    if (!read || check.readings.empty())
        return;
    const auto [least, most] = std::minmax_element(check.readings.begin(), check.readings.end());
    const auto [west, east] = std::minmax_element(check.x.begin(), check.x.end());
    // The table may also lean against the motion, by as much as a squareness.
    fields_.check_size(runs,
                       (*most - *least) / (*east - *west),
                       class_of(fields_.shop()).squareness.high + flatness() / (*east - *west));
    fields_.check_trace(runs, check.readings);
}

TableCheck TableReader::read(const Reader& item, std::string name) {
    enum class By { level, indicator };
    TableCheck check;
    check.name = std::move(name);
    const auto date = fields_.date(item);
    check.date = date.value_or(Date{});
    const auto by = read_kind<By>(item, "by", {{"level", By::level}, {"indicator", By::indicator}});
    if (by == By::level)
        by_level(item, check, date);
    else if (by == By::indicator)
        by_indicator(item, check, date);
    return check;
}

} // namespace

TableCheck read_table_check(const Reader& item, std::string name, CheckFields& fields) {
    return TableReader(fields).read(item, std::move(name));
}

} // namespace holdable
