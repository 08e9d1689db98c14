// SPDX-License-Identifier: MIT
#include "holdable/report/shop_units.hpp"

#include "holdable/base/error.hpp"
#include "holdable/base/quantity.hpp"

#include <cmath>
#include <numbers>

namespace holdable {
namespace {

constexpr double inch = 0.0254;                          // m, exact (1959 agreement)
constexpr double arc_second = std::numbers::pi / 648000; // rad
constexpr double micrometres_below = 1e-5; // m: 0.01 mm is the last place of a metric print
constexpr int most_unit_digits = 6;

std::string drop_zero(std::string number) {
    const std::size_t sign = number.starts_with('-') ? 1 : 0;
    if (number.compare(sign, 2, "0.") == 0)
        number.erase(sign, 1);
    return number;
}

std::string with_unit(double si, const ShopUnit& unit, int digits, Rounding rounding) {
    const auto number = si == 0
                            ? std::string("0")
                            : number_in(unit, si, place_in(unit, si, digits, rounding), rounding);
    return number + " " + std::string(unit.spelling);
}

} // namespace

ShopUnit length_unit(Habit habit, double size) {
    if (habit == Habit::inch)
        return {"in", inch, true};
    if (size != 0 && std::abs(size) < micrometres_below)
        return {"µm", 1e-6, false};
    return {"mm", 1e-3, false};
}

ShopUnit slope_unit(Habit habit) {
    if (habit == Habit::inch)
        return {"in/ft", 1.0 / 12, true};
    return {"mm/300mm", 1.0 / 300, false};
}

ShopUnit arc_seconds() {
    return {"arcsec", arc_second, false};
}

int place_in(const ShopUnit& unit, double si, int digits, Rounding rounding) {
    return si == 0 ? 0 : last_place(si / unit.size, digits, rounding);
}

std::string number_in(const ShopUnit& unit, double si, int place, Rounding rounding) {
    auto number = to_place(si / unit.size, place, rounding);
    return unit.drops_zero ? drop_zero(std::move(number)) : number;
}

Printed printed_in(const ShopUnit& unit, double value, double standard) {
    auto printed = with_uncertainty(value / unit.size, standard / unit.size);
    if (unit.drops_zero)
        printed = {drop_zero(std::move(printed.value)), drop_zero(std::move(printed.uncertainty))};
    return printed;
}

std::string length_text(double m, Habit habit, int digits, Rounding rounding) {
    return with_unit(m, length_unit(habit, m), digits, rounding);
}

std::string length_in_both(double m, Habit habit, int digits, Rounding rounding) {
    return length_text(m, habit, digits, rounding) + " (" +
           length_text(m, other(habit), digits, rounding) + ")";
}

std::string slope_text(double rad, Habit habit, int digits, Rounding rounding) {
    return with_unit(rad, slope_unit(habit), digits, rounding);
}

std::string slope_in_both(double rad, Habit habit, int digits, Rounding rounding) {
    return slope_text(rad, habit, digits, rounding) + " (" +
           with_unit(rad, arc_seconds(), digits, rounding) + ")";
}

std::string coordinate_text(double m, Habit habit) {
    const auto unit = length_unit(habit, 1);
    return number_in(unit, m, habit == Habit::inch ? -3 : -2) + " " + std::string(unit.spelling);
}

std::string exact_length(double m, Habit habit, int digits) {
    const auto unit = length_unit(habit, m);
    auto number = m == 0 ? std::string("0") : number_in(unit, m, place_in(unit, m, digits));
    if (number.find('.') != std::string::npos)
        number.erase(number.find_last_not_of('0') + 1);
    if (number.ends_with('.'))
        number.pop_back();
    return number + " " + std::string(unit.spelling);
}

std::string as_written(std::string_view written, double m, Habit habit) {
    try {
        const auto unit = parse_quantity(written).unit;
        if (unit.spelling.empty())
            return exact_length(m, habit);
        const auto end = written.find_last_of("0123456789.", written.rfind(unit.spelling));
        const auto begin = written.find_first_not_of(" \t+");
        auto number = std::string(written.substr(begin, end + 1 - begin));
        if (unit.factor == inch)
            number = drop_zero(std::move(number));
        return number + " " + unit.spelling;
    } catch (const InputError&) {
        return exact_length(m, habit);
    }
}

std::string promised_number(const ShopUnit& unit, double promised, double limit) {
    int digits = 2;
    int place = place_in(unit, promised, digits, Rounding::up);
    const auto lifted_over = [&] {
        const double step = std::pow(10.0, place);
        const double printed = std::ceil(promised / unit.size / step * (1 - 1e-9)) * step;
        return printed * unit.size > limit * (1 + 1e-9);
    };
    while (promised <= limit && digits < most_unit_digits && lifted_over())
        place = place_in(unit, promised, ++digits, Rounding::up);
    return number_in(unit, promised, place, Rounding::up);
}

} // namespace holdable
