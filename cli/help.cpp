// SPDX-License-Identifier: MIT
#include "help.hpp"

#include <algorithm>
#include <cassert>

namespace holdable::cli {

const std::vector<VerbHelp>& verb_helps() {
    static const std::vector<VerbHelp> all = {
        {"new",
         "a file to begin with, ready to be filled in",
         "Every line that has to be replaced says with what. Without FILE it goes to\n"
         "standard output. A file that is there already is never overwritten. With\n"
         "--ask-me the facts are asked for one by one, each with an example and what is\n"
         "taken without an answer; nothing is written before the last one.",
         "",
         {"new machine --inch", "new job --metric"},
         {{"KIND", {"machine", "job", "gauging", "budget"}}}},
        {"proofread",
         "are the files right? nothing is computed",
         "Each mistake is told with file, line, column and a hint; docs/errors.md explains\n"
         "its [id].",
         "Exit status 0: nothing wrong; 3: something is.",
         {"proofread budgets/demo/machine.json budgets/demo/job-inch.json"}},
        {"machine",
         "what the readings say about the machine",
         "All checks together: squareness, straightness, roll and pitch, tram, with the\n"
         "doubt in each, and what should be checked next.",
         "",
         {"machine budgets/demo/machine.json --on 2025-04-07"}},
        {"answer",
         "can we hold these callouts?",
         "MAKE, can the machine cut it, and PROVE, can the gauge named for it show that it\n"
         "was: YES, MARGINAL, NO or CAN'T SAY, with what limits it and what would help.",
         "Exit status 0: all can be made, and proved where a gauge is named; 1: something\n"
         "is marginal, no, or cannot be said.",
         {"answer budgets/demo/machine.json budgets/demo/job-inch.json --item 2",
          "answer budgets/demo/machine.json --ask \"perp Ø.001 over 3.00 at 8,6\""}},
        {"where",
         "where on the table does it hold best?",
         "",
         "Exit status 0: at the best place all are yes; 1: something is not.",
         {"where budgets/demo/machine.json budgets/demo/job-inch.json --item 1"}},
        {"improve",
         "what to fix or measure next, what it buys",
         "",
         "Exit status 0: all is yes already; 1: something is wanted.",
         {"improve budgets/demo/machine.json budgets/demo/job-inch.json --item 2"}},
        {"statement",
         "the page for the quote",
         "What the shop offers for the callouts of JOB, with conditions, decision rule,\n"
         "traceability and validity; without JOB a capability sheet over kinds of\n"
         "features and sizes. It is no certificate of anything: docs/statement.md.",
         "",
         {"statement budgets/demo/machine.json budgets/demo/job-inch.json",
          "statement budgets/quote/machine.json budgets/quote/job.json --audit"},
         {{"--units", {"inch", "metric", "both"}}, {"--paper", {"letter", "a4"}}}},
        {"plot",
         "a picture as SVG",
         "Of the machine: checks (what was checked and what was not), axis (an error\n"
         "motion: readings, curve and its 95 % band), table (its form, low spots, where\n"
         "squares stood). Of a job: contributions (what limits a callout, ranked), parts\n"
         "(the next part's value and the tolerance), yield (against tolerance), place\n"
         "(the tolerance over the table).",
         "",
         {"plot budgets/demo/machine.json --picture checks --on 2025-04-07",
          "plot budgets/demo/machine.json --picture axis --motion EYX --text"},
         {{"--picture", {"axis", "checks", "contributions", "parts", "place", "table", "yield"}}}},
        {"gauging",
         "is this measuring set-up good enough?",
         "Of a part that is to be measured, or of a check of a machine that is planned.",
         "Exit status 0: yes; 1: marginal, no or can't say.",
         {"gauging budgets/gauging/bore-yes.json", "gauging budgets/gauging/square-no.json"}},
        {"budget",
         "any uncertainty budget",
         "By the GUM and by Monte Carlo, and whether the two agree.",
         "",
         {"budget budgets/published/gum-h1-end-gauge.json --coverage 0.95"}},
        {"units",
         "what may be written, and conversions",
         "Without anything behind it: all units, with their sources.",
         "",
         {"units \"0.0005 in/ft\" arcsec"}},
    };
    return all;
}

const VerbHelp& help_of(std::string_view verb) {
    const auto& all = verb_helps();
    const auto at =
        std::find_if(all.begin(), all.end(), [&](const VerbHelp& h) { return h.name == verb; });
    assert(at != all.end());
    return *at;
}

const std::vector<std::string_view>& exit_statuses() {
    static const std::vector<std::string_view> all = {
        "0   done; of a question: all is yes",
        "1   done, and something is marginal, no or cannot be said",
        "2   the command line is wrong",
        "3   a file is wrong, or what was asked",
        "4   the numbers cannot be computed",
        "70  internal, or the result could not be written"};
    return all;
}

CLI::App* add_verb(CLI::App& app, std::string_view name) {
    const auto& help = help_of(name);
    auto* verb = app.add_subcommand(std::string(name), std::string(help.brief));
    std::string text;
    for (const auto part : {help.more, help.status})
        if (!part.empty())
            text += std::string(part) + '\n';
    text +=
        help.examples.size() == 1 ? "Example, where budgets/ is:" : "Examples, where budgets/ is:";
    for (const auto example : help.examples)
        text += "\n  holdable " + std::string(example);
    verb->footer(text);
    return verb;
}

bool takes_value(const CLI::Option& option) {
    return option.get_items_expected_max() > 0;
}

} // namespace holdable::cli
