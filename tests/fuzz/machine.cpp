// SPDX-License-Identifier: MIT
// A fuzz target: any bytes as a machine file. tests/fuzz/run builds and runs it.
#include "fuzz/machine.hpp"

#include "fuzz/target.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    return holdable::fuzz::run(data, size, holdable::fuzz::fault_of_machine);
}
