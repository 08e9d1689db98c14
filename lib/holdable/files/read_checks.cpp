// SPDX-License-Identifier: MIT
#include "holdable/files/read_checks.hpp"

#include "holdable/base/words.hpp"
#include "holdable/files/fields.hpp"
#include "holdable/files/readings.hpp"
#include "holdable/standards/machine_class.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <initializer_list>
#include <numeric>
#include <optional>
#include <string_view>
#include <utility>
#include <vector>

namespace holdable {
namespace {

constexpr double surely = 10;     // times the class: rather a wrong unit than a bad machine
constexpr double touching = 1e-6; // two stations this near are one (m)

constexpr char letter(Axis axis) {
    return "XYZ"[static_cast<int>(axis)];
}

bool is(const Reader& field, Node::Kind kind) {
    return field.node() != nullptr && field.node()->kind == kind;
}

class CheckReader {
  public:
    CheckReader(Date today, Shop& shop) : today_(today), shop_(shop) {}

    SquareCheck square(const Reader& item, std::string name);
    LevelCheck level(const Reader& item, std::string name);

  private:
    /// What one indicator reads in one run of a setting.
    struct Touch {
        ReadingUnit unit;
        double sign = 1; ///< surface minus tool = sign · reading
    };

    static std::optional<Reader> nearest_key(std::initializer_list<Reader> scopes,
                                             std::string_view key);
    static Touch touch(const Reader& run, const Reader& setting, const Reader& check);

    template <class Instrument>
    std::string instrument(const Reader& field,
                           const std::vector<Instrument>& all,
                           std::string_view kind,
                           const std::optional<Date>& date);

    SquareSetting setting(const Reader& item, const Reader& check_item, const SquareCheck& check);
    void
    compare_edge(const Reader& readings, const SquareCheck& check, const SquareSetting& setting);
    void
    leg(const Reader& run, const Touch& touched, const SquareCheck& check, SquareSetting& setting);
    void check_heights(const Reader& field, const SquareCheck& check, double leg_height) const;
    bool inside(const Reader& field, Axis axis, double coordinate) const;
    static void check_stations(const std::vector<Reader>& fields, const std::vector<double>& at);
    static void check_count(const Reader& readings,
                            std::size_t count,
                            const Reader& stations,
                            std::string_view what);
    const MachineClass& assumed() const;
    void check_size(const Reader& field, double slope, double upper) const;
    void remark_copy(const Reader& field, const std::vector<double>& readings);

