// SPDX-License-Identifier: MIT
#include "holdable/files/read_checks.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

namespace holdable {
namespace {

constexpr double nearest_stations = 1e-3; // (rad)
constexpr Range some_angle = {.low = -4 * std::numbers::pi, .high = 4 * std::numbers::pi};

class TramReader {
  public:
    explicit TramReader(CheckFields& fields) : fields_(fields) {}

    TramCheck read(const Reader& item, std::string name);

  private:
    void where(const Reader& item, TramCheck& check);
    static void angles(const Reader& field, const TramCheck& check);
    void spots(const Reader& angles, const TramCheck& check) const;
    void readings(const Reader& item, const Reader& angles, TramCheck& check);

    CheckFields& fields_;
    bool place_sound_ = false; // of the check being read
};

/// X, Y and height of what is touched; the place of the axes from them.
void TramReader::where(const Reader& item, TramCheck& check) {
    const auto place = item.at("place");
    std::array<double, 2> xy{};
    place_sound_ = sound(item, [&] { xy = read_two(place, any_place); });
    if (place_sound_ && place.node() != nullptr)
        for (std::size_t i = 0; i < 2; ++i)
            place_sound_ =
                fields_.inside(place.elements()[i], static_cast<Axis>(i), xy[i]) && place_sound_;
    const auto height_field = check.against == SweptSurface::block
                                  ? std::optional(item.at("height"))
                                  : item.find("height");
    const auto gauge = item.at("gauge_length");
    double height = 0;
    const bool lengths_sound = sound(item, [&] {
        check.gauge_length = gauge.quantity(Measure::length, some_length);
        if (height_field)
            height = height_field->quantity(Measure::length, some_height);
    });
    const double z = height + check.gauge_length - fields_.shop().nose_to_table;
    check.place = {xy[0], xy[1], z};
    if (lengths_sound && gauge.node() != nullptr)
        fields_.inside(height_field ? *height_field : gauge, Axis::z, z);
}

void TramReader::angles(const Reader& field, const TramCheck& check) {
    const auto elements = field.elements();
    for (std::size_t i = 0; i < elements.size(); ++i)
        for (std::size_t k = 0; k < i; ++k)
            if (std::abs(std::remainder(check.angles[i] - check.angles[k], 2 * std::numbers::pi)) <
                nearest_stations) {
                elements[i].report(Diagnostic{
                    "station-twice",
                    {},
                    fmt::format("angle {} is where angle {} is", i + 1, k + 1),
                    "the first angle read again at the end is \"closing\"; repeats stand "
                    "together: [[0, 0.5, 0], ...]"});
                break;
            }
    if (elements.size() < 3)
        field.report(Diagnostic{"stations-few",
                                {},
                                "fewer than three angles show no tilt",
                                "take four, or eight: every 90° or 45°"});
}

/// The axes go where the bar brings the tip over the block.
void TramReader::spots(const Reader& angles, const TramCheck& check) const {
    const auto elements = angles.elements();
    for (std::size_t i = 0; i < elements.size(); ++i) {
        const double radius = check.sweep_diameter / 2;
        const double at[] = {check.place.x() - radius * std::cos(check.angles[i]),
                             check.place.y() - radius * std::sin(check.angles[i])};
        for (std::size_t k = 0; k < 2; ++k)
            fields_.inside(elements[i], static_cast<Axis>(k), at[k]);
    }
}

void TramReader::readings(const Reader& item, const Reader& angles, TramCheck& check) {
    check.planned = fields_.planned();
    const auto field = fields_.run(item,
                                   fields_.touch({item}),
                                   angles,
                                   "angles",
                                   {check.readings, check.spread, check.repeats, check.closing});
    if (field && check.sweep_diameter > 0) {
        const auto [least, most] =
            std::minmax_element(check.readings.begin(), check.readings.end());
        fields_.check_size(
            *field, (*most - *least) / check.sweep_diameter, class_of(fields_.shop()).tram.high);
        fields_.check_trace(*field, check.readings);
    }
}

TramCheck TramReader::read(const Reader& item, std::string name) {
    TramCheck check;
    check.name = std::move(name);
    const auto date = fields_.date(item);
    check.date = date.value_or(Date{});
    check.indicator =
        fields_.instrument(item.at("indicator"), fields_.shop().indicators, "indicator", date);
    check.against = item.at("against").word<SweptSurface>(
        {{"table", SweptSurface::table}, {"block", SweptSurface::block}});
    where(item, check);
    check.sweep_diameter = item.at("sweep_diameter").quantity(Measure::length, some_length);
    if (const auto doubt = item.find("diameter_doubt"))
        check.diameter_doubt = doubt->quantity(
            Measure::length, {.low = 0, .high = check.sweep_diameter / 10, .low_open = true});
    if (const auto low_spot = item.find("low_spot"))
        check.low_spot = low_spot->quantity(Measure::length, some_form);
    if (const auto swept = item.find("swept"))
        check.both_ways = swept->word<bool>({{"one way", false}, {"both ways", true}});
    const auto field = item.at("angles");
    const bool angles_sound =
        sound(item, [&] { check.angles = field.quantities(Measure::angle, some_angle); });
    if (angles_sound && field.node() != nullptr) {
        angles(field, check);
        if (check.against == SweptSurface::block && place_sound_ && check.sweep_diameter > 0)
            spots(field, check);
    }
    readings(item, field, check);
    return check;
}

} // namespace

TramCheck read_tram_check(const Reader& item, std::string name, CheckFields& fields) {
    return TramReader(fields).read(item, std::move(name));
}

} // namespace holdable
