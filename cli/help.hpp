// SPDX-License-Identifier: MIT
/// What is said of each verb, once: `--help`, the manual page and the completion are made from it.
///
/// The table of help.cpp holds the words about a verb, CLI11 holds its options; the three texts
/// walk over both. A new verb is one entry there, and `add_verb` in its set-up.
#pragma once

#include <CLI/CLI.hpp>

#include <string>
#include <string_view>
#include <vector>

namespace holdable::cli {

/// What can stand at one place of the command line.
struct Offer {
    std::string_view at;                 ///< a positional or an option: "KIND", "--picture"
    std::vector<std::string_view> words; ///< all that may stand there
};

/// The words about one verb.
struct VerbHelp {
    std::string_view name;
    std::string_view brief;                 ///< one line, a question or a result
    std::string_view more;                  ///< what else to know, lines of at most 80 columns
    std::string_view status;                ///< what the exit statuses 0 and 1 mean; empty: 0 done
    std::vector<std::string_view> examples; ///< without "holdable"; they run where budgets/ is
    std::vector<Offer> offers = {};
};

/// All verbs, in the order of the help.
const std::vector<VerbHelp>& verb_helps();

/// The entry of a verb, which must be there.
const VerbHelp& help_of(std::string_view verb);

/// What the exit statuses mean, a line each.
const std::vector<std::string_view>& exit_statuses();

/// Adds a verb with its words; its options are the caller's.
CLI::App* add_verb(CLI::App& app, std::string_view name);

/// The manual page, for man(1), from a complete program.
std::string manual_page(const CLI::App& app);

/// The script that completes the command line in bash, from a complete program. It offers verbs,
/// options, words that may stand somewhere, and files that end in .json.
std::string bash_completion(const CLI::App& app);

/// Whether an option wants something behind it.
bool takes_value(const CLI::Option& option);

} // namespace holdable::cli
