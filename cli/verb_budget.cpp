// SPDX-License-Identifier: MIT
#include "help.hpp"
#include "holdable/answer/budget.hpp"
#include "holdable/files/read_budget.hpp"
#include "holdable/report/budget_json.hpp"
#include "holdable/report/budget_text.hpp"
#include "inputs.hpp"
#include "terminal.hpp"
#include "verbs.hpp"

#include <memory>
#include <string>

namespace holdable::cli {
namespace {

struct BudgetVerb {
    std::string file;
    BudgetOptions options;
    bool no_monte_carlo = false;
    bool json = false;
};

void run(const BudgetVerb& verb) {
    Files files;
    const auto budget = read_budget(document_from(verb.file, files), verb.file);
    auto options = verb.options;
    options.monte_carlo = !verb.no_monte_carlo;
    const auto answer = [&] {
        ProgressLine line;
        options.run.progress = line.progress();
        return evaluate(budget, options);
    }();
    const auto text = verb.json ? budget_json(answer, origin(files)) : budget_text(answer);
    print_result(text, verb.json);
}

} // namespace

void setup_budget(CLI::App& app, int&) {
    auto verb = std::make_shared<BudgetVerb>();
    auto* command = add_verb(app, "budget");
    command->add_option("BUDGET", verb->file, "budget file, - for standard input")->required();
    auto& options = verb->options;
    command
        ->add_option(
            "--coverage", options.coverage, "probability of the intervals; else the file's")
        ->check(CLI::Validator(
            [](const std::string& text) {
                double value = 0;
                const bool fits = CLI::detail::lexical_cast(text, value) && value > 0 && value < 1;
                return fits ? std::string() : std::string("must lie between 0 and 1, as 0.95");
            },
            "0 ... 1"));
    auto* trials =
        command
            ->add_option("--trials", options.run.trials, "this many; else until the digits are sure")
            ->check(counted());
    command->add_option("--seed", options.run.seed, "of the random numbers")->capture_default_str();
    auto* quasi =
        command->add_flag("--quasi", options.run.quasi, "low-discrepancy numbers, nearer for as many");
    command
        ->add_flag("--streaming",
                   options.run.streaming,
                   "count in cells: memory does not grow with trials")
        ->needs(trials)
        ->excludes(quasi);
    command->add_option("--threads", options.run.threads, "else all cores; changes no digit")
        ->check(counted());
    command
        ->add_option("--digits", options.run.digits, "of the uncertainty, to be sure and to agree")
        ->check(CLI::Range(1, 2))
        ->capture_default_str();
    command->add_flag("--no-monte-carlo", verb->no_monte_carlo, "the GUM alone");
    command->add_flag("--json", verb->json, "for programs: budget-result/1");
    command->callback([verb] { run(*verb); });
}

} // namespace holdable::cli
