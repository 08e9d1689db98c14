// SPDX-License-Identifier: MIT
// `answer-result/1`. Against the answers it was made of, read back by the reader of files, which
// shares no code with the printer (files/document.hpp). Exact: 17 digits bring every double back.
#include "holdable/report/answer_json.hpp"

#include "holdable/base/error.hpp"
#include "holdable/files/document.hpp"
#include "report/answer_samples.hpp"

#include <boost/test/unit_test.hpp>

#include <limits>
#include <stdexcept>

using namespace holdable;

namespace {

/// The value at a path of keys and, for arrays, numbers.
const Node& at(const Node& node, const std::string& path) {
    const auto slash = path.find('/');
    const auto key = path.substr(0, slash);
    const Node* next = nullptr;
    if (node.kind == Node::Kind::array)
        next = &node.elements.at(std::stoul(key));
    else
        for (const auto& member : node.members)
            if (member.key == key)
                next = &member.value;
    if (next == nullptr)
        throw std::out_of_range(path);
    return slash == std::string::npos ? *next : at(*next, path.substr(slash + 1));
}

} // namespace

BOOST_AUTO_TEST_SUITE(answer_for_programs)

BOOST_AUTO_TEST_CASE(numbers_come_back_and_texts_stand_beside_them) {
    const auto a = samples::many();
    const auto root = parse_document(answer_json(a), "answer");
    BOOST_TEST(at(root, "holdable").text == "answer-result/1");
    BOOST_TEST(at(root, "day").text == "2026-11-20");
    BOOST_TEST(at(root, "valid_until").text == "2027-03-12");
    BOOST_TEST(!at(root, "valid_until_is_limit").boolean);
    BOOST_TEST(at(root, "quantity").number == 25);
    BOOST_TEST(at(root, "seed").number == 7);
    BOOST_TEST(at(root, "worst").number == 3);
    BOOST_TEST(at(root, "callouts").elements.size() == 4U);
    for (std::size_t i = 0; i < 3; ++i) {
        const auto& p = a.callouts[i].promise;
        const auto& node = at(root, "callouts/" + std::to_string(i) + "/promise");
        BOOST_TEST(at(node, "smallest/value").number == p.smallest);
        BOOST_TEST(at(node, "smallest/standard_error").number == p.smallest_error);
        BOOST_TEST(at(node, "smallest_9973/value").number == p.smallest_9973);
        BOOST_TEST(at(node, "smallest_9973/standard_error").number == p.smallest_9973_error);
        BOOST_TEST(at(node, "next_part/value").number == p.next_part);
        BOOST_TEST(at(node, "assured_yield/value").number == p.assured_yield);
        BOOST_TEST(at(node, "gamma/value").number == p.gamma);
        BOOST_TEST(at(node, "gamma/standard_error").number == p.gamma_error);
        BOOST_TEST(at(node, "gamma_without_guesses/value").number == p.gamma_without_guesses);
        BOOST_TEST(at(node, "next_part_limit/value").number == p.next_part_limit);
        BOOST_TEST(at(node, "first_order_limit/value").number == p.first_order_limit);
        BOOST_TEST(at(node, "first_order_applies").boolean == p.first_order_applies);
        BOOST_TEST(at(node, "known_value").number == p.known_value);
        BOOST_TEST(at(node, "standard_uncertainty").number == p.standard_uncertainty);
        BOOST_TEST(at(node, "shares").elements.size() == p.shares.size());
        BOOST_TEST(at(node, "shares/1/known_error").boolean);
        BOOST_TEST(at(node, "shares/1/amount").number == p.shares[1].share * p.smallest);
        BOOST_TEST(at(node, "shares/2/evidence").text == "certificate");
        BOOST_TEST(at(node, "shares/3/sharing").text == "part");
    }
    BOOST_TEST(at(root, "callouts/0/make/verdict").text == "YES");
    BOOST_TEST(at(root, "callouts/0/promise/smallest/text").text == "Ø.00083 in (0.021 mm)");
    BOOST_TEST(at(root, "callouts/0/callout/kind").text == "perpendicularity");
    BOOST_TEST(at(root, "callouts/0/callout/datum/kind").text == "seat");
    BOOST_TEST(at(root, "callouts/0/callout/tolerance/value").number == 0.001 * samples::inch);
    BOOST_TEST(at(root, "callouts/1/callout/datum/name").text == "A|B|C");
    BOOST_TEST(at(root, "callouts/1/callout/feature/holes/0/making").text == "drilling");
    BOOST_TEST(at(root, "callouts/1/to_fix/0/verdict_after").text == "YES");
    BOOST_TEST(at(root, "callouts/1/to_fix/0/smallest_after/value").number ==
               0.00868 * samples::inch);
    BOOST_TEST((at(root, "callouts/1/to_fix/1/smallest_after").kind == Node::Kind::null));
    BOOST_TEST(at(root, "whole/whole_part/value").number == a.whole.whole_part);
    BOOST_TEST(at(root, "whole/all_good/text").text == "< 0.01 %");
    BOOST_TEST(at(root, "whole/text").text ==
               "of 25, expect about 24.3 out; 95 % sure of no more than 25");
}

