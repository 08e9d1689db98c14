// SPDX-License-Identifier: MIT
/// What must hold of any bytes given to `--ask`: they are refused with diagnostics, each with an id
/// and a column in the line, or they are read, and then what was read is written and read again
/// unchanged, in a shop of either unit.
#pragma once

#include "holdable/base/error.hpp"
#include "holdable/files/ask.hpp"

#include <algorithm>
#include <string>
#include <string_view>

namespace holdable::fuzz {

/// What does not hold; empty if all does.
inline std::string fault_of_ask(std::string_view line, bool inch_shop) {
    AskedQuestion first;
    try {
        first = read_ask(line, inch_shop);
    } catch (const InputError& error) {
        const auto columns = static_cast<int>(line.size()) + 1;
        const bool placed = std::all_of(
            error.diagnostics().begin(), error.diagnostics().end(), [&](const Diagnostic& d) {
                return !d.id.empty() && d.location.file == ask_file && d.location.line == 1 &&
                       d.location.column >= 1 && d.location.column <= columns;
            });
        return placed ? "" : "a diagnostic without a place: " + std::string(error.what());
    }
    const auto written = write_ask(first);
    for (const bool inch : {true, false})
        try {
            if (read_ask(written, inch) != first)
                return "read differently: " + written;
        } catch (const InputError& error) {
            return "written, then refused: " + written + "\n" + error.what();
        }
    return write_ask(read_ask(written, inch_shop)) == written ? "" : "not settled: " + written;
}

} // namespace holdable::fuzz
