// SPDX-License-Identifier: MIT
#include "holdable/base/words.hpp"
#include "holdable/files/read_checks.hpp"
#include "holdable/machine/observation.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

namespace holdable {
namespace {

constexpr Range some_skew = {.low = 0, .high = 0.02};
constexpr std::size_t targets_wanted = 5;

class PositioningReader {
  public:
    explicit PositioningReader(CheckFields& fields) : fields_(fields) {}

    PositioningCheck read(const Reader& item, std::string name);

  private:
    void where(const Reader& item, PositioningCheck& check) const;
    const LengthStandard* standard(const PositioningCheck& check) const;
    void targets(const Reader& item, PositioningCheck& check);
    void lengths(const Reader& item, PositioningCheck& check) const;
    void lead(const Reader& item, PositioningCheck& check);
    static void warmth(const Reader& item, PositioningCheck& check);
    void runs(const Reader& item, PositioningCheck& check);
    void compare_runs(const Reader& field, const PositioningCheck& check);

    CheckFields& fields_;
    bool targets_sound_ = false; // of the check being read
};

const LengthStandard* PositioningReader::standard(const PositioningCheck& check) const {
    const auto& all = fields_.shop().length_standards;
    const auto at = std::find_if(
        all.begin(), all.end(), [&](const auto& one) { return one.name == check.standard; });
    return at == all.end() ? nullptr : &*at;
}

void PositioningReader::where(const Reader& item, PositioningCheck& check) const {
    for (int i = 0; i < 3; ++i)
        check.place[i] = fields_.shop().travel[static_cast<std::size_t>(i)].reference;
    if (const auto place = item.find("place"))
        for (int i = 0; i < 3; ++i) {
            const auto axis = static_cast<Axis>(i);
            if (axis == check.axis)
                continue;
            const auto field = place->find(std::string(1, letter(axis)));
            if (field && sound(*field, [&] {
                    check.place[i] = field->quantity(Measure::length, any_place);
                }))
                fields_.inside(*field, axis, check.place[i]);
        }
    check.gauge_length = item.at("gauge_length").quantity(Measure::length, some_length);
}

void PositioningReader::targets(const Reader& item, PositioningCheck& check) {
    const auto field = item.at("targets");
    targets_sound_ =
        sound(item, [&] { check.targets = field.quantities(Measure::length, any_place); }) &&
        field.node() != nullptr;
    if (!targets_sound_)
        return;
    const auto elements = field.elements();
    for (std::size_t i = 0; i < elements.size(); ++i)
        targets_sound_ =
            fields_.inside(elements[i], check.axis, check.targets[i]) && targets_sound_;
    CheckFields::check_stations(elements, check.targets);
    if (check.targets.size() < 2)
        field.report(Diagnostic{"stations-few",
                                {},
                                "fewer than two targets show no displacement",
                                "take five or more, unequally spaced"});
    else if (check.targets.size() < targets_wanted)
        fields_.notes().push_back(
            remark(field, "fewer than five targets: ISO 230-2 asks for five or more"));
}

/// The lengths used, each of which the standard must have, as far apart as the targets.
void PositioningReader::lengths(const Reader& item, PositioningCheck& check) const {
    const auto field = item.at("lengths");
    if (!sound(item, [&] { check.lengths = field.quantities(Measure::length, some_height); }) ||
        field.node() == nullptr || !targets_sound_)
        return;
    if (check.lengths.size() != check.targets.size()) {
        field.report(Diagnostic{
            "readings-count",
            {},
            fmt::format("{} lengths for {} targets", check.lengths.size(), check.targets.size()),
            "each target has its length, in the same order"});
        return;
    }
    const auto* gear = standard(check);
    const auto elements = field.elements();
    for (std::size_t i = 0; i < elements.size(); ++i) {
        const double length = check.lengths[i];
        if (gear != nullptr && length != 0 &&
            std::none_of(gear->lengths.begin(), gear->lengths.end(), [&](double one) {
                return std::abs(one - length) < touching;
            }))
            elements[i].report(Diagnostic{
                "length-unknown",
                {},
                fmt::format("the length standard {} has no such length", in_quotes(gear->name)),
                "a stack of blocks is a length of its own among those of the standard"});
        else if (std::abs(length_sign(check.targets, check.lengths) * (length - check.lengths[0]) -
                          (check.targets[i] - check.targets[0])) > nearest_length)
            elements[i].report(Diagnostic{
                "length-unknown",
                {},
                fmt::format("target {} is more than 1 mm from where this length ends", i + 1),
                "from the first on, lengths and targets are equally far apart"});
    }
}

void PositioningReader::lead(const Reader& item, PositioningCheck& check) {
    check.lead = CheckFields::lead(item);
    if (check.lead && targets_sound_ && check.targets.size() > 1 &&
        whole_leads_apart(check.targets, *check.lead))
        fields_.notes().push_back(
            remark(item.at("lead"),
                   "all targets are whole leads apart: the error within a turn of the screw is the "
                   "same at each of them and stays unknown; shift some targets by part of a lead"));
}

void PositioningReader::warmth(const Reader& item, PositioningCheck& check) {
    CheckFields::scale_material(item, check.scale_expansion, check.scale_expansion_doubt);
    check.scale_warmer = CheckFields::warmer(item.at("scale_temperature"));
    check.standard_warmer = CheckFields::warmer(item.at("standard_temperature"));
    check.scale_doubt = CheckFields::warmth_doubt(item, "scale_doubt");
    check.standard_doubt = CheckFields::warmth_doubt(item, "standard_doubt");
    check.thermometer = CheckFields::warmth_doubt(item, "thermometer");
    if (const auto skew = item.find("skew"))
        check.skew = skew->quantity(Measure::angle, some_skew);
}

void PositioningReader::compare_runs(const Reader& field, const PositioningCheck& check) {
    const auto plus = std::count_if(
        check.runs.begin(), check.runs.end(), [](const auto& run) { return run.towards_plus; });
    const auto minus = static_cast<std::ptrdiff_t>(check.runs.size()) - plus;
    if (plus == 0 || minus == 0)
        fields_.notes().push_back(remark(
            field, "approached in one direction only: lost motion is not seen, and B not given"));
    if (std::max(plus, minus) < 2)
        fields_.notes().push_back(
            remark(field,
                   "one run a direction tells nothing of repeatability: the class's figure is "
                   "taken; ISO 230-2 asks for five"));
    else if (!check.planned &&
             std::all_of(check.runs.begin(), check.runs.end(), [&](const PositioningRun& run) {
                 const auto same = std::find_if(
                     check.runs.begin(), check.runs.end(), [&](const PositioningRun& other) {
                         return other.towards_plus == run.towards_plus;
                     });
                 return same->readings == run.readings;
             }))
        fields_.notes().push_back(
            remark(field,
                   "all runs are the same: their spread hides behind the last digit, and is not "
                   "taken as zero"));
}

void PositioningReader::runs(const Reader& item, PositioningCheck& check) {
    const bool reads = check.indicator.empty();
    check.planned = fields_.planned();
    const auto field = item.at("runs");
    const auto elements = field.elements();
    if (field.node() != nullptr && elements.empty())
        field.report(Diagnostic{"stations-few", {}, "there is no run", ""});
    Touch touched;
    if (reads)
        touched.unit = read_unit(item.find("unit"), Measure::length);
    else {
        touched = fields_.touch({item});
        const std::string axis(1, letter(check.axis));
        touched.sign *= read_end(item.at("touches"), axis, " face").sign;
    }
    const auto before = item.faults();
    for (const Reader& one : elements) {
        PositioningRun run;
        run.towards_plus = read_end(one.at("towards"), std::string(1, letter(check.axis))).sign > 0;
        const auto raw = fields_.readings(one);
        if (!raw) {
            run.readings.assign(check.targets.size(), 0);
            check.runs.push_back(std::move(run));
            continue;
        }
        const auto& readings = *raw;
        const bool read = sound(one, [&] {
            for (const double reading : read_single_readings(readings, touched.unit))
                run.readings.push_back(touched.sign * reading);
        });
        if (item.faults() != before)
            touched.unit.size = touched.unit.size.value_or(0); // its absence is said once
        CheckFields::check_count(readings, run.readings.size(), item.at("targets"), "targets");
        if (read)
            fields_.check_range(readings, run.readings);
        if (read && targets_sound_ && check.targets.size() > 1 && !run.readings.empty()) {
            const auto [least, most] =
                std::minmax_element(run.readings.begin(), run.readings.end());
            const auto [low, high] =
                std::minmax_element(check.targets.begin(), check.targets.end());
            if (*high > *low)
                fields_.check_size(readings,
                                   (*most - *least) / std::max(*high - *low, 0.1),
                                   class_of(fields_.shop()).lead_per_300_mm.high / 0.300);
        }
        check.runs.push_back(std::move(run));
    }
    check.closing = fields_.closing(item, touched, typical_drift);
    if (item.faults() == before && !elements.empty())
        compare_runs(field, check);
}

PositioningCheck PositioningReader::read(const Reader& item, std::string name) {
    PositioningCheck check;
    check.name = std::move(name);
    const auto date = fields_.date(item);
    check.date = date.value_or(Date{});
    check.axis = item.at("axis").word<Axis>({{"X", Axis::x}, {"Y", Axis::y}, {"Z", Axis::z}});
    check.standard = fields_.instrument(
        item.at("standard"), fields_.shop().length_standards, "length standard", date);
    const auto* gear = standard(check);
    const bool reads = gear != nullptr && gear->kind == LengthKind::displacement;
    where(item, check);
    targets(item, check);
    if (!reads) {
        check.indicator =
            fields_.instrument(item.at("indicator"), fields_.shop().indicators, "indicator", date);
        if (check.indicator.empty())
            check.indicator = "?"; // reported; its readings are of an indicator all the same
        lengths(item, check);
    }
    lead(item, check);
    warmth(item, check);
    runs(item, check);
    return check;
}

} // namespace

PositioningCheck read_positioning_check(const Reader& item, std::string name, CheckFields& fields) {
    return PositioningReader(fields).read(item, std::move(name));
}

} // namespace holdable
