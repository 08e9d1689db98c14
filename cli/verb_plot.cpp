// SPDX-License-Identifier: MIT
#include "help.hpp"
#include "holdable/answer/distributions.hpp"
#include "holdable/answer/where.hpp"
#include "holdable/files/text.hpp"
#include "holdable/machine/state.hpp"
#include "holdable/report/answer_text.hpp"
#include "holdable/report/machine_summary.hpp"
#include "holdable/report/pictures.hpp"
#include "inputs.hpp"
#include "terminal.hpp"
#include "verbs.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <utility>

namespace holdable::cli {
namespace {

struct PlotVerb {
    std::string machine;
    std::string job;
    std::string picture;
    std::string motion;
    std::string svg;
    AnswerOptions options;
    std::optional<int> item;
    bool text = false;
};

const std::set<std::string> of_machine = {"axis", "checks", "table"};
const std::set<std::string> of_job = {"contributions", "parts", "place", "yield"};

Picture picture_of_machine(const PlotVerb& verb) {
    Shop shop;
    std::optional<Date> day_of_job;
    if (verb.job.empty()) {
        Files files;
        shop = shop_from(verb.machine, files);
    } else {
        auto question = question_from(verb.machine, verb.job);
        shop = std::move(question.shop);
        day_of_job = question.job.date;
    }
    const auto day = day_of_job ? *day_of_job : verb.options.on.value_or(today());
    const auto state = solve(shop, day);
    if (verb.picture == "axis") {
        int motion = 0;
        if (verb.motion.empty()) {
            const auto read = motions_read(state);
            motion = read.empty() ? 0 : read.front();
        } else {
            while (motion < c0y_index && parameter_name(motion) != verb.motion)
                ++motion;
        }
        return axis_picture(state, motion);
    }
    auto machine = summary(state);
    if (verb.picture == "table")
        return table_picture(state, machine);
    machine.next = next_checks(shop, day);
    return checks_picture(machine);
}

Picture picture_of_job(const PlotVerb& verb) {
    const auto question = question_from(verb.machine, verb.job);
    const auto item = place_of(verb.item, question.job);
    ProgressLine line;
    auto options = verb.options;
    options.progress = line.progress();
    if (verb.picture == "place")
        return place_picture(where(question.shop, question.job, {options, item}));
    const auto answered = answer(question.shop, question.job, options);
    const auto callout = item.value_or(worst_callout(answered));
    if (verb.picture == "contributions")
        return contributions_picture(answered, callout);
    const auto drawn = distributions(question.shop, question.job, options, {callout});
    const auto distribution = drawn.front().value_or(PartDistribution{});
    return verb.picture == "parts" ? parts_picture(answered, callout, distribution)
                                   : yield_picture(answered, callout, distribution);
}

void run(const PlotVerb& verb) {
    const bool needs_job = of_job.contains(verb.picture);
    if (needs_job && verb.job.empty())
        throw CLI::ValidationError("JOB",
                                   fmt::format("the picture {} needs a job file", verb.picture));
    const auto picture = needs_job ? picture_of_job(verb) : picture_of_machine(verb);
    if (verb.text) {
        print_result(picture.title + "\n" + picture.text);
        return;
    }
    const auto svg = standalone_svg(picture);
    if (verb.svg.empty())
        print_as_is(svg);
    else
        write_text(verb.svg, svg);
}

/// Takes the name of an error motion.
CLI::Validator motion_name() {
    return {[](const std::string& text) {
                for (int i = 0; i < c0y_index; ++i)
                    if (parameter_name(i) == text)
                        return std::string();
                return "\"" + text + "\" is no error motion, as EYX (straightness of X in Y)";
            },
            "EXX ..."};
}

} // namespace

void setup_plot(CLI::App& app, int&) {
    auto verb = std::make_shared<PlotVerb>();
    auto* command = add_verb(app, "plot");
    command->add_option("MACHINE", verb->machine, "machine file, - for standard input")->required();
    command->add_option("JOB", verb->job, "job file, - for standard input; its day too");
    auto names = of_machine;
    names.insert(of_job.begin(), of_job.end());
    command->add_option("--picture", verb->picture, "its name, see below")
        ->required()
        ->check(CLI::IsMember(names));
    command->add_option("--svg", verb->svg, "file to write; without it standard output")
        ->type_name("FILE");
    command->add_flag("--text", verb->text, "what it says in words and numbers, instead");
    command->add_option("--item", verb->item, "number of the callout; without it the worst")
        ->check(counted());
    command->add_option("--motion", verb->motion, "of axis; without it the one read most")
        ->check(motion_name());
    auto& options = verb->options;
    add_promise(*command, options);
    add_draws(*command, options, true);
    command->callback([verb] { run(*verb); });
}

} // namespace holdable::cli
