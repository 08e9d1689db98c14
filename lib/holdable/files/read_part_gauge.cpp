// SPDX-License-Identifier: MIT
#include "holdable/files/read_part_gauge.hpp"

#include "holdable/base/words.hpp"
#include "holdable/files/fields.hpp"
#include "holdable/files/read_measuring.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace holdable {
namespace {

/// The instrument of that name; an unknown one is reported with those there are.
template <class Instrument>
const Instrument*
named(const Reader& field, const std::vector<Instrument>& all, std::string_view kind) {
    const auto name = read_name(field);
    if (field.node() == nullptr || name.empty())
        return nullptr;
    const auto found =
        std::find_if(all.begin(), all.end(), [&](const Instrument& i) { return i.name == name; });
    if (found != all.end())
        return &*found;
    std::string known;
    for (const auto& one : all)
        known += (known.empty() ? "" : ", ") + in_quotes(one.name);
    field.report(Diagnostic{"instrument-unknown",
                            {},
                            fmt::format("no {} is called {}", kind, in_quotes(name)),
                            known.empty() ? fmt::format("\"instruments\" has no {}", kind)
                                          : "there is " + known});
    return nullptr;
}

void read_gauge_temperature(const Reader& field, decide::Inspection& how) {
    how.part.temperature = field.at("part").quantity(Measure::temperature, room_temperature);
    how.gauge.temperature = field.at("gauge").quantity(Measure::temperature, room_temperature);
    read_expansion(field.at("gauge_material"), how.gauge);
    how.temperature_limit = field.at("doubt").quantity(Measure::temperature_difference,
                                                       {.low = 0, .high = 30, .low_open = true});
    how.corrected = field.at("corrected").boolean();
}

/// The certificate of an instrument of the machine file holds for the gauge too.
template <class Instrument>
void calibrated(const Instrument& instrument, decide::Inspection& how) {
    const auto& certificate = instrument.certificate;
    if (!certificate)
        return;
    how.calibrations.push_back({instrument.name, certificate->reference, certificate->due});
    if (certificate->due)
        how.due = std::min(how.due.value_or(*certificate->due), *certificate->due);
}

} // namespace

decide::PartGauge read_part_gauge(const Reader& item, std::string name, const Shop& shop) {
    decide::PartGauge gauge;
    gauge.name = std::move(name);
    if (const auto range = item.find("range")) {
        const auto before = range->faults();
        const auto both = read_two(*range, {.low = 0, .high = some_length.high});
        if (range->faults() == before && both[0] >= both[1])
            range->report(Diagnostic{"extent-empty",
                                     {},
                                     "it ends where it begins, or before",
                                     "the smallest size comes first"});
        gauge.smallest = both[0];
        gauge.largest = both[1];
    }
    const auto instrument = item.at("instrument", "an object, or the id of an indicator");
    if (instrument.node() != nullptr && instrument.node()->kind == Node::Kind::string) {
        std::optional<decide::Doubt> usual;
        if (const auto* indicator = named(instrument, shop.indicators, "indicator")) {
            gauge.indicator = gauge.how.instrument = indicator->name;
            gauge.how.resolution = indicator->resolution;
            usual = decide::Doubt{indicator->repeatability, {}, indicator->repeatability_evidence};
            if (indicator->repeatability_dof > 0)
                usual->dof = indicator->repeatability_dof;
            calibrated(*indicator, gauge.how);
        }
        read_use(item, std::nullopt, gauge.how, usual);
    } else {
        read_measuring(item, std::nullopt, gauge.how);
    }
    if (const auto square = item.find("square"))
        if (const auto* found = named(*square, shop.squares, "square")) {
            gauge.square = found->name;
            calibrated(*found, gauge.how);
        }
    if (const auto length = item.find("on_machine")) {
        gauge.gauge_length = length->quantity(Measure::length, some_length);
        gauge.how.expands = false;
        if (const auto both = item.find("square"))
            both->report(Diagnostic{"given-twice",
                                    {},
                                    "a gauge on the machine reads against its motions, not against "
                                    "a square",
                                    "leave out one of them"});
    } else if (!gauge.square.empty() && !item.has("temperature")) {
        gauge.how.expands = false;
    } else {
        read_gauge_temperature(item.at("temperature"), gauge.how);
    }
    return gauge;
}

} // namespace holdable
