// SPDX-License-Identifier: MIT
#include "holdable/files/read_checks.hpp"

#include <algorithm>
#include <utility>

namespace holdable {

LevelCheck read_level_check(const Reader& item, std::string name, CheckFields& fields) {
    LevelCheck check;
    check.name = std::move(name);
    const auto date = fields.date(item);
    check.date = date.value_or(Date{});
    check.level = fields.instrument(item.at("level"), fields.shop().levels, "level", date);
    double division = 0;
    for (const Level& one : fields.shop().levels)
        if (one.name == check.level)
            division = one.division;
    check.rides = item.at("rides").word<LevelRides>(
        {{"table", LevelRides::table}, {"head", LevelRides::head}});
    check.axis = item.at("axis").word<Axis>({{"X", Axis::x}, {"Y", Axis::y}, {"Z", Axis::z}});
    check.points = item.at("points").word<Axis>({{"X", Axis::x}, {"Y", Axis::y}});
    const auto high =
        read_end(item.at("plus_when_high"), check.points == Axis::x ? "X" : "Y", " end");
    for (int i = 0; i < 3; ++i)
        check.place[i] = fields.shop().travel[static_cast<std::size_t>(i)].reference;
    if (const auto place = item.find("place"))
        for (int i = 0; i < 3; ++i) {
            const auto axis = static_cast<Axis>(i);
            if (axis == check.axis)
                continue;
            const auto field = place->find(std::string(1, letter(axis)));
            if (field && sound(*field, [&] {
                    check.place[i] = field->quantity(Measure::length, any_place);
                }))
                fields.inside(*field, axis, check.place[i]);
        }

    const auto stations = item.at("stations");
    const bool stations_sound =
        sound(item, [&] { check.stations = stations.quantities(Measure::length, any_place); });
    if (stations_sound && stations.node() != nullptr) {
        const auto elements = stations.elements();
        for (std::size_t i = 0; i < elements.size(); ++i)
            fields.inside(elements[i], check.axis, check.stations[i]);
        CheckFields::check_stations(elements, check.stations);
        CheckFields::check_three(stations);
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
    CheckFields::check_count(field, check.readings.size(), stations, "stations");
    if (read && !check.readings.empty()) {
        const auto [least, most] =
            std::minmax_element(check.readings.begin(), check.readings.end());
        fields.check_size(field, *most - *least, class_of(fields.shop()).angular.high);
        fields.remark_copy(field, check.readings);
    }
    return check;
}

} // namespace holdable
