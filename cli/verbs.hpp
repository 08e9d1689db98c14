// SPDX-License-Identifier: MIT
/// The verbs of the program: each adds itself to the app and leaves its exit status.
#pragma once

#include <CLI/CLI.hpp>

namespace holdable::cli {

/// `holdable units`: what may be written, and conversions.
void setup_units(CLI::App& app, int& status);

} // namespace holdable::cli
