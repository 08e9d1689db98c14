// SPDX-License-Identifier: MIT
#include "dialogue.hpp"

#include "holdable/base/error.hpp"
#include "holdable/report/page.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <istream>
#include <ostream>

namespace holdable::cli {
namespace {

/// The next line; none at the end of the answers.
std::optional<std::string> line_of(std::istream& answers) {
    std::string line;
    if (!std::getline(answers, line))
        return std::nullopt;
    return line;
}

std::string trimmed(const std::string& line) {
    const auto first = line.find_first_not_of(" \t\r");
    return first == std::string::npos
               ? ""
               : line.substr(first, line.find_last_not_of(" \t\r") - first + 1);
}

/// Each line stands in.
std::string inset(std::string_view text) {
    std::string words(text);
    std::replace(words.begin(), words.end(), '\n', ' ');
    std::string all;
    for (const auto& line : wrapped(words, 72))
        all += "        " + line + '\n';
    return all;
}

std::optional<bool> ask_unit(std::istream& answers, std::ostream& questions) {
    for (;;) {
        questions << "Does the shop work in inch or metric?\n  > " << std::flush;
        const auto line = line_of(answers);
        if (!line)
            return std::nullopt;
        const auto typed = trimmed(*line);
        if (typed == "inch" || typed == "in" || typed == "i")
            return true;
        if (typed == "metric" || typed == "mm" || typed == "m")
            return false;
        questions << inset(
            "One of the two words: inch, metric. Any one number may still be in the\n"
            "other unit.");
    }
}

} // namespace

std::optional<std::string> ask_facts(ScaffoldKind kind,
                                     std::optional<bool> inch,
                                     Date day,
                                     std::istream& answers,
                                     std::ostream& questions) {
    questions
        << "One fact at a time. Enter alone takes what stands in [ ], ? explains. Nothing is\n"
           "written before the last answer; to stop, press Ctrl-D.\n\n";
    if (!inch)
        inch = ask_unit(answers, questions);
    if (!inch)
        return std::nullopt;
    const ScaffoldFor what{kind, *inch, day};
    ScaffoldFacts facts;
    const auto count = scaffold_questions(what).size();
    for (std::size_t i = 0; i < count;) {
        const auto question = scaffold_questions(what, facts)[i];
        questions << fmt::format("{:2} of {}  {}\n", i + 1, count, question.text);
        if (question.words.empty())
            questions << inset(fmt::format("for example: {}", question.example));
        else
            questions << inset(fmt::format("one of: {}", fmt::join(question.words, ", ")));
        questions << fmt::format("  [{}] > ", question.usual) << std::flush;
        const auto line = line_of(answers);
        if (!line)
            return std::nullopt;
        if (trimmed(*line) == "?") {
            questions << inset(question.more);
            continue;
        }
        try {
            const auto fact = accepted_fact(what, facts, question, *line);
            const auto typed = trimmed(*line);
            if (!typed.empty() && question.words.empty() && fact != typed)
                questions << inset("taken as " + fact);
            facts[question.key] = fact;
            ++i;
        } catch (const InputError& error) {
            const auto& wrong = error.diagnostics().front();
            questions << inset("That cannot stand: " + wrong.message);
            if (!wrong.hint.empty())
                questions << inset(wrong.hint);
        }
    }
    return scaffold(what, facts);
}

} // namespace holdable::cli
