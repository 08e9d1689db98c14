// SPDX-License-Identifier: MIT
// What was probably meant, and quoting. Against slips typed by hand whose number of edits can be
// counted on the fingers, at and just past the limit; exact.
#include "holdable/base/words.hpp"

#include <boost/test/unit_test.hpp>

using namespace holdable;

BOOST_AUTO_TEST_SUITE(words)

BOOST_AUTO_TEST_CASE(the_nearest_word) {
    const std::vector<std::string_view> known{"standard", "expanded", "half_width", "low", "k"};
    BOOST_TEST(nearest("standard", known) == "standard");
    BOOST_TEST(nearest("standart", known) == "standard");
    BOOST_TEST(nearest("stadnard", known) == "standard"); // swapped
    BOOST_TEST(nearest("stndrd", known) == "standard");   // two missing, 6/3 allowed
    BOOST_TEST(nearest("stndr", known) == "");            // three missing, 5/3 allowed
    BOOST_TEST(nearest("Half-Width", known) == "half_width");
    BOOST_TEST(nearest("halfwidth", known) == "half_width");
    BOOST_TEST(nearest("lwo", known) == "low");
    BOOST_TEST(nearest("high", known) == "");
    BOOST_TEST(nearest("K", known) == "k");
    BOOST_TEST(nearest("q", known) == ""); // nothing of it is left
    BOOST_TEST(nearest("", known) == "");
    BOOST_TEST(nearest("low", {}) == "");
    BOOST_TEST(nearest("ab", {"ac", "ad"}) == "ac");
    BOOST_TEST(nearest(std::string(1'000'000, 'k'), known) == "");
}

BOOST_AUTO_TEST_CASE(quotes_keep_one_line_of_bearable_length) {
    BOOST_TEST(in_quotes("12 µm") == "\"12 µm\"");
    BOOST_TEST(in_quotes("") == "\"\"");
    BOOST_TEST(in_quotes("a\nb\x1b\x7f") == "\"a\\u000ab\\u001b\\u007f\"");
    std::string sixty;
    for (int i = 0; i < 60; ++i)
        sixty += "µ";
    BOOST_TEST(in_quotes(sixty) == "\"" + sixty + "\"");
    BOOST_TEST(in_quotes(sixty + "µ") == "\"" + sixty + "...\"");
    BOOST_TEST(in_quotes(sixty + "\x1b") == "\"" + sixty + "...\"");
}

BOOST_AUTO_TEST_SUITE_END()
