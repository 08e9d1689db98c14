// SPDX-License-Identifier: MIT
#include "help.hpp"
#include "holdable/answer/where.hpp"
#include "holdable/report/where_json.hpp"
#include "holdable/report/where_text.hpp"
#include "inputs.hpp"
#include "terminal.hpp"
#include "verbs.hpp"

#include <fmt/format.h>

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
    const auto count = question.job.callouts.size();
    if (verb.item && static_cast<std::size_t>(*verb.item) > count)
        throw CLI::ValidationError("--item", fmt::format("the job has {} callouts", count));
    if (verb.item)
        verb.options.item = static_cast<std::size_t>(*verb.item) - 1;
    auto result = [&] {
        ProgressLine line;
        verb.options.answer.progress = line.progress();
        return where(question.shop, question.job, verb.options);
    }();
    result.notes = with_notes_of_files(question, result.day, result.notes);
    const auto text = verb.json ? where_json(result) : where_text(result);
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
    command->add_option("--parts", options.parts, "share of the parts to be good")
        ->check(promised_share())
        ->capture_default_str();
    command->add_option("--confidence", options.confidence, "confidence in that")
        ->check(promised_share())
        ->capture_default_str();
    add_day(*command, options.on);
    command->add_option("--item", verb->item, "number of the callout that alone decides")
        ->check(counted());
    command->add_option("--seed", options.seed, "of the random numbers")->capture_default_str();
    command->add_option("--threads", options.threads, "without it all cores; changes no digit")
        ->check(counted());
    command->add_flag("--json", verb->json, "for programs: where-result/1");
    command->callback([verb, &status] { status = run(*verb); });
}

} // namespace holdable::cli
