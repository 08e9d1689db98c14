// SPDX-License-Identifier: MIT
#include "holdable/answer/answer.hpp"
#include "holdable/files/read_job.hpp"
#include "holdable/report/answer_json.hpp"
#include "holdable/report/answer_text.hpp"
#include "inputs.hpp"
#include "verbs.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cstdio>
#include <memory>
#include <optional>
#include <string>

namespace holdable::cli {
namespace {

struct AnswerVerb {
    std::string machine;
    std::string job;
    AnswerOptions options;
    std::optional<int> item;
    bool json = false;
};

/// Notes on the files go before those of the computation; none is said twice.
void add_notes_of_files(Answer& answer, const Question& question) {
    auto notes = question.shop.notes;
    notes.insert(notes.end(), question.job.notes.begin(), question.job.notes.end());
    const auto between = notes_between(question.shop, answer.day);
    notes.insert(notes.end(), between.begin(), between.end());
    for (auto& note : answer.notes)
        if (std::find(notes.begin(), notes.end(), note) == notes.end())
            notes.push_back(std::move(note));
    answer.notes = std::move(notes);
}

int run(const AnswerVerb& verb) {
    const auto question = question_from(verb.machine, verb.job);
    const auto count = question.job.callouts.size();
    if (verb.item && static_cast<std::size_t>(*verb.item) > count)
        throw CLI::ValidationError("--item", fmt::format("the job has {} callouts", count));
    auto result = [&] {
        const Progress progress("simulating ...");
        return answer(question.shop, question.job, verb.options);
    }();
    add_notes_of_files(result, question);
    const auto text = verb.json ? answer_json(result) : answer_text(result, verb.item);
    std::fputs(text.c_str(), stdout);
    return std::all_of(result.callouts.begin(),
                       result.callouts.end(),
                       [](const CalloutAnswer& c) { return c.verdict == Verdict::yes; })
               ? 0
               : 1;
}

} // namespace

void setup_answer(CLI::App& app, int& status) {
    auto verb = std::make_shared<AnswerVerb>();
    auto* command = app.add_subcommand("answer", "can we hold these callouts?");
    command->footer("Exit status 0: all yes; 1: something is marginal, no, or cannot be said.\n"
                    "Example: holdable answer machine.json job.json --parts 0.9973");
    command->add_option("MACHINE", verb->machine, "machine file, - for standard input")->required();
    command->add_option("JOB", verb->job, "job file, - for standard input")->required();
    const auto promised = CLI::Validator(
        [](const std::string& text) {
            double value = 0;
            const bool fits = CLI::detail::lexical_cast(text, value) && value > 0.5 && value < 1;
            return fits ? std::string() : std::string("must lie between 0.5 and 1, as 0.95");
        },
        "0.5 ... 1");
    auto& options = verb->options;
    command->add_option("--parts", options.parts, "share of the parts to be good")
        ->check(promised)
        ->capture_default_str();
    command->add_option("--confidence", options.confidence, "confidence in that")
        ->check(promised)
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
