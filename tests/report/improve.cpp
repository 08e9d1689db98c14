// SPDX-License-Identifier: MIT
// The page of what would help, and its JSON, of results made by hand: what must stand on it, in
// which order, and that no line is wider than a screen. Independent: nothing is computed.
#include "holdable/files/document.hpp"
#include "holdable/report/improve_json.hpp"
#include "holdable/report/improve_text.hpp"
#include "holdable/report/page.hpp"
#include "report/improve_samples.hpp"

#include <boost/test/unit_test.hpp>

#include <sstream>
#include <string>

using namespace holdable;

BOOST_AUTO_TEST_SUITE(report_improve)

BOOST_AUTO_TEST_CASE(the_page_has_it_in_order) {
    const auto page = improve_text(samples::improvement());
    std::size_t at = 0;
    for (const auto* text :
         {"bracket: what to fix or measure next",
          "Caution     Before any of it: lock out the spindle",
          "What helps",
          " 1. check the roll of Y by \"long level\" on the table (30 min); if it "
          "reads",
          "Ø.0012 in to Ø.00080 in    CAN'T SAY to YES",
          " 2. measure the temperature",
          "Least that  1 of them: 1, 30 min",
          "No way      dowel hole: with all that helps still Ø.015 in",
          "One alone would have to shrink, for dowel hole to promise Ø.010 in",
          "finding the edge in X                       to 24 %",
          "cannot: Ø.018 in without it",
          "as expected YES; YES in 87 % of the outcomes",
          "Note        a remark",
          "Not a certificate of conformity"}) {
        const auto found = page.find(text, at);
        BOOST_TEST(found != std::string::npos, text << "\n" << page);
        at = found == std::string::npos ? at : found;
    }
    std::istringstream lines(page);
    for (std::string line; std::getline(lines, line);)
        BOOST_TEST(columns(line) <= page_width, line);
}

BOOST_AUTO_TEST_CASE(where_all_is_yes_nothing_is_wanted) {
    auto all = samples::improvement();
    all.now = {samples::seen(Verdict::yes, 0.5), samples::seen(Verdict::yes, 5)};
    const auto page = improve_text(all);
    BOOST_TEST(page.find("Nothing     is wanted") != std::string::npos);
    BOOST_TEST(page.find("What helps") == std::string::npos);
}

BOOST_AUTO_TEST_CASE(json_has_the_numbers_unrounded) {
    const auto text = improve_json(samples::improvement());
    const auto root = parse_document(text, "improvement");
    BOOST_TEST(text.find("\"holdable\": \"improve-result/1\"") != std::string::npos);
    BOOST_TEST(text.find("\"chance_of_yes\": 0.876") != std::string::npos);
    BOOST_TEST(text.find("\"factor\": 0.244") != std::string::npos);
    BOOST_TEST(text.find("\"factor\": null") != std::string::npos);
    BOOST_TEST(text.find("\"worst\": \"dowel hole\"") != std::string::npos);
    BOOST_TEST(root.members.size() == 15U);
}

BOOST_AUTO_TEST_SUITE_END()
