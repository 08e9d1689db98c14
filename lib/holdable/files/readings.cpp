// SPDX-License-Identifier: MIT
#include "holdable/files/readings.hpp"

#include "holdable/base/words.hpp"
#include "holdable/files/fields.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <string_view>

namespace holdable {
namespace {

// Beyond these nothing is a reading of an indicator or of a level.
constexpr double largest_length = 0.1; // (m)
constexpr double largest_slope = 0.1;  // (rad)

bool of_kind(const Reader& field, Node::Kind kind) {
    return field.node() != nullptr && field.node()->kind == kind;
}

/// The number that the whole text is, if it is one.
std::optional<double> plain_number(std::string_view text) {
    std::string ascii;
    constexpr std::string_view minus = "\u2212";
    if (text.starts_with(minus)) {
        ascii = "-" + std::string(text.substr(minus.size()));
        text = ascii;
    } else if (text.starts_with("+")) {
        text.remove_prefix(1);
        if (text.starts_with("-"))
            return std::nullopt;
    }
    double value = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error != std::errc{} || end != text.data() + text.size() || !std::isfinite(value))
        return std::nullopt;
    return value;
}

double limited(const Reader& field, double value, std::string_view text, Measure measure) {
    const bool length = measure == Measure::length;
    if (!length && measure != Measure::angle)
        return value; // a time: its field knows the limits
    if (std::abs(value) <= (length ? largest_length : largest_slope))
        return value;
    field.report(Diagnostic{"value-range",
                            {},
                            fmt::format("{} is no reading of {}: it may be {} either way",
                                        in_quotes(text),
                                        length ? "an indicator" : "a level",
                                        length ? "100 mm" : "100 mm/m"),
                            "is the unit right?"});
    return 0;
}

void report_no_unit(const Reader& field, Measure measure) {
    if (measure == Measure::time)
        return field.report(Diagnostic{"unit-missing",
                                       {},
                                       "the times are numbers without a unit",
                                       "write \"time_unit\" beside them, as in \"min\""});
    field.report(Diagnostic{"unit-missing",
                            {},
                            "the readings are numbers without a unit",
                            "write \"unit\" beside them, as in \"0.0001 in\" or \"µm\""});
}

/// The readings in a string, blank between.
std::vector<Reading> split(const Reader& field, const ReadingUnit& unit) {
    std::vector<Reading> readings;
    const std::string_view text = field.node()->text;
    if (!unit.size)
        report_no_unit(field, unit.measure);
    int column = 0; // of the character before the token, from 1
    for (std::size_t at = 0; at < text.size();) {
        if (text[at] == ' ') {
            ++at;
            ++column;
            continue;
        }
        const auto end = std::min(text.find(' ', at), text.size());
        const auto token = text.substr(at, end - at);
        Reading reading;
        if (const auto number = plain_number(token))
            reading.value = limited(field, *number * unit.size.value_or(0), token, unit.measure);
        else
            field.report(Diagnostic{"readings-syntax",
                                    {"", 0, column + 1, ""},
                                    fmt::format("{} is not a number", in_quotes(token)),
                                    "in a string stand numbers alone, blank between, and the unit "
                                    "under \"unit\""});
        readings.push_back(reading);
        for (const char c : token)
            column += (static_cast<unsigned char>(c) & 0xC0) != 0x80;
        at = end;
    }
    return readings;
}

std::vector<Reading> read_array(const Reader& field,
                                const ReadingUnit& unit,
                                bool repeats,
                                std::vector<std::string>& notes) {
    std::vector<Reading> readings;
    ReadingUnit known = unit;
    const auto before = field.faults();
    for (const Reader& element : field.elements()) {
        if (of_kind(element, Node::Kind::number) && !known.size) {
            report_no_unit(field, unit.measure);
            readings.emplace_back();
        } else if (repeats && of_kind(element, Node::Kind::array))
            readings.push_back(read_repeats(element, known, notes));
        else
            readings.push_back({read_single_reading(element, known), 0, 1});
        if (!known.size && field.faults() != before)
            known.size = 0; // its absence is said once
    }
    return readings;
}

std::vector<Reading> read_all(const Reader& field,
                              const ReadingUnit& unit,
                              bool repeats,
                              std::vector<std::string>& notes) {
    if (of_kind(field, Node::Kind::string))
        return split(field, unit);
    return read_array(field, unit, repeats, notes);
}

} // namespace

ReadingUnit
read_unit(const std::optional<Reader>& field, Measure measure, std::optional<double> division) {
    ReadingUnit unit{measure, std::nullopt};
    if (!field)
        return unit;
    unit.size = 0; // while it is wrong: its numbers are not the mistake
    const auto text = field->string();
    if (!of_kind(*field, Node::Kind::string))
        return unit;
    if (division && (text == "division" || text == "divisions")) {
        unit.size = division;
        return unit;
    }
    if (text.find_first_of("0123456789") == text.find_first_not_of(" +-."))
        unit.size = field->quantity(measure, Range::positive());
    else
        field->attempt([&] { unit.size = parse_as(measure, "1 " + text); });
    return unit;
}

double read_single_reading(const Reader& field, const ReadingUnit& unit) {
    if (of_kind(field, Node::Kind::number) || (of_kind(field, Node::Kind::string) && unit.size &&
                                          plain_number(field.node()->text).has_value())) {
        if (!unit.size) {
            report_no_unit(field, unit.measure);
            return 0;
        }
        const auto& text = field.node()->text;
        return limited(field, *plain_number(text) * *unit.size, text, unit.measure);
    }
    const double value = field.quantity(unit.measure);
    return value == 0 ? 0 : limited(field, value, field.node()->text, unit.measure);
}

std::vector<Reading>
read_readings(const Reader& field, const ReadingUnit& unit, std::vector<std::string>& notes) {
    return read_all(field, unit, true, notes);
}

std::vector<double> read_single_readings(const Reader& field, const ReadingUnit& unit) {
    std::vector<std::string> notes;
    std::vector<double> values;
    for (const Reading& reading : read_all(field, unit, false, notes))
        values.push_back(reading.value);
    return values;
}

Reading
read_repeats(const Reader& field, const ReadingUnit& unit, std::vector<std::string>& notes) {
    const auto before = field.faults();
    std::vector<std::string> none;
    const auto readings = read_all(field, unit, false, none);
    if (field.faults() != before || field.node() == nullptr)
        return {};
    if (readings.size() < 2) {
        field.report(Diagnostic{
            "repeats-few",
            {},
            fmt::format("a spread needs two readings or more, found {}", readings.size()),
            "repeat it three times or more, or write it as a single reading"});
        return {};
    }
    Reading result{readings[0].value, 0, static_cast<int>(readings.size())};
    if (std::all_of(readings.begin(), readings.end(), [&](const Reading& r) {
            return r.value == readings[0].value;
        })) {
        notes.push_back(remark(field,
                               "all repeats are the same: their spread hides behind the last "
                               "digit, and is not taken as zero"));
        return result;
    }
    result.value = 0;
    for (const Reading& reading : readings)
        result.value += reading.value / result.repeats;
    for (const Reading& reading : readings)
        result.spread += std::pow(reading.value - result.value, 2) / (result.repeats - 1);
    result.spread = std::sqrt(result.spread);
    if (result.repeats < 3)
        notes.push_back(remark(field, "two repeats tell little of a spread: take three or more"));
    return result;
}

} // namespace holdable
