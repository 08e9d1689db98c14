// SPDX-License-Identifier: MIT
#include "dialogue.hpp"
#include "help.hpp"
#include "holdable/base/printable.hpp"
#include "holdable/files/scaffold.hpp"
#include "holdable/files/text.hpp"
#include "inputs.hpp"
#include "terminal.hpp"
#include "verbs.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <iostream>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

namespace holdable::cli {
namespace {

struct NewVerb {
    std::string kind;
    std::string file;
    bool inch = false;
    bool metric = false;
    bool ask = false;
    std::optional<Date> on;
};

/// The name as a shell takes it literally; FILE where that cannot be shown on a line.
std::string for_shell(const std::string& file) {
    if (shown(file) != file)
        return "FILE";
    std::string word = file.starts_with('-') ? "./" : "";
    const auto plain = [](char c) {
        return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
               (c & 0x80) != 0 || std::string_view("-._/+,:@%").find(c) != std::string_view::npos;
    };
    if (std::all_of(file.begin(), file.end(), plain))
        return word + file;
    word.insert(0, "'");
    for (const char c : file)
        word += c == '\'' ? std::string("'\\''") : std::string(1, c);
    return word + "'";
}

/// What to do with the file next.
std::string next_step(ScaffoldKind kind, const std::string& written) {
    const auto file = for_shell(written);
    auto text = fmt::format("{} is written. Put in your own facts, then:\n"
                            "  holdable proofread {}\n",
                            written,
                            file);
    switch (kind) {
    case ScaffoldKind::machine:
        text += fmt::format("  holdable machine {}\n"
                            "Before any check with the door open: lock out the spindle, put a\n"
                            "vertical head on a block, and nobody reaches between table, column\n"
                            "and spindle while an axis can move.\n",
                            file);
        break;
    case ScaffoldKind::job:
        text += fmt::format("  holdable answer MACHINE {}\n", file);
        break;
    case ScaffoldKind::gauging:
        text += fmt::format("  holdable gauging {}\n", file);
        break;
    case ScaffoldKind::budget:
        text += fmt::format("  holdable budget {}\n", file);
        break;
    }
    return text;
}

int run(const NewVerb& verb) {
    const auto kind = scaffold_kind(verb.kind).value();
    std::optional<bool> inch;
    if (verb.inch || verb.metric)
        inch = verb.inch;
    if (!inch && !verb.ask)
        throw CLI::ValidationError("--inch", "or --metric: in which does the shop work?");
    if (!verb.file.empty()) // before anybody answers questions in vain
        refuse_existing(verb.file);
    const auto day = verb.on.value_or(today());
    const auto text =
        verb.ask ? ask_facts(kind, inch, day, std::cin, std::cerr) : scaffold({kind, *inch, day});
    if (!text) {
        say("\nThe answers ended before the last question: nothing is written.\n");
        return 2;
    }
    if (verb.file.empty()) {
        print_as_is(*text);
        return 0;
    }
    write_new_text(verb.file, *text);
    say(next_step(kind, verb.file));
    return 0;
}

} // namespace

void setup_new(CLI::App& app, int& status) {
    auto verb = std::make_shared<NewVerb>();
    auto* command = add_verb(app, "new");
    command->add_option("KIND", verb->kind, "machine, job, gauging or budget")
        ->required()
        ->check(CLI::Validator(
            [](const std::string& kind) {
                return scaffold_kind(kind) ? std::string()
                                           : fmt::format("\"{}\" is no kind of file; there are {}",
                                                         kind,
                                                         fmt::join(scaffold_kinds(), ", "));
            },
            ""));
    command->add_option("FILE", verb->file, "to be written; it must not be there yet");
    auto* inch = command->add_flag("--inch", verb->inch, "in inches and °F");
    command->add_flag("--metric", verb->metric, "in millimetres and °C")->excludes(inch);
    command->add_flag("--ask-me", verb->ask, "ask for the facts first");
    add_day(*command, verb->on);
    command->callback([verb, &status] { status = run(*verb); });
}

} // namespace holdable::cli
