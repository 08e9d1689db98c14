// SPDX-License-Identifier: MIT
#include "holdable/files/read_job.hpp"

#include "holdable/base/words.hpp"
#include "holdable/files/fields.hpp"
#include "holdable/files/limits.hpp"
#include "holdable/files/read_callout.hpp"
#include "holdable/files/read_gauging.hpp"
#include "holdable/files/read_process.hpp"
#include "holdable/files/read_size.hpp"
#include "holdable/files/reader.hpp"
#include "holdable/standards/expansion.hpp"
#include "holdable/standards/general_tolerances.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <initializer_list>
#include <optional>
#include <string_view>
#include <utility>

namespace holdable {
namespace {

/// A job on one zero ends within a month.
constexpr Range some_duration = {.low = 0, .high = 30 * 86400.0, .low_open = true};

/// What holds for sizes without limits: by decimals, or a standard's class.
TitleBlock read_title_block(const Reader& field) {
    TitleBlock block;
    if (field.node() != nullptr && field.node()->kind == Node::Kind::string) {
        const auto text = field.string();
        field.attempt([&] { block.general = parse_general(text); });
        return block;
    }
    for (const Reader& one : field.members()) {
        const auto& places = one.name();
        if (places.size() != 1 || places[0] < '0' || places[0] > '9')
            one.report(Diagnostic{"title-block",
                                  {},
                                  fmt::format("{} is no number of decimals", in_quotes(places)),
                                  "as {\"2\": \".010 in\", \"3\": \".005 in\"}"});
        else
            block.by_places[places[0] - '0'] =
                one.quantity(Measure::length, {.low = 0, .high = 0.1, .low_open = true});
    }
    return block;
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

/// From one end to the other. @return none where something is wrong with it
std::optional<Band> read_band(const Reader& field) {
    const auto before = field.faults();
    const auto ends = read_two(field, any_place);
    if (field.faults() != before || field.node() == nullptr)
        return std::nullopt;
    if (ends[0] >= ends[1]) {
        field.report(Diagnostic{"extent-empty",
                                {},
                                "it ends where it begins, or before",
                                "the smaller coordinate comes first"});
        return std::nullopt;
    }
    return Band{ends[0], ends[1]};
}

/// Where the part may lie; it lies there as the job states it. @param outlined the job states an
/// outline, be it a wrong one
WorkArea read_work_area(const Reader& field, const std::optional<Extent>& part, bool outlined) {
    WorkArea area;
    const auto outside = [&](const Reader& key, std::string_view what) {
        key.report(Diagnostic{"may-lie",
                              {},
                              fmt::format("{} of the part, as the job has it, is outside", what),
                              "the place asked is one of those where the part may lie"});
    };
    constexpr double near = 1e-9; // what arithmetic on two units may leave (m)
    const auto along = [&](const char* name, std::optional<Band>& band, double low, double high) {
        const auto key = field.find(name);
        if (!key)
            return;
        band = read_band(*key);
        if (band && part && (low < band->low - near || high > band->high + near))
            outside(*key, "the outline");
    };
    const auto outline = part.value_or(Extent{});
    along("x", area.x, outline.x_low, outline.x_high);
    along("y", area.y, outline.y_low, outline.y_high);
    if ((area.x || area.y) && !outlined)
        field.report(Diagnostic{"may-lie",
                                {},
                                "the job has no outline of the part that may lie there",
                                "state it: \"part\": {\"x\": …, \"y\": …}"});
    if (const auto key = field.find("z")) {
        area.lift = read_band(*key);
        if (area.lift && (area.lift->low > 0 || area.lift->high < 0))
            outside(*key, "the underside");
    }
    return area;
}

/// A length of the first callout, in whose unit the answer is printed.
Reader length_of(const std::vector<Reader>& items, const Reader& callouts) {
    if (items.empty())
        return callouts;
    for (const auto& [feature, key] : {std::pair{"hole", "top"},
                                       {"holes", "top"},
                                       {"boss", "top"},
                                       {"face", "height"},
                                       {"wall", "top"},
                                       {"slot", "top"},
                                       {"rib", "top"}})
        if (const auto found = items[0].find(feature))
            return found->at(key);
    if (const auto walls = items[0].find("walls"))
        if (const auto both = walls->elements(); !both.empty())
            return both[0].at("top");
    return callouts;
}

/// A callout at maximum material takes its room from the size of a hole.
void check_bonus(const Reader& item, const Callout& callout, const Job& job) {
    if (callout.bonus_from.empty())
        return;
    const bool found = std::any_of(job.callouts.begin(), job.callouts.end(), [&](const auto& c) {
        return c.name == callout.bonus_from && c.kind == Requirement::diameter;
    });
    if (!found)
        item.at("maximum_material")
            .report(Diagnostic{
                "bonus-unknown",
                {},
                fmt::format("no callout {} gives a diameter", in_quotes(callout.bonus_from)),
                "it names the callout of the hole's own size"});
}

} // namespace

Job read_job(const Node& root, const std::string& file) {
    const Reader reader(root, file);
    Job job;
    expect_format(reader, "job/1");
    job.name = read_name(reader.at("name"));
    for (const auto& [key, into] : {std::pair{"drawing", &job.drawing},
                                    {"revision", &job.revision},
                                    {"customer", &job.customer},
                                    {"quote", &job.quote}})
        if (const auto found = reader.find(key))
            *into = read_name(*found);
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
    job.rule = read_rule(reader, Measure::length);
    if (const auto part = reader.find("part"))
        job.part = read_extent(*part);
    if (const auto area = reader.find("may_lie"))
        job.may_lie = read_work_area(*area, job.part, reader.has("part"));
    if (const auto turn = reader.find("may_turn"))
        job.may_turn = turn->boolean();
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

    if (const auto indices = reader.find("indices"))
        job.indices = indices->boolean();
    TitleBlock block;
    if (const auto field = reader.find("title_block"))
        block.wrong = !sound(*field, [&] { block = read_title_block(*field); });

    const auto callouts = reader.at("callouts");
    const auto items = elements_up_to(most_callouts, callouts, "callouts", "a job");
    Ids ids;
    for (const Reader& item : items)
        job.callouts.push_back(read_callout(item, ids, block, job));
    for (std::size_t c = 0; c < items.size(); ++c)
        check_bonus(items[c], job.callouts[c], job);
    if (items.empty() && callouts.node() != nullptr && callouts.node()->kind == Node::Kind::array)
        callouts.report(Diagnostic{"callout-none", {}, "there is no callout to answer", ""});
    job.inch = read_inch(reader, length_of(items, callouts));
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
