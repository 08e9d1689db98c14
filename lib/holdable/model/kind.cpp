// SPDX-License-Identifier: MIT
#include "holdable/model/kind.hpp"

#include "holdable/base/error.hpp"

#include <fmt/format.h>

namespace holdable::model {
namespace {

constexpr double same_exponent = 1e-9; // exponents are small fractions, rounded a few times
constexpr std::string_view base_units[] = {"m", "kg", "s", "K", "A"};

bool same(double a, double b) {
    return std::abs(a - b) < same_exponent;
}

bool same_dimension(const Kind& a, const Kind& b) {
    for (std::size_t k = 0; k < a.exponents.size(); ++k)
        if (!same(a.exponents[k], b.exponents[k]))
            return false;
    return true;
}

bool is_opaque(const Kind& kind) {
    return kind.unchecked || !kind.opaque.empty();
}

bool is_number(const Kind& kind) {
    return !is_opaque(kind) && same_dimension(kind, Kind{});
}

Kind unchecked() {
    Kind kind;
    kind.unchecked = true;
    return kind;
}

std::string si_unit(const Kind& kind) {
    std::string above, below;
    for (std::size_t k = 0; k < kind.exponents.size(); ++k) {
        const double exponent = kind.exponents[k];
        if (same(exponent, 0))
            continue;
        auto& side = exponent > 0 ? above : below;
        if (exponent > 0 && !side.empty())
            side += "·";
        if (exponent < 0)
            side += "/";
        side += base_units[k];
        if (!same(std::abs(exponent), 1))
            side += fmt::format("^{:.4g}", std::abs(exponent));
    }
    return (above.empty() ? "1" : above) + below;
}

// An amount is needed: no temperature.
void need_amount(const Kind& kind, std::string_view where) {
    if (!same(kind.temperatures, 0))
        throw InputError("formula-dimension",
                         fmt::format("{} {}", describe(kind), where),
                         "subtract a reference first, as in (t - t20) with t20 a fixed input of "
                         "20 °C; for kelvins from absolute zero, one of -273.15 °C");
}

// The common kind of two values that are added or compared; `wrong` is the complaint, with {0} and
// {1} for the two kinds.
Kind common(const Kind& a, const Kind& b, const auto& complain) {
    if (a.unchecked || b.unchecked)
        return unchecked();
    if (a.opaque != b.opaque || !same_dimension(a, b)) {
        const bool bare = is_number(a) || is_number(b);
        const auto& other = is_number(a) ? b : a;
        std::string hint;
        if (bare && !same(other.temperatures, 0))
            hint = "give a number its unit: make it a fixed input, as in t20 = 20 °C";
        else if (bare)
            hint = "give a number its unit: make it a fixed input";
        throw InputError("formula-dimension", complain(), hint);
    }
    return a;
}

std::string cannot(std::string_view format, const Kind& a, const Kind& b) {
    return fmt::format(fmt::runtime(format), describe(a), describe(b));
}

Kind sum(const Kind& a, const Kind& b, bool plus) {
    Kind result = common(a, b, [&] {
        return plus ? cannot("{1} cannot be added to {0}", a, b)
                    : cannot("{1} cannot be subtracted from {0}", a, b);
    });
    if (!is_opaque(result))
        result.temperatures = a.temperatures + (plus ? b.temperatures : -b.temperatures);
    return result;
}

Kind compared(const Kind& a, const Kind& b) {
    const auto complain = [&] { return cannot("{0} and {1} cannot be compared", a, b); };
    Kind result = common(a, b, complain);
    if (!is_opaque(result) && !same(a.temperatures, b.temperatures))
        throw InputError("formula-dimension", complain(), "");
    return result;
}

// Product of a and b, or quotient if `sign` is -1.
Kind product(const Kind& a,
             const Kind& b,
             int sign,
             std::optional<double> a_constant,
             std::optional<double> b_constant) {
    constexpr std::string_view where = "cannot be multiplied or divided by a quantity";
    if (b_constant) {
        Kind result = a;
        result.temperatures *= sign > 0 ? *b_constant : 1 / *b_constant;
        return result;
    }
    if (a_constant && sign > 0) {
        Kind result = b;
        result.temperatures *= *a_constant;
        return result;
    }
    need_amount(a, where);
    need_amount(b, where);
    if (is_opaque(a) || is_opaque(b)) {
        if (is_number(b))
            return a;
        if (is_number(a) && sign > 0)
            return b;
        if (sign < 0 && !a.unchecked && a.opaque == b.opaque)
            return {};
        return unchecked();
    }
    Kind result;
    for (std::size_t k = 0; k < result.exponents.size(); ++k)
        result.exponents[k] = a.exponents[k] + sign * b.exponents[k];
    return result;
}

Kind to_the_power(const Kind& a, const Kind& b, std::optional<double> exponent) {
    need_amount(a, "cannot be raised to a power");
    need_amount(b, "cannot be an exponent");
    if (!is_opaque(b) && !is_number(b))
        throw InputError("formula-dimension",
                         fmt::format("an exponent is a number, not {}", describe(b)),
                         "divide it by a quantity of its kind");
    if (is_opaque(a) || is_opaque(b))
        return exponent && same(*exponent, 1) ? a : unchecked();
    if (is_number(a))
        return {};
    if (!exponent)
        throw InputError("formula-dimension",
                         fmt::format("the exponent over {} must be a constant", describe(a)),
                         "write the exponent as a number in the formula");
    Kind result;
    for (std::size_t k = 0; k < result.exponents.size(); ++k)
        result.exponents[k] = *exponent * a.exponents[k];
    return result;
}

Kind number_from_number(const Kind& a) {
    need_amount(a, "cannot be the argument of this function");
    if (is_opaque(a))
        return unchecked();
    if (!is_number(a))
        throw InputError("formula-dimension",
                         fmt::format("the argument is a number or an angle, not {}", describe(a)),
                         "divide it by a quantity of its kind");
    return {};
}

} // namespace

Kind kind_of(const Unit& unit) {
    Kind kind;
    for (std::size_t k = 0; k < kind.exponents.size(); ++k)
        kind.exponents[k] = unit.dimension[k];
    kind.temperatures = unit.temperature ? 1 : 0;
    return kind;
}

Kind opaque_kind(std::string spelling) {
    Kind kind;
    kind.opaque = std::move(spelling);
    return kind;
}

std::string describe(const Kind& kind) {
    if (kind.unchecked)
        return "an unchecked quantity";
    if (!kind.opaque.empty())
        return fmt::format("a quantity in \"{}\"", kind.opaque);
    if (is_number(kind))
        return "a number";
    if (same(kind.temperatures, 1))
        return "a temperature";
    if (!same(kind.temperatures, 0))
        return "a sum of temperatures";
    const auto unit = si_unit(kind);
    // clang-format off
    static constexpr std::string_view names[][2] = {
        {"m", "a length"}, {"m^2", "an area"}, {"m^3", "a volume"}, {"kg", "a mass"},
        {"s", "a time"}, {"K", "a difference of temperatures"}, {"A", "a current"},
        {"m/s", "a speed"}, {"1/s", "a rate"}};
    // clang-format on
    for (const auto& [spelling, name] : names)
        if (spelling == unit)
            return fmt::format("{} ({})", name, unit);
    return "a quantity in " + unit;
}

Kind kind_after(Operation operation,
                const Kind& a,
                const Kind& b,
                std::optional<double> a_constant,
                std::optional<double> b_constant) {
    switch (operation) {
    case Operation::constant:
        return {};
    case Operation::negate: {
        Kind result = a;
        result.temperatures = -a.temperatures;
        return result;
    }
    case Operation::add:
        return sum(a, b, true);
    case Operation::subtract:
        return sum(a, b, false);
    case Operation::multiply:
        return product(a, b, 1, a_constant, b_constant);
    case Operation::divide:
        return product(a, b, -1, a_constant, b_constant);
    case Operation::power:
        return to_the_power(a, b, b_constant);
    case Operation::sqrt:
        return to_the_power(a, {}, 0.5);
    case Operation::abs:
        need_amount(a, "has no absolute value");
        return a;
    case Operation::min:
    case Operation::max:
        return compared(a, b);
    case Operation::hypot:
        need_amount(a, "cannot be the side of a triangle");
        return compared(a, b);
    case Operation::atan2:
        need_amount(a, "cannot be the side of a triangle");
        return compared(a, b).unchecked ? unchecked() : Kind{};
    case Operation::exp:
    case Operation::log:
    case Operation::log10:
    case Operation::sin:
    case Operation::cos:
    case Operation::tan:
    case Operation::asin:
    case Operation::acos:
    case Operation::atan:
    case Operation::sinh:
    case Operation::cosh:
    case Operation::tanh:
        return number_from_number(a);
    }
    return {};
}

void check_output(const Kind& result) {
    if (!is_opaque(result) && !same(result.temperatures, 0) && !same(result.temperatures, 1))
        throw InputError("formula-dimension",
                         "the result is a sum of temperatures, neither a temperature nor a "
                         "difference",
                         "divide a sum of n temperatures by n for their mean");
}

void check_output(const Kind& result, const Unit& unit) {
    check_output(result);
    if (is_opaque(result))
        return;
    const Kind wanted = kind_of(unit);
    if (same_dimension(result, wanted) && same(result.temperatures, wanted.temperatures))
        return;
    std::string hint;
    if (same_dimension(result, wanted))
        hint = unit.temperature ? "write K, Δ°C or Δ°F for a difference" : "write °C or °F";
    throw InputError("formula-dimension",
                     fmt::format("the result is {}, but the unit \"{}\" is for {}",
                                 describe(result),
                                 unit.spelling,
                                 describe(wanted)),
                     hint);
}

} // namespace holdable::model
