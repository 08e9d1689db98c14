// SPDX-License-Identifier: MIT
// What is done on a terminal only, against texts typed here: bold verdicts, underlined heads, the
// line of progress, and when there is none of it (NO_COLOR by no-color.org: set and not empty;
// TERM=dumb). What is marked up holds the same characters as before. That a real terminal gets
// them, and a pipe does not, is tests/cli/terminal.cmake. And the library tells progress in order,
// to its end, and the result has the same digits whether anybody listens. Everything is exact.
#include "terminal.hpp"

#include "holdable/answer/answer.hpp"
#include "holdable/answer/budget.hpp"
#include "holdable/answer/where.hpp"
#include "holdable/files/document.hpp"
#include "holdable/files/read_budget.hpp"
#include "holdable/files/read_job.hpp"
#include "holdable/files/read_machine.hpp"
#include "holdable/files/text.hpp"

#include <boost/test/unit_test.hpp>

#include <map>
#include <regex>
#include <string>

using namespace holdable;
using namespace holdable::cli;

namespace {

std::string without_marks(const std::string& text) {
    return std::regex_replace(text, std::regex("\x1b\\[[0-9]*m"), "");
}

Shop shop() {
    const std::string path = HOLDABLE_ROOT "/budgets/demo/machine.json";
    return read_machine(parse_document(read_text(path), path), path);
}

Job one_bore() {
    const std::string path = HOLDABLE_ROOT "/tests/cli/one-bore.json";
    return read_job(parse_document(read_text(path), path), path);
}

/// What was told, by what was being done: the last count, and how many were told.
struct Heard {
    std::map<std::string, Step> last;
    std::map<std::string, std::string> names;
    int steps = 0;
    bool orderly = true;

    Progress listen() {
        return [this](const Step& step) {
            ++steps;
            auto& before = last[std::string(step.doing)];
            orderly = orderly && (step.done >= before.done || step.done == 0) &&
                      (step.of == 0 || step.done <= step.of);
            before = step;
        };
    }
};

} // namespace

BOOST_AUTO_TEST_SUITE(terminal)

BOOST_AUTO_TEST_CASE(verdicts_are_bold) {
    BOOST_TEST(marked_up("MAKE        YES: limited by\n") ==
               "MAKE        \x1b[1mYES\x1b[0m: limited by\n");
    BOOST_TEST(marked_up("PROVE       CAN'T SAY: no gauge") ==
               "PROVE       \x1b[1mCAN'T SAY\x1b[0m: no gauge");
    BOOST_TEST(marked_up(" 3  bore 3   perp  7.4 %  NO        MARGINAL") ==
               " 3  bore 3   perp  7.4 %  \x1b[1mNO\x1b[0m        \x1b[1mMARGINAL\x1b[0m");
    BOOST_TEST(marked_up("NOT, NO-GO, YESNO, eYES, No") == "NOT, NO-GO, YESNO, eYES, No");
}

BOOST_AUTO_TEST_CASE(heads_of_tables_are_underlined) {
    BOOST_TEST(marked_up("one\n\n  What limits it      Ø, in  share\n  known error  1\n") ==
               "one\n\n  \x1b[4mWhat limits it      Ø, in  share\x1b[0m\n  known error  1\n");
    BOOST_TEST(marked_up("one\n  not after  a blank line") == "one\n  not after  a blank line");
    BOOST_TEST(marked_up("\nno inset  here") == "\nno inset  here");
    BOOST_TEST(marked_up("\n  one column") == "\n  one column");
}

BOOST_AUTO_TEST_CASE(the_words_stay_the_same) {
    const auto page = read_text(HOLDABLE_ROOT "/README.md");
    const auto marked = marked_up(page);
    BOOST_TEST((marked != page));
    BOOST_TEST((without_marks(marked) == page));
    BOOST_TEST(marked_up("").empty());
}

BOOST_AUTO_TEST_CASE(only_a_terminal_that_can_and_whose_user_wants_it) {
    BOOST_TEST((Surroundings{true, {}, "xterm"}.styles()));
    BOOST_TEST((Surroundings{true, "", "xterm"}.styles()));
    BOOST_TEST(!(Surroundings{true, "1", "xterm"}.styles()));
    BOOST_TEST((Surroundings{true, "1", "xterm"}.moves())); // progress has no colour
    BOOST_TEST(!(Surroundings{true, {}, "dumb"}.styles()));
    BOOST_TEST(!(Surroundings{true, {}, "dumb"}.moves()));
    BOOST_TEST(!(Surroundings{false, {}, "xterm"}.styles()));
    BOOST_TEST(!(Surroundings{false, {}, "xterm"}.moves()));
}

BOOST_AUTO_TEST_CASE(a_step_is_one_line) {
    BOOST_TEST(progress_line({"simulating parts", 0, 4}, 80) ==
               "simulating parts             |                        |   0 %");
    BOOST_TEST(progress_line({"simulating parts", 1, 4}, 80) ==
               "simulating parts             |======                  |  25 %");
    BOOST_TEST(progress_line({"simulating parts", 9, 4}, 80) ==
               "simulating parts             |========================| 100 %");
    BOOST_TEST(progress_line({"looking at places", 291, 0}, 80) ==
               "looking at places            291");
    BOOST_TEST(progress_line({"looking", 0, 0}, 80) == "looking");
    BOOST_TEST(progress_line({"simulating parts", 1, 4}, 11) == "simulating");
}

BOOST_AUTO_TEST_CASE(an_answer_tells_how_far_it_is) {
    Heard heard;
    AnswerOptions options;
    options.trials = 400;
    const auto quiet = answer(shop(), one_bore(), options);
    options.progress = heard.listen();
    const auto told = answer(shop(), one_bore(), options);
    BOOST_TEST(told.callouts[0].promise.smallest == quiet.callouts[0].promise.smallest);
    BOOST_TEST(heard.orderly);
    for (const auto* doing : {"simulating parts", "looking for what would help"}) {
        BOOST_REQUIRE(heard.last.contains(doing));
        BOOST_TEST(heard.last[doing].done == heard.last[doing].of);
    }
}

BOOST_AUTO_TEST_CASE(a_search_counts_its_places) {
    Heard heard;
    WhereOptions options;
    options.answer.trials = 400;
    options.answer.progress = heard.listen();
    const auto found = where(shop(), one_bore(), options);
    BOOST_REQUIRE(heard.last.contains("looking at places"));
    BOOST_TEST(heard.last["looking at places"].done == found.looks);
    BOOST_TEST(heard.orderly);
}

BOOST_AUTO_TEST_CASE(a_budget_counts_its_trials) {
    const std::string path = HOLDABLE_ROOT "/budgets/published/gum-h1-end-gauge.json";
    const auto budget = read_budget(parse_document(read_text(path), path), path);
    Heard heard;
    BudgetOptions options;
    options.run.trials = 200000;
    const auto quiet = evaluate(budget, options);
    options.run.progress = heard.listen();
    const auto told = evaluate(budget, options);
    BOOST_TEST(told.monte_carlo->outputs[0].value == quiet.monte_carlo->outputs[0].value);
    BOOST_TEST(heard.orderly);
    BOOST_TEST(heard.last["trials"].of == 200000U);
    BOOST_TEST(heard.last["trials"].done >= 200000U);
}

BOOST_AUTO_TEST_SUITE_END()
