// SPDX-License-Identifier: MIT
// Dates of files: the form, the days that exist, the years between. Against the calendar (1900 is
// no leap year, 2000 is one) and 365.2425 days, the mean Gregorian year. Exact.
#include "holdable/base/date.hpp"

#include "holdable/base/error.hpp"

#include <boost/test/unit_test.hpp>

using namespace holdable;

BOOST_AUTO_TEST_SUITE(date)

BOOST_AUTO_TEST_CASE(what_is_written_is_read_and_printed_again) {
    for (const auto* text : {"2026-11-20", "1900-01-01", "2199-12-31", "2000-02-29"})
        BOOST_TEST(to_string(parse_date(text)) == text);
}

BOOST_AUTO_TEST_CASE(no_other_form_and_no_other_day) {
    for (const auto* text : {"",
                             "2026-11-31",
                             "1900-02-29",
                             "2026-13-01",
                             "2026-1-2",
                             "20 Nov 2026",
                             "11/20/2026",
                             "2026-11-20 ",
                             "2200-01-01",
                             "1899-12-31",
                             "2026-00-10"}) {
        try {
            parse_date(text);
            BOOST_ERROR("accepted " << text);
        } catch (const InputError& error) {
            BOOST_TEST(error.diagnostics().at(0).id == "date-syntax");
        }
    }
}

BOOST_AUTO_TEST_CASE(years_count_from_the_first_to_the_second) {
    const auto from = parse_date("2000-01-01");
    BOOST_TEST(years_between(from, from + std::chrono::days{3652425}) == 10000);
    BOOST_TEST(years_between(from + std::chrono::days{10}, from) == -10 / 365.2425);
}

BOOST_AUTO_TEST_SUITE_END()
