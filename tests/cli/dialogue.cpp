// SPDX-License-Identifier: MIT
// The questions of `holdable new --ask-me`, without a terminal: answers in, the text of the file
// out, against what the readers then find in it. A wrong answer is explained and asked again, and
// where the answers end early there is no file. Everything is exact.
#include "dialogue.hpp"

#include "holdable/files/document.hpp"
#include "holdable/files/read_gauging.hpp"
#include "holdable/files/read_machine.hpp"

#include <boost/test/unit_test.hpp>

#include <optional>
#include <sstream>
#include <string>
#include <variant>

using namespace holdable;

namespace {

const Date day = parse_date("2025-05-01");

struct Talk {
    std::optional<std::string> file;
    std::string said;
};

Talk talk(ScaffoldKind kind, std::optional<bool> inch, const std::string& answers) {
    std::istringstream in(answers);
    std::ostringstream out;
    auto file = cli::ask_facts(kind, inch, day, in, out);
    return {std::move(file), out.str()};
}

std::size_t count(const std::string& text, const std::string& what) {
    std::size_t times = 0;
    for (auto at = text.find(what); at != std::string::npos; at = text.find(what, at + 1))
        ++times;
    return times;
}

std::string blank_lines(std::size_t count) {
    return std::string(count, '\n');
}

} // namespace

BOOST_AUTO_TEST_SUITE(dialogue)

BOOST_AUTO_TEST_CASE(answers_become_a_machine_file) {
    const auto done = talk(ScaffoldKind::machine,
                           std::nullopt,
                           "inch\n"
                           "Elm Street Machine\nthe grey one\nknee\nknee mill\n"
                           "30\n12\n5 in\n16\n.0005\n6\n2\n\n");
    BOOST_REQUIRE(done.file.has_value());
    const auto shop = read_machine(parse_document(*done.file, "f"), "f", day);
    BOOST_TEST(shop.name == "Elm Street Machine");
    BOOST_TEST(shop.machine == "the grey one");
    BOOST_TEST((shop.ground == 3));
    BOOST_TEST(shop.machine_class == "knee mill");
    BOOST_TEST(shop.travel[0].high == 30 * 0.0254);
    BOOST_TEST(shop.travel[2].low == -5 * 0.0254);
    BOOST_TEST(shop.indicators[0].resolution == 0.0005 * 0.0254);
    BOOST_TEST(shop.inch);
    BOOST_TEST(done.said.find("taken as 30 in") != std::string::npos);
    BOOST_TEST(done.said.find(" 1 of 12  What is the shop called?") != std::string::npos);
    BOOST_TEST(done.said.find("for example: Hollow Oak Machine Shop") != std::string::npos);
    BOOST_TEST(done.said.find("one of: head, knee") != std::string::npos);
}

BOOST_AUTO_TEST_CASE(enter_alone_takes_what_is_usual) {
    for (const bool inch : {true, false})
        for (std::size_t kind = 0; kind < scaffold_kinds().size(); ++kind) {
            const ScaffoldFor what{static_cast<ScaffoldKind>(kind), inch, day};
            const auto done = talk(what.kind, inch, blank_lines(scaffold_questions(what).size()));
            BOOST_REQUIRE(done.file.has_value());
            auto file = *done.file;
            const std::string asked = "What you were not asked is INVENTED:";
            const auto at = file.find(asked);
            BOOST_REQUIRE(at != std::string::npos);
            BOOST_TEST(file.replace(at, asked.size(), "Everything else is INVENTED:") ==
                       scaffold(what));
        }
}

BOOST_AUTO_TEST_CASE(a_wrong_answer_is_explained_and_asked_again) {
    const auto done =
        talk(ScaffoldKind::gauging, true, "\n\n2 tenths\n2.0\n\n1.9\n2.002\n" + blank_lines(6));
    BOOST_REQUIRE(done.file.has_value());
    BOOST_TEST(count(done.said, "That cannot stand: ") == 2U);
    BOOST_TEST(count(done.said, " 3 of 11 ") == 2U);
    BOOST_TEST(count(done.said, " 5 of 11 ") == 2U);
    const auto read = read_gauging(parse_document(*done.file, "f"), "f", day);
    BOOST_TEST(std::get<decide::Inspection>(read).nominal == 2.0 * 0.0254);
}

BOOST_AUTO_TEST_CASE(a_question_mark_explains) {
    const auto done = talk(ScaffoldKind::job, false, "?\n");
    BOOST_TEST(!done.file);
    BOOST_TEST(done.said.find("The part or the drawing, as the customer knows it.") !=
               std::string::npos);
    BOOST_TEST(count(done.said, " 1 of 14 ") == 2U);
}

BOOST_AUTO_TEST_CASE(where_answers_end_early_there_is_no_file) {
    BOOST_TEST(!talk(ScaffoldKind::budget, std::nullopt, "").file);
    BOOST_TEST(!talk(ScaffoldKind::budget, std::nullopt, "feet\n").file);
    BOOST_TEST(!talk(ScaffoldKind::budget, true, "").file);
    BOOST_TEST(!talk(ScaffoldKind::budget, true, blank_lines(6)).file);
    BOOST_TEST(talk(ScaffoldKind::budget, true, blank_lines(7)).file.has_value());
}

BOOST_AUTO_TEST_CASE(each_line_fits_a_window) {
    for (std::size_t kind = 0; kind < scaffold_kinds().size(); ++kind) {
        const ScaffoldFor what{static_cast<ScaffoldKind>(kind), true, day};
        std::string answers;
        for (std::size_t i = 0; i < scaffold_questions(what).size(); ++i)
            answers += "?\n\n";
        std::istringstream lines(talk(what.kind, true, answers).said);
        for (std::string line; std::getline(lines, line);) {
            const auto typed = line.find("] > "); // here the user's Enter would end the line
            const auto text = typed == std::string::npos ? line : line.substr(typed + 4);
            BOOST_TEST(text.size() <= 80U, text);
        }
    }
}

BOOST_AUTO_TEST_SUITE_END()
