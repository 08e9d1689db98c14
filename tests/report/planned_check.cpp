// SPDX-License-Identifier: MIT
// The page and the JSON of planned checks: 80 columns, the caution before all else, every key
// explained on docs/gauging.md, the words of each verdict. Exact.
#include "holdable/files/document.hpp"
#include "holdable/files/read_gauging.hpp"
#include "holdable/files/text.hpp"
#include "holdable/report/gauging.hpp"
#include "holdable/report/page.hpp"

#include <boost/test/unit_test.hpp>

#include <set>
#include <sstream>
#include <string>

using namespace holdable;

namespace {

constexpr const char* names[] = {
    "square-no", "tram-marginal", "positioning-yes", "straightness-cant-say"};

PlannedAnswer answer(const std::string& name) {
    const auto path = std::string(HOLDABLE_ROOT) + "/budgets/gauging/" + name + ".json";
    return gauging(
        std::get<PlannedCheck>(read_gauging(parse_document(read_text(path), path), path)));
}

void collect(const Node& node, std::set<std::string>& keys) {
    for (const auto& [key, place, value] : node.members) {
        keys.insert(key);
        collect(value, keys);
    }
    for (const auto& element : node.elements)
        collect(element, keys);
}

} // namespace

BOOST_AUTO_TEST_SUITE(planned_check_report)

BOOST_AUTO_TEST_CASE(the_page) {
    for (const char* name : names) {
        const auto page = gauging_text(answer(name));
        std::istringstream lines(page);
        for (std::string line; std::getline(lines, line);)
            BOOST_TEST(columns(line) <= page_width, line);
        for (const char* words : {"SHOW  ", "U, 95 %", "to be shown", "What limits it", "Left out"})
            BOOST_TEST(page.find(words) != std::string::npos, words);
        // What may cost a hand stands before all that may be done.
        BOOST_TEST(page.find("lock out the spindle") < page.find("SHOW  "));
        BOOST_TEST(page.find("…") == std::string::npos, page); // nothing is cut
    }
}

BOOST_AUTO_TEST_CASE(the_verdicts_of_the_demonstrations) {
    const auto square = answer("square-no");
    BOOST_TEST((square.verdict == Verdict::no));
    BOOST_TEST((square.levers.back().verdict == Verdict::yes)); // all of these
    BOOST_TEST(gauging_text(square).find("and still no result shows it: NO") != std::string::npos);
    BOOST_TEST(gauging_text(square).find("turn the square round") != std::string::npos);
    BOOST_TEST((answer("tram-marginal").verdict == Verdict::marginal));
    BOOST_TEST((answer("positioning-yes").verdict == Verdict::yes));
    const auto edge = answer("straightness-cant-say");
    BOOST_TEST((edge.verdict == Verdict::cant_say));
    BOOST_TEST(gauging_text(edge).find("CAN'T SAY: ") != std::string::npos);
}

BOOST_AUTO_TEST_CASE(rules_and_limits_in_words) {
    auto planned = answer("tram-marginal").planned;
    planned.rule = decide::CustomerRule{"clause 4 (invented)", 0.0};
    const auto simple = gauging_text(gauging(planned));
    BOOST_TEST(simple.find("clause 4 (invented): simple acceptance") != std::string::npos, simple);
    BOOST_TEST(simple.find("risk at these limits        50 %") != std::string::npos, simple);
    planned.rule = decide::CustomerRule{"clause 4 (invented)", {}, 1};
    BOOST_TEST(gauging_text(gauging(planned)).find("1.96 standard uncertainties") !=
               std::string::npos);
}

BOOST_AUTO_TEST_CASE(every_key_stands_on_the_page) {
    std::set<std::string> keys;
    for (const char* name : names)
        collect(parse_document(gauging_json(answer(name), {"1.2.3", {{"f", "0"}}}), name), keys);
    BOOST_TEST(keys.size() > 30U);
    const auto page = read_text(std::string(HOLDABLE_ROOT) + "/docs/gauging.md");
    for (const auto& key : keys)
        BOOST_TEST(page.find('`' + key + '`') != std::string::npos, key << " is not explained");
}

BOOST_AUTO_TEST_SUITE_END()
