// SPDX-License-Identifier: MIT
#include "holdable/files/read_gauging.hpp"

#include "holdable/base/words.hpp"
#include "holdable/files/fields.hpp"
#include "holdable/files/read_measuring.hpp"
#include "holdable/standards/expansion.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

namespace holdable {
namespace {

using decide::Inspection;


decide::Body read_body(const Reader& temperature, const Reader& material) {
    decide::Body body;
    body.temperature = temperature.quantity(Measure::temperature, room_temperature);
    read_expansion(material, body);
    return body;
}

void read_temperature(const Reader& field, Inspection& inspection) {
    inspection.part = read_body(field.at("part"), field.at("part_material"));
    inspection.gauge = read_body(field.at("gauge"), field.at("gauge_material"));
    inspection.temperature_limit = field.at("doubt").quantity(
        Measure::temperature_difference, {.low = 0, .high = 30, .low_open = true});
    inspection.corrected = field.at("corrected").boolean();
}

void read_limits(const Reader& field, Inspection& inspection) {
    inspection.nominal = field.at("nominal").quantity(Measure::length, some_height);
    if (const auto zone = field.find("zone")) {
        inspection.upper = zone->quantity(Measure::length, some_length);
        if (field.has("lower") || field.has("upper"))
            zone->report(Diagnostic{"given-twice",
                                    {},
                                    "a zone and limits say the same thing",
                                    "a size has \"lower\" and \"upper\", a form a \"zone\""});
        return;
    }
    const auto before = field.faults();
    const auto upper = field.at("upper", "or the \"zone\" of a form or an orientation");
    inspection.lower = field.at("lower").quantity(Measure::length, any_place);
    inspection.upper = upper.quantity(Measure::length, any_place);
    if (field.faults() == before && inspection.upper <= *inspection.lower)
        upper.report(Diagnostic{"limits-order",
                                {},
                                "the upper limit is not above the lower one",
                                "both are sizes, as \"40.025 mm\""});
}

/// How a part is measured.
Inspection read_inspection(const Reader& reader, Date day) {
    Inspection inspection;
    inspection.title = read_name(reader.at("title"));
    const auto field =
        reader.at("inspection", "or \"machine\", \"check\" and \"show\" of a planned check");
    inspection.characteristic = read_name(field.at("characteristic"));
    read_limits(field, inspection);
    read_measuring(field, day, inspection);
    read_temperature(field.at("temperature"), inspection);
    if (const auto process = field.find("process_scatter"))
        inspection.process_scatter = process->quantity(Measure::length, some_gauge_error);
    if (const auto critical = reader.find("critical"))
        inspection.critical = critical->boolean();
    inspection.rule = read_rule(reader, Measure::length);
    inspection.inch = read_inch(reader, field.at("nominal"));
    return inspection;
}

} // namespace

std::optional<decide::CustomerRule> read_rule(const Reader& reader, Measure measure) {
    const auto field = reader.find("rule");
    if (!field)
        return std::nullopt;
    if (field->node() != nullptr && field->node()->kind == Node::Kind::string)
        return field->word<std::optional<decide::CustomerRule>>(
            {{"guarded", std::nullopt}, {"simple", decide::simple_acceptance()}});
    decide::CustomerRule rule;
    rule.name = read_name(field->at("name"));
    if (const auto ratio = field->find("ratio")) {
        rule.ratio = ratio->number(Range::closed(1, 100));
        rule.guarded_below =
            field->at("below", "what happens to a reading where the ratio is missed")
                .word<bool>({{"refuse", false}, {"guarded", true}});
        for (const char* key : {"guard_band", "guard_band_in_U"})
            if (const auto band = field->find(key)) {
                band->allow_other_keys();
                band->report(Diagnostic{"given-twice",
                                        {},
                                        "a ratio and a guard band are two rules",
                                        "leave out one of them"});
            }
        return rule;
    }
    const auto band = field->find("guard_band");
    const auto times = field->find("guard_band_in_U");
    const double largest = measure == Measure::length ? some_gauge_error.high : 0.01;
    if (band)
        rule.band = band->quantity(measure, {.low = 0, .high = largest});
    if (times)
        rule.of_expanded = times->number(Range::closed(0, 10));
    if (band && times)
        times->report(Diagnostic{"given-twice",
                                 {},
                                 "the guard band is given as a size and in U",
                                 "leave out one of them"});
    if (!band && !times)
        (void)field->at("guard_band",
                        "or \"guard_band_in_U\", 0 of either is simple acceptance; or a \"ratio\"");
    return rule;
}

Gauging read_gauging(const Node& root, const std::string& file, Date today) {
    const Reader reader(root, file);
    expect_format(reader, "gauging/1");
    auto day = today;
    if (const auto date = reader.find("date"))
        day = read_date(*date).value_or(today);
    reader.has("$schema"); // for editors
    const bool planned = reader.has("machine") || reader.has("check") || reader.has("show");
    Gauging gauging;
    if (planned && reader.has("inspection")) {
        reader.allow_other_keys();
        reader.at("inspection")
            .report(Diagnostic{"given-twice",
                               {},
                               "an inspection of a part and a check of a machine are two files",
                               "leave out one of them"});
    } else if (planned)
        gauging = read_planned(reader, file, day);
    else
        gauging = read_inspection(reader, day);
    reader.finish();
    return gauging;
}

} // namespace holdable
