// SPDX-License-Identifier: MIT
#include "help.hpp"
#include "holdable/answer/where.hpp"
#include "holdable/report/where_json.hpp"
#include "holdable/report/where_text.hpp"
#include "inputs.hpp"
#include "terminal.hpp"
#include "verbs.hpp"

#include <algorithm>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace holdable::cli {
namespace {

struct WhereVerb {
    std::string machine;
    std::string job;
    WhereOptions options;
    std::optional<int> item;
    bool json = false;
};

int run(WhereVerb verb) {
    const auto question = question_from(verb.machine, verb.job);
    verb.options.item = place_of(verb.item, question.job);
    auto result = [&] {
        ProgressLine line;
        verb.options.answer.progress = line.progress();
        return where(question.shop, question.job, verb.options);
    }();
    result.notes = with_notes_of_files(question, result.day, result.notes);
    const auto text = verb.json ? where_json(result, origin(question.files)) : where_text(result);
    print_result(text, verb.json);
    return std::all_of(result.callouts.begin(),
                       result.callouts.end(),
                       [](const PlacedCallout& c) { return c.verdict_best == Verdict::yes; })
               ? 0
               : 1;
}

} // namespace

void setup_where(CLI::App& app, int& status) {
    auto verb = std::make_shared<WhereVerb>();
    auto* command = add_verb(app, "where");
    command->add_option("MACHINE", verb->machine, "machine file, - for standard input")->required();
    command->add_option("JOB", verb->job, "job file, - for standard input")->required();
    auto& options = verb->options.answer;
    add_promise(*command, options);
    command->add_option("--item", verb->item, "number of the callout that alone decides")
        ->check(counted());
    add_draws(*command, options);
    command->add_flag("--json", verb->json, "for programs: where-result/1");
    command->callback([verb, &status] { status = run(*verb); });
}

} // namespace holdable::cli
