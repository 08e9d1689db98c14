// SPDX-License-Identifier: MIT
#include "holdable/base/words.hpp"
#include "holdable/files/read_checks.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <numbers>
#include <utility>

namespace holdable {
namespace {


class TestBarReader {
  public:
    explicit TestBarReader(CheckFields& fields) : fields_(fields) {}

    TestBarCheck read(const Reader& item, std::string name);

  private:
    void stations(const Reader& field, double bar_length, const TestBarCheck& check) const;
    TestBarSetting setting(const Reader& item, const Reader& check_item, const TestBarCheck& check);

    CheckFields& fields_;
    bool stations_sound_ = false; // of the check being read
};

void TestBarReader::stations(const Reader& field,
                             double bar_length,
                             const TestBarCheck& check) const {
    const auto elements = field.elements();
    for (std::size_t i = 0; i < elements.size(); ++i) {
        const double along = check.stations[i] + fields_.shop().nose_to_table - check.height;
        if (!fields_.inside(elements[i], Axis::z, check.stations[i]) || bar_length == 0 ||
            fields_.shop().nose_to_table == 0)
            continue;
        if (along < touching || along > bar_length + touching) {
            const auto unit = parse_unit(fields_.shop().inch ? "in" : "mm");
            elements[i].report(Diagnostic{
                "outside-bar",
                {},
                fmt::format("at {} the indicator is {:.6g} {} below the nose, not on the bar",
                            in_quotes(elements[i].node()->text),
                            in_unit(along, unit),
                            unit.spelling),
                "distance from the nose = Z + nose_to_table - height"});
        }
    }
    CheckFields::check_stations(elements, check.stations);
    CheckFields::check_three(field);
}

TestBarSetting
TestBarReader::setting(const Reader& item, const Reader& check_item, const TestBarCheck& check) {
    TestBarSetting setting;
    setting.turned = item.at("turned").quantity(Measure::angle, some_turn);
    auto touched = fields_.touch({item, check_item});
    touched.sign *= check.on_plus_face ? 1 : -1;
    const auto field =
        fields_.run(item,
                    touched,
                    check_item.at("stations"),
                    "stations",
                    {setting.readings, setting.spread, setting.repeats, setting.closing});
    if (!field)
        return setting;
    const auto [least, most] =
        std::minmax_element(setting.readings.begin(), setting.readings.end());
    if (stations_sound_ && !check.stations.empty()) {
        const auto [low, high] = std::minmax_element(check.stations.begin(), check.stations.end());
        const auto& c = class_of(fields_.shop());
        if (*high > *low)
            fields_.check_size(*field,
                               (*most - *least) / (*high - *low),
                               std::max(c.tram.high, c.squareness.high));
    }
    fields_.check_trace(*field, setting.readings);
    return setting;
}

TestBarCheck TestBarReader::read(const Reader& item, std::string name) {
    TestBarCheck check;
    check.name = std::move(name);
    const auto date = fields_.date(item);
    check.date = date.value_or(Date{});
    check.across = item.at("plane").word<Axis>(
        {{"XZ", Axis::x}, {"YZ", Axis::y}, {"ZX", Axis::x}, {"ZY", Axis::y}});
    check.indicator =
        fields_.instrument(item.at("indicator"), fields_.shop().indicators, "indicator", date);
    check.on_plus_face =
        read_end(item.at("touches"), check.across == Axis::x ? "X" : "Y", " face").sign > 0;
    const auto place = item.at("place");
    std::array<double, 2> xy{};
    if (sound(item, [&] { xy = read_two(place, any_place); }) && place.node() != nullptr)
        for (std::size_t i = 0; i < 2; ++i)
            fields_.inside(place.elements()[i], static_cast<Axis>(i), xy[i]);
    check.x = xy[0];
    check.y = xy[1];
    double bar_length = 0;
    const bool lengths_sound = sound(item, [&] {
        check.height = item.at("height").quantity(Measure::length, some_height);
        bar_length = item.at("bar_length").quantity(Measure::length, some_length);
    });
    if (const auto form = item.find("bar_form"))
        check.bar_form = form->quantity(Measure::length, some_form);
    const auto field = item.at("stations");
    stations_sound_ =
        sound(item, [&] { check.stations = field.quantities(Measure::length, any_place); });
    if (lengths_sound && stations_sound_ && field.node() != nullptr)
        stations(field, bar_length, check);
    const auto settings = item.at("settings").elements();
    if (item.at("settings").node() != nullptr && settings.empty())
        item.at("settings")
            .report(Diagnostic{"stations-few", {}, "there is no setting of the bar", ""});
    for (const Reader& one : settings)
        check.settings.push_back(setting(one, item, check));
    return check;
}

} // namespace

TestBarCheck read_test_bar_check(const Reader& item, std::string name, CheckFields& fields) {
    return TestBarReader(fields).read(item, std::move(name));
}

} // namespace holdable
