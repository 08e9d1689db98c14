// SPDX-License-Identifier: MIT
#include "holdable/files/check_fields.hpp"

#include "holdable/base/words.hpp"
#include "holdable/machine/observation.hpp"
#include "holdable/standards/expansion.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <numeric>
#include <utility>

namespace holdable {
namespace {

constexpr double reference = 273.15 + 20;            // (K)
constexpr Range some_warm_doubt = {.low = 0, .high = 20}; // (K)

std::optional<Reader> nearest_key(std::initializer_list<Reader> scopes, std::string_view key) {
    std::optional<Reader> found;
    for (const Reader& scope : scopes) {
        const auto here = scope.find(key); // asked everywhere: the key is known everywhere
        if (!found)
            found = here;
    }
    return found;
}

} // namespace

bool is(const Reader& field, Node::Kind kind) {
    return field.node() != nullptr && field.node()->kind == kind;
}

std::optional<Date> CheckFields::date(const Reader& item) const {
    if (planned_) {
        const auto field = item.find("date");
        return field ? read_date(*field) : today_;
    }
    return read_past_date(item.at("date"), today_);
}

double CheckFields::division_of(const std::string& level) const {
    for (const Level& one : shop_.levels)
        if (one.name == level)
            return one.division;
    return 0;
}

void CheckFields::take(const std::vector<Reading>& read,
                       double sign,
                       std::vector<double>& readings,
                       std::vector<double>& spread,
                       std::vector<int>& repeats) {
    const bool repeated =
        !repeats.empty() ||
        std::any_of(read.begin(), read.end(), [](const Reading& r) { return r.repeats > 1; });
    if (repeated) {
        spread.resize(readings.size(), 0);
        repeats.resize(readings.size(), 1);
    }
    for (const Reading& reading : read) {
        readings.push_back(sign * reading.value);
        if (repeated) {
            spread.push_back(reading.spread);
            repeats.push_back(reading.repeats);
        }
    }
}

Touch CheckFields::touch(std::initializer_list<Reader> scopes) const {
    Touch touched;
    touched.unit = read_unit(nearest_key(scopes, "unit"), Measure::length);
    const auto found = nearest_key(scopes, "pressed_reads");
    if (planned_ && !found)
        return touched;
    const auto pressed = found ? *found : scopes.begin()->at("pressed_reads");
    touched.sign = pressed.word<int>({{"plus", 1}, {"minus", -1}});
    return touched;
}

std::optional<Reader> CheckFields::readings(const Reader& item, const std::string& key) const {
    if (!planned_)
        return item.at(key);
    if (const auto read = item.find(key)) {
        read->allow_other_keys();
        read->report(Diagnostic{"readings-planned",
                                {},
                                "a check that is only planned has no readings yet",
                                "leave them out; a check that was made stands in the machine "
                                "file, and \"holdable machine\" says what it is worth"});
    }
    return std::nullopt;
}

int CheckFields::planned_repeats() const {
    const auto field = planned_->find("repeats");
    return field ? static_cast<int>(field->integer(1, 1000)) : 1;
}

std::optional<double> CheckFields::closing(const Reader& item,
                                           const Touch& touched,
                                           double drift,
                                           const std::string& key) const {
    const auto field = item.find(key);
    if (!field)
        return std::nullopt;
    if (!planned_)
        return touched.sign * read_single_reading(*field, touched.unit);
    if (is(*field, Node::Kind::boolean))
        return field->boolean() ? std::optional(drift) : std::nullopt;
    readings(item, key);
    return std::nullopt;
}

std::optional<Reader> CheckFields::run(const Reader& item,
                                       Touch touched,
                                       const Reader& stations,
                                       std::string_view what,
                                       const RunReadings& into,
                                       const std::string& prefix) {
    const auto field = readings(item, prefix + "readings");
    const auto close = [&] {
        const bool length = touched.unit.measure == Measure::length;
        double drift = length ? typical_drift : typical_level_drift;
        if (!prefix.empty())
            drift = 0; // of two levels read together one drifts
        into.closing = closing(item, touched, drift, prefix + "closing");
    };
    if (!field) {
        const auto count =
            is(stations, Node::Kind::array) ? stations.node()->elements.size() : std::size_t{0};
        into.readings.assign(count, 0);
        if (const int repeats = planned_repeats(); repeats > 1)
            into.repeats.assign(count, repeats);
        close();
        return std::nullopt;
    }
    const bool read = sound(item, [&] {
        const auto before = item.faults();
        take(read_readings(*field, touched.unit, notes()),
             touched.sign,
             into.readings,
             into.spread,
             into.repeats);
        if (item.faults() != before)
            touched.unit.size = touched.unit.size.value_or(0); // its absence is said once
        close();
    });
    check_count(*field, into.readings.size(), stations, what);
    return read && !into.readings.empty() ? field : std::nullopt;
}

std::string CheckFields::instrument(const Reader& field,
                                    const std::vector<Known>& known,
                                    std::string_view kind,
                                    const std::optional<Date>& date) {
    auto name = field.string();
    if (name.empty())
        return name;
    std::vector<std::string_view> names;
    for (const Known& one : known) {
        names.push_back(one.name);
        if (one.name != name)
            continue;
        if (date && one.due && *one.due < *date)
            shop_.notes.push_back(
                remark(field,
                       fmt::format("the certificate of the {} {} ran out on {}, before this check",
                                   kind,
                                   in_quotes(name),
                                   to_string(*one.due))));
        return name;
    }
    const auto near = nearest(name, names);
    std::string hint = near.empty() ? "" : fmt::format("did you mean {}?", in_quotes(near));
    field.report(
        Diagnostic{"instrument-unknown",
                   {},
                   fmt::format("no {} among the instruments has the id {}", kind, in_quotes(name)),
                   std::move(hint)});
    return name;
}

bool CheckFields::inside(const Reader& field, Axis axis, double coordinate) const {
    const auto& travel = shop_.travel[static_cast<std::size_t>(axis)];
    const bool known = travel.low < travel.high && (axis != Axis::z || shop_.nose_to_table > 0);
    if (!known || (coordinate >= travel.low && coordinate <= travel.high))
        return true;
    const auto* node = field.node();
    const bool text = node != nullptr && node->kind == Node::Kind::string;
    const auto unit = parse_unit(shop_.inch ? "in" : "mm");
    field.report(Diagnostic{
        "outside-travel",
        {},
        fmt::format("{} is outside the travel of {}: {} = {:.6g} {} is not from {:.6g} to {:.6g}",
                    text ? in_quotes(node->text) : "this",
                    letter(axis),
                    letter(axis),
                    in_unit(coordinate, unit),
                    unit.spelling,
                    in_unit(travel.low, unit),
                    in_unit(travel.high, unit)),
        axis == Axis::z ? "Z = height above the table + gauge_length - nose_to_table" : ""});
    return false;
}

double CheckFields::warmer(const Reader& field) {
    double warm = 0;
    return sound(field, [&] { warm = field.quantity(Measure::temperature, room_temperature); }) &&
                   field.node() != nullptr
               ? warm - reference
               : 0;
}

std::optional<double> CheckFields::warmth_doubt(const Reader& item, std::string_view key) {
    const auto field = item.find(key);
    return field ? std::optional(field->quantity(Measure::temperature_difference, some_warm_doubt))
                 : std::nullopt;
}

void CheckFields::scale_material(const Reader& item, double& expansion, double& half_width) {
    const auto material = item.at("scale_material");
    if (const auto word = material.string(); !word.empty())
        material.attempt([&] {
            const auto& found = expansion_of(word);
            expansion = found.coefficient;
            half_width = found.half_width;
        });
}

std::optional<double> CheckFields::lead(const Reader& item) {
    const auto field = item.at("lead", "or \"none\": no screw decides where the axis stands");
    if (is(field, Node::Kind::string) && field.string() == "none")
        return std::nullopt;
    const double lead = field.quantity(Measure::length, {.low = 1e-4, .high = 1});
    return lead > 0 ? std::optional(lead) : std::nullopt;
}

void CheckFields::check_three(const Reader& field) {
    if (field.elements().size() < 3)
        field.report(Diagnostic{"stations-few",
                                {},
                                "fewer than three stations show no form",
                                "take three or more, better five"});
}

void CheckFields::check_stations(const std::vector<Reader>& fields, const std::vector<double>& at) {
    std::vector<std::size_t> order(at.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(
        order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return at[a] < at[b]; });
    for (std::size_t k = 1; k < order.size(); ++k) {
        const auto [first, second] = std::minmax(order[k - 1], order[k]);
        if (at[order[k]] - at[order[k - 1]] < touching)
            fields[second].report(
                Diagnostic{"station-twice",
                           {},
                           fmt::format("station {} is where station {} is", second + 1, first + 1),
                           "a station is read once; its repeats stand together: "
                           "[[0, 0.5, 0], ...]"});
    }
}

Eigen::Vector3d CheckFields::place(const Reader& item, Axis moving) const {
    Eigen::Vector3d result;
    for (int i = 0; i < 3; ++i)
        result[i] = shop_.travel[static_cast<std::size_t>(i)].reference;
    const auto place = item.find("place");
    if (!place)
        return result;
    for (int i = 0; i < 3; ++i) {
        const auto axis = static_cast<Axis>(i);
        if (axis == moving)
            continue;
        const auto field = place->find(std::string(1, letter(axis)));
        if (field &&
            sound(*field, [&] { result[i] = field->quantity(Measure::length, any_place); }))
            inside(*field, axis, result[i]);
    }
    return result;
}

std::vector<double> CheckFields::stations(const Reader& item, Axis moving) const {
    std::vector<double> result;
    const auto field = item.at("stations");
    if (!sound(item, [&] { result = field.quantities(Measure::length, any_place); }) ||
        field.node() == nullptr)
        return result;
    const auto elements = field.elements();
    for (std::size_t i = 0; i < elements.size(); ++i)
        inside(elements[i], moving, result[i]);
    check_stations(elements, result);
    check_three(field);
    return result;
}

void CheckFields::check_count(const Reader& readings,
                              std::size_t count,
                              const Reader& stations,
                              std::string_view what) {
    if (!is(stations, Node::Kind::array) ||
        !(is(readings, Node::Kind::array) || is(readings, Node::Kind::string)))
        return;
    const auto wanted = stations.node()->elements.size();
    if (count != wanted)
        readings.report(Diagnostic{"readings-count",
                                   {},
                                   fmt::format("{} readings for {} {}", count, wanted, what),
                                   "each station has its reading, in the same order"});
}

void CheckFields::check_size(const Reader& field, double slope, double upper) const {
    if (slope <= surely_wrong * upper)
        return;
    field.report(Diagnostic{
        "readings-size",
        {},
        fmt::format("the readings differ by {:.2g} mm/m, more than {} times the figure of the "
                    "class \"{}\"",
                    slope * 1e3,
                    surely_wrong,
                    class_of(shop_).name),
        "is the unit right (µm meant)? or does the class flatter the machine?"});
}

void CheckFields::check_range(const Reader& field, const std::vector<double>& readings) const {
    if (range_ == 0 || readings.empty())
        return;
    const auto [low, high] = std::minmax_element(readings.begin(), readings.end());
    if (*high - *low > range_ * (1 + 1e-9))
        field.report(Diagnostic{"outside-range",
                                {},
                                fmt::format("the readings reach over {:.4g} mm, and the indicator "
                                            "reads {:.4g} mm from end to end",
                                            (*high - *low) * 1e3,
                                            range_ * 1e3),
                                "is the unit right? or it went once round: set it again and read "
                                "in pieces"});
}

void CheckFields::check_trace(const Reader& field, const std::vector<double>& readings) {
    check_range(field, readings);
    const bool all_same = std::all_of(
        readings.begin(), readings.end(), [&](double r) { return r == readings.front(); });
    if (!all_same && std::find(traces_.begin(), traces_.end(), readings) != traces_.end())
        shop_.notes.push_back(
            remark(field, "the very readings stand in the file before: one run entered twice?"));
    traces_.push_back(readings);
}

} // namespace holdable
