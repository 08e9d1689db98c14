// SPDX-License-Identifier: MIT
#include "holdable/standards/general_tolerances.hpp"

#include "holdable/base/error.hpp"
#include "holdable/base/words.hpp"

#include <fmt/format.h>

#include <cstddef>
#include <limits>
#include <numbers>
#include <span>
#include <string>

namespace holdable {
namespace {

constexpr std::string_view dimension_classes = "fmcv";
constexpr std::string_view geometry_classes = "HKL";
constexpr double open = std::numeric_limits<double>::infinity();

/// Values (mm, or minutes of arc) of the classes in order, up to and including a size (mm); 0 =
/// none.
template <std::size_t classes>
struct Row {
    double up_to;
    double value[classes];
};

// clang-format off
constexpr Row<4> lengths[] = { // f, m, c, v
    {3, {0.05, 0.1, 0.2, 0}},       {6, {0.05, 0.1, 0.3, 0.5}},   {30, {0.1, 0.2, 0.5, 1}},
    {120, {0.15, 0.3, 0.8, 1.5}},   {400, {0.2, 0.5, 1.2, 2.5}},  {1000, {0.3, 0.8, 2, 4}},
    {2000, {0.5, 1.2, 3, 6}},       {4000, {0, 2, 4, 8}},
};
constexpr Row<4> edges[] = {
    {3, {0.2, 0.2, 0.4, 0.4}}, {6, {0.5, 0.5, 1, 1}}, {open, {1, 1, 2, 2}},
};
constexpr Row<4> angles[] = { // minutes of arc
    {10, {60, 60, 90, 180}}, {50, {30, 30, 60, 120}}, {120, {20, 20, 30, 60}},
    {400, {10, 10, 15, 30}}, {open, {5, 5, 10, 20}},
};
constexpr Row<3> flatness[] = { // H, K, L
    {10, {0.02, 0.05, 0.1}}, {30, {0.05, 0.1, 0.2}},  {100, {0.1, 0.2, 0.4}},
    {300, {0.2, 0.4, 0.8}},  {1000, {0.3, 0.6, 1.2}}, {3000, {0.4, 0.8, 1.6}},
};
constexpr Row<3> perpendicularity[] = {
    {100, {0.2, 0.4, 0.6}}, {300, {0.3, 0.6, 1}}, {1000, {0.4, 0.8, 1.5}}, {3000, {0.5, 1, 2}},
};
constexpr Row<3> symmetry[] = {
    {100, {0.5, 0.6, 0.6}}, {300, {0.5, 0.6, 1}}, {1000, {0.5, 0.8, 1.5}}, {3000, {0.5, 1, 2}},
};
constexpr double run_out[] = {0.1, 0.2, 0.5};

// clang-format on

std::size_t index_of(char name, std::string_view classes, std::string_view of) {
    const std::size_t at = classes.find(name);
    if (at != std::string_view::npos)
        return at;
    std::string known;
    for (const char c : classes)
        known += fmt::format("{}\"{}\"", known.empty() ? "" : ", ", c);
    throw InputError("general-tolerance",
                     fmt::format("no class {} of general tolerances for {}",
                                 in_quotes(std::string_view(&name, 1)),
                                 of),
                     "the classes are " + known);
}

[[noreturn]] void outside(std::string_view of, double size, char name, const std::string& why) {
    throw InputError(
        "general-tolerance",
        fmt::format("no general tolerance of class {} for {} of {:.7g} mm", name, of, size * 1e3),
        why + ": state a tolerance beside the dimension");
}

/// The value of a class at a size (m), `from` being where the table begins (mm).
template <std::size_t classes>
double look_up(std::span<const Row<classes>> table,
               double size,
               double from,
               char name,
               std::string_view names,
               std::string_view of) {
    const std::size_t column = index_of(name, names, of);
    if (!(size > 0) || size * 1e3 < from * (1 - 1e-9))
        outside(of,
                size,
                name,
                from > 0 ? fmt::format("ISO 2768 begins at {} mm", from)
                         : std::string("ISO 2768 begins above 0"));
    for (const auto& row : table)
        if (size * 1e3 <= row.up_to * (1 + 1e-9)) {
            if (row.value[column] > 0)
                return row.value[column];
            outside(of, size, name, fmt::format("class {} of ISO 2768 has no value here", name));
        }
    outside(of, size, name, fmt::format("ISO 2768 ends at {} mm", table.back().up_to));
}

} // namespace

GeneralClass general_class(std::string_view text) {
    if (text.empty() || text.size() > 2 ||
        dimension_classes.find(text[0]) == std::string_view::npos ||
        (text.size() == 2 && geometry_classes.find(text[1]) == std::string_view::npos))
        throw InputError("general-tolerance",
                         "unknown class of general tolerances " + in_quotes(text),
                         "write f, m, c or v (ISO 2768-1), and H, K or L behind it where form and "
                         "place have one too (ISO 2768-2), such as \"m\" or \"mK\"");
    GeneralClass result{text[0], {}};
    if (text.size() == 2)
        result.geometry = text[1];
    return result;
}

double general_length(double size, char dimension) {
    return 1e-3 * look_up<4>(lengths, size, 0.5, dimension, dimension_classes, "a length");
}

double general_edge(double size, char dimension) {
    return 1e-3 * look_up<4>(edges, size, 0.5, dimension, dimension_classes, "a radius or chamfer");
}

double general_angle(double leg, char dimension) {
    constexpr double minute = std::numbers::pi / 180 / 60;
    return minute *
           look_up<4>(angles, leg, 0, dimension, dimension_classes, "an angle with a shorter leg");
}

double general_flatness(double length, char geometry) {
    return 1e-3 *
           look_up<3>(flatness, length, 0, geometry, geometry_classes, "straightness or flatness");
}

double general_perpendicularity(double length, char geometry) {
    return 1e-3 *
           look_up<3>(perpendicularity, length, 0, geometry, geometry_classes, "perpendicularity");
}

double general_symmetry(double length, char geometry) {
    return 1e-3 * look_up<3>(symmetry, length, 0, geometry, geometry_classes, "symmetry");
}

double general_run_out(char geometry) {
    return 1e-3 * run_out[index_of(geometry, geometry_classes, "run-out")];
}

} // namespace holdable
