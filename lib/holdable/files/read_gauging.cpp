// SPDX-License-Identifier: MIT
#include "holdable/files/read_gauging.hpp"

#include "holdable/files/fields.hpp"
#include "holdable/files/reader.hpp"
#include "holdable/files/readings.hpp"
#include "holdable/standards/expansion.hpp"

#include <fmt/format.h>

#include <cmath>
#include <numbers>
#include <vector>

namespace holdable {
namespace {

using decide::Doubt;
using decide::Inspection;

constexpr Range some_error = {.low = 0, .high = 1e-3, .low_open = true};

/// The keys "U" and "k" of a certificate [certificate-k].
Doubt read_certificate(const Reader& field) {
    Doubt doubt{0, {}, Evidence::certificate};
    read_name(field.at("number"));
    const double U = field.at("U").quantity(Measure::length, some_error);
    if (const auto k = field.find("k"))
        doubt.standard = U / k->number(Range::closed(1, 20));
    else
        field.report(Diagnostic{"certificate-k",
                                {},
                                "the certificate's U stands without its k",
                                "the certificate states it beside U, mostly as \"k\": 2"});
    return doubt;
}

void read_instrument(const Reader& field, Inspection& inspection) {
    inspection.instrument = read_name(field.at("name"));
    inspection.resolution = field.at("resolution").quantity(Measure::length, some_form);
    if (const auto certificate = field.find("certificate"))
        inspection.certificate = read_certificate(*certificate);
    if (const auto limit = field.find("max_error"))
        inspection.max_error = limit->quantity(Measure::length, some_error);
    if (!inspection.certificate && !inspection.max_error && field.node() != nullptr)
        field.report(Diagnostic{"evidence-missing",
                                {},
                                "nothing is said of the error of the gauge",
                                "give its \"certificate\", or its limit of error \"max_error\""});
}

Doubt read_scatter(const Reader& field, std::vector<std::string>& notes) {
    Doubt doubt;
    if (const auto readings = field.find("readings")) {
        const auto read =
            read_repeats(*readings, read_unit(field.find("unit"), Measure::length), notes);
        doubt.standard = read.spread;
        if (read.repeats > 1)
            doubt.dof = read.repeats - 1;
        if (read.repeats > 1 && read.spread == 0)
            readings->report(
                Diagnostic{"repeats-same",
                           {},
                           "all readings are the same: no scatter can be read off them",
                           "read with a finer instrument, or state a \"standard_deviation\""});
        return doubt;
    }
    doubt.standard = field.at("standard_deviation").quantity(Measure::length, some_error);
    if (const auto dof = field.find("dof"))
        doubt.dof = dof->number({.low = 1, .high = 1e6});
    doubt.evidence = read_evidence(field.at("evidence"));
    return doubt;
}

Doubt read_operators(const Reader& field) {
    Doubt doubt;
    doubt.standard =
        field.at("plus_minus").quantity(Measure::length, {.low = 0, .high = some_error.high}) /
        std::numbers::sqrt3;
    doubt.evidence = read_evidence(field.at("evidence"));
    return doubt;
}

/// Three nested lists, all of one length on each level [study-shape].
void read_study(const Reader& field, Inspection& inspection) {
    const bool crossed = field.at("kind").word<bool>({{"crossed", true}, {"nested", false}});
    const auto unit = field.at("unit");
    const double size = read_unit(unit, Measure::length).size.value_or(0);
    const auto before = field.faults();
    const auto list = field.at("readings");
    std::vector<double> readings;
    std::size_t second = 0, repeats = 0;
    bool even = true;
    const auto first = list.elements();
    for (const auto& middle : first) {
        const auto inner = middle.elements();
        second = second == 0 ? inner.size() : second;
        even = even && inner.size() == second;
        for (const auto& cell : inner) {
            const auto numbers = cell.numbers();
            repeats = repeats == 0 ? numbers.size() : repeats;
            even = even && numbers.size() == repeats;
            for (const double x : numbers)
                readings.push_back(x * size);
        }
    }
    if (field.faults() != before || list.node() == nullptr || !(size > 0))
        return;
    if (!even || first.size() < 2 || second < 2 || repeats < 2) {
        list.report(Diagnostic{"study-shape",
                               {},
                               "the study is not complete: each list must be as long as the others "
                               "of its level, and have two entries at least",
                               crossed ? "readings[part][operator][repeat]"
                                       : "readings[operator][part][repeat]"});
        return;
    }
    const auto study = crossed ? decide::crossed_study({first.size(), second, repeats, readings})
                               : decide::nested_study({first.size(), second, repeats, readings});
    const auto doubt = [](const decide::Component& component) {
        Doubt result{std::sqrt(component.variance), {}, Evidence::measured};
        if (component.dof > 0)
            result.dof = component.dof;
        return result;
    };
    inspection.scatter = doubt(study.repeatability);
    inspection.operators = doubt(study.reproducibility);
    inspection.study = study;
    if (!(inspection.scatter.standard > 0))
        list.report(Diagnostic{"repeats-same",
                               {},
                               "all repeats are the same: no scatter can be read off them",
                               "read with a finer instrument"});
}

decide::Body read_body(const Reader& temperature, const Reader& material) {
    decide::Body body;
    body.temperature = temperature.quantity(Measure::temperature, room_temperature);
    const auto name = material.string();
    if (!name.empty())
        material.attempt([&] {
            const auto& expansion = expansion_of(name);
            body.expansion = expansion.coefficient;
            body.expansion_limit = expansion.half_width;
        });
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

} // namespace

decide::Inspection read_gauging(const Node& root, const std::string& file) {
    const Reader reader(root, file);
    Inspection inspection;
    expect_format(reader, "gauging/1");
    inspection.title = read_name(reader.at("title"));
    const auto field = reader.at("inspection");
    inspection.characteristic = read_name(field.at("characteristic"));
    read_limits(field, inspection);
    read_instrument(field.at("instrument"), inspection);
    if (const auto master = field.find("master")) {
        inspection.master = read_name(master->at("name"));
        inspection.master_doubt = read_certificate(master->at("certificate"));
    }
    if (const auto repeats = field.find("repeats"))
        inspection.repeats = static_cast<int>(repeats->integer(1, 1000));
    if (const auto study = field.find("study")) {
        read_study(*study, inspection);
        for (const char* key : {"scatter", "operators"})
            if (const auto twice = field.find(key)) {
                twice->allow_other_keys();
                twice->report(
                    Diagnostic{"given-twice",
                               {},
                               "the study already says how readings and operators scatter",
                               "leave out one of them"});
            }
    } else {
        inspection.scatter =
            read_scatter(field.at("scatter", "or a gauge \"study\", which tells the operators too"),
                         inspection.notes);
        inspection.operators = read_operators(field.at("operators"));
    }
    read_temperature(field.at("temperature"), inspection);
    if (const auto process = field.find("process_scatter"))
        inspection.process_scatter = process->quantity(Measure::length, some_error);
    inspection.inch = read_inch(reader, field.at("nominal"));
    reader.has("$schema"); // for editors
    reader.finish();
    return inspection;
}

} // namespace holdable
