// SPDX-License-Identifier: MIT
#include "help.hpp"
#include "holdable/answer/improve.hpp"
#include "holdable/report/improve_json.hpp"
#include "holdable/report/improve_text.hpp"
#include "inputs.hpp"
#include "terminal.hpp"
#include "verbs.hpp"

#include <memory>
#include <optional>
#include <string>

namespace holdable::cli {
namespace {

struct ImproveVerb {
    std::string machine;
    std::string job;
    AnswerOptions options;
    std::optional<int> item;
    bool json = false;
};

int run(const ImproveVerb& verb) {
    auto question = question_from(verb.machine, verb.job);
    auto& callouts = question.job.callouts;
    if (const auto item = place_of(verb.item, question.job)) {
        // at maximum material another callout gives the size of the hole: it stays
        std::vector<Callout> kept{callouts[*item]};
        for (const auto& callout : callouts)
            if (!kept[0].bonus_from.empty() && callout.name == kept[0].bonus_from)
                kept.push_back(callout);
        callouts = std::move(kept);
    }
    ImproveOptions options;
    options.answer = verb.options;
    options.minutes = question.minutes;
    auto result = [&] {
        ProgressLine line;
        options.answer.progress = line.progress();
        return improve(question.shop, question.job, options);
    }();
    result.notes = with_notes_of_files(question, result.day, result.notes);
    const auto text =
        verb.json ? improve_json(result, origin(question.files)) : improve_text(result);
    print_result(text, verb.json);
    return result.all_yes() ? 0 : 1;
}

} // namespace

void setup_improve(CLI::App& app, int& status) {
    auto verb = std::make_shared<ImproveVerb>();
    auto* command = add_verb(app, "improve");
    command->add_option("MACHINE", verb->machine, "machine file, - for standard input")->required();
    command->add_option("JOB", verb->job, "job file, - for standard input")->required();
    auto& options = verb->options;
    add_promise(*command, options);
    command->add_option("--item", verb->item, "number of the callout to look at alone")
        ->check(counted());
    add_draws(*command, options);
    command->add_flag("--json", verb->json, "for programs: improve-result/1");
    command->callback([verb, &status] { status = run(*verb); });
}

} // namespace holdable::cli
