// SPDX-License-Identifier: MIT
// The answer of a gauging: the page fits 80 columns and says what the result has; every key of the
// JSON stands on docs/gauging.md; each lever's figures are those of the changed inspection, made
// here by hand. Exact.
#include "holdable/report/gauging.hpp"

#include "holdable/files/document.hpp"
#include "holdable/files/read_gauging.hpp"
#include "holdable/files/text.hpp"
#include "holdable/report/page.hpp"

#include <boost/test/unit_test.hpp>

#include <algorithm>
#include <set>
#include <sstream>
#include <string>

using namespace holdable;

namespace {

decide::Inspection inspection(const std::string& name) {
    const auto path = std::string(HOLDABLE_ROOT) + "/budgets/gauging/" + name + ".json";
    return std::get<decide::Inspection>(read_gauging(parse_document(read_text(path), name), name));
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

BOOST_AUTO_TEST_SUITE(gauging_report)

BOOST_AUTO_TEST_CASE(the_page) {
    for (const char* name :
         {"bore-yes", "shaft-marginal", "plate-no", "bushing-cant-say", "pin-bias-rule"}) {
        const auto page = gauging_text(gauging(inspection(name)));
        std::istringstream lines(page);
        for (std::string line; std::getline(lines, line);)
            BOOST_TEST(columns(line) <= page_width, line);
        for (const char* words : {"PROVE  ", "U, 95 %", "What limits it", "Would help"})
            BOOST_TEST(page.find(words) != std::string::npos, words);
    }
    const auto warm = gauging_text(gauging(inspection("plate-no")));
    BOOST_TEST(warm.find("+0.028 mm (.0011 in), from temperature") != std::string::npos, warm);
    BOOST_TEST(gauging_text(gauging(inspection("shaft-marginal"))).find("sizes told apart") !=
               std::string::npos);
}

BOOST_AUTO_TEST_CASE(every_key_stands_on_the_page) {
    std::set<std::string> keys;
    for (const char* name : {"bore-yes", "shaft-marginal", "plate-no", "pin-bias-rule"})
        collect(
            parse_document(gauging_json(gauging(inspection(name)), {"1.2.3", {{"f", "0"}}}), name),
            keys);
    BOOST_TEST(keys.size() > 40U);
    const auto page = read_text(std::string(HOLDABLE_ROOT) + "/docs/gauging.md");
    for (const auto& key : keys)
        BOOST_TEST(page.find('`' + key + '`') != std::string::npos, key << " is not explained");
}

BOOST_AUTO_TEST_CASE(verdicts_and_levers) {
    BOOST_TEST((gauging(inspection("bore-yes")).verdict == Verdict::yes));
    BOOST_TEST((gauging(inspection("plate-no")).verdict == Verdict::no));
    auto shaft = inspection("shaft-marginal");
    const auto answer = gauging(shaft);
    BOOST_TEST((answer.verdict == Verdict::marginal));
    const auto lever = std::find_if(answer.levers.begin(), answer.levers.end(), [](auto& l) {
        return l.action == "average 4 readings instead of 1";
    });
    BOOST_REQUIRE((lever != answer.levers.end()));
    shaft.repeats = 4;
    BOOST_TEST(lever->lost == decide::worth(shaft).cost.lost);
    BOOST_TEST(lever->expanded == decide::worth(shaft).error.expanded);
    BOOST_TEST(answer.levers.back().action == "all of these");
    for (const auto& l : answer.levers)
        BOOST_TEST(answer.levers.back().lost <= l.lost);
}

BOOST_AUTO_TEST_SUITE_END()
