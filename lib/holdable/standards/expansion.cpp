// SPDX-License-Identifier: MIT
#include "holdable/standards/expansion.hpp"

#include "holdable/base/error.hpp"

#include <fmt/format.h>

#include <string>

namespace holdable {
namespace {

// clang-format off
constexpr Expansion materials[] = {
    {"gauge-block steel",    11.5e-6,  1.0e-6},
    {"steel",                11.7e-6,  1.0e-6},
    {"ball-screw steel",     11.5e-6,  1.0e-6},
    {"grey iron",            10.5e-6,  1.0e-6},
    {"ductile iron",         11.5e-6,  1.0e-6},
    {"aluminium 6061",       23.6e-6,  1.0e-6},
    {"aluminium 7075",       23.4e-6,  1.0e-6},
    {"brass",                20.5e-6,  1.0e-6},
    {"bronze",               18.0e-6,  1.0e-6},
    {"titanium 6-4",          8.6e-6,  0.5e-6},
    {"stainless 304",        17.3e-6,  0.6e-6},
    {"stainless 316",        16.0e-6,  0.6e-6},
    {"stainless 410",        10.3e-6,  0.6e-6},
    {"stainless 17-4",       10.8e-6,  0.6e-6},
    {"black granite",         6.5e-6,  1.5e-6},
    {"glass scale",           8.0e-6,  0.5e-6},
    {"zirconia",              9.5e-6,  0.7e-6},
    {"tungsten carbide",      4.7e-6,  0.7e-6},
    {"low-expansion iron",    1.2e-6,  0.5e-6},
};
// clang-format on

} // namespace

std::span<const Expansion> expansions() {
    return materials;
}

const Expansion& expansion_of(std::string_view material) {
    std::string alike;
    std::string all;
    const auto first_word = material.substr(0, material.find(' '));
    for (const auto& row : materials) {
        if (row.material == material)
            return row;
        const auto item = fmt::format("\"{}\"", row.material);
        all += (all.empty() ? "" : ", ") + item;
        if (!first_word.empty() && row.material.starts_with(first_word))
            alike += (alike.empty() ? "" : ", ") + item;
    }
    if (material == "stainless")
        throw InputError("material-unknown",
                         "\"stainless\" alone may expand by 10 to 18 µm/m/K",
                         "say which: " + alike);
    throw InputError("material-unknown",
                     fmt::format("unknown material \"{}\"", material),
                     (alike.empty() ? "known are " + all : "did you mean " + alike + "?"));
}

} // namespace holdable
