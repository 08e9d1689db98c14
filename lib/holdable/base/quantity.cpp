// SPDX-License-Identifier: MIT
#include "holdable/base/quantity.hpp"

#include "holdable/base/error.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <numbers>
#include <optional>

namespace holdable {
namespace {

constexpr Dimension none{};
constexpr Dimension length_dim{1, 0, 0, 0, 0};
constexpr Dimension mass_dim{0, 1, 0, 0, 0};
constexpr Dimension time_dim{0, 0, 1, 0, 0};
constexpr Dimension temperature_dim{0, 0, 0, 1, 0};
constexpr Dimension current_dim{0, 0, 0, 0, 1};
constexpr Dimension force_dim{1, 1, -2, 0, 0};
constexpr Dimension pressure_dim{-1, 1, -2, 0, 0};
constexpr Dimension energy_dim{2, 1, -2, 0, 0};
constexpr Dimension power_dim{2, 1, -3, 0, 0};
constexpr Dimension voltage_dim{2, 1, -3, 0, -1};
constexpr Dimension resistance_dim{2, 1, -3, 0, -2};
constexpr Dimension frequency_dim{0, 0, -1, 0, 0};

constexpr double pi = std::numbers::pi;
constexpr std::string_view si = "SI Brochure, 9th ed.";
constexpr std::string_view sp811 = "NIST SP 811 (2008), App. B";
constexpr std::string_view exact_inch = "exact: 1 in = 25.4 mm";

// clang-format off
const std::vector<UnitRow> table = {
    {"length",      "m",                     1,              0, length_dim, si},
    {"length",      "mm",                    1e-3,           0, length_dim, si},
    {"length",      "cm",                    1e-2,           0, length_dim, si},
    {"length",      "µm um micron microns",  1e-6,           0, length_dim, si},
    {"length",      "nm",                    1e-9,           0, length_dim, si},
    {"length",      "pm",                    1e-12,          0, length_dim, si},
    {"length",      "km",                    1e3,            0, length_dim, si},
    {"length",      "in inch inches",        0.0254,         0, length_dim, exact_inch},
    {"length",      "ft foot feet",          0.3048,         0, length_dim, exact_inch},
    {"length",      "thou",                  2.54e-5,        0, length_dim, exact_inch},
    {"length",      "µin uin",               2.54e-8,        0, length_dim, exact_inch},
    {"angle",       "rad",                   1,              0, none, si},
    {"angle",       "mrad",                  1e-3,           0, none, si},
    {"angle",       "µrad urad",             1e-6,           0, none, si},
    {"angle",       "° deg",                 pi / 180,       0, none, si},
    {"angle",       "arcmin",                pi / 10800,     0, none, si},
    {"angle",       "arcsec",                pi / 648000,    0, none, si},
    {"number",      "%",                     1e-2,           0, none, si},
    {"number",      "ppm",                   1e-6,           0, none, si},
    {"number",      "1",                     1,              0, none, si},
    {"temperature", "°C degC",               1,         273.15, temperature_dim, si},
    {"temperature", "°F degF",               5.0 / 9, 459.67 * 5 / 9, temperature_dim, sp811},
    {"temperature difference", "K",          1,              0, temperature_dim, si},
    {"temperature difference", "Δ°C ddegC",  1,              0, temperature_dim, si},
    {"temperature difference", "Δ°F ddegF",  5.0 / 9,        0, temperature_dim, sp811},
    {"temperature difference", "mK",         1e-3,           0, temperature_dim, si},
    {"time",        "s",                     1,              0, time_dim, si},
    {"time",        "ms",                    1e-3,           0, time_dim, si},
    {"time",        "µs us",                 1e-6,           0, time_dim, si},
    {"time",        "min",                   60,             0, time_dim, si},
    {"time",        "h",                     3600,           0, time_dim, si},
    {"time",        "day days",              86400,          0, time_dim, si},
    {"time",        "year years yr",         31556952,       0, time_dim, "mean Gregorian year, 365.2425 days"},
    {"mass",        "kg",                    1,              0, mass_dim, si},
    {"mass",        "g",                     1e-3,           0, mass_dim, si},
    {"mass",        "mg",                    1e-6,           0, mass_dim, si},
    {"mass",        "µg ug",                 1e-9,           0, mass_dim, si},
    {"mass",        "lb",                    0.45359237,     0, mass_dim, sp811},
    {"force",       "N",                     1,              0, force_dim, si},
    {"force",       "kN",                    1e3,            0, force_dim, si},
    {"force",       "mN",                    1e-3,           0, force_dim, si},
    {"force",       "lbf",                   4.4482216152605, 0, force_dim, sp811},
    {"rotation",    "rev",                   1,              0, none, "a count of turns"},
    {"rotation",    "rpm",                   1.0 / 60,       0, frequency_dim, "turns a minute"},
    {"other",       "Hz",                    1,              0, frequency_dim, si},
    {"other",       "kHz",                   1e3,            0, frequency_dim, si},
    {"other",       "MHz",                   1e6,            0, frequency_dim, si},
    {"other",       "GHz",                   1e9,            0, frequency_dim, si},
    {"other",       "Pa",                    1,              0, pressure_dim, si},
    {"other",       "hPa",                   1e2,            0, pressure_dim, si},
    {"other",       "kPa",                   1e3,            0, pressure_dim, si},
    {"other",       "MPa",                   1e6,            0, pressure_dim, si},
    {"other",       "GPa",                   1e9,            0, pressure_dim, si},
    {"other",       "J",                     1,              0, energy_dim, si},
    {"other",       "W",                     1,              0, power_dim, si},
    {"other",       "µW uW",                 1e-6,           0, power_dim, si},
    {"other",       "mW",                    1e-3,           0, power_dim, si},
    {"other",       "kW",                    1e3,            0, power_dim, si},
    {"other",       "MW",                    1e6,            0, power_dim, si},
    {"other",       "A",                     1,              0, current_dim, si},
    {"other",       "mA",                    1e-3,           0, current_dim, si},
    {"other",       "µA uA",                 1e-6,           0, current_dim, si},
    {"other",       "nA",                    1e-9,           0, current_dim, si},
    {"other",       "V",                     1,              0, voltage_dim, si},
    {"other",       "mV",                    1e-3,           0, voltage_dim, si},
    {"other",       "µV uV",                 1e-6,           0, voltage_dim, si},
    {"other",       "nV",                    1e-9,           0, voltage_dim, si},
    {"other",       "kV",                    1e3,            0, voltage_dim, si},
    {"other",       "Ω ohm",                 1,              0, resistance_dim, si},
    {"other",       "mΩ mohm",               1e-3,           0, resistance_dim, si},
    {"other",       "µΩ uohm",               1e-6,           0, resistance_dim, si},
    {"other",       "kΩ kohm",               1e3,            0, resistance_dim, si},
    {"other",       "MΩ Mohm",               1e6,            0, resistance_dim, si},
    {"other",       "GΩ Gohm",               1e9,            0, resistance_dim, si},
};

// clang-format on

/// Words that a shop says and that cannot be taken, with the reason and what to write.
struct Refusal {
    std::string_view words, reason, hint;
};

// clang-format off
constexpr Refusal refusals[] = {
    {"tenth tenths", "a tenth is 0.0001 in in one shop and 0.1 mm in another",
     "write \"0.0001 in\" or \"0.1 mm\""},
    {"mil mils", "a mil is 0.001 in to some and a millimetre to others",
     "write \"0.001 in\" (or \"1 thou\") or \"1 mm\""},
    {"\" ''", "the mark stands for inches and for seconds of arc", "write \"in\" or \"arcsec\""},
    {"' ′ ″", "the mark stands for feet, minutes or seconds of arc",
     "write \"ft\", \"in\", \"arcmin\" or \"arcsec\""},
    {"C", "C is the coulomb", "write \"°C\" or \"degC\" for a temperature, \"K\" for a difference"},
    {"F", "F is the farad", "write \"°F\" or \"degF\" for a temperature, \"Δ°F\" for a difference"},
};

// clang-format on

bool has_word(std::string_view words, std::string_view word) {
    for (std::size_t start = 0; start < words.size();) {
        const auto end = std::min(words.find(' ', start), words.size());
        if (words.substr(start, end - start) == word)
            return true;
        start = end + 1;
    }
    return false;
}

std::string_view trimmed(std::string_view text) {
    while (!text.empty() && text.front() == ' ')
        text.remove_prefix(1);
    while (!text.empty() && text.back() == ' ')
        text.remove_suffix(1);
    return text;
}

bool starts_number(std::string_view text) {
    if (!text.empty() && (text[0] == '+' || text[0] == '-'))
        text.remove_prefix(1);
    if (!text.empty() && text[0] == '.')
        text.remove_prefix(1);
    return !text.empty() && text[0] >= '0' && text[0] <= '9';
}

/// Takes a number from the front of the text, if one stands there and is finite.
std::optional<double> take_number(std::string_view& text) {
    auto digits = text;
    if (!starts_number(digits))
        return std::nullopt;
    if (digits[0] == '+')
        digits.remove_prefix(1);
    double value = 0;
    const auto [end, error] = std::from_chars(digits.data(), digits.data() + digits.size(), value);
    if (error != std::errc{} || !std::isfinite(value))
        return std::nullopt;
    digits.remove_prefix(static_cast<std::size_t>(end - digits.data()));
    text = digits;
    return value;
}

const UnitRow* find_row(std::string_view name) {
    // Both code points of the micro sign and of the ohm are the same unit.
    std::string plain(name);
    for (const auto& [from, to] : {std::pair{"\u03bc", "\u00b5"}, std::pair{"\u2126", "\u03a9"}})
        for (auto at = plain.find(from); at != std::string::npos; at = plain.find(from))
            plain.replace(at, std::string_view(from).size(), to);
    for (const auto& row : table)
        if (has_word(row.spellings, plain))
            return &row;
    return nullptr;
}

std::string lower(std::string_view text) {
    std::string result(text);
    for (auto& c : result)
        c = static_cast<char>(c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c);
    return result;
}

/// A spelling that differs from the name only in the case of its letters; empty if none.
std::string_view other_case(std::string_view name) {
    for (const auto& row : table)
        for (std::size_t start = 0; start < row.spellings.size();) {
            const auto end = std::min(row.spellings.find(' ', start), row.spellings.size());
            const auto word = row.spellings.substr(start, end - start);
            if (lower(word) == lower(name))
                return word;
            start = end + 1;
        }
    return {};
}

const UnitRow& row_of(std::string_view name, std::string_view whole) {
    for (const auto& refusal : refusals)
        if (has_word(refusal.words, name))
            throw InputError("unit-refused",
                             fmt::format("unit \"{}\": {}", name, refusal.reason),
                             std::string(refusal.hint));
    if (const auto* row = find_row(name))
        return *row;
    const auto near = other_case(name);
    throw InputError("unit-unknown",
                     name == whole ? fmt::format("unknown unit \"{}\"", name)
                                   : fmt::format("unknown unit \"{}\" in \"{}\"", name, whole),
                     near.empty() ? "`holdable units` lists what may be written"
                                  : fmt::format("did you mean \"{}\"?", near));
}

[[noreturn]] void bad_unit(std::string_view whole, std::string_view why) {
    throw InputError("unit-syntax",
                     fmt::format("cannot read the unit \"{}\": {}", whole, why),
                     "write units as in \"mm\", \"in/ft\", \"µm/m/K\", \"mm/300mm\", \"kg/m^3\"");
}

bool ends_name(std::string_view text) {
    return text.empty() || text[0] == '/' || text[0] == '*' || text[0] == '^' || text[0] == ' ' ||
           text.starts_with("·");
}

/// Takes `^3`, `^-1` or a bare digit behind a name ("m3"), else 1.
int take_exponent(std::string_view& text, std::string_view whole) {
    const bool caret = text.starts_with("^");
    if (caret)
        text.remove_prefix(1);
    int exponent = 1;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), exponent);
    if (error == std::errc{})
        text.remove_prefix(static_cast<std::size_t>(end - text.data()));
    else if (caret)
        bad_unit(whole, "a whole exponent must follow \"^\"");
    if (exponent == 0 || exponent > 9 || exponent < -9)
        bad_unit(whole, "exponents go from -9 to 9, without 0");
    return exponent;
}

