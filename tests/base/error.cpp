// SPDX-License-Identifier: MIT
// The printed form of a diagnostic, which is an interface: editors jump to it, users read it.
// Against texts written by hand from DEVELOPERS.md; exact.
#include "holdable/base/error.hpp"

#include <boost/test/unit_test.hpp>

using namespace holdable;

BOOST_AUTO_TEST_SUITE(error)

BOOST_AUTO_TEST_CASE(a_located_diagnostic_prints_like_a_compilers) {
    const Diagnostic d{"unit-unknown",
                       {"mill.json", 14, 23, "/inputs/3"},
                       "unknown unit \"MM\"",
                       "did you mean \"mm\"?"};
    BOOST_TEST(to_string(d) == "mill.json:14:23: error: unknown unit \"MM\" [unit-unknown]\n"
                               "    at /inputs/3\n"
                               "    hint: did you mean \"mm\"?");
}

BOOST_AUTO_TEST_CASE(words_of_the_user_break_no_line) {
    const Diagnostic d{"a-b", {"f", 1, 2, "/x\ny"}, "\"\x1b[31m\r\"", ""};
    BOOST_TEST(to_string(d) == "f:1:2: error: \"\\u001b[31m\\u000d\" [a-b]\n    at /x\\u000ay");
}

BOOST_AUTO_TEST_CASE(without_a_place_only_the_message_is_left) {
    BOOST_TEST(std::string(InputError("unit-missing", "\"5\" has no unit").what()) ==
               "error: \"5\" has no unit [unit-missing]");
}

BOOST_AUTO_TEST_CASE(an_input_error_says_all_in_the_order_found) {
    const InputError both(
        {{"a-b", {"f", 1, 2, ""}, "one", ""}, {"c-d", {"f", 3, 4, ""}, "two", ""}});
    BOOST_TEST(both.diagnostics().size() == 2U);
    BOOST_TEST(std::string(both.what()) == "f:1:2: error: one [a-b]\nf:3:4: error: two [c-d]");
}

BOOST_AUTO_TEST_SUITE_END()
