// SPDX-License-Identifier: MIT
// The job made from a line, against a job file that says the same, read by the reader of files: its
// answer has the same digits, all of them. What was left out is listed; what does not fit the
// machine is refused by its column. The places that are filled in are worked out here by hand, to
// 1e-12 relative, some roundings of a double.
#include "holdable/files/ask_job.hpp"

#include "files/job_text.hpp"
#include "holdable/answer/answer.hpp"
#include "holdable/base/error.hpp"
#include "holdable/files/read_machine.hpp"
#include "holdable/files/text.hpp"
#include "holdable/part/features.hpp"

#include <boost/test/unit_test.hpp>

#include <algorithm>
#include <string>
#include <vector>

using namespace holdable;
using job_texts::in;
using job_texts::is;

namespace {

/// X 0 to 16 in, Y 0 to 12 in, Z -14 to 0 in, 18 in from its nose to the table.
const Shop& shop() {
    static const auto read = [] {
        const std::string path = HOLDABLE_ROOT "/budgets/demo/machine.json";
        return read_machine(parse_document(read_text(path), path), path);
    }();
    return read;
}

AskedJob made(const std::string& line) {
    return job_from(read_ask(line, true), shop());
}

Diagnostic refused(const std::string& line) {
    try {
        made(line);
    } catch (const InputError& error) {
        return error.diagnostics().front();
    }
    return {};
}

bool says(const AskedJob& job, const std::string& text) {
    return std::any_of(job.assumed.begin(), job.assumed.end(), [&](const std::string& line) {
        return line.find(text) != std::string::npos;
    });
}

/// A job file of one callout, with what a line takes for granted written out.
Job by_file(const std::string& material, int quantity, const std::string& callout) {
    return job_texts::read("{\"holdable\": \"job/1\", \"name\": \"by file\", \"material\": \"" +
                           material + "\", \"quantity\": " + std::to_string(quantity) +
                           ", \"process\": \"typical\", \"units\": \"inch\", \"callouts\": [" +
                           callout + "]}");
}

/// Every digit of both answers.
void same_answer(const Job& one, const Job& other) {
    AnswerOptions options;
    options.on = parse_date("2025-04-07");
    options.trials = 300;
    const auto a = answer(shop(), one, options).callouts.at(0);
    const auto b = answer(shop(), other, options).callouts.at(0);
    BOOST_TEST(a.computed);
    BOOST_TEST(word(a.verdict) == word(b.verdict));
    BOOST_TEST(a.reason == b.reason);
    BOOST_TEST(a.promise.smallest == b.promise.smallest);
    BOOST_TEST(a.promise.smallest > 0);
    BOOST_TEST(a.promise.next_part == b.promise.next_part);
    BOOST_TEST(a.promise.assured_yield == b.promise.assured_yield);
    BOOST_TEST(a.promise.gamma == b.promise.gamma);
    BOOST_TEST(a.promise.known_value == b.promise.known_value);
    BOOST_TEST(a.promise.shares.size() == b.promise.shares.size());
    BOOST_TEST(a.must_be_true == b.must_be_true, boost::test_tools::per_element());
}

} // namespace

BOOST_AUTO_TEST_SUITE(asked_jobs)

BOOST_AUTO_TEST_CASE(a_bore_has_the_digits_of_its_file) {
    same_answer(made("perp Ø.002 over 3.00 at 8,6 part 6 x 4 in ductile iron").job,
                by_file("ductile iron", 1, R"({
      "id": "the bore", "perpendicularity": "Ø.002 in",
      "hole": {"place": ["8 in", "6 in"], "top": "4 in", "depth": "3 in", "gauge_length": "6 in",
               "made_by": "boring"},
      "datum": {"name": "A", "kind": "face", "x": ["5 in", "11 in"], "y": ["4 in", "8 in"],
                "height": "4 in", "gauge_length": "4 in"}})"));
}

BOOST_AUTO_TEST_CASE(a_pattern_has_the_digits_of_its_file) {
    same_answer(
        made("4X pos Ø.010 to A|B|C over .75 at 6,5 and 10,5 and 10,7 and 6,7 from 5,4 part "
             "6 x 4 in 6061 qty 50 drilled")
            .job,
        by_file("aluminium 6061", 50, R"({
      "id": "the 4 drilled holes", "position": "Ø.010 in",
      "holes": {"places": [["6 in", "5 in"], ["10 in", "5 in"], ["10 in", "7 in"], ["6 in", "7 in"]],
                "top": "1.75 in", "depth": ".75 in", "gauge_length": "3.75 in",
                "made_by": "drilling"},
      "datum": {"name": "A|B|C", "kind": "picked up", "x": "5 in", "y": "4 in",
                "height": "1.25 in", "gauge_length": "4 in"}})"));
}

