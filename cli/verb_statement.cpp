// SPDX-License-Identifier: MIT
#include "help.hpp"
#include "holdable/answer/distributions.hpp"
#include "holdable/answer/statement.hpp"
#include "holdable/base/error.hpp"
#include "holdable/files/scaffold.hpp"
#include "holdable/files/text.hpp"
#include "holdable/report/statement_html.hpp"
#include "holdable/report/statement_json.hpp"
#include "holdable/report/statement_pictures.hpp"
#include "holdable/report/statement_text.hpp"
#include "holdable/report/try_change.hpp"
#include "inputs.hpp"
#include "pdf.hpp"
#include "terminal.hpp"
#include "verbs.hpp"

#include <fmt/format.h>

#include <memory>
#include <optional>
#include <string>

namespace holdable::cli {
namespace {

struct StatementVerb {
    std::string machine;
    std::string job;
    StatementOptions options;
    std::string html, pdf, paper, units;
    bool shop = false, audit = false, json = false;
};

/// The shop, and the job if there is one.
Question read(const StatementVerb& verb) {
    if (!verb.job.empty())
        return question_from(verb.machine, verb.job);
    Question question;
    question.shop = shop_from(verb.machine, question.files);
    return question;
}

/// Of the next part, for each claim.
std::vector<std::optional<PartDistribution>>
distributions_of(const Statement& statement, const Shop& shop, const StatementVerb& verb) {
    ProgressLine line;
    auto options = verb.options.answer;
    options.progress = line.progress();
    std::vector<std::size_t> callouts;
    for (const auto& claim : statement.claims)
        callouts.push_back(claim.callout);
    return distributions(shop, statement.job, options, callouts);
}

PageUnits units_of(const StatementVerb& verb) {
    return verb.units == "inch"     ? PageUnits::inch
           : verb.units == "metric" ? PageUnits::metric
           : verb.units == "both"   ? PageUnits::both
                                    : PageUnits::as_asked;
}

int run(const StatementVerb& verb) {
    const auto question = read(verb);
    refuse_examples(question.shop, question.job);
    auto result = [&] {
        ProgressLine line;
        auto options = verb.options;
        options.answer.progress = line.progress();
        return verb.job.empty() ? statement(question.shop, options)
                                : statement(question.shop, question.job, options);
    }();
    result.answer.notes = with_notes_of_files(question, result.answer.day, result.answer.notes);
    const Edition edition{
        HOLDABLE_VERSION, question.files, units_of(verb), verb.shop, verb.audit || verb.shop};
    if (verb.json) {
        print_result(statement_json(result, edition), true);
        return 0;
    }
    const auto page = statement_page(result, edition);
    if (verb.html.empty() && verb.pdf.empty()) {
        print_result(statement_text(page));
        return 0;
    }
    HtmlParts parts;
    parts.paper = verb.paper == "a4" || (verb.paper.empty() && !result.answer.inch) ? Paper::a4
                                                                                    : Paper::letter;
    if (verb.shop) {
        parts.try_a_change = try_change_section(result, edition);
        parts.pictures = pictures_of(result, distributions_of(result, question.shop, verb));
    }
    const auto html = statement_html(page, parts);
    if (!verb.html.empty())
        write_text(verb.html, html);
    if (!verb.pdf.empty())
        write_pdf(verb.pdf, html);
    return 0;
}

} // namespace

void setup_statement(CLI::App& app, int& status) {
    auto verb = std::make_shared<StatementVerb>();
    auto* command = add_verb(app, "statement");
    command->add_option("MACHINE", verb->machine, "machine file, - for standard input")->required();
    command->add_option("JOB", verb->job, "job file, - for standard input");
    command->add_option("--html", verb->html, "write a page for a browser and for paper")
        ->type_name("FILE");
    command->add_option("--pdf", verb->pdf, "write a PDF, through Chromium or WeasyPrint")
        ->type_name("FILE");
    command->add_flag("--shop", verb->shop, "the shop's copy: with what would help");
    command->add_flag("--audit", verb->audit, "with the appendix for an auditor");
    command->add_option("--units", verb->units, "of lengths; else as asked")
        ->check(CLI::IsMember({"inch", "metric", "both"}))
        ->type_name("WORD");
    command->add_option("--paper", verb->paper, "else by the units")
        ->check(CLI::IsMember({"letter", "a4"}))
        ->type_name("WORD");
    auto& options = verb->options.answer;
    add_promise(*command, options);
    add_day(*command,
            verb->options.until,
            "--until",
            "last day on which it shall hold; else 90 days on");
    add_draws(*command, options, true);
    command->add_flag("--json", verb->json, "for programs: statement-result/1");
    command->callback([verb, &status] { status = run(*verb); });
}

} // namespace holdable::cli
