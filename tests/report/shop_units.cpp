// SPDX-License-Identifier: MIT
// Lengths and slopes in the shop's habit. Against 1 in = 25.4 mm and 1 arcsec = π/648 000 rad
// worked by hand, and against the reader of quantities, which shares no code with the printer.
// Exact: texts are compared; what is read back agrees to the digits printed (half of the last of
// two: 5 %).
#include "holdable/report/shop_units.hpp"

#include "holdable/base/quantity.hpp"

#include <boost/test/unit_test.hpp>

#include <cmath>

using namespace holdable;

namespace {

constexpr double inch = 0.0254;

} // namespace

BOOST_AUTO_TEST_SUITE(shop_units)

BOOST_AUTO_TEST_CASE(inch_drops_the_zero_and_metric_keeps_it) {
    BOOST_TEST(length_text(0.0005 * inch, Habit::inch) == ".00050 in");
    BOOST_TEST(length_text(0.0005 * inch, Habit::metric) == "0.013 mm"); // 12.7 µm
    BOOST_TEST(length_text(8.44e-6, Habit::metric) == "8.4 µm");
    BOOST_TEST(length_text(-0.0002 * inch, Habit::inch, 1) == "-.0002 in");
    BOOST_TEST(length_text(1.5 * inch, Habit::inch) == "1.5 in");
    BOOST_TEST(length_text(0, Habit::inch) == "0 in");
    BOOST_TEST(length_text(0, Habit::metric) == "0 mm");
}

BOOST_AUTO_TEST_CASE(the_other_unit_stands_in_brackets_rounded_the_same_way) {
    BOOST_TEST(length_in_both(0.0005 * inch, Habit::inch, 1) == ".0005 in (0.01 mm)");
    BOOST_TEST(length_in_both(21e-6, Habit::metric) == "0.021 mm (.00083 in)"); // .000 826 8 in
    BOOST_TEST(length_in_both(21e-6, Habit::inch, 2, Rounding::up) == ".00083 in (0.021 mm)");
    BOOST_TEST(length_in_both(21e-6, Habit::inch, 2, Rounding::down) == ".00082 in (0.021 mm)");
}

BOOST_AUTO_TEST_CASE(slopes_have_their_length_and_their_angle) {
    // .0005 in/ft = 41.667 µrad = 8.594 arcsec = 12.5 µm in 300 mm
    const double slope = 0.0005 / 12;
    BOOST_TEST(slope_text(slope, Habit::inch) == ".00050 in/ft");
    BOOST_TEST(slope_text(slope, Habit::metric, 3) == "0.0125 mm/300mm");
    BOOST_TEST(slope_in_both(slope, Habit::inch) == ".00050 in/ft (8.6 arcsec)");
    BOOST_TEST(slope_in_both(-slope, Habit::metric, 3) == "-0.0125 mm/300mm (-8.59 arcsec)");
}

BOOST_AUTO_TEST_CASE(places_on_the_machine_have_the_places_of_a_print) {
    BOOST_TEST(coordinate_text(6 * inch, Habit::inch) == "6.000 in");
    BOOST_TEST(coordinate_text(0.25 * inch, Habit::inch) == ".250 in");
    BOOST_TEST(coordinate_text(0.1524, Habit::metric) == "152.40 mm");
    BOOST_TEST(coordinate_text(-0.0001, Habit::metric) == "-0.10 mm");
}

BOOST_AUTO_TEST_CASE(an_estimate_ends_where_its_doubt_ends) {
    const auto printed = printed_in(slope_unit(Habit::inch), 41e-6, 9.1e-6);
    BOOST_TEST(printed.value == ".00049"); // 0.000 492 and 0.000 109 in/ft
    BOOST_TEST(printed.uncertainty == ".00011");
    BOOST_TEST(printed_in(length_unit(Habit::metric, 1), -41e-6, 9.1e-6).value == "-0.0410");
}

BOOST_AUTO_TEST_CASE(what_was_written_keeps_its_zeros) {
    BOOST_TEST(as_written("0.0010 in", 0.001 * inch, Habit::inch) == ".0010 in");
    BOOST_TEST(as_written(".50in", 0.5 * inch, Habit::inch) == ".50 in");
    BOOST_TEST(as_written("0.02 mm", 2e-5, Habit::inch) == "0.02 mm");
    BOOST_TEST(as_written(" 25 um", 2.5e-5, Habit::metric) == "25 um");
    BOOST_TEST(as_written("", 2.5e-5, Habit::metric) == "0.025 mm");
    BOOST_TEST(as_written("a thou", 0.001 * inch, Habit::inch) == ".001 in");
    BOOST_TEST(exact_length(0.005 * inch, Habit::inch) == ".005 in");
    BOOST_TEST(exact_length(1.25e-5, Habit::metric) == "0.0125 mm");
    BOOST_TEST(exact_length(2 * inch, Habit::inch) == "2 in");
}

BOOST_AUTO_TEST_CASE(a_promise_goes_up_but_not_over_a_limit_it_keeps) {
    const auto in = length_unit(Habit::inch, 1);
    BOOST_TEST(promised_number(in, 0.000823 * inch, 0.001 * inch) == ".00083");
    BOOST_TEST(promised_number(in, 0.001241 * inch, 0.00125 * inch) == ".00125");
    BOOST_TEST(promised_number(in, 0.00124 * inch, 0.001242 * inch) == ".00124");
    BOOST_TEST(promised_number(in, 0.00101 * inch, 0.001 * inch) == ".0011");
    BOOST_TEST(promised_number(in, 0.001 * inch, 0.001 * inch) == ".0010");
}

BOOST_AUTO_TEST_CASE(what_is_printed_can_be_read) {
    for (const double m : {1.234e-6, 9.96e-6, 3.3e-5, 0.0127, 0.5}) {
        for (const auto h : {Habit::inch, Habit::metric}) {
            BOOST_TEST_CONTEXT(m) {
                const double length = parse_as(Measure::length, length_text(m, h));
                BOOST_TEST(std::abs(length / m - 1) <= 0.05);
                const double slope = parse_as(Measure::angle, slope_text(m, h));
                BOOST_TEST(std::abs(slope / m - 1) <= 0.05);
            }
        }
    }
}

BOOST_AUTO_TEST_SUITE_END()
