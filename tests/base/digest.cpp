// SPDX-License-Identifier: MIT
// The fingerprint of files against the examples of FIPS 180-4 as NIST publishes them (from memory;
// `sha256sum` of GNU coreutils gives the same): other people's code. To the digit.
#include "holdable/base/digest.hpp"

#include <boost/test/unit_test.hpp>

#include <set>
#include <string>

using holdable::sha256;

BOOST_AUTO_TEST_SUITE(digest)

BOOST_AUTO_TEST_CASE(published_examples) {
    BOOST_TEST(sha256("") == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
    BOOST_TEST(sha256("abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    BOOST_TEST(sha256("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq") ==
               "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
    BOOST_TEST(sha256(std::string(1'000'000, 'a')) ==
               "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
}

BOOST_AUTO_TEST_CASE(lengths_about_a_block_all_differ) {
    std::set<std::string> seen;
    for (std::size_t n = 50; n < 140; ++n)
        BOOST_TEST(seen.insert(sha256(std::string(n, '\0'))).second);
}

BOOST_AUTO_TEST_SUITE_END()
