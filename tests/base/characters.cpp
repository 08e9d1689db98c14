// SPDX-License-Identifier: MIT
// Characters that do something other than stand in their place: which they are, and what is put
// instead. Against code points and bytes written out by hand from the Unicode Standard, chapters 3
// (table 3-7) and 23 (from memory). Exact.
#include "holdable/base/characters.hpp"

#include <boost/test/unit_test.hpp>

#include <string>
#include <vector>

using namespace holdable;

BOOST_AUTO_TEST_SUITE(characters)

BOOST_AUTO_TEST_CASE(those_that_are_hidden) {
    for (const std::int32_t code : {0x00,
                                    0x09,
                                    0x0A,
                                    0x1B,
                                    0x1F,
                                    0x7F,
                                    0x80,
                                    0x85,
                                    0x9B,
                                    0x9F,
                                    0x061C,
                                    0x200E,
                                    0x200F,
                                    0x2028,
                                    0x2029,
                                    0x202A,
                                    0x202E,
                                    0x2066,
                                    0x2069})
        BOOST_TEST(is_hidden(code), code);
    for (const std::int32_t code : {-1,
                                    0x20,
                                    0x7E,
                                    0xA0,
                                    0xB5,
                                    0xD8,
                                    0x061B,
                                    0x200D,
                                    0x2010,
                                    0x2027,
                                    0x202F,
                                    0x2065,
                                    0x206A,
                                    0x1F600})
        BOOST_TEST(!is_hidden(code), code);
}

BOOST_AUTO_TEST_CASE(code_points_and_bytes_that_are_none) {
    const std::string text = "aØ→\U0001F600\xC0\xED\xA0\x80\xE2\x82";
    std::vector<std::int32_t> codes;
    for (std::size_t at = 0; at < text.size();)
        codes.push_back(next_code_point(text, at));
    const std::vector<std::int32_t> expected = {'a', 0xD8, 0x2192, 0x1F600, -1, -1, -1, -1, -1, -1};
    BOOST_TEST(codes == expected, boost::test_tools::per_element());
}

BOOST_AUTO_TEST_CASE(what_is_put_instead) {
    const std::string text = "Ø 8\x1b[31m\n\u009b2J\u202e\xff";
    BOOST_TEST(blanked(text) == "Ø 8 [31m  2J \xff");
    BOOST_TEST(spelled_out(text) == "Ø 8\\u001b[31m\\u000a\\u009b2J\\u202e\\xff");
    BOOST_TEST(spelled_out(text, true) == "Ø 8\\u001b[31m\n\\u009b2J\\u202e\\xff");
    BOOST_TEST(spelled_out("").empty());
}

BOOST_AUTO_TEST_SUITE_END()
