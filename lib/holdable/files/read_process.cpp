// SPDX-License-Identifier: MIT
#include "holdable/files/read_process.hpp"

#include "holdable/files/fields.hpp"
#include "holdable/files/readings.hpp"

#include <optional>
#include <string_view>

namespace holdable {
namespace {

/// An error of the process: at most 10 mm or 10 mm/m.
constexpr Range some_scatter = {.low = 0, .high = 0.01, .low_open = true};

/// An error that may be none: what scales of glass have of the wave of a screw.
constexpr Range error_or_none = {.low = 0, .high = 0.01};

/// A hole comes out of a drill at most 10 mm from what was set, and no edge is pressed by more than
/// 100 kN.
constexpr Range some_shift = {.low = -0.01, .high = 0.01};
constexpr Range some_force = {.low = 0, .high = 1e5};

Allowance read_allowance(const Reader& field, Measure measure, const Range& range) {
    Allowance allowance;
    if (const auto total = field.find("total"))
        allowance.half_width = total->quantity(measure, range) / 2;
    else
        allowance.half_width = field.at("plus_minus").quantity(measure, range);
    allowance.evidence = read_evidence(field.at("evidence"));
    if (const auto basis = field.find("basis"))
        allowance.basis = basis->string();
    return allowance;
}

/// From here to there, or from nothing to a total.
Span read_span(const Reader& field, Measure measure, const Range& range) {
    Span span;
    if (const auto total = field.find("total")) {
        span.high = total->quantity(measure, {.low = 0, .high = range.high});
    } else {
        const auto to = field.at("to");
        const auto before = field.faults();
        span.low = field.at("from").quantity(measure, range);
        span.high = to.quantity(measure, range);
        if (field.faults() == before && to.node() != nullptr && span.high < span.low)
            to.report(Diagnostic{"span-order",
                                 {},
                                 "it ends below where it begins",
                                 "\"from\" is the smaller, with its sign"});
    }
    span.evidence = read_evidence(field.at("evidence"));
    if (const auto basis = field.find("basis"))
        span.basis = basis->string();
    return span;
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
        Reading read;
        const bool right = sound(field, [&] {
            read = read_repeats(*readings, read_unit(field.find("unit"), measure), notes);
        });
        scatter.mean = read.value;
        scatter.standard_deviation = read.spread;
        scatter.readings = read.repeats;
        scatter.dof = read.repeats - 1;
        scatter.evidence = Evidence::measured;
        if (right && read.repeats > 1 && read.spread == 0)
            readings->report(
                Diagnostic{"repeats-same",
                           {},
                           "all readings are the same: no scatter can be read off them",
                           "read with a finer instrument, or state a "
                           "\"standard_deviation\""});
    } else {
        scatter.standard_deviation = field.at("standard_deviation").quantity(measure, some_scatter);
        if (const auto dof = field.find("dof"))
            scatter.dof = dof->number({.low = 1, .high = 1e6});
        scatter.evidence = read_evidence(field.at("evidence"));
    }
    if (const auto basis = field.find("basis"))
        scatter.basis = basis->string();
    return scatter;
}

} // namespace

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
    auto& p = job.process;
    const auto allowance = [&](const char* key,
                               auto& place,
                               Measure measure = Measure::length,
                               const Range& range = some_scatter) {
        if (const auto found = field.find(key))
            place = read_allowance(*found, measure, range);
    };
    const auto scatter = [&](const char* key, auto& place, Measure measure, bool by_cut) {
        if (const auto found = field.find(key))
            place = read_scatter(*found, measure, by_cut, job.notes);
    };
    const auto span = [&](const char* key,
                          auto& place,
                          Measure measure = Measure::length,
                          const Range& range = error_or_none) {
        if (const auto found = field.find(key))
            place = read_span(*found, measure, range);
    };
    allowance("work_zero", p.work_zero);
    allowance("location", p.location);
    allowance("line_up", p.line_up, Measure::angle);
    allowance("pick_up", p.pick_up);
    scatter("axis_repeat", p.axis_repeat, Measure::length, false);
    allowance("reversal", p.reversal);
    allowance("short_wave", p.short_wave, Measure::length, error_or_none);
    allowance("drift", p.drift);
    allowance("seat", p.seat, Measure::angle);
    scatter("hole_direction", p.hole_direction, Measure::angle, true);
    scatter("hole_place", p.hole_place, Measure::length, true);
    span("hole_size", p.hole_size, Measure::length, some_shift);
    scatter("size_repeat", p.size_repeat, Measure::length, false);
    allowance("lobes", p.lobes, Measure::length, error_or_none);
    allowance("tool_size", p.tool_size);
    allowance("tool_length", p.tool_length);
    span("tool_run_out", p.tool_run_out);
    span("wear", p.wear);
    span("side_force", p.side_force, Measure::force, some_force);
    allowance("first_piece", p.first_piece);
    allowance("distortion", p.distortion, Measure::length, error_or_none);
}

} // namespace holdable