/// Multiplies `unit` by one factor of a compound unit, read from the front of the text.
void take_factor(Unit& unit, std::string_view& text, int sign, std::string_view whole) {
    double number = 1;
    const bool numbered = starts_number(text) && text != "1" && !text.starts_with("1/");
    if (numbered) {
        const auto value = take_number(text);
        if (!value || *value <= 0)
            bad_unit(whole, "the number in it must be positive");
        number = *value;
        text = trimmed(text);
    }
    auto rest = text;
    if (rest.starts_with("1"))
        rest.remove_prefix(1);
    else
        while (!ends_name(rest) && !(rest[0] >= '0' && rest[0] <= '9'))
            rest.remove_prefix(1);
    const auto name = text.substr(0, text.size() - rest.size());
    if (name.empty())
        bad_unit(whole, numbered ? "a number in it needs its unit" : "a unit is missing");
    const auto& row = row_of(name, whole);
    text = rest;
    const int exponent = sign * take_exponent(text, whole);
    unit.factor *= std::pow(number, sign) * std::pow(row.factor, exponent);
    for (std::size_t i = 0; i < unit.dimension.size(); ++i)
        unit.dimension[i] += exponent * row.dimension[i];
}

bool matches(Measure measure, const Unit& unit) {
    const auto& d = unit.dimension;
    switch (measure) {
    case Measure::length:
        return d == length_dim;
    case Measure::angle:
    case Measure::number:
        return d == none;
    case Measure::temperature:
        return unit.temperature;
    case Measure::temperature_difference:
        return d == temperature_dim && !unit.temperature;
    case Measure::expansion:
        return d == Dimension{0, 0, 0, -1, 0};
    case Measure::time:
        return d == time_dim;
    case Measure::mass:
        return d == mass_dim;
    case Measure::force:
        return d == force_dim;
    case Measure::stiffness:
        return d == Dimension{0, 1, -2, 0, 0};
    case Measure::speed:
        return d == Dimension{1, 0, -1, 0, 0};
    case Measure::rotation_rate:
        return d == frequency_dim;
    }
    return false;
}

