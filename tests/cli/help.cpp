// SPDX-License-Identifier: MIT
// One source of words: what `--help` says of a verb stands on the manual page too, option by
// option; every verb of the program has its entry, with an example, and no entry is left over; and
// each line of help fits a window of 80 columns. The pages are compared as texts, the escapes of
// roff taken out by hand here. That the examples run, that groff finds nothing to warn of, and what
// bash offers is tests/cli/*.cmake. Everything is exact.
#include "help.hpp"

#include "app.hpp"
#include "holdable/files/scaffold.hpp"

#include <boost/test/unit_test.hpp>

#include <algorithm>
#include <regex>
#include <set>
#include <sstream>
#include <string>
#include <vector>

using namespace holdable::cli;

namespace {

struct Program {
    CLI::App app;
    int status = 0;

    Program() { set_up(app, status); }

    std::vector<const CLI::App*> verbs() const {
        return app.get_subcommands([](const CLI::App*) { return true; });
    }
};

/// The words alone, without what roff makes of them.
std::string words(std::string text) {
    const std::pair<const char*, const char*> escapes[] = {{R"(\\f[BIR])", ""},
                                                           {R"(\\-)", "-"},
                                                           {R"(\\\(aq)", "'"},
                                                           {R"(\\\(dq)", "\""},
                                                           {R"(\\&)", ""},
                                                           {R"(\n\.[A-Z]+[^\n]*)", ""},
                                                           {R"(\s+)", " "}};
    for (const auto& [pattern, instead] : escapes)
        text = std::regex_replace(text, std::regex(pattern), instead);
    return text;
}

/// Characters, not bytes.
std::size_t width(const std::string& line) {
    return static_cast<std::size_t>(std::count_if(line.begin(), line.end(), [](char c) {
        return (static_cast<unsigned char>(c) & 0xC0) != 0x80;
    }));
}

} // namespace

BOOST_AUTO_TEST_SUITE(help)

BOOST_AUTO_TEST_CASE(every_verb_has_its_entry_and_an_example) {
    const Program program;
    std::vector<std::string> there, described;
    for (const auto* verb : program.verbs())
        there.push_back(verb->get_name());
    for (const auto& help : verb_helps()) {
        described.emplace_back(help.name);
        BOOST_TEST(!help.examples.empty(), help.name);
        BOOST_TEST(!help.brief.empty(), help.name);
        for (const auto example : help.examples)
            BOOST_TEST(example.starts_with(std::string(help.name) + ' '), example);
    }
    BOOST_TEST(there.size() >= 9U);
    BOOST_TEST(there == described, boost::test_tools::per_element());
}

BOOST_AUTO_TEST_CASE(the_manual_page_says_what_help_says) {
    Program program;
    const auto page = words(manual_page(program.app));
    std::size_t compared = 0;
    for (const auto* verb : program.verbs()) {
        BOOST_TEST(page.find(words(verb->get_description())) != std::string::npos);
        for (const auto* option : verb->get_options()) {
            const auto name = option->get_name(option->get_positional());
            BOOST_TEST(verb->help().find(name) != std::string::npos, name);
            BOOST_TEST(verb->help().find(option->get_description()) != std::string::npos, name);
            BOOST_TEST(page.find(' ' + name + ' ') != std::string::npos, name);
            BOOST_TEST(page.find(words(option->get_description())) != std::string::npos, name);
            ++compared;
        }
        const auto& help = help_of(verb->get_name());
        for (const auto text : {help.more, help.status}) {
            BOOST_TEST(words(verb->help()).find(words(std::string(text))) != std::string::npos);
            BOOST_TEST(page.find(words(std::string(text))) != std::string::npos);
        }
        for (const auto example : help.examples) {
            BOOST_TEST(verb->help().find("  holdable " + std::string(example)) !=
                       std::string::npos);
            BOOST_TEST(page.find("holdable " + words(std::string(example))) != std::string::npos);
        }
    }
    BOOST_TEST(compared > 40U);
}

BOOST_AUTO_TEST_CASE(no_line_of_the_manual_page_is_a_request_by_chance) {
    Program program;
    std::istringstream lines(manual_page(program.app));
    const std::set<std::string> requests = {".TH", ".SH", ".SS", ".TP", ".PP", ".EX", ".EE", ".br"};
    for (std::string line; std::getline(lines, line);) {
        BOOST_TEST(!line.starts_with('\''), line);
        if (line.starts_with('.'))
            BOOST_TEST(requests.contains(line.substr(0, line.find(' '))), line);
    }
}

BOOST_AUTO_TEST_CASE(each_line_of_help_fits_a_window) {
    Program program;
    auto pages = program.verbs();
    pages.push_back(&program.app);
    for (const auto* page : pages) {
        std::istringstream lines(page->help());
        for (std::string line; std::getline(lines, line);)
            BOOST_TEST(width(line) <= 80U, line);
    }
}

BOOST_AUTO_TEST_CASE(what_is_offered_can_be_typed) {
    const Program program;
    for (const auto* verb : program.verbs())
        for (const auto& offer : help_of(verb->get_name()).offers) {
            const auto options = verb->get_options();
            const auto option =
                std::find_if(options.begin(), options.end(), [&](const CLI::Option* o) {
                    return o->get_name(o->get_positional()) == offer.at;
                });
            BOOST_TEST((option != options.end()), offer.at);
        }
    const auto& kinds = help_of("new").offers.at(0).words;
    BOOST_TEST(kinds == holdable::scaffold_kinds(), boost::test_tools::per_element());
}

BOOST_AUTO_TEST_SUITE_END()
