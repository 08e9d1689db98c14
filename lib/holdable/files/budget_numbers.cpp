// SPDX-License-Identifier: MIT
#include "holdable/files/budget_numbers.hpp"

#include "holdable/base/words.hpp"
#include "holdable/files/fields.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace holdable {
namespace {

using propagate::BudgetUnit;

constexpr Dimension no_dimension{};

bool is_relative(const BudgetUnit& unit) {
    return unit.known && (unit.unit.spelling == "%" || unit.unit.spelling == "ppm");
}

bool is_string(const Reader& field) {
    return field.node() != nullptr && field.node()->kind == Node::Kind::string;
}

/// The value as it stands in the file, for a message.
std::string as_written(const Reader& field) {
    return is_string(field) ? in_quotes(field.node()->text) : field.node()->text;
}

} // namespace

BudgetUnit UnknownUnits::unit(std::string_view spelling, const Reader& field) {
    try {
        return {parse_unit(spelling)};
    } catch (const InputError& error) {
        const auto& diagnostic = error.diagnostics().front();
        if (diagnostic.id != "unit-unknown")
            throw;
        BudgetUnit unit{{}, false};
        unit.unit.spelling = spelling;
        const bool new_here = std::find(seen_.begin(), seen_.end(), spelling) == seen_.end();
        if (new_here && diagnostic.hint.starts_with("did you mean"))
            notes_.push_back(remark(
                field,
                fmt::format("the unit {} is not known; {}", in_quotes(spelling), diagnostic.hint)));
        seen_.emplace_back(spelling);
        return unit;
    }
}

std::optional<BudgetUnit> unit_of_quantities(const Reader& item, UnknownUnits& units) {
    const auto* object = item.node();
    if (object == nullptr || object->kind != Node::Kind::object)
        return std::nullopt;
    // Places before spreads. The members are looked at and not asked for: that a key has its place
    // here is known only with the kind.
    for (const std::string_view key :
         {"value", "low", "high", "mean", "values", "standard", "expanded", "scale", "half_width"})
        for (const Member& member : object->members) {
            if (member.key != key)
                continue;
            const Node* node = &member.value;
            if (node->kind == Node::Kind::array && !node->elements.empty())
                node = &node->elements.front();
            if (node->kind != Node::Kind::string)
                continue;
            try {
                auto unit = units.unit(split_quantity(node->text).unit, item);
                const bool spread =
                    key == "standard" || key == "expanded" || key == "scale" || key == "half_width";
                if (spread && unit.unit.temperature)
                    continue; // refused where it is read
                if (!spread || !is_relative(unit))
                    return unit;
            } catch (const InputError&) { // reported where the number is read
            }
        }
    return std::nullopt;
}

std::optional<InputNumbers::Written> InputNumbers::written(const Reader& field) const {
    const auto* node = field.node();
    if (node == nullptr)
        return std::nullopt;
    if (node->kind == Node::Kind::number) {
        if (bare_)
            return Written{node->number, *bare_};
        if (node->number == 0 && !unit_.unit.temperature)
            return Written{0, unit_}; // the same in every unit
        field.report(
            Diagnostic{"unit-missing",
                       {},
                       fmt::format("{} has no unit", node->text),
                       "write it in quotes with its unit, or give the unit of bare numbers "
                       "once, as in \"unit\": \"mm\""});
        return std::nullopt;
    }
    if (!is_string(field)) {
        field.any_quantity(); // says what it should be
        return std::nullopt;
    }
    Written result;
    const bool read = field.attempt([&] {
        const auto split = split_quantity(node->text);
        result = {split.number, units_->unit(split.unit, field)};
        if (result.unit.known)
            parse_quantity(node->text); // for its refusals
    });
    return read ? std::optional(result) : std::nullopt;
}

bool InputNumbers::fits(const Written& number, const Reader& field, bool difference) const {
    const auto& own = unit_.unit;
    const auto& found = number.unit.unit;
    const auto refuse = [&](std::string hint) {
        field.report(Diagnostic{
            "unit-wrong",
            {},
            own.spelling.empty()
                ? fmt::format("{} has a unit, but the input is a number", as_written(field))
                : fmt::format("{} does not go with the unit {} of the input",
                              as_written(field),
                              in_quotes(own.spelling)),
            std::move(hint)});
        return false;
    };
    if (!unit_.known || !number.unit.known)
        return unit_.known == number.unit.known && own.spelling == found.spelling
                   ? true
                   : refuse(
                         fmt::format("the unit {} is not known, and only carried by its spelling: "
                                     "write it alike everywhere",
                                     in_quotes(unit_.known ? found.spelling : own.spelling)));
    if (own.dimension != found.dimension)
        return refuse({});
    // A bare spread beside °C is a difference already.
    const bool bare = field.node()->kind == Node::Kind::number;
    if (difference && found.temperature && !bare)
        return refuse("°C and °F alone are temperatures: write a difference as \"2 K\" or "
                      "\"3.6 Δ°F\"");
    if (!difference && own.temperature && !found.temperature)
        return refuse("K and Δ°F are differences: write a temperature as \"20 °C\" or \"68 °F\"");
    if (!difference && !own.temperature && found.temperature)
        return refuse("the input is a difference of temperatures: write \"2 K\" or \"3.6 Δ°F\"");
    return true;
}

std::optional<double> InputNumbers::read(const Reader& field, bool difference) const {
    const auto number = written(field);
    if (!number || !fits(*number, field, difference))
        return std::nullopt;
    const auto& unit = number->unit.unit;
    const double value = number->number * unit.factor + (difference ? 0 : unit.offset);
    if (unit.temperature && !difference && value < 0) {
        field.report(Diagnostic{
            "value-range", {}, fmt::format("{} is below absolute zero", as_written(field)), ""});
        return std::nullopt;
    }
    return value;
}

double InputNumbers::spread(const Reader& field, std::optional<double> whole) const {
    auto number = written(field);
    if (!number)
        return 0;
    if (number->number < 0) {
        field.report(
            Diagnostic{"value-range",
                       {},
                       fmt::format("{} is out of range: a spread is 0 or more", as_written(field)),
                       ""});
        return 0;
    }
    const bool pure = unit_.known && unit_.unit.dimension == no_dimension;
    if (is_string(field) && is_relative(number->unit) && !(pure && is_relative(unit_))) {
        const double size = std::abs(whole.value_or(0));
        if (pure && size != 0 && size != 1) {
            field.report(
                Diagnostic{"percent-of-what",
                           {},
                           fmt::format("{} is a part of the value, or a number as it stands?",
                                       as_written(field)),
                           "write the spread in the unit of the value"});
            return 0;
        }
        if (!pure) {
            if (!whole || unit_.unit.temperature || size == 0) {
                field.report(Diagnostic{
                    "percent-of-what",
                    {},
                    fmt::format("{} is a part of nothing: the value is {}",
                                as_written(field),
                                unit_.unit.temperature ? "a temperature" : "0, or not given"),
                    "write the spread in the unit of the value"});
                return 0;
            }
            return size * number->number * number->unit.unit.factor;
        }
    }
    return fits(*number, field, true) ? number->number * number->unit.unit.factor : 0;
}

double InputNumbers::positive(const Reader& field) const {
    const auto value = read(field, true);
    if (value && !(*value > 0))
        field.report(
            Diagnostic{"value-range",
                       {},
                       fmt::format("{} is out of range: it must be more than 0", as_written(field)),
                       ""});
    return value && *value > 0 ? *value : 1;
}

} // namespace holdable