BOOST_AUTO_TEST_CASE(sizes_and_faces_have_the_digits_of_their_files) {
    same_answer(made("10.000 ±.0005 between 3,6 and 13,6 over .5 reamed in 4140 qty 2").job,
                by_file("steel", 2, R"({
      "id": "the two reamed holes", "distance": "10.000 ±.0005 in",
      "holes": {"places": [["3 in", "6 in"], ["13 in", "6 in"]], "top": "1.5 in", "depth": ".5 in",
                "gauge_length": "3.5 in", "made_by": "reaming"}})"));
    same_answer(made("42 mm H7 over 20 at 200,160 milled").job, by_file("steel", 1, R"({
      "id": "the milled hole", "diameter": "42 mm H7",
      "hole": {"place": ["200 mm", "160 mm"], "top": "45 mm", "depth": "20 mm",
               "gauge_length": "95 mm", "made_by": "interpolating", "feed": "500 mm/min"}})"));
    same_answer(made("par .002 over 8 x 4 to seat in 7075").job, by_file("aluminium 7075", 1, R"({
      "id": "the face", "parallelism": ".002 in",
      "face": {"x": ["4 in", "12 in"], "y": ["4 in", "8 in"], "height": "2 in",
               "gauge_length": "4 in",
               "cutter": {"diameter": "3 in", "step_over": "2.25 in", "feed": "X"}},
      "datum": {"name": "the seat", "kind": "seat"}})"));
    same_answer(made("depth .250 ±.002 over 2 x 1 at 9,6 to A").job, by_file("steel", 1, R"({
      "id": "the floor", "depth": ".250 ±.002 in",
      "face": {"x": ["8 in", "10 in"], "y": ["5.5 in", "6.5 in"], "height": "1 in",
               "gauge_length": "4 in"},
      "datum": {"name": "A", "kind": "face", "x": ["4 in", "12 in"], "y": ["3 in", "9 in"],
                "height": "1.25 in", "gauge_length": "4 in"}})"));
}

BOOST_AUTO_TEST_CASE(every_kind_of_a_line_can_be_computed) {
    for (const char* line : {"pos Ø.003 to A|B|C over .5",
                             "6X pos Ø.003 on Ø5 over .5 to each other tapped",
                             "perp Ø.001 over 3 to seat",
                             "par .001 over 4 x 8 to A",
                             "flat .001 over 10 x 6",
                             "str .001 over 10 along X",
                             "str .001 over 8 along Y",
                             "str Ø.001 over 2",
                             "round .0005",
                             "round .0005 of Ø2 milled",
                             "cyl .0005 over 2 of Ø2 milled",
                             "cyl .0005 over 2 reamed",
                             "Ø2.000 ±.001",
                             "Ø2.000 ±.001 milled",
                             "2X Ø.250 +.001/0 over .5 at 5,5 and 6,5 drilled",
                             "2.000 ±.001 between 5,5 and 7,5",
                             "height 1.000 ±.001 over 8 x 4 to seat",
                             "height 2.000 ±.001 over 4 x 4 to A"})
        BOOST_TEST_CONTEXT(line) {
            const auto job = made(line);
            const auto asked = question(solve(shop(), parse_date("2025-04-07")), job.job);
            BOOST_TEST(asked.readiness.at(0).missing.empty());
            BOOST_TEST(!job.assumed.empty());
            for (const auto& text : job.assumed)
                BOOST_TEST(!text.empty());
        }
}

