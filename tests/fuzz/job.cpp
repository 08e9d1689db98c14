// SPDX-License-Identifier: MIT
// A fuzz target: any bytes as a job file. tests/fuzz/run builds and runs it.
#include "fuzz/job.hpp"

#include "fuzz/target.hpp"
#include "holdable/files/text.hpp"

#include <string_view>

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    using namespace holdable;
    static const auto state = [] {
        const std::string path = HOLDABLE_ROOT "/budgets/demo/machine.json";
        return solve(read_machine(parse_document(read_text(path), path), path, fuzz::day),
                     fuzz::day);
    }();
    return fuzz::run(
        data, size, [](std::string_view text) { return fuzz::fault_of_job(text, state); });
}
