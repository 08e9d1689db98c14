// SPDX-License-Identifier: MIT
// Rounding and printing of measured numbers. Against the examples of GUM (JCGM 100:2008) 7.2.6
// where marked, and against decimal arithmetic by hand elsewhere. Exact: texts are compared.
#include "holdable/report/numbers.hpp"

#include "holdable/base/error.hpp"

#include <boost/test/unit_test.hpp>

#include <cmath>
#include <limits>

using namespace holdable;

BOOST_AUTO_TEST_SUITE(numbers)

BOOST_AUTO_TEST_CASE(examples_of_gum_7_2_6) {
    BOOST_TEST(to_digits(10.47, 2, Rounding::up) == "11"); // 10.47 mΩ → 11 mΩ
    BOOST_TEST(to_digits(28.05, 2) == "28");               // 28.05 kHz → 28 kHz
    const auto printed = with_uncertainty(10.05762, 0.027);
    BOOST_TEST(printed.value == "10.058"); // 10.057 62 Ω with u_c = 27 mΩ
    BOOST_TEST(printed.uncertainty == "0.027");
}

BOOST_AUTO_TEST_CASE(digits_are_recounted_after_a_carry) {
    BOOST_TEST(to_digits(9.96, 2) == "10");
    BOOST_TEST(to_digits(0.0996, 2) == "0.10");
    BOOST_TEST(to_digits(99.6, 2) == "100");
    BOOST_TEST(to_digits(9.91, 2, Rounding::up) == "10");
    BOOST_TEST(to_digits(9.99, 2, Rounding::down) == "9.9");
}

BOOST_AUTO_TEST_CASE(powers_of_ten_keep_their_digits) {
    for (int n = -12; n <= 12; ++n)
        BOOST_TEST(last_place(std::pow(10.0, n), 2) == n - 1, n);
}

BOOST_AUTO_TEST_CASE(a_decimal_number_is_not_moved_by_its_binary_error) {
    BOOST_TEST(to_digits(3.2, 2, Rounding::up) == "3.2");
    BOOST_TEST(to_digits(1.1 + 2.2, 2, Rounding::up) == "3.3");
    BOOST_TEST(to_digits(4.35 * 100, 3, Rounding::down) == "435");
    BOOST_TEST(to_place(0.29 * 100, 0, Rounding::down) == "29");
}

BOOST_AUTO_TEST_CASE(up_and_down_keep_their_direction_below_zero) {
    BOOST_TEST(to_place(-1.23, -1, Rounding::up) == "-1.2");
    BOOST_TEST(to_place(-1.23, -1, Rounding::down) == "-1.3");
    BOOST_TEST(to_place(-1.25, -1) == "-1.3");
    BOOST_TEST(to_place(1.005, -2) == "1.01"); // a tie, stored below the half
}

BOOST_AUTO_TEST_CASE(zeros_are_kept_and_never_signed) {
    BOOST_TEST(to_place(0.1, -3) == "0.100");
    BOOST_TEST(to_place(1234, 2) == "1200");
    BOOST_TEST(to_place(-0.04, -1) == "0.0");
    BOOST_TEST(to_digits(0, 2) == "0");
    BOOST_TEST(with_uncertainty(-0.0001, 0.27).value == "0.00");
}

BOOST_AUTO_TEST_CASE(limits_in_inches_go_inward) {
    // 20.05 mm = 0.789370… in and 19.95 mm = 0.785433… in, by 1 in = 25.4 mm.
    BOOST_TEST(to_place(20.05 / 25.4, -4, Rounding::down) == "0.7893");
    BOOST_TEST(to_place(19.95 / 25.4, -4, Rounding::up) == "0.7855");
}

BOOST_AUTO_TEST_CASE(promises_go_up_at_two_digits) {
    // By decimal arithmetic; U = 4.2 µm is 0.000165… in.
    BOOST_TEST(to_digits(1.01, 2, Rounding::up) == "1.1");
    BOOST_TEST(to_digits(2.0, 2, Rounding::up) == "2.0");
    BOOST_TEST(to_digits(0.0999, 2, Rounding::up) == "0.10");
    BOOST_TEST(to_digits(0.0042 / 25.4, 2, Rounding::up) == "0.00017");
    // To the nearest, as the other ones of these are in the 5 % rule of EA-4/02.
    BOOST_TEST(to_digits(0.1049, 2) == "0.10");
    BOOST_TEST(to_digits(2.549, 2) == "2.5");
    BOOST_TEST(to_digits(0.996, 2) == "1.0");
    BOOST_TEST(with_uncertainty(24.99649, 0.0038).value == "24.9965");
    BOOST_TEST(to_place(0.025 / 25.4, -13) == "0.0009842519685");
}

BOOST_AUTO_TEST_CASE(probabilities_go_down_and_are_never_certain) {
    BOOST_TEST(percent_down(0.97107) == "97.1 %");
    BOOST_TEST(percent_down(0.94999) == "94.9 %");
    BOOST_TEST(percent_down(0.99959) == "99.95 %");
    BOOST_TEST(percent_down(1) == "> 99.99 %");
    BOOST_TEST(percent_down(0) == "< 0.01 %");
    // a risk goes up
    BOOST_TEST(percent_up(0.0312) == "3.2 %");
    BOOST_TEST(percent_up(0.00041) == "0.05 %");
    BOOST_TEST(percent_up(0.00001) == "< 0.01 %");
    BOOST_TEST(percent_up(0.99991) == "> 99.99 %");
}

BOOST_AUTO_TEST_CASE(what_is_no_number_is_not_printed) {
    const double nan = std::numeric_limits<double>::quiet_NaN();
    const double inf = std::numeric_limits<double>::infinity();
    BOOST_CHECK_THROW(to_place(nan, 0), NumericError);
    BOOST_CHECK_THROW(to_digits(inf, 2), NumericError);
    BOOST_CHECK_THROW(with_uncertainty(1, -1), NumericError);
    BOOST_CHECK_THROW(with_uncertainty(1, nan), NumericError);
    BOOST_CHECK_THROW(percent_down(1.5), NumericError);
    BOOST_CHECK_THROW(to_place(1e12, -6), NumericError);
}

BOOST_AUTO_TEST_SUITE_END()