BOOST_AUTO_TEST_CASE(what_is_left_out_is_filled_and_said) {
    const auto bore = made("perp Ø.001 over 3.00");
    const auto& c = bore.job.callouts.at(0);
    is(c.hole().x, 8 * in);
    is(c.hole().y, 6 * in);
    is(c.hole().top, 4 * in);
    is(c.hole().depth, 3 * in);
    is(c.hole().tool_length, 6 * in);
    is(c.plane().face.extent, {4 * in, 12 * in, 3 * in, 9 * in});
    BOOST_TEST((c.plane().kind == PlaneDatum::Kind::face));
    BOOST_TEST(bore.job.material == "steel");
    BOOST_TEST(bore.job.quantity == 1);
    BOOST_TEST(bore.job.process_typical);
    BOOST_TEST(says(bore, "the bore at the middle of the travel, X 8, Y 6 in"));
    BOOST_TEST(says(bore, "part at X 4 to 12, Y 3 to 9 in, its top 4 in over the table"));
    BOOST_TEST(says(bore, "A: the whole top of the part, milled in the same set-up"));
    BOOST_TEST(says(bore, "the bore: bored, its tool 6 in from spindle to tip"));
    BOOST_TEST(says(bore, "steel, one part"));
    BOOST_TEST(says(bore, "within 5.4 °F of 68 °F"));
    BOOST_TEST(says(bore, "typical for the trade"));
    BOOST_TEST(says(job_from(read_ask("flat .02 over 50 x 50 mm", true), shop()), "3 K of 20 °C"));
    const auto told = made("perp Ø.001 over 3.00 at 6,4 to seat bored in 6061 qty 5");
    BOOST_TEST(!says(told, "middle"));
    BOOST_TEST(!says(told, "bored"));
    BOOST_TEST(!says(told, "steel"));
    BOOST_TEST(!says(told, "one part"));
    BOOST_TEST(!says(told, "A:"));
}

BOOST_AUTO_TEST_CASE(a_part_grows_over_what_is_asked) {
    const auto wide = made("perp Ø.001 over 3.00 at 1,11");
    is(wide.job.part, {1 * in, 12 * in, 3 * in, 11 * in});
}

BOOST_AUTO_TEST_CASE(a_low_part_is_raised_until_tools_reach_it) {
    // The travel ends with the nose 4 in over the table; a tool 3.1 in long in a hole 0.1 in deep
    // does reach a part on 1 in of parallels. With the table half an inch lower it does not.
    is(made("perp Ø.001 over .1").job.callouts[0].hole().top, 1.1 * in);
    auto low = shop();
    low.nose_to_table += 0.5 * in;
    const auto raised = job_from(read_ask("perp Ø.001 over .1", true), low);
    is(raised.job.callouts[0].hole().top, 1.6 * in); // 1.4 in, up to the next quarter
}

BOOST_AUTO_TEST_CASE(what_does_not_fit_is_refused) {
    const auto outside = refused("perp Ø.001 over 3.00 at 17,4");
    BOOST_TEST(outside.id == "ask-travel");
    BOOST_TEST(outside.location.column == 25);
    BOOST_TEST(outside.message == "X 17 is outside the travel of X, 0 to 16 in");
    BOOST_TEST(refused("flat .001 over 17 x 4").id == "ask-travel");
    BOOST_TEST(refused("2X Ø.250 ±.001 on Ø14 at 8,6").id == "");
    BOOST_TEST(refused("4X Ø.250 ±.001 on Ø14 at 8,6").id == "ask-travel");
    BOOST_TEST(refused("perp Ø.001 over 3.00 at 9,4 part 6 x 4 from 2,2").id == "outside-part");
    BOOST_TEST(refused("perp Ø.001 over 3.00 at 1,4 from 2,2").id == "outside-part");
    BOOST_TEST(refused("perp Ø.001 over 3.00 part 20 x 4").id == "ask-travel");
    BOOST_TEST(refused("perp Ø.001 over 8").id == "ask-reach");
    BOOST_TEST(refused("9.000 ±.001 between 3,6 and 13,6").id == "size-places");
    BOOST_TEST(refused("10.000 ±.001 between 3,6 and 13,6").id == "");
}

BOOST_AUTO_TEST_CASE(callouts_alike_have_names_of_their_own) {
    const auto job = made("perp Ø.001 over 3; Ø2.000 ±.001; flat .001 over 4 x 4").job;
    BOOST_TEST(job.callouts[0].name == "the bore, 1");
    BOOST_TEST(job.callouts[1].name == "the bore, 2");
    BOOST_TEST(job.callouts[2].name == "the face");
}

BOOST_AUTO_TEST_CASE(an_odd_tolerance_is_noted) {
    BOOST_TEST(made("flat .1 over 4 x 4").job.notes.size() == 1U);
    BOOST_TEST(made("flat .01 over 4 x 4").job.notes.empty());
}

BOOST_AUTO_TEST_SUITE_END()