std::string wrong_unit_hint(Measure measure, const Unit& unit) {
    if (measure == Measure::angle && unit.dimension == length_dim)
        return "a slope needs its length: write \"0.0005 in/ft\" or \"0.02 mm/300mm\"";
    if (measure == Measure::temperature_difference && unit.temperature)
        return "°C and °F alone are temperatures: write a difference as \"2 K\" or \"3.6 Δ°F\"";
    if (measure == Measure::temperature && unit.dimension == temperature_dim)
        return "K and Δ°F are differences: write a temperature as \"20 °C\" or \"68 °F\"";
    return {};
}

} // namespace

const std::vector<UnitRow>& unit_table() {
    return table;
}

std::string describe(Measure measure) {
    switch (measure) {
    case Measure::length:
        return "length, as in \"0.25 mm\" or \"0.0100 in\"";
    case Measure::angle:
        return "angle or slope, as in \"20 arcsec\" or \"0.0005 in/ft\"";
    case Measure::number:
        return "number, as in \"5 %\" or \"12 ppm\"";
    case Measure::temperature:
        return "temperature, as in \"20 °C\" or \"68 °F\"";
    case Measure::temperature_difference:
        return "difference of temperatures, as in \"2 K\" or \"3.6 Δ°F\"";
    case Measure::expansion:
        return "expansion coefficient, as in \"11.5 µm/m/K\"";
    case Measure::time:
        return "time, as in \"20 min\" or \"8 h\"";
    case Measure::mass:
        return "mass, as in \"12 kg\" or \"25 lb\"";
    case Measure::force:
        return "force, as in \"50 N\" or \"10 lbf\"";
    case Measure::stiffness:
        return "stiffness, as in \"20 N/µm\"";
    case Measure::speed:
        return "speed, as in \"500 mm/min\"";
    case Measure::rotation_rate:
        return "rotation rate, as in \"3000 rev/min\"";
    }
    return {};
}

