// SPDX-License-Identifier: MIT
#define BOOST_TEST_MODULE holdable
#include <boost/test/unit_test.hpp>