    Date today_;
    Shop& shop_;
    std::vector<std::vector<double>> traces_; ///< edges and runs so far
    bool heights_sound_ = false;              ///< of the check being read
    bool place_sound_ = false;
};

std::optional<Reader> CheckReader::nearest_key(std::initializer_list<Reader> scopes,
                                               std::string_view key) {
    std::optional<Reader> found;
    for (const Reader& scope : scopes) {
        const auto here = scope.find(key); // asked everywhere: the key is known everywhere
        if (!found)
            found = here;
    }
    return found;
}

CheckReader::Touch
CheckReader::touch(const Reader& run, const Reader& setting, const Reader& check) {
    Touch touched;
    touched.unit = read_unit(nearest_key({run, setting, check}, "unit"), Measure::length);
    const auto found = nearest_key({run, setting, check}, "pressed_reads");
    const auto pressed = found ? *found : run.at("pressed_reads");
    touched.sign = pressed.word<int>({{"plus", 1}, {"minus", -1}});
    return touched;
}

template <class Instrument>
std::string CheckReader::instrument(const Reader& field,
                                    const std::vector<Instrument>& all,
                                    std::string_view kind,
                                    const std::optional<Date>& date) {
    const auto name = field.string();
    if (name.empty())
        return name;
    std::vector<std::string_view> names;
    for (const Instrument& one : all) {
        names.push_back(one.name);
        if (one.name != name)
            continue;
        if (date && one.certificate && one.certificate->due && *one.certificate->due < *date)
            shop_.notes.push_back(
                remark(field,
                       fmt::format("the certificate of the {} {} ran out on {}, before this check",
                                   kind,
                                   in_quotes(name),
                                   to_string(*one.certificate->due))));
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

bool CheckReader::inside(const Reader& field, Axis axis, double coordinate) const {
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

void CheckReader::check_stations(const std::vector<Reader>& fields, const std::vector<double>& at) {
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
                           "a station is read once; its repeats, along an edge, stand together: "
                           "[[0, 0.5, 0], ...]"});
    }
}

void CheckReader::check_count(const Reader& readings,
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

/// The class, the coarsest where none is declared.
const MachineClass& CheckReader::assumed() const {
    return shop_.machine_class.empty() ? machine_classes().front()
                                       : machine_class(shop_.machine_class);
}

void CheckReader::check_size(const Reader& field, double slope, double upper) const {
    if (slope <= surely * upper)
        return;
    field.report(Diagnostic{
        "readings-size",
        {},
        fmt::format("the readings differ by {:.2g} mm/m, more than {} times the figure of the "
                    "class \"{}\"",
                    slope * 1e3,
                    surely,
                    assumed().name),
        "is the unit right (µm meant)? or does the class flatter the machine?"});
}

void CheckReader::remark_copy(const Reader& field, const std::vector<double>& readings) {
    const bool all_same = std::all_of(
        readings.begin(), readings.end(), [&](double r) { return r == readings.front(); });
    if (!all_same && std::find(traces_.begin(), traces_.end(), readings) != traces_.end())
        shop_.notes.push_back(
            remark(field, "the very readings stand in the file before: one run entered twice?"));
    traces_.push_back(readings);
}

void CheckReader::check_heights(const Reader& field,
                                const SquareCheck& check,
                                double leg_height) const {
    const auto fields = field.elements();
    double top = 0;
    for (const Square& square : shop_.squares)
        if (square.name == check.square)
            top = leg_height + square.length;
    for (std::size_t i = 0; i < fields.size(); ++i) {
        const double height = check.stations[i] - check.gauge_length + shop_.nose_to_table;
        if (!inside(fields[i], Axis::z, check.stations[i]))
            continue;
        if (height < leg_height - touching || (top > 0 && height > top + touching))
            fields[i].report(
                Diagnostic{"outside-square",
                           {},
                           fmt::format("{} above the table is not on the edge of the square {}",
                                       in_quotes(fields[i].node()->text),
                                       in_quotes(check.square)),
                           "the edge goes from \"leg_height\" up to that and its length"});
    }
    check_stations(fields, check.stations);
    if (fields.size() < 3)
        field.report(Diagnostic{"stations-few",
                                {},
                                "fewer than three stations show no form",
                                "take three or more, better five"});
}

void CheckReader::leg(const Reader& run,
                      const Touch& touched,
                      const SquareCheck& check,
                      SquareSetting& setting) {
    const auto stations = run.at("from_edge");
    const auto readings = run.at("readings");
    std::vector<double> distances;
    const bool good =
        sound(run, [&] { distances = stations.quantities(Measure::length, some_height); });
    const auto u = check.across;
    const double turned = setting.leg_towards_plus ? 1 : -1;
    for (const double distance : distances)
        setting.leg_stations.push_back(check.place[static_cast<int>(u)] + turned * distance);
    for (const double reading : read_single_readings(readings, touched.unit))
        setting.leg_readings.push_back(touched.sign * reading);
    check_count(readings, setting.leg_readings.size(), stations, "stations along the leg");
    if (!good || stations.node() == nullptr)
        return;
    const auto fields = stations.elements();
    for (std::size_t i = 0; i < fields.size(); ++i) {
        if ((place_sound_ && !inside(fields[i], u, setting.leg_stations[i])) || check.base == 0)
            continue;
        if (distances[i] > check.base + touching)
            fields[i].report(Diagnostic{"outside-square",
                                        {},
                                        fmt::format("{} from the edge is beyond the base",
                                                    in_quotes(fields[i].node()->text)),
                                        "\"base\" is the length of the square on the table"});
    }
    check_stations(fields, setting.leg_stations);
    if (fields.size() < 2)
        stations.report(Diagnostic{
            "stations-few", {}, "one station shows no slope of the leg", "take two or more"});
}

void CheckReader::compare_edge(const Reader& readings,
                               const SquareCheck& check,
                               const SquareSetting& setting) {
    const auto [low, high] = std::minmax_element(check.stations.begin(), check.stations.end());
    const auto [least, most] =
        std::minmax_element(setting.edge_readings.begin(), setting.edge_readings.end());
    if (!check.stations.empty() && *high > *low)
        check_size(readings, (*most - *least) / (*high - *low), assumed().squareness.high);
    remark_copy(readings, setting.edge_readings);
}

SquareSetting
CheckReader::setting(const Reader& item, const Reader& check_item, const SquareCheck& check) {
    SquareSetting setting;
    const std::string_view across = check.across == Axis::x ? "X" : "Y";
    setting.leg_towards_plus = read_end(item.at("leg_points"), across).sign > 0;

    const auto edge = item.at("edge");
    auto touched = touch(edge, item, check_item);
    touched.sign *= read_end(edge.at("touches"), across, " face").sign;
    const auto field = edge.at("readings");
    const auto before = edge.faults();
    const bool read = sound(edge, [&] {
        bool repeated = false;
        for (const Reading& reading : read_readings(field, touched.unit, shop_.notes)) {
            setting.edge_readings.push_back(touched.sign * reading.value);
            setting.edge_spread.push_back(reading.spread);
            setting.edge_repeats.push_back(reading.repeats);
            repeated = repeated || reading.repeats > 1;
        }
        if (!repeated) {
            setting.edge_spread.clear();
            setting.edge_repeats.clear();
        }
        if (edge.faults() != before)
            touched.unit.size = touched.unit.size.value_or(0); // its absence is said once
        if (const auto closing = edge.find("closing"))
            setting.closing = touched.sign * read_single_reading(*closing, touched.unit);
    });
    check_count(field, setting.edge_readings.size(), check_item.at("heights"), "heights");
    if (read && heights_sound_ && !setting.edge_readings.empty())
        compare_edge(field, check, setting);
    if (const auto run = item.find("leg"))
        leg(*run, touch(*run, item, check_item), check, setting);
    return setting;
}

SquareCheck CheckReader::square(const Reader& item, std::string name) {
    SquareCheck check;
    check.name = std::move(name);
    const auto date = read_past_date(item.at("date"), today_);
    check.date = date.value_or(Date{});
    check.across = item.at("plane").word<Axis>(
        {{"ZX", Axis::x}, {"ZY", Axis::y}, {"XZ", Axis::x}, {"YZ", Axis::y}});
    check.square = instrument(item.at("square"), shop_.squares, "square", date);
    check.indicator = instrument(item.at("indicator"), shop_.indicators, "indicator", date);

    const auto place = item.at("place");
    std::array<double, 2> xy{};
    place_sound_ = sound(item, [&] { xy = read_two(place, any_place); });
    if (place_sound_ && place.node() != nullptr)
        for (std::size_t i = 0; i < 2; ++i)
            inside(place.elements()[i], static_cast<Axis>(i), xy[i]);
    check.base = item.at("base").quantity(Measure::length, some_length);
    if (const auto low_spot = item.find("low_spot"))
        check.low_spot = low_spot->quantity(Measure::length, some_form);

    const auto settings = item.at("settings").elements();
    const bool swept = std::any_of(
        settings.begin(), settings.end(), [](const Reader& one) { return one.has("leg"); });
    const auto leg = swept ? std::optional(item.at("leg_height")) : item.find("leg_height");
    double leg_height = 0;
    const bool lengths_sound = sound(item, [&] {
        check.gauge_length = item.at("gauge_length").quantity(Measure::length, some_length);
        if (leg)
            leg_height = leg->quantity(Measure::length, some_height);
    });
    const double to_z = check.gauge_length - shop_.nose_to_table;
    check.place = {xy[0], xy[1], leg_height + to_z};
    if (swept && lengths_sound)
        inside(*leg, Axis::z, leg_height + to_z);
    const auto heights = item.at("heights");
    heights_sound_ = sound(item, [&] {
        for (const double height : heights.quantities(Measure::length, some_height))
            check.stations.push_back(height + to_z);
    });
    if (lengths_sound && heights_sound_ && heights.node() != nullptr)
        check_heights(heights, check, leg_height);
    if (item.at("settings").node() != nullptr && settings.empty())
        item.at("settings")
            .report(Diagnostic{"stations-few", {}, "there is no setting of the square", ""});
    for (const Reader& one : settings)
        check.settings.push_back(setting(one, item, check));
    return check;
}

LevelCheck CheckReader::level(const Reader& item, std::string name) {
    LevelCheck check;
    check.name = std::move(name);
    const auto date = read_past_date(item.at("date"), today_);
    check.date = date.value_or(Date{});
    check.level = instrument(item.at("level"), shop_.levels, "level", date);
    double division = 0;
    for (const Level& one : shop_.levels)
        if (one.name == check.level)
            division = one.division;
    check.rides = item.at("rides").word<LevelRides>(
        {{"table", LevelRides::table}, {"head", LevelRides::head}});
    check.axis = item.at("axis").word<Axis>({{"X", Axis::x}, {"Y", Axis::y}, {"Z", Axis::z}});
    check.points = item.at("points").word<Axis>({{"X", Axis::x}, {"Y", Axis::y}});
    const auto high =
        read_end(item.at("plus_when_high"), check.points == Axis::x ? "X" : "Y", " end");
    for (int i = 0; i < 3; ++i)
        check.place[i] = shop_.travel[static_cast<std::size_t>(i)].reference;
    if (const auto place = item.find("place"))
        for (int i = 0; i < 3; ++i) {
            const auto axis = static_cast<Axis>(i);
            if (axis == check.axis)
                continue;
            const auto field = place->find(std::string(1, letter(axis)));
            if (field && sound(*field, [&] {
                    check.place[i] = field->quantity(Measure::length, any_place);
                }))
                inside(*field, axis, check.place[i]);
        }

    const auto stations = item.at("stations");
    const bool stations_sound =
        sound(item, [&] { check.stations = stations.quantities(Measure::length, any_place); });
    if (stations_sound && stations.node() != nullptr) {
        const auto fields = stations.elements();
        for (std::size_t i = 0; i < fields.size(); ++i)
            inside(fields[i], check.axis, check.stations[i]);
        check_stations(fields, check.stations);
        if (fields.size() < 3)
            stations.report(Diagnostic{"stations-few",
                                       {},
                                       "fewer than three stations show no form",
                                       "take three or more, better five"});
    }
    const auto field = item.at("readings");
    const bool read = sound(item, [&] {
        const auto before = item.faults();
        auto unit = read_unit(item.find("unit"), Measure::angle, division);
        for (const double reading : read_single_readings(field, unit))
            check.readings.push_back(high.sign * reading);
        if (item.faults() != before)
            unit.size = unit.size.value_or(0);
        if (const auto closing = item.find("closing"))
            check.closing = high.sign * read_single_reading(*closing, unit);
    });
    check_count(field, check.readings.size(), stations, "stations");
    if (read && !check.readings.empty()) {
        const auto [least, most] =
            std::minmax_element(check.readings.begin(), check.readings.end());
        check_size(field, *most - *least, assumed().angular.high);
        remark_copy(field, check.readings);
    }
    return check;
}

} // namespace

void read_checks(const Reader& file, Date today, Shop& shop) {
    enum class Kind { square, level };
    CheckReader reader(today, shop);
    Ids ids;
    const auto checks = file.find("checks");
    if (!checks)
        return; // a shop that has not checked yet is told so by its answers
    for (const Reader& item : checks->elements()) {
        auto name = ids.take(item);
        const auto kind =
            read_kind<Kind>(item, "kind", {{"square", Kind::square}, {"level", Kind::level}});
        if (kind == Kind::square)
            shop.square_checks.push_back(reader.square(item, std::move(name)));
        else if (kind == Kind::level)
            shop.level_checks.push_back(reader.level(item, std::move(name)));
    }
}

} // namespace holdable