Unit parse_unit(std::string_view text) {
    const auto whole = trimmed(text);
    if (whole.empty())
        bad_unit(whole, "it is empty");
    Unit unit;
    unit.spelling = whole;
    for (const auto& refusal : refusals)
        if (has_word(refusal.words, whole))
            row_of(whole, whole); // throws: the marks among them are no names
    if (const auto* row = find_row(whole)) {
        unit.factor = row->factor;
        unit.offset = row->offset;
        unit.dimension = row->dimension;
        unit.temperature = row->offset != 0;
        return unit;
    }
    auto rest = whole;
    for (int sign = 1;;) {
        take_factor(unit, rest, sign, whole);
        rest = trimmed(rest);
        if (rest.empty())
            break;
        sign = rest[0] == '/' ? -1 : 1;
        if (rest[0] == '/' || rest[0] == '*')
            rest.remove_prefix(1);
        else if (rest.starts_with("·"))
            rest.remove_prefix(std::string_view("·").size());
        else
            bad_unit(whole, "between two units stands \"/\", \"*\" or \"·\"");
        rest = trimmed(rest);
    }
    if (!std::isfinite(unit.factor) || unit.factor <= 0)
        bad_unit(whole, "its size is out of range");
    return unit;
}

SplitQuantity split_quantity(std::string_view text) {
    auto rest = trimmed(text);
    std::string ascii_minus;
    if (rest.starts_with("\u2212")) {
        ascii_minus = "-" + std::string(rest.substr(std::string_view("\u2212").size()));
        rest = ascii_minus;
    }
    const auto number = take_number(rest);
    if (!number)
        throw InputError("quantity-syntax",
                         fmt::format("cannot read \"{}\" as a number with a unit", text),
                         "write it as in \"0.0002 in\", \"12 µm\", \"68 °F\"");
    if (rest.starts_with(","))
        throw InputError("quantity-syntax",
                         fmt::format("a comma in \"{}\"", text),
                         "the decimal sign is the point, and thousands are not grouped");
    rest = trimmed(rest);
    if (rest.empty())
        throw InputError("unit-missing",
                         fmt::format("\"{}\" has no unit", text),
                         "add one, as in \"0.0002 in\", \"12 µm\", \"68 °F\"");
    return {*number, std::string(rest)};
}

Quantity parse_quantity(std::string_view text) {
    const auto split = split_quantity(text);
    Quantity quantity;
    quantity.unit = parse_unit(split.unit);
    quantity.value = split.number * quantity.unit.factor + quantity.unit.offset;
    if (!std::isfinite(quantity.value))
        throw InputError("quantity-syntax", fmt::format("\"{}\" is out of range", text));
    if (quantity.unit.temperature && quantity.value < 0)
        throw InputError("quantity-syntax", fmt::format("\"{}\" is below absolute zero", text));
    return quantity;
}

double parse_as(Measure measure, std::string_view text) {
    const auto quantity = parse_quantity(text);
    if (!matches(measure, quantity.unit)) {
        const auto wanted = describe(measure);
        const bool vowel = std::string_view("aeiou").find(wanted.front()) != std::string_view::npos;
        throw InputError("unit-wrong",
                         fmt::format("\"{}\" is not {} {}", text, vowel ? "an" : "a", wanted),
                         wrong_unit_hint(measure, quantity.unit));
    }
    return quantity.value;
}

double in_unit(double si_value, const Unit& unit) {
    return (si_value - unit.offset) / unit.factor;
}

} // namespace holdable
