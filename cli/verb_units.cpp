// SPDX-License-Identifier: MIT
#include "help.hpp"
#include "holdable/base/error.hpp"
#include "holdable/base/quantity.hpp"
#include "verbs.hpp"

#include <fmt/format.h>

#include <memory>
#include <string>

namespace holdable::cli {
namespace {

struct UnitsOptions {
    std::string quantity;
    std::string unit;
};

void list_units() {
    fmt::print("Units that may be written. Joined with / * · and ^: in/ft, mm/300mm, µm/m/K,\n"
               "kg/m^3. An angle and a slope are the same measure. °C and °F alone are\n"
               "temperatures; K, Δ°C and Δ°F are differences.\n");
    std::string_view heading;
    for (const auto& row : unit_table()) {
        if (row.measure != heading)
            fmt::print("\n{}\n", heading = row.measure);
        fmt::print(
            "    {:<24}{:<22}{}\n", row.spellings, fmt::format("{:.10g}", row.factor), row.source);
    }
    fmt::print("\nThe second column is the size in SI units (m, rad, K, s, kg, A and their\n"
               "products). Not taken, since each means two things: tenth, mil, \", ', C, F.\n");
}

void convert(const UnitsOptions& options) {
    const auto quantity = parse_quantity(options.quantity);
    const auto unit = parse_unit(options.unit);
    if (unit.dimension != quantity.unit.dimension || unit.temperature != quantity.unit.temperature)
        throw InputError(
            "unit-wrong",
            fmt::format("\"{}\" cannot be expressed in \"{}\"", options.quantity, options.unit));
    fmt::print("{} = {:.7g} {}\n", options.quantity, in_unit(quantity.value, unit), unit.spelling);
}

} // namespace

void setup_units(CLI::App& app, int&) {
    auto options = std::make_shared<UnitsOptions>();
    auto* verb = add_verb(app, "units");
    auto* quantity = verb->add_option("QUANTITY", options->quantity, "a number with its unit");
    auto* unit = verb->add_option("UNIT", options->unit, "the unit wanted");
    unit->needs(quantity);
    verb->callback([options] {
        if (options->quantity.empty())
            list_units();
        else if (options->unit.empty())
            throw CLI::RequiredError("UNIT");
        else
            convert(*options);
    });
}

} // namespace holdable::cli
