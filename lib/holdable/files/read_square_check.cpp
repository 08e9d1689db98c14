// SPDX-License-Identifier: MIT
#include "holdable/base/words.hpp"
#include "holdable/files/read_checks.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <utility>

namespace holdable {
namespace {

class SquareReader {
  public:
    explicit SquareReader(CheckFields& fields) : fields_(fields) {}

    SquareCheck read(const Reader& item, std::string name);

  private:
    SquareSetting setting(const Reader& item, const Reader& check_item, const SquareCheck& check);
    void
    compare_edge(const Reader& readings, const SquareCheck& check, const SquareSetting& setting);
    void
    leg(const Reader& run, const Touch& touched, const SquareCheck& check, SquareSetting& setting);
    void check_heights(const Reader& field, const SquareCheck& check, double leg_height) const;

    CheckFields& fields_;
    bool heights_sound_ = false; ///< of the check being read
    bool place_sound_ = false;
};

void SquareReader::check_heights(const Reader& field,
                                 const SquareCheck& check,
                                 double leg_height) const {
    const auto fields = field.elements();
    double top = 0;
    for (const Square& square : fields_.shop().squares)
        if (square.name == check.square)
            top = leg_height + square.length;
    for (std::size_t i = 0; i < fields.size(); ++i) {
        const double height = check.stations[i] - check.gauge_length + fields_.shop().nose_to_table;
        if (!fields_.inside(fields[i], Axis::z, check.stations[i]))
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
    CheckFields::check_stations(fields, check.stations);
    CheckFields::check_three(field);
}

void SquareReader::leg(const Reader& run,
                       const Touch& touched,
                       const SquareCheck& check,
                       SquareSetting& setting) {
    const auto stations = run.at("from_edge");
    const auto readings = fields_.readings(run);
    std::vector<double> distances;
    const bool good =
        sound(run, [&] { distances = stations.quantities(Measure::length, some_height); });
    const auto u = check.across;
    const double turned = setting.leg_towards_plus ? 1 : -1;
    for (const double distance : distances)
        setting.leg_stations.push_back(check.place[static_cast<int>(u)] + turned * distance);
    if (readings) {
        for (const double reading : read_single_readings(*readings, touched.unit))
            setting.leg_readings.push_back(touched.sign * reading);
        CheckFields::check_count(
            *readings, setting.leg_readings.size(), stations, "stations along the leg");
    } else
        setting.leg_readings.assign(distances.size(), 0);
    if (!good || stations.node() == nullptr)
        return;
    const auto fields = stations.elements();
    for (std::size_t i = 0; i < fields.size(); ++i) {
        if ((place_sound_ && !fields_.inside(fields[i], u, setting.leg_stations[i])) ||
            check.base == 0)
            continue;
        if (distances[i] > check.base + touching)
            fields[i].report(Diagnostic{"outside-square",
                                        {},
                                        fmt::format("{} from the edge is beyond the base",
                                                    in_quotes(fields[i].node()->text)),
                                        "\"base\" is the length of the square on the table"});
    }
    CheckFields::check_stations(fields, setting.leg_stations);
    if (fields.size() < 2)
        stations.report(Diagnostic{
            "stations-few", {}, "one station shows no slope of the leg", "take two or more"});
}

void SquareReader::compare_edge(const Reader& readings,
                                const SquareCheck& check,
                                const SquareSetting& setting) {
    const auto [low, high] = std::minmax_element(check.stations.begin(), check.stations.end());
    const auto [least, most] =
        std::minmax_element(setting.edge_readings.begin(), setting.edge_readings.end());
    if (!check.stations.empty() && *high > *low)
        fields_.check_size(
            readings, (*most - *least) / (*high - *low), class_of(fields_.shop()).squareness.high);
    fields_.check_trace(readings, setting.edge_readings);
}

SquareSetting
SquareReader::setting(const Reader& item, const Reader& check_item, const SquareCheck& check) {
    SquareSetting setting;
    const std::string_view across = check.across == Axis::x ? "X" : "Y";
    setting.leg_towards_plus = read_end(item.at("leg_points"), across).sign > 0;

    const auto u = static_cast<std::size_t>(check.across);
    const auto& travel = fields_.shop().travel[u];
    const double far =
        check.place[static_cast<int>(u)] + (setting.leg_towards_plus ? check.base : -check.base);
    const double beyond = std::max(far - travel.high, travel.low - far);
    if (place_sound_ && travel.low < travel.high && beyond > check.base / 2)
        fields_.notes().push_back(remark(
            item.at("leg_points"),
            fmt::format("the base of the square reaches {:.3g} mm beyond the travel of {}: is it "
                        "all on the table?",
                        beyond * 1e3,
                        across)));
    const auto edge = item.at("edge");
    auto touched = fields_.touch({edge, item, check_item});
    touched.sign *= read_end(edge.at("touches"), across, " face").sign;
    const auto field = fields_.run(
        edge,
        touched,
        check_item.at("heights"),
        "heights",
        {setting.edge_readings, setting.edge_spread, setting.edge_repeats, setting.closing});
    if (field && heights_sound_)
        compare_edge(*field, check, setting);
    if (const auto run = item.find("leg"))
        leg(*run, fields_.touch({*run, item, check_item}), check, setting);
    return setting;
}

SquareCheck SquareReader::read(const Reader& item, std::string name) {
    SquareCheck check;
    check.name = std::move(name);
    const auto date = fields_.date(item);
    check.date = date.value_or(Date{});
    check.across = item.at("plane").word<Axis>(
        {{"ZX", Axis::x}, {"ZY", Axis::y}, {"XZ", Axis::x}, {"YZ", Axis::y}});
    check.square = fields_.instrument(item.at("square"), fields_.shop().squares, "square", date);
    check.indicator =
        fields_.instrument(item.at("indicator"), fields_.shop().indicators, "indicator", date);

    const auto place = item.at("place");
    std::array<double, 2> xy{};
    place_sound_ = sound(item, [&] { xy = read_two(place, any_place); });
    if (place_sound_ && place.node() != nullptr)
        for (std::size_t i = 0; i < 2; ++i)
            fields_.inside(place.elements()[i], static_cast<Axis>(i), xy[i]);
    check.base = item.at("base").quantity(Measure::length, some_length);
    if (const auto low_spot = item.find("low_spot"))
        check.low_spot = low_spot->quantity(Measure::length, some_form);
    if (const auto width = item.find("base_width"))
        check.base_width = width->quantity(Measure::length, some_length);
    if (const auto weight = item.find("weight_at"))
        if (sound(*weight,
                  [&] { check.weight_at = weight->quantity(Measure::length, some_length); }) &&
            check.base > 0 && *check.weight_at >= check.base)
            weight->report(Diagnostic{"outside-square",
                                      {},
                                      "the weight acts beyond the end of the base",
                                      "\"weight_at\" is its distance from the edge along the leg"});

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
    const double to_z = check.gauge_length - fields_.shop().nose_to_table;
    check.place = {xy[0], xy[1], leg_height + to_z};
    if (swept && lengths_sound)
        fields_.inside(*leg, Axis::z, leg_height + to_z);
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

} // namespace

SquareCheck read_square_check(const Reader& item, std::string name, CheckFields& fields) {
    return SquareReader(fields).read(item, std::move(name));
}

} // namespace holdable
