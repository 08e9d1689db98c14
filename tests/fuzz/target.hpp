// SPDX-License-Identifier: MIT
/// The frame of a fuzz target: what does not hold is said and ends the program.
#pragma once

#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <string>
#include <string_view>

namespace holdable::fuzz {

/// @param fault_of what does not hold of a text, empty if all does
template <class Fault>
int run(const std::uint8_t* data, std::size_t size, const Fault& fault_of) {
    const std::string fault = fault_of(std::string_view(reinterpret_cast<const char*>(data), size));
    if (!fault.empty()) {
        std::fputs((fault + "\n").c_str(), stderr);
        std::abort();
    }
    return 0;
}

} // namespace holdable::fuzz
