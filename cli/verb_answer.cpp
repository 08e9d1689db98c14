// SPDX-License-Identifier: MIT
#include "help.hpp"
#include "holdable/answer/answer.hpp"
#include "holdable/report/answer_json.hpp"
#include "holdable/report/answer_text.hpp"
#include "inputs.hpp"
#include "terminal.hpp"
#include "verbs.hpp"

#include <fmt/format.h>

#include <memory>
#include <optional>
#include <string>

namespace holdable::cli {
namespace {

struct AnswerVerb {
    std::string machine;
    std::string job;
    std::optional<std::string> ask;
    AnswerOptions options;
    std::optional<int> item;
    bool json = false;
};

OneLine asked_of(const AnswerVerb& verb) {
    if (verb.ask)
        return one_line_from(verb.machine, *verb.ask);
    return {question_from(verb.machine, verb.job), {}, {}};
}

int run(const AnswerVerb& verb) {
    if (verb.ask && !verb.job.empty())
        throw CLI::ValidationError("--ask", "the question is either a JOB file or one line");
    if (!verb.ask && verb.job.empty())
        throw CLI::ValidationError("JOB", "a job file is missing, or --ask with the question");
    const auto asked = asked_of(verb);
    const auto& question = asked.question;
    const auto count = question.job.callouts.size();
    if (verb.item && static_cast<std::size_t>(*verb.item) > count)
        throw CLI::ValidationError("--item", fmt::format("the job has {} callouts", count));
    auto result = [&] {
        ProgressLine line;
        auto options = verb.options;
        options.progress = line.progress();
        return answer(question.shop, question.job, options);
    }();
    result.notes = with_notes_of_files(question, result.day, result.notes);
    result.asked = asked.asked;
    result.assumed = asked.assumed;
    const auto text = verb.json ? answer_json(result) : answer_text(result, verb.item);
    print_result(text, verb.json);
    return all_yes(result) ? 0 : 1;
}

} // namespace

void setup_answer(CLI::App& app, int& status) {
    auto verb = std::make_shared<AnswerVerb>();
    auto* command = add_verb(app, "answer");
    command->add_option("MACHINE", verb->machine, "machine file, - for standard input")->required();
    command->add_option("JOB", verb->job, "job file, - for standard input");
    command->add_option("--ask", verb->ask, "the question in one line, in place of JOB");
    auto& options = verb->options;
    command->add_option("--parts", options.parts, "share of the parts to be good")
        ->check(promised_share())
        ->capture_default_str();
    command->add_option("--confidence", options.confidence, "confidence in that")
        ->check(promised_share())
        ->capture_default_str();
    add_day(*command, options.on);
    command->add_option("--item", verb->item, "number of the callout to print in full")
        ->check(counted());
    command->add_option("--trials", options.trials, "worlds to begin with")->check(counted());
    command->add_option("--seed", options.seed, "of the random numbers")->capture_default_str();
    command->add_option("--threads", options.threads, "without it all cores; changes no digit")
        ->check(counted());
    command->add_flag("--json", verb->json, "for programs: answer-result/1");
    command->callback([verb, &status] { status = run(*verb); });
}

} // namespace holdable::cli
