// SPDX-License-Identifier: MIT
// Text of 80 columns. Against lines written by hand. Exact.
#include "holdable/report/page.hpp"

#include <boost/test/unit_test.hpp>

using namespace holdable;

BOOST_AUTO_TEST_SUITE(page)

BOOST_AUTO_TEST_CASE(columns_are_characters_not_bytes) {
    BOOST_TEST(columns("Ø.001 µm") == 8U);
    BOOST_TEST(fitted("Øµ", 4) == "Øµ  ");
    BOOST_TEST(fitted_right("Øµ", 4) == "  Øµ");
    BOOST_TEST(fitted("µµµµµ", 4) == "µµµ…");
    BOOST_TEST(fitted("a\nb\x1b", 4) == "a b ");
}

BOOST_AUTO_TEST_CASE(lines_break_at_blanks_and_long_words_anywhere) {
    const auto lines = wrapped("one two three", 7);
    BOOST_TEST((lines == std::vector<std::string>{"one two", "three"}));
    const auto cut = wrapped("a ØØØØØ b", 4);
    BOOST_TEST((cut == std::vector<std::string>{"a", "ØØØØ", "Ø b"}));
    BOOST_TEST(wrapped("   ", 4).empty());
}

BOOST_AUTO_TEST_CASE(labels_stand_in_the_margin_once) {
    Page page(8);
    page.full("title");
    page.gap();
    page.beside("Label", std::string(70, 'x') + " y");
    page.list("One", {"a"});
    page.list("Two", {"a", "b"});
    page.list("None", {});
    BOOST_TEST(page.text() == "title\n\nLabel   " + std::string(70, 'x') +
                                  " y\nOne     a\nTwo     - a\n        - b\n");
}

BOOST_AUTO_TEST_SUITE_END()
