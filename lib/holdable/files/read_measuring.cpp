// SPDX-License-Identifier: MIT
#include "holdable/files/read_measuring.hpp"

#include "holdable/base/words.hpp"
#include "holdable/files/fields.hpp"
#include "holdable/files/readings.hpp"
#include "holdable/standards/expansion.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>
#include <vector>

namespace holdable {
namespace {

using decide::Doubt;
using decide::Inspection;


/// The keys "U" and "k" of a certificate [certificate-k]; a remark where it ran out before the day.
/// @param whose in words
Doubt read_certificate(const Reader& field,
                       const std::string& whose,
                       std::optional<Date> day,
                       Inspection& inspection) {
    Doubt doubt{0, {}, Evidence::certificate};
    const auto number = read_name(field.at("number"));
    inspection.calibrations.push_back({whose, number, {}});
    if (const auto due = field.find("due"))
        if (const auto until = read_date(*due)) {
            inspection.calibrations.back().due = until;
            inspection.due = std::min(inspection.due.value_or(*until), *until);
            if (day && *until < *day)
                inspection.notes.push_back(
                    remark(*due,
                           fmt::format("the certificate {} of the {} ran out on {}: what it "
                                       "says may no longer hold",
                                       in_quotes(number),
                                       whose,
                                       to_string(*until))));
        }
    const double U = field.at("U").quantity(Measure::length, some_gauge_error);
    if (const auto k = field.find("k"))
        doubt.standard = U / k->number(Range::closed(1, 20));
    else
        field.report(Diagnostic{"certificate-k",
                                {},
                                "the certificate's U stands without its k",
                                "the certificate states it beside U, mostly as \"k\": 2"});
    return doubt;
}

void read_instrument(const Reader& field, std::optional<Date> day, Inspection& inspection) {
    inspection.instrument = read_name(field.at("name"));
    inspection.resolution = field.at("resolution").quantity(Measure::length, some_form);
    if (const auto certificate = field.find("certificate"))
        inspection.certificate =
            read_certificate(*certificate, inspection.instrument, day, inspection);
    if (const auto limit = field.find("max_error"))
        inspection.max_error = limit->quantity(Measure::length, some_gauge_error);
}

/// What readings of references show of the gauge's error: the keys "bias" and "linearity".
void read_found(const Reader& field, std::optional<Date> day, Inspection& inspection) {
    const auto bias = field.find("bias");
    const auto linearity = field.find("linearity");
    if (!bias && !linearity)
        return;
    if (bias && linearity) {
        linearity->allow_other_keys();
        linearity->report(Diagnostic{"given-twice",
                                     {},
                                     "a bias and a linearity both say the error of the gauge",
                                     "leave out one of them"});
    }
    const auto& study = bias ? *bias : *linearity;
    decide::FoundError found;
    found.doubt.evidence = Evidence::measured;
    found.reference = read_certificate(study.at("reference"), "reference", day, inspection);
    if (const auto corrected = study.find("corrected"))
        found.corrected = corrected->boolean();
    const auto unit = read_unit(study.find("unit"), Measure::length);
    const auto list = study.at("readings");
    const auto before = study.faults();
    if (bias) {
        const auto readings = read_single_readings(list, unit);
        if (study.faults() == before && list.node() != nullptr)
            list.attempt([&] {
                if (readings.size() < 2)
                    throw InputError("repeats-few", "a bias needs two readings or more");
                if (std::all_of(readings.begin(), readings.end(), [&](double r) {
                        return r == readings.front();
                    }))
                    throw InputError("repeats-same",
                                     "all readings are the same: no scatter can be read off them",
                                     "read with a finer instrument");
                found.bias = decide::bias_study(readings, 0);
                found.value = found.bias->bias;
                found.doubt.standard = found.bias->standard;
                found.doubt.dof = found.bias->dof;
            });
    } else {
        const auto sizes = study.at("sizes").quantities(Measure::length, some_height);
        std::vector<double> at, errors;
        const auto rows = list.elements();
        for (std::size_t i = 0; i < rows.size(); ++i)
            for (const double error : read_single_readings(rows[i], unit)) {
                at.push_back(i < sizes.size() ? sizes[i] : 0);
                errors.push_back(error);
            }
        if (study.faults() == before && list.node() != nullptr && study.has("sizes"))
            list.attempt([&] {
                if (rows.size() != sizes.size())
                    throw InputError(
                        "readings-count",
                        fmt::format("{} lists of readings for {} sizes", rows.size(), sizes.size()),
                        "each size has its list of readings");
                const Eigen::Map<const Eigen::VectorXd> x(at.data(),
                                                          static_cast<Eigen::Index>(at.size()));
                const Eigen::Map<const Eigen::VectorXd> e(errors.data(), x.size());
                try {
                    found.linearity = decide::linearity_study(x, x + e);
                } catch (const NumericError& error) {
                    throw InputError("study-shape", error.what());
                }
                found.value = found.linearity->at(inspection.nominal);
                found.doubt.standard = found.linearity->standard_at(inspection.nominal);
                found.doubt.dof = found.linearity->dof;
            });
    }
    inspection.found = found;
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
    doubt.standard = field.at("standard_deviation").quantity(Measure::length, some_gauge_error);
    if (const auto dof = field.find("dof"))
        doubt.dof = dof->number({.low = 1, .high = 1e6});
    doubt.evidence = read_evidence(field.at("evidence"));
    return doubt;
}

Doubt read_operators(const Reader& field) {
    Doubt doubt;
    doubt.standard =
        field.at("plus_minus").quantity(Measure::length, {.low = 0, .high = some_gauge_error.high}) /
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

} // namespace

void read_use(const Reader& field,
              std::optional<Date> day,
              Inspection& inspection,
              const std::optional<Doubt>& usual) {
    read_found(field, day, inspection);
    if (const auto master = field.find("master")) {
        inspection.master = read_name(master->at("name"));
        inspection.master_doubt =
            read_certificate(master->at("certificate"), inspection.master, day, inspection);
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
        if (usual && !field.has("scatter"))
            inspection.scatter = *usual;
        else
            inspection.scatter = read_scatter(
                field.at("scatter", "or a gauge \"study\", which tells the operators too"),
                inspection.notes);
        inspection.operators = read_operators(field.at("operators"));
    }
}

void read_measuring(const Reader& field, std::optional<Date> day, Inspection& inspection) {
    read_instrument(field.at("instrument"), day, inspection);
    read_use(field, day, inspection);
}

void read_expansion(const Reader& material, decide::Body& body) {
    const auto name = material.string();
    if (!name.empty())
        material.attempt([&] {
            const auto& expansion = expansion_of(name);
            body.expansion = expansion.coefficient;
            body.expansion_limit = expansion.half_width;
        });
}

} // namespace holdable
