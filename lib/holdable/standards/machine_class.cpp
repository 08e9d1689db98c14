// SPDX-License-Identifier: MIT
#include "holdable/standards/machine_class.hpp"

#include "holdable/base/error.hpp"

#include <fmt/format.h>

#include <string>

namespace holdable {
namespace {

constexpr TypicalRange um(double low, double high) {
    return {low * 1e-6, high * 1e-6};
}

constexpr TypicalRange urad(double low, double high) {
    return {low * 1e-6, high * 1e-6};
}

// clang-format off
constexpr MachineClass classes[] = {
    {"benchtop", urad(100, 400), um(15, 60),  urad(100, 300), um(20, 80), um(10, 60),
     um(3, 8),      um(10, 25),  um(40, 100), urad(100, 400), um(20, 60), um(20, 80), um(20, 60), urad(20, 60)},
    {"knee mill", urad(60, 250), um(10, 40),  urad(60, 200),  um(15, 60), um(10, 80),
     um(3, 10),     um(5, 15),   um(20, 50),  urad(50, 300),  um(15, 50), um(20, 60), um(15, 50), urad(10, 30)},
    {"entry vmc", urad(20, 60),  um(4, 12),   urad(20, 60),   um(5, 15),  um(2, 8),
     um(1, 2.5),    um(3, 6),    um(10, 20),  urad(20, 60),   um(8, 20),  um(15, 50), um(8, 25),  urad(3, 15)},
    {"good vmc", urad(8, 25),    um(2, 5),    urad(8, 25),    um(2, 5),   um(0.5, 3),
     um(0.4, 1),    um(1, 3),    um(5, 10),   urad(10, 30),   um(5, 10),  um(5, 20),  um(4, 12),  urad(5, 5)},
    {"jig borer", urad(2, 8),    um(0.5, 1.5), urad(2, 8),    um(0.5, 2), um(1, 1),
     um(0.1, 0.4),  um(0.5, 1),  um(2, 4),    urad(3, 10),    um(2, 4),   um(2, 8),   um(1, 4),   urad(1, 1)},
};
// clang-format on

} // namespace

std::span<const MachineClass> machine_classes() {
    return classes;
}

const MachineClass& machine_class(std::string_view name) {
    std::string known;
    for (const auto& c : classes) {
        if (c.name == name)
            return c;
        known += fmt::format("{}\"{}\"", known.empty() ? "" : ", ", c.name);
    }
    throw InputError("class-unknown",
                     fmt::format("unknown class of machine \"{}\"", name),
                     "the classes are " + known);
}

} // namespace holdable
