// SPDX-License-Identifier: MIT
// The main of every test program; written out, so that Boost.Test's header can be precompiled.
#include <boost/test/unit_test.hpp>

int main(int argc, char** argv) {
    return boost::unit_test::unit_test_main([] { return true; }, argc, argv);
}
