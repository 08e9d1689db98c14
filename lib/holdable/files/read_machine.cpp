// SPDX-License-Identifier: MIT
#include "holdable/files/read_machine.hpp"

#include "holdable/base/words.hpp"
#include "holdable/files/fields.hpp"
#include "holdable/files/instruments.hpp"
#include "holdable/files/limits.hpp"
#include "holdable/files/read_checks.hpp"
#include "holdable/files/read_minutes.hpp"
#include "holdable/files/read_part_gauge.hpp"
#include "holdable/files/read_shop_card.hpp"
#include "holdable/files/reader.hpp"
#include "holdable/files/scaffold.hpp"
#include "holdable/machine/corrections.hpp"
#include "holdable/standards/machine_class.hpp"

#include <algorithm>
#include <string>
#include <utility>

namespace holdable {
namespace {

Travel read_travel(const Reader& field) {
    Travel travel;
    const auto before = field.faults();
    travel.low = field.at("from").quantity(Measure::length, any_place);
    travel.high = field.at("to").quantity(Measure::length, any_place);
    travel.reference = (travel.low + travel.high) / 2;
    const auto reference = field.find("reference");
    if (reference)
        travel.reference = reference->quantity(Measure::length, any_place);
    if (field.faults() != before || field.node() == nullptr)
        return {}; // nothing is compared with it
    if (travel.low >= travel.high)
        field.report(Diagnostic{"travel-empty",
                                {},
                                "the travel ends where it begins, or before",
                                "\"from\" is the smaller coordinate, \"to\" the larger"});
    else if (reference && (travel.reference < travel.low || travel.reference > travel.high))
        reference->report(
            Diagnostic{"outside-travel", {}, "the reference is not in the travel", ""});
    return travel;
}

void read_instruments(const Reader& file, Shop& shop) {
    enum class Kind { indicator, square, straightedge, level, length_standard };
    Ids ids;
    const auto instruments = file.find("instruments");
    if (!instruments)
        return;
    for (const Reader& item :
         elements_up_to(most_of_machine, *instruments, "instruments", "a machine file")) {
        auto name = ids.take(item);
        const auto kind = read_kind<Kind>(item,
                                          "kind",
                                          {{"indicator", Kind::indicator},
                                           {"square", Kind::square},
                                           {"straightedge", Kind::straightedge},
                                           {"level", Kind::level},
                                           {"length standard", Kind::length_standard}});
        if (kind == Kind::indicator) {
            shop.indicators.push_back(read_indicator(item, shop.notes));
            shop.indicators.back().name = std::move(name);
        } else if (kind == Kind::square) {
            shop.squares.push_back(read_square(item));
            shop.squares.back().name = std::move(name);
        } else if (kind == Kind::straightedge) {
            shop.straightedges.push_back(read_straightedge(item));
            shop.straightedges.back().name = std::move(name);
        } else if (kind == Kind::level) {
            shop.levels.push_back(read_level(item));
            shop.levels.back().name = std::move(name);
        } else if (kind == Kind::length_standard) {
            shop.length_standards.push_back(read_length_standard(item));
            shop.length_standards.back().name = std::move(name);
        }
    }
}

/// Gauges for parts may name instruments.
void read_gauges(const Reader& file, Shop& shop) {
    Ids ids;
    if (const auto gauges = file.find("gauges"))
        for (const Reader& item :
             elements_up_to(most_of_machine, *gauges, "gauges", "a machine file")) {
            auto name = ids.take(item);
            shop.gauges.push_back(read_part_gauge(item, std::move(name), shop));
        }
}

/// What stands on the floor, as how many axes lie between the work and it.
int read_ground(const Reader& field, const AxisOrder& order) {
    std::vector<std::pair<std::string_view, int>> words{{"work", 0}};
    constexpr std::string_view after[] = {"after X", "after Y", "after Z"};
    for (std::size_t i = 0; i < order.size(); ++i)
        words.emplace_back(after[static_cast<std::size_t>(order[i])], static_cast<int>(i) + 1);
    return field.word<int>(words);
}

Event read_event(const Reader& item, Date today) {
    Event event;
    event.kind = read_kind<EventKind>(item,
                                      "kind",
                                      {{"crash", EventKind::crash},
                                       {"moved", EventKind::move},
                                       {"re-levelled", EventKind::relevel},
                                       {"adjusted", EventKind::adjustment},
                                       {"spindle work", EventKind::spindle_work}})
                     .value_or(EventKind::crash);
    event.date = read_past_date(item.at("date"), today).value_or(Date{});
    if (event.kind == EventKind::adjustment)
        if (const auto axis = item.find("axis"))
            event.axis = axis->word<Axis>({{"X", Axis::x}, {"Y", Axis::y}, {"Z", Axis::z}});
    if (const auto note = item.find("note"))
        event.note = note->string();
    return event;
}

Correction read_correction(const Reader& item, Date today) {
    Correction correction;
    if (const auto axis = item.find("axis")) { // a scale
        const auto of = axis->word<Axis>({{"X", Axis::x}, {"Y", Axis::y}, {"Z", Axis::z}});
        correction.parameter = motion_index(static_cast<int>(of), of);
        correction.applied = item.at("made").word<int>({{"longer", 1}, {"shorter", -1}}) *
                             item.at("by").quantity(Measure::angle, {.low = 0, .high = 0.01});
        correction.date = read_past_date(item.at("date"), today).value_or(Date{});
        return correction;
    }
    if (const auto plane = item.find("spindle")) { // its tilt: +B0C, -A0C move its upper end to +
        const bool xz = plane->word<bool>({{"XZ", true}, {"YZ", false}});
        correction.parameter = xz ? b0c_index : a0c_index;
        correction.applied = (xz ? 1 : -1) * read_end(item.at("toward"), xz ? "X" : "Y").sign *
                             item.at("by").quantity(Measure::angle, {.low = 0, .high = 0.01});
        correction.date = read_past_date(item.at("date"), today).value_or(Date{});
        return correction;
    }

    // The + end of Z (in XY: of Y) moves to + of the other axis: +B0Z, -A0Z, -C0Y (kinematics.hpp).
    struct Of {
        int parameter;
        int sign;
        std::string_view toward;
    };

    const auto of = item.at("plane").word<Of>(
        {{"ZX", {b0z_index, 1, "X"}}, {"ZY", {a0z_index, -1, "Y"}}, {"XY", {c0y_index, -1, "X"}}});
    const double by = item.at("by").quantity(Measure::angle, {.low = 0, .high = 0.01});
    correction.parameter = of.parameter;
    correction.applied = of.sign * read_end(item.at("toward"), of.toward).sign * by;
    correction.date = read_past_date(item.at("date"), today).value_or(Date{});
    return correction;
}

/// What `holdable new` invented and nobody has replaced.
void note_examples(Shop& shop) {
    std::string what;
    const auto add = [&](const std::string& more) { what += (what.empty() ? "" : ", ") + more; };
    if (is_example(shop.name))
        add("the shop");
    if (is_example(shop.machine))
        add("the machine");
    const auto of = [](const auto& list) {
        return std::count_if(
            list.begin(), list.end(), [](const auto& one) { return is_example(one.name); });
    };
    const auto count = [&](auto number, const char* thing) {
        if (number > 0)
            add(std::to_string(number) + ' ' + thing + (number == 1 ? "" : "s"));
    };
    count(of(shop.indicators) + of(shop.squares) + of(shop.straightedges) + of(shop.levels) +
              of(shop.length_standards),
          "instrument");
    count(of(shop.gauges), "gauge");
    int checks = 0;
    for_each_check(shop, [&](const auto& check) { checks += is_example(check.name) ? 1 : 0; });
    count(checks, "check");
    if (!what.empty())
        shop.notes.push_back("invented until you put in your own, all that is called EXAMPLE: " +
                             what);
}

} // namespace

Shop read_machine(const Node& root, const std::string& file, Date today) {
    const Reader reader(root, file);
    Shop shop;
    expect_format(reader, "machine/1");
    shop.name = read_name(reader.at("shop"));
    shop.machine = read_name(reader.at("machine"));
    const auto axes = reader.at("axes");
    if (const auto text = axes.string(); !text.empty())
        axes.attempt([&] { shop.order = parse_axis_order(text); });
    if (const auto ground = reader.find("ground"))
        shop.ground = read_ground(*ground, shop.order);
    const auto travel = reader.at("travel");
    constexpr std::string_view letters[] = {"X", "Y", "Z"};
    for (std::size_t i = 0; i < 3; ++i)
        shop.travel[i] = read_travel(travel.at(letters[i]));
    shop.nose_to_table = reader.at("nose_to_table").quantity(Measure::length, some_length);
    shop.inch = read_inch(reader, reader.at("nose_to_table"));
    if (const auto name = reader.find("class"))
        if (const auto word = name->string(); !word.empty())
            name->attempt([&] { shop.machine_class = machine_class(word).name; });
    read_instruments(reader, shop);
    read_gauges(reader, shop);
    read_checks(reader, today, shop);
    if (const auto events = reader.find("events"))
        for (const Reader& item :
             elements_up_to(most_of_machine, *events, "events", "a machine file"))
            shop.events.push_back(read_event(item, today));
    if (const auto corrections = reader.find("corrections"))
        for (const Reader& item :
             elements_up_to(most_of_machine, *corrections, "corrections", "a machine file"))
            shop.corrections.push_back(read_correction(item, today));
    if (const auto card = reader.find("statement"))
        shop.card = read_shop_card(*card, shop);
    if (const auto minutes = reader.find("minutes"))
        read_minutes(*minutes);
    reader.has("$schema"); // for editors
    reader.finish();
    note_examples(shop);
    return shop;
}

} // namespace holdable
