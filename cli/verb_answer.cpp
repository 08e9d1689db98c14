// SPDX-License-Identifier: MIT
#include "help.hpp"
#include "holdable/answer/answer.hpp"
#include "holdable/report/answer_json.hpp"
#include "holdable/report/answer_text.hpp"
#include "inputs.hpp"
#include "terminal.hpp"
#include "verbs.hpp"

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
    place_of(verb.item, question.job); // before anything is computed
    auto result = [&] {
        ProgressLine line;
        auto options = verb.options;
        options.progress = line.progress();
        return answer(question.shop, question.job, options);
    }();
    result.notes = with_notes_of_files(question, result.day, result.notes);
    result.asked = asked.asked;
    result.assumed = asked.assumed;
    const auto text =
        verb.json ? answer_json(result, origin(question.files)) : answer_text(result, verb.item);
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
    add_promise(*command, options);
    command->add_option("--item", verb->item, "number of the callout to print in full")
        ->check(counted());
    add_draws(*command, options, true);
    command->add_flag("--json", verb->json, "for programs: answer-result/1");
    command->callback([verb, &status] { status = run(*verb); });
}

} // namespace holdable::cli
