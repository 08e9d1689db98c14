// SPDX-License-Identifier: MIT
/// The whole command line.
#pragma once

#include <CLI/CLI.hpp>

namespace holdable::cli {

/// Adds all verbs and what can be asked of the program itself. @param status of the verb that ran;
/// both must live as long as the line is parsed
void set_up(CLI::App& app, int& status);

} // namespace holdable::cli
