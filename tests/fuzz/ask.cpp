// SPDX-License-Identifier: MIT
// A fuzz target: any bytes as the line of `--ask`. Build it with the preset `fuzz`, run
// build/fuzz/tests/fuzz/fuzz_ask tests/fuzz/ask. The corpus is replayed by tests/files/ask.cpp.
#include "fuzz/ask.hpp"

#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <cstdlib>

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string_view line(reinterpret_cast<const char*>(data), size);
    for (const bool inch : {true, false}) {
        const auto fault = holdable::fuzz::fault_of_ask(line, inch);
        if (!fault.empty()) {
            std::fputs((fault + "\n").c_str(), stderr);
            std::abort();
        }
    }
    return 0;
}
