// SPDX-License-Identifier: MIT
#include "holdable/files/read_job.hpp"

#include "holdable/base/words.hpp"
#include "holdable/files/fields.hpp"
#include "holdable/files/reader.hpp"
#include "holdable/files/readings.hpp"
#include "holdable/standards/expansion.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <initializer_list>
#include <optional>
#include <string_view>
#include <utility>

namespace holdable {
namespace {

constexpr double tight = 0.5e-6; // a tolerance below it: "mm" for "µm"? (m)
constexpr double wide = 2e-3;    // one above it (m)

/// A job on one zero ends within a month.
constexpr Range some_duration = {.low = 0, .high = 30 * 86400.0, .low_open = true};

/// An error of the process: at most 10 mm or 10 mm/m.
constexpr Range some_error = {.low = 0, .high = 0.01, .low_open = true};

Allowance read_allowance(const Reader& field, Measure measure) {
    Allowance allowance;
    if (const auto total = field.find("total"))
        allowance.half_width = total->quantity(measure, some_error) / 2;
    else
        allowance.half_width = field.at("plus_minus").quantity(measure, some_error);
    allowance.evidence = read_evidence(field.at("evidence"));
    if (const auto basis = field.find("basis"))
        allowance.basis = basis->string();
    return allowance;
}

/// @param by_cut it may be taken from a test cut of the machine file
Scatter
read_scatter(const Reader& field, Measure measure, bool by_cut, std::vector<std::string>& notes) {
    Scatter scatter;
    if (const auto from = by_cut ? field.find("from") : std::nullopt) {
        scatter.from = read_name(*from);
        if (const auto basis = field.find("basis"))
            scatter.basis = basis->string();
        return scatter;
    }
    if (const auto readings = field.find("readings")) {
        const auto read = read_repeats(*readings, read_unit(field.find("unit"), measure), notes);
        scatter.mean = read.value;
        scatter.standard_deviation = read.spread;
        scatter.readings = read.repeats;
        scatter.dof = read.repeats - 1;
        scatter.evidence = Evidence::measured;
        if (read.repeats > 1 && read.spread == 0)
            readings->report(
                Diagnostic{"repeats-same",
                           {},
                           "all readings are the same: no scatter can be read off them",
                           "read with a finer instrument, or state a "
                           "\"standard_deviation\""});
    } else {
        scatter.standard_deviation = field.at("standard_deviation").quantity(measure, some_error);
        if (const auto dof = field.find("dof"))
            scatter.dof = dof->number({.low = 1, .high = 1e6});
        scatter.evidence = read_evidence(field.at("evidence"));
    }
    if (const auto basis = field.find("basis"))
        scatter.basis = basis->string();
    return scatter;
}

void read_process(const Reader& field, Job& job) {
    const auto* node = field.node();
    const auto typical = [](const Reader& reader) {
        return reader.word<bool>({{"typical", true}});
    };
    if (node->kind == Node::Kind::string) {
        job.process_typical = typical(field);
        return;
    }
    if (const auto others = field.find("others"))
        job.process_typical = typical(*others);
    const auto allowance = [&](const char* key, auto& place, Measure measure = Measure::length) {
        if (const auto found = field.find(key))
            place = read_allowance(*found, measure);
    };
    const auto scatter = [&](const char* key, auto& place, Measure measure = Measure::length) {
        if (const auto found = field.find(key))
            place =
                read_scatter(*found, measure, std::string_view(key) != "axis_repeat", job.notes);
    };
    allowance("work_zero", job.process.work_zero);
    allowance("location", job.process.location);
    scatter("axis_repeat", job.process.axis_repeat);
    allowance("reversal", job.process.reversal);
    allowance("drift", job.process.drift);
    scatter("hole_direction", job.process.hole_direction, Measure::angle);
    scatter("hole_place", job.process.hole_place);
    allowance("seat", job.process.seat, Measure::angle);
    allowance("tool_size", job.process.tool_size);
}

/// The rectangle of the keys "x" and "y". @return none where something is wrong with it
std::optional<Extent> read_extent(const Reader& item) {
    const auto before = item.faults();
    const auto x = read_two(item.at("x"), any_place);
    const auto y = read_two(item.at("y"), any_place);
    if (item.faults() != before || item.node() == nullptr)
        return std::nullopt;
    for (const auto& [key, pair] : {std::pair{"x", x}, std::pair{"y", y}})
        if (pair[0] >= pair[1])
            item.at(key).report(Diagnostic{"extent-empty",
                                           {},
                                           "it ends where it begins, or before",
                                           "the smaller coordinate comes first"});
    return item.faults() == before ? std::optional(Extent{x[0], x[1], y[0], y[1]}) : std::nullopt;
}

/// A tolerance, with or without "Ø" before it: the zones of both callouts are diameters.
void read_tolerance(const Reader& field, Callout& callout, std::vector<std::string>& notes) {
    const auto* node = field.node();
    if (node == nullptr || node->kind != Node::Kind::string) {
        field.quantity(Measure::length);
        return;
    }
    std::string_view text = node->text;
    for (const std::string_view sign : {"\u00d8", "\u2300", " "})
        if (text.starts_with(sign))
            text.remove_prefix(sign.size());
    callout.written = text;
    double value = 0;
    if (!field.attempt([&] { value = parse_as(Measure::length, text); }))
        return;
    if (!(value > 0))
        field.report(Diagnostic{
            "tolerance-zero",
            {},
            fmt::format("a tolerance of {} leaves no room for any part", in_quotes(text)),
            "ask the customer which number was meant"});
    else if (value > some_length.high)
        field.report(
            Diagnostic{"value-range", {}, fmt::format("{} is no tolerance", in_quotes(text)), ""});
    else if (value < tight || value > wide)
        notes.push_back(remark(field,
                               fmt::format("a tolerance of {} is unusually {}: is the unit right?",
                                           in_quotes(text),
                                           value < tight ? "tight" : "wide")));
    callout.tolerance = value;
}

void read_hole(const Reader& hole, const std::optional<Extent>& part, Callout& callout) {
    const auto place = hole.at("place");
    const auto before = hole.faults();
    const auto xy = read_two(place, any_place);
    callout.x = xy[0];
    callout.y = xy[1];
    const bool outside = part && (xy[0] < part->x_low || xy[0] > part->x_high ||
                                  xy[1] < part->y_low || xy[1] > part->y_high);
    if (hole.faults() == before && outside && place.node() != nullptr)
        place.report(Diagnostic{"outside-part",
                                {},
                                "the hole is outside the outline of the part",
                                "both are coordinates of the machine"});
    const auto depth = hole.at("depth");
    const auto heights = hole.faults();
    callout.top = hole.at("top").quantity(Measure::length, some_height);
    callout.depth = depth.quantity(Measure::length, some_length);
    if (hole.faults() == heights && depth.node() != nullptr &&
        callout.depth > callout.top * (1 + 1e-12))
        depth.report(Diagnostic{"hole-depth",
                                {},
                                "the hole would end below the table",
                                "\"top\" is the height of its upper end above the table"});
    callout.tool_length = hole.at("gauge_length").quantity(Measure::length, some_length);
    callout.making = hole.at("made_by").word<HoleMaking>({{"boring", HoleMaking::bored},
                                                          {"reaming", HoleMaking::reamed},
                                                          {"drilling", HoleMaking::drilled}});
}

OrientationDatum read_orientation_datum(const Reader& item) {
    OrientationDatum datum;
    datum.name = read_name(item.at("name"));
    const auto kind = read_kind<OrientationDatum::Kind>(
        item,
        "kind",
        {{"face", OrientationDatum::Kind::face}, {"seat", OrientationDatum::Kind::seat}});
    datum.kind = kind.value_or(OrientationDatum::Kind::face);
    if (kind != OrientationDatum::Kind::face)
        return datum;
    if (item.has("x") || item.has("y"))
        datum.extent = read_extent(item);
    datum.height = item.at("height").quantity(Measure::length, some_height);
    datum.tool_length = item.at("gauge_length").quantity(Measure::length, some_length);
    return datum;
}

PositionDatum read_position_datum(const Reader& item) {
    PositionDatum datum;
    datum.names = read_name(item.at("name"));
    datum.kind = item.at("kind").word<PositionDatum::Kind>(
        {{"picked up", PositionDatum::Kind::picked_up}, {"cut", PositionDatum::Kind::cut}});
    datum.x = item.at("x").quantity(Measure::length, any_place);
    datum.y = item.at("y").quantity(Measure::length, any_place);
    datum.height = item.at("height").quantity(Measure::length, some_height);
    datum.tool_length = item.at("gauge_length").quantity(Measure::length, some_length);
    return datum;
}

Callout read_callout(const Reader& item, Ids& ids, Job& job) {
    Callout callout;
    callout.name = ids.take(item);
    const auto perpendicularity = item.find("perpendicularity");
    const auto position = item.find("position");
    if (item.node()->kind == Node::Kind::object &&
        perpendicularity.has_value() == position.has_value())
        item.report(Diagnostic{"callout-kind",
                               {},
                               perpendicularity ? "one callout has one tolerance"
                                                : "the callout states no tolerance",
                               "write \"perpendicularity\" or \"position\"; a hole with both is "
                               "two callouts"});
    if (position)
        callout.kind = Callout::Kind::position;
    if (perpendicularity)
        read_tolerance(*perpendicularity, callout, job.notes);
    if (position)
        read_tolerance(*position, callout, job.notes);
    read_hole(item.at("hole"), job.part, callout);
    if (const auto datum = item.at("datum"); perpendicularity && !position)
        callout.orientation = read_orientation_datum(datum);
    else if (position && !perpendicularity)
        callout.position = read_position_datum(datum);
    else
        datum.allow_other_keys();
    return callout;
}

Temperatures read_temperatures(const Reader& field) {
    Temperatures temperatures;
    temperatures.stated = true;
    temperatures.part = field.at("part").quantity(Measure::temperature, room_temperature);
    temperatures.scale = field.at("scale").quantity(Measure::temperature, room_temperature);
    if (const auto doubt = field.find("doubt")) {
        temperatures.doubt = doubt->quantity(Measure::temperature_difference,
                                             {.low = 0, .high = 30, .low_open = true});
        temperatures.evidence = Evidence::measured;
    }
    return temperatures;
}

} // namespace

Job read_job(const Node& root, const std::string& file) {
    const Reader reader(root, file);
    Job job;
    expect_format(reader, "job/1");
    job.name = read_name(reader.at("name"));
    const auto material = reader.at("material");
    job.material = material.string();
    if (!job.material.empty())
        material.attempt([&] { expansion_of(job.material); });
    const auto quantity = reader.at("quantity");
    if (quantity.node() != nullptr && quantity.node()->kind == Node::Kind::number &&
        quantity.node()->number == 0)
        quantity.report(Diagnostic{"quantity-zero",
                                   {},
                                   "a job of no parts asks nothing",
                                   "write how many are to be made"});
    else
        job.quantity = static_cast<int>(quantity.integer(1, 1'000'000));
    if (const auto date = reader.find("date"))
        job.date = read_date(*date);
    if (const auto critical = reader.find("critical"))
        job.critical = critical->boolean();
    if (const auto part = reader.find("part"))
        job.part = read_extent(*part);
    if (const auto several = reader.find("several_setups"))
        job.several_setups = several->boolean();
    if (const auto process = reader.find("process"))
        read_process(*process, job);
    if (const auto duration = reader.find("duration"))
        job.duration = duration->quantity(Measure::time, some_duration);
    if (const auto warmed = reader.find("warmed_up"))
        job.warmed_up = warmed->quantity(Measure::time, {.low = 0, .high = some_duration.high});
    if (const auto temperatures = reader.find("temperatures"))
        job.temperatures = read_temperatures(*temperatures);

    const auto callouts = reader.at("callouts");
    const auto items = callouts.elements();
    Ids ids;
    for (const Reader& item : items)
        job.callouts.push_back(read_callout(item, ids, job));
    if (items.empty() && callouts.node() != nullptr && callouts.node()->kind == Node::Kind::array)
        callouts.report(Diagnostic{"callout-none", {}, "there is no callout to answer", ""});
    job.inch = read_inch(reader, items.empty() ? callouts : items[0].at("hole").at("top"));
    reader.has("$schema"); // for editors
    reader.finish();
    return job;
}

std::vector<std::string> notes_between(const Shop& shop, Date job) {
    std::vector<std::string> notes;
    const auto late = [&](const auto& check) {
        if (check.date > job)
            notes.push_back(
                fmt::format("the check {} of {} was made after the day of the job, {}, and is "
                            "not used",
                            in_quotes(check.name),
                            to_string(check.date),
                            to_string(job)));
    };
    for_each_check(shop, late);
    std::for_each(shop.thermal_logs.begin(), shop.thermal_logs.end(), late);
    return notes;
}

} // namespace holdable
