// SPDX-License-Identifier: MIT
// What may be printed. Against code points typed by hand at both ends of each range: controls
// (Unicode 15, category Cc), separators of lines and paragraphs (Zl, Zp), what turns the direction
// of writing (Unicode Standard Annex 9, 2); and sequences of bytes on both sides of well-formed
// UTF-8 (Unicode 15, table 3-7, from memory). Exact.
#include "holdable/base/printable.hpp"

#include <boost/test/unit_test.hpp>

#include <string>

using namespace holdable;
using namespace std::string_literals;

BOOST_AUTO_TEST_SUITE(printable_text)

BOOST_AUTO_TEST_CASE(sequences_of_utf8) {
    BOOST_TEST(utf8_sequence("") == 0U);
    BOOST_TEST(utf8_sequence("\0"s) == 0U);
    BOOST_TEST(utf8_sequence("ab") == 1U);
    BOOST_TEST(utf8_sequence("\x7f") == 1U);
    BOOST_TEST(utf8_sequence("\xc2\x80") == 2U);
    BOOST_TEST(utf8_sequence("\xe0\xa0\x80") == 3U);
    BOOST_TEST(utf8_sequence("\xed\x9f\xbf") == 3U);
    BOOST_TEST(utf8_sequence("\xf0\x90\x80\x80") == 4U);
    BOOST_TEST(utf8_sequence("\xf4\x8f\xbf\xbf") == 4U);
    for (const std::string& wrong : {"\x80"s,
                                     "\xc1\xbf"s,
                                     "\xc2"s,
                                     "\xc2\x41"s,
                                     "\xe0\x9f\xbf"s,
                                     "\xed\xa0\x80"s,
                                     "\xe2\x82"s,
                                     "\xf0\x8f\xbf\xbf"s,
                                     "\xf4\x90\x80\x80"s,
                                     "\xf5\x80\x80\x80"s,
                                     "\xff"s})
        BOOST_TEST(utf8_sequence(wrong) == 0U);
}

BOOST_AUTO_TEST_CASE(what_steers_is_not_printable) {
    for (const auto* yes : {" ",
                            "~",
                            "\u00a0",
                            "\u061b",
                            "\u061d",
                            "\u200d",
                            "\u2010",
                            "\u2027",
                            "\u202f",
                            "\u2065",
                            "\u206a",
                            "א",
                            "µ",
                            "𝄞"})
        BOOST_TEST(printable(yes), yes);
    for (const std::string& no : {"\0"s,
                                  "\x1b"s,
                                  "\x1f"s,
                                  "\x7f"s,
                                  "\u0080"s,
                                  "\u009f"s,
                                  "\u061c"s,
                                  "\u200e"s,
                                  "\u200f"s,
                                  "\u2028"s,
                                  "\u2029"s,
                                  "\u202a"s,
                                  "\u202e"s,
                                  "\u2066"s,
                                  "\u2069"s})
        BOOST_TEST(!printable(no), shown(no));
}

BOOST_AUTO_TEST_CASE(where_and_what) {
    BOOST_TEST(unprintable("") == std::string::npos);
    BOOST_TEST(unprintable("Ø 12 µm") == std::string::npos);
    BOOST_TEST(unprintable("Ø\u202e") == 2U);
    BOOST_TEST(unprintable("a\tb") == 1U);
    BOOST_TEST(code_point_name("\u202e") == "U+202E");
    BOOST_TEST(code_point_name("\t") == "U+0009");
    BOOST_TEST(code_point_name("𝄞") == "U+1D11E");
}

BOOST_AUTO_TEST_CASE(what_stands_for_it) {
    const auto text = "Ø\u202e\x1b[31m\u0085\xff\0é"s;
    BOOST_TEST(shown(text) == "Ø\\u202e\\u001b[31m\\u0085\\xff\\u0000é");
    BOOST_TEST(blanked(text) == "Ø  [31m   é");
    BOOST_TEST(shown_in_short("12 mm") == "12 mm");
    BOOST_TEST(shown_in_short(std::string(60, 'x')) == std::string(60, 'x'));
    BOOST_TEST(shown_in_short(std::string(61, 'x')) == std::string(60, 'x') + "...");
}

BOOST_AUTO_TEST_SUITE_END()