BOOST_AUTO_TEST_CASE(what_was_not_computed_is_null) {
    const auto root = parse_document(answer_json(samples::cant_say()), "answer");
    BOOST_TEST((at(root, "callouts/0/promise").kind == Node::Kind::null));
    BOOST_TEST(at(root, "callouts/0/prove/verdict").text == "CAN'T SAY");
    BOOST_TEST((at(root, "callouts/0/prove/gauge").kind == Node::Kind::null));
    BOOST_TEST((at(root, "callouts/0/prove/measurement").kind == Node::Kind::null));
    BOOST_TEST(at(root, "callouts/0/prove/wanted").number == 0.298 * samples::bore().tolerance);
    BOOST_TEST((at(root, "whole").kind == Node::Kind::null));
    BOOST_TEST(at(root, "callouts/0/make/verdict").text == "CAN'T SAY");
    auto empty = samples::yes();
    empty.callouts.clear();
    BOOST_TEST(
        (at(parse_document(answer_json(empty), "answer"), "worst").kind == Node::Kind::null));
}

BOOST_AUTO_TEST_CASE(a_gauge_that_proves) {
    const auto root = parse_document(answer_json(samples::yes()), "answer");
    const auto p = samples::proof();
    BOOST_TEST(at(root, "callouts/0/prove/verdict").text == "YES");
    BOOST_TEST(at(root, "callouts/0/prove/gauge").text == "plate and square");
    BOOST_TEST((at(root, "callouts/0/prove/wanted").kind == Node::Kind::null));
    BOOST_TEST(at(root, "callouts/0/prove/tightest/text").text == "Ø.00094 in");
    BOOST_TEST(at(root, "callouts/0/prove/measurement/standard").number == p.standard);
    BOOST_TEST(at(root, "callouts/0/prove/measurement/acceptance/1").number == p.acceptance.high);
    BOOST_TEST(at(root, "callouts/0/prove/measurement/sources/0/share").number == 0.64);
    BOOST_TEST(at(root, "callouts/0/prove/measurement/parts/refused_good/text").text == "3.2 %");
    BOOST_TEST(at(root, "callouts/0/prove/measurement/parts/accepted_bad/value").number == 0.00041);
    BOOST_TEST((at(root, "callouts/0/prove/measurement/unseen").kind == Node::Kind::null));
    BOOST_TEST((at(root, "rule").kind == Node::Kind::null));
    auto no_way = samples::yes();
    no_way.callouts[0].proof.cost.guard.reset();
    const auto none = parse_document(answer_json(no_way), "answer");
    BOOST_TEST((at(none, "callouts/0/prove/measurement/acceptance").kind == Node::Kind::null));
}

BOOST_AUTO_TEST_CASE(what_is_no_number_is_refused_by_name) {
    const double nan = std::numeric_limits<double>::quiet_NaN();
    auto a = samples::yes();
    a.callouts[0].promise.smallest_error = nan;
    BOOST_CHECK_EXCEPTION(answer_json(a), NumericError, [](const NumericError& e) {
        return std::string(e.what()) == "\"smallest\" is not a finite number";
    });
    a = samples::yes();
    a.callouts[0].promise.shares[0].share = std::numeric_limits<double>::infinity();
    BOOST_CHECK_THROW(answer_json(a), NumericError);
    a = samples::yes();
    a.callouts[0].callout.hole().depth = nan;
    BOOST_CHECK_THROW(answer_json(a), NumericError);
    a = samples::yes();
    a.whole.expected_out = nan;
    BOOST_CHECK_THROW(answer_json(a), NumericError);
}

BOOST_AUTO_TEST_SUITE_END()
