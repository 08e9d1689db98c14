// SPDX-License-Identifier: MIT
#include "holdable/base/words.hpp"
#include "holdable/files/read_checks.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <utility>

namespace holdable {
namespace {

class FlatSquareReader {
  public:
    FlatSquareReader(CheckFields& fields, Reader item) : fields_(fields), item_(std::move(item)) {}

    FlatSquareCheck read(std::string name);

  private:
    FlatSquareSetting setting(const Reader& item);
    FlatRun run(const Reader& item,
                const Reader& setting_item,
                const FlatSquareSetting& setting,
                Axis moving);

    CheckFields& fields_;
    Reader item_;
    FlatSquareCheck check_;
    double length_ = 0; // of the square, 0 if unknown
    bool corner_sound_ = false;
};

FlatRun FlatSquareReader::run(const Reader& item,
                              const Reader& setting_item,
                              const FlatSquareSetting& setting,
                              Axis moving) {
    FlatRun run;
    const int along = static_cast<int>(moving);
    const bool plus = moving == Axis::x ? setting.leg_towards_plus : setting.edge_towards_plus;
    auto touched = fields_.touch({item, setting_item, item_});
    touched.sign *= read_end(item.at("touches"), moving == Axis::x ? "Y" : "X", " face").sign;
    const auto stations = item.at("from_corner");
    std::vector<double> distances;
    const bool placed =
        sound(item, [&] { distances = stations.quantities(Measure::length, some_height); });
    for (const double distance : distances)
        run.stations.push_back(setting.corner[along] + (plus ? distance : -distance));
    if (placed && stations.node() != nullptr) {
        const auto elements = stations.elements();
        for (std::size_t i = 0; i < elements.size(); ++i) {
            if (corner_sound_)
                fields_.inside(elements[i], moving, run.stations[i]);
            // The leg of a square is not longer than its edge.
            if (length_ > 0 && distances[i] > length_ + touching)
                elements[i].report(
                    Diagnostic{"outside-square",
                               {},
                               fmt::format("{} from the corner is not on the square {}",
                                           in_quotes(elements[i].node()->text),
                                           in_quotes(check_.square)),
                               "the square's \"length\" is that of its edge"});
        }
        CheckFields::check_stations(elements, distances);
        CheckFields::check_three(stations);
    }
    const auto field = fields_.run(
        item, touched, stations, "stations", {run.readings, run.spread, run.repeats, run.closing});
    if (placed && field && run.readings.size() > 1 && run.stations.size() > 1) {
        const auto [low, high] = std::minmax_element(run.stations.begin(), run.stations.end());
        const auto [least, most] = std::minmax_element(run.readings.begin(), run.readings.end());
        // The square is put down by eye and hand: its rotation is not the machine's error.
        constexpr double put_down = 2e-3; // (rad)
        if (*high > *low)
            fields_.check_size(*field,
                               (*most - *least) / (*high - *low) - put_down,
                               class_of(fields_.shop()).squareness.high);
        fields_.check_trace(*field, run.readings);
    }
    return run;
}

FlatSquareSetting FlatSquareReader::setting(const Reader& item) {
    FlatSquareSetting setting;
    const auto corner = item.at("corner");
    std::array<double, 2> xy{};
    corner_sound_ = sound(item, [&] { xy = read_two(corner, any_place); });
    setting.corner = {xy[0], xy[1]};
    setting.leg_towards_plus = read_end(item.at("leg_points"), "X").sign > 0;
    setting.edge_towards_plus = read_end(item.at("edge_points"), "Y").sign > 0;
    setting.leg = run(item.at("leg"), item, setting, Axis::x);
    setting.edge = run(item.at("edge"), item, setting, Axis::y);
    return setting;
}

FlatSquareCheck FlatSquareReader::read(std::string name) {
    check_.name = std::move(name);
    const auto date = fields_.date(item_);
    check_.date = date.value_or(Date{});
    check_.square = fields_.instrument(item_.at("square"), fields_.shop().squares, "square", date);
    check_.indicator =
        fields_.instrument(item_.at("indicator"), fields_.shop().indicators, "indicator", date);
    for (const Square& square : fields_.shop().squares)
        if (square.name == check_.square)
            length_ = square.length;
    double height = 0;
    const bool lengths_sound = sound(item_, [&] {
        check_.gauge_length = item_.at("gauge_length").quantity(Measure::length, some_length);
        height = item_.at("height").quantity(Measure::length, some_height);
    });
    check_.z = height + check_.gauge_length - fields_.shop().nose_to_table;
    if (lengths_sound)
        fields_.inside(item_.at("height"), Axis::z, check_.z);
    for (const auto* of_runs : {"unit", "pressed_reads"}) // read where the readings are
        (void)item_.find(of_runs);
    const auto settings = item_.at("settings");
    if (settings.node() != nullptr && settings.elements().empty())
        settings.report(Diagnostic{"stations-few", {}, "there is no setting of the square", ""});
    for (const Reader& one : settings.elements())
        check_.settings.push_back(setting(one));
    return check_;
}

} // namespace

FlatSquareCheck read_flat_square_check(const Reader& item, std::string name, CheckFields& fields) {
    return FlatSquareReader(fields, item).read(std::move(name));
}

} // namespace holdable
