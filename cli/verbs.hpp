// SPDX-License-Identifier: MIT
/// The verbs of the program: each adds itself to the app and leaves its exit status.
#pragma once

#include <CLI/CLI.hpp>

namespace holdable::cli {

/// `holdable answer`: can we hold these callouts?
void setup_answer(CLI::App& app, int& status);

/// `holdable budget`: any uncertainty budget.
void setup_budget(CLI::App& app, int& status);

/// `holdable gauging`: is this measuring set-up good enough?
void setup_gauging(CLI::App& app, int& status);

/// `holdable improve`: what to fix or measure next, and what it buys.
void setup_improve(CLI::App& app, int& status);

/// `holdable machine`: what the readings say about the machine.
void setup_machine(CLI::App& app, int& status);

/// `holdable new`: a file to begin with.
void setup_new(CLI::App& app, int& status);

/// `holdable plot`: a picture as SVG.
void setup_plot(CLI::App& app, int& status);

/// `holdable proofread`: are the files right? Nothing is computed.
void setup_proofread(CLI::App& app, int& status);

/// `holdable statement`: the page for the quote.
void setup_statement(CLI::App& app, int& status);

/// `holdable units`: what may be written, and conversions.
void setup_units(CLI::App& app, int& status);

/// `holdable where`: where on the table does it hold best?
void setup_where(CLI::App& app, int& status);

} // namespace holdable::cli
