// SPDX-License-Identifier: MIT
// The manual page, in the man macros of roff.
#include "help.hpp"

#include <fmt/format.h>

namespace holdable::cli {
namespace {

/// Text as roff takes it: no line of it is a request, and what is typed can be copied.
std::string roff(std::string_view text) {
    std::string safe;
    bool at_start = true;
    for (const char c : text) {
        if (at_start && (c == '.' || c == '\''))
            safe += "\\&";
        if (c == '\\')
            safe += "\\e";
        else if (c == '-')
            safe += "\\-";
        else if (c == '\'')
            safe += "\\(aq";
        else if (c == '"')
            safe += "\\(dq";
        else
            safe += c;
        at_start = c == '\n';
    }
    return safe;
}

std::string synopsis(const CLI::App& verb) {
    std::string line = fmt::format("\\fBholdable {}\\fR", roff(verb.get_name()));
    for (const auto* option :
         verb.get_options([](const CLI::Option* o) { return o->get_positional(); }))
        line += fmt::format(fmt::runtime(option->get_required() ? " \\fI{}\\fR" : " [\\fI{}\\fR]"),
                            roff(option->get_name(true)));
    return line + " [\\fIoptions\\fR]\n";
}

std::string option_entry(const CLI::Option& option) {
    auto head = fmt::format("\\fB{}\\fR", roff(option.get_name(option.get_positional())));
    if (!option.get_positional() && takes_value(option))
        head += fmt::format(" \\fI{}\\fR", roff(option.get_type_name()));
    if (!option.get_default_str().empty())
        head += fmt::format(" (else {})", roff(option.get_default_str()));
    return fmt::format(".TP\n{}\n{}\n", head, roff(option.get_description()));
}

std::string verb_section(const CLI::App& verb) {
    const auto& help = help_of(verb.get_name());
    auto text =
        fmt::format(".SS {}\n{}.PP\n{}\n", roff(help.name), synopsis(verb), roff(help.brief));
    for (const auto part : {help.more, help.status})
        if (!part.empty())
            text += fmt::format(".PP\n{}\n", roff(part));
    for (const auto* option : verb.get_options())
        text += option_entry(*option);
    text += ".PP\n.EX\n";
    for (const auto example : help.examples)
        text += fmt::format("holdable {}\n", roff(example));
    return text + ".EE\n";
}

} // namespace

std::string manual_page(const CLI::App& app) {
    std::string text = fmt::format(".TH HOLDABLE 1 \"\" \"holdable {}\"\n"
                                   ".SH NAME\nholdable \\- {}\n"
                                   ".SH SYNOPSIS\n",
                                   HOLDABLE_VERSION,
                                   roff(app.get_description()));
    const auto verbs = app.get_subcommands([](const CLI::App*) { return true; });
    for (const auto* verb : verbs)
        text += synopsis(*verb) + ".br\n";
    text +=
        ".SH DESCRIPTION\n"
        "A machinist checks his own three\\-axis machining centre with shop gear, and a customer\n"
        "asks what tolerance he can hold. The readings, with every doubt about them, are carried\n"
        "to the feature on the print; the answer says how sure it is, what limits it and what\n"
        "would help. Results go to standard output, all else to standard error. A file called\n"
        "\\- is standard input.\n"
        ".SH OPTIONS\n";
    for (const auto* option : app.get_options())
        text += option_entry(*option);
    text += ".SH VERBS\nThe examples are run where the folder budgets/ is, which has an invented "
            "shop.\n";
    for (const auto* verb : verbs)
        text += verb_section(*verb);
    text += ".SH EXIT STATUS\n.EX\n";
    for (const auto line : exit_statuses())
        text += roff(line) + '\n';
    text +=
        ".EE\n.SH ENVIRONMENT\n.TP\n\\fBNO_COLOR\\fR\n"
        "Set to anything: no bold and no underlined letters on a terminal.\n"
        ".TP\n\\fBTERM\\fR\nIf it is \"dumb\", neither these nor a line of progress.\n"
        ".SH CAUTION\n"
        "An answer is no certificate of conformity, calibration or accreditation. Drawing,\n"
        "contract, local codes and licensed practice come first. Before any check with the door\n"
        "open: lock out the spindle, put a vertical head on a block, and nobody reaches between\n"
        "table, column and spindle while an axis can move.";
    return text;
}

} // namespace holdable::cli
