// SPDX-License-Identifier: MIT
#include "holdable/report/numbers.hpp"

#include "holdable/base/error.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace holdable {
namespace {

constexpr double slack = 1e-9; // relative: what binary fractions may miss a decimal one by
constexpr double most_exact = 1e15;

void require_finite(double x) {
    if (!std::isfinite(x))
        throw NumericError("a number to be printed is not finite");
}

/// 10^n, exact for 0 ≤ n ≤ 22.
double power_of_ten(int n) {
    return std::pow(10.0, n);
}

/// x / 10^place without the error of a negative power, which no double holds exactly.
double scaled(double x, int place) {
    return place < 0 ? x * power_of_ten(-place) : x / power_of_ten(place);
}

/// The whole number of units of 10^place that x is rounded to.
double rounded_units(double x, int place, Rounding rounding) {
    const double units = scaled(x, place);
    const double whole = std::round(units);
    if (std::abs(units - whole) <= slack * std::max(1.0, std::abs(units)))
        return whole;
    switch (rounding) {
    case Rounding::up:
        return std::ceil(units);
    case Rounding::down:
        return std::floor(units);
    case Rounding::nearest:
        break;
    }
    // A tie in decimal may be stored just below the half: lean on it by the same slack.
    return std::copysign(std::floor(std::abs(units) * (1 + slack) + 0.5), units);
}

} // namespace

int last_place(double x, int digits, Rounding rounding) {
    require_finite(x);
    if (x == 0 || digits < 1 || digits > 15)
        throw NumericError("significant digits need a number that is not 0, and 1 to 15 of them");
    int place = static_cast<int>(std::floor(std::log10(std::abs(x)))) - digits + 1;
    // The carry (9.96 → 10) or a logarithm rounded up to a whole number moves the place by one.
    const double limit = power_of_ten(digits);
    if (std::abs(rounded_units(x, place, rounding)) >= limit)
        ++place;
    else if (std::abs(rounded_units(x, place - 1, rounding)) < limit)
        --place;
    return place;
}

std::string to_place(double x, int place, Rounding rounding) {
    require_finite(x);
    double units = rounded_units(x, place, rounding);
    if (!(std::abs(units) < most_exact))
        throw NumericError("a number has more than 15 digits at the place it is printed to");
    if (units == 0)
        units = 0; // no "-0"
    if (place >= 0)
        return fmt::format("{:.0f}", units * power_of_ten(place));
    auto digits = fmt::format("{:.0f}", std::abs(units));
    const auto behind = static_cast<std::size_t>(-place);
    if (digits.size() <= behind)
        digits.insert(0, behind + 1 - digits.size(), '0');
    digits.insert(digits.size() - behind, 1, '.');
    return (units < 0 ? "-" : "") + digits;
}

std::string to_digits(double x, int digits, Rounding rounding) {
    return x == 0 ? "0" : to_place(x, last_place(x, digits, rounding), rounding);
}

Printed with_uncertainty(double value, double u, int digits) {
    require_finite(value);
    require_finite(u);
    if (u < 0)
        throw NumericError("an uncertainty to be printed is negative");
    if (u == 0)
        return {to_digits(value, 6), "0"};
    const int place = last_place(u, digits);
    return {to_place(value, place), to_place(u, place)};
}

namespace {

std::string percent(double p, Rounding rounding) {
    if (!(p >= 0 && p <= 1))
        throw NumericError("a probability to be printed is outside 0 to 1");
    const double percent = 100 * p;
    if (percent > 99.99)
        return "> 99.99 %";
    if (percent < 0.01)
        return "< 0.01 %";
    const bool near_an_end = percent >= 99.9 || percent < 0.1;
    return to_place(percent, near_an_end ? -2 : -1, rounding) + " %";
}

} // namespace

std::string percent_down(double p) {
    return percent(p, Rounding::down);
}

std::string percent_up(double p) {
    return percent(p, Rounding::up);
}

} // namespace holdable
