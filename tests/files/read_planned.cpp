// SPDX-License-Identifier: MIT
// Planned checks in gauging files. Every check of the demonstration shop, its readings taken out by
// a JSON library that is not ours, must be read, and be foretold to about the doubt it has once
// made (its readings are ordinary ones: within a factor of 1.4); with its readings it must be
// refused. The example of the page against SI numbers typed by hand (1e-12), and what is wrong by
// its id.
#include "files/schema.hpp"
#include "holdable/files/read_gauging.hpp"
#include "holdable/files/read_machine.hpp"
#include "holdable/machine/doubt.hpp"

#include <boost/test/unit_test.hpp>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <fstream>
#include <numbers>
#include <set>
#include <string>
#include <utility>
#include <vector>

using namespace holdable;
namespace tt = boost::test_tools;
using nlohmann::json;

namespace {

const Date day = parse_date("2025-05-01");
const std::string demo = HOLDABLE_ROOT "/budgets/demo/machine.json";

PlannedCheck planned(const Node& root) {
    return std::get<PlannedCheck>(read_gauging(root, "f", day));
}

PlannedCheck read(const std::string& text) {
    return planned(parse_document(text, "f"));
}

std::string said(const std::string& text) {
    return holdable::said<PlannedCheck>(text, planned);
}

std::string page_example() {
    return examples("docs/gauging.md").at(1);
}

void refused(const std::string& from, const std::string& to, const std::string& id) {
    const auto words = said(changed(page_example(), {{from, to}}));
    BOOST_TEST(words.find("[" + id + "]") != std::string::npos, words);
}

/// The checks of the demonstration shop as they stand in its file.
std::vector<json> checks() {
    std::ifstream file(demo);
    return json::parse(file, nullptr, true, true).at("checks").get<std::vector<json>>();
}

/// What is left of a check without its readings.
json without_readings(json value) {
    if (value.is_array())
        for (auto& element : value)
            element = without_readings(element);
    if (!value.is_object())
        return value;
    if (value.contains("from") && value.contains("readings")) { // a line of a level
        const auto readings = value.at("readings").get<std::string>();
        value["steps"] = std::count(readings.begin(), readings.end(), ' ') + 1;
    }
    for (const auto* key : {"readings", "nose", "at_length"})
        value.erase(key);
    if (value.contains("closing"))
        value["closing"] = true;
    for (const auto& [key, member] : value.items())
        member = without_readings(member);
    return value;
}

std::string plan(const json& check, const std::string& what, const std::string& within) {
    return json{{"holdable", "gauging/1"},
                {"title", "plan"},
                {"machine", demo},
                {"check", check},
                {"show", {{"what", what}, {"within", within}}}}
        .dump();
}

} // namespace

BOOST_AUTO_TEST_SUITE(reading_planned_checks)

BOOST_AUTO_TEST_CASE(the_example_of_the_page) {
    const auto root = parse_document(page_example(), "f");
    BOOST_TEST(fits(root, "gauging"));
    const auto p = planned(root);
    BOOST_TEST(p.title == "head before the face mill (invented)");
    BOOST_TEST((p.day == parse_date("2025-04-07")));
    BOOST_TEST(p.machine.machine == "the small mill");
    BOOST_REQUIRE(p.check.tram_checks.size() == 1U);
    const auto& tram = p.check.tram_checks[0];
    BOOST_TEST(tram.name == "tram");
    BOOST_TEST((tram.date == p.day));
    BOOST_TEST(tram.planned);
    BOOST_TEST(tram.readings == std::vector<double>(4, 0.0), tt::per_element());
    BOOST_TEST(tram.repeats == std::vector<int>(4, 2), tt::per_element());
    BOOST_TEST(tram.spread.empty());
    BOOST_TEST(tram.closing.value() == 2e-6); // what a run drifts that is not closed
    BOOST_TEST(tram.place.z() == 5.2 * 0.0254 - 18 * 0.0254, tt::tolerance(1e-12));
    BOOST_TEST(tram.angles[1] == std::numbers::pi / 2, tt::tolerance(1e-12));
    BOOST_TEST(p.measurand == 0U); // XZ is the first
    BOOST_TEST(p.within == 0.0008 / 12, tt::tolerance(1e-12));
    BOOST_TEST(p.inch); // as the machine's file
    BOOST_TEST(!p.critical);
    BOOST_TEST(p.notes.empty());
}

BOOST_AUTO_TEST_CASE(the_demonstrations) {
    for (const char* name :
         {"square-no", "tram-marginal", "positioning-yes", "straightness-cant-say"}) {
        const auto path = "budgets/gauging/" + std::string(name) + ".json";
        BOOST_TEST(fits(tree(path), "gauging"), name);
        // The machine's file is sought beside the gauging file.
        const auto p =
            std::get<PlannedCheck>(read_gauging(tree(path), HOLDABLE_ROOT "/" + path, day));
        BOOST_TEST(worth(p).expanded > 0, name);
    }
}

BOOST_AUTO_TEST_CASE(every_check_of_the_demonstration_shop_can_be_planned) {
    const auto made = check_doubts(read_machine(tree("budgets/demo/machine.json"), demo), day);
    std::set<std::string> kinds;
    for (const auto& check : checks()) {
        const auto id = check.at("id").get<std::string>();
        if (std::set<std::string>{"drift", "warm-up", "notebook", "test cut"}.contains(
                check.at("kind").get<std::string>()))
            continue;
        kinds.insert(check.at("kind").get<std::string>());
        for (const auto& one : made) {
            if (one.check != id)
                continue;
            const auto* const within = one.angle ? "1 mm/m" : "0.05 mm";
            const auto p = read(plan(without_readings(check), one.meaning, within));
            const auto w = worth(p);
            BOOST_TEST(w.doubt.meaning == one.meaning);
            BOOST_TEST(w.doubt.standard < 1.4 * one.standard, id << ", " << one.meaning);
            BOOST_TEST(w.doubt.standard > one.standard / 1.4, id << ", " << one.meaning);
        }
        const auto words = said(plan(check, "Z", "1 mm/m"));
        BOOST_TEST(words.find("[readings-planned]") != std::string::npos, id << ": " << words);
    }
    BOOST_TEST(kinds.size() >= 8U);
}

BOOST_AUTO_TEST_CASE(what_is_meant) {
    const auto with = [](const std::string& what) {
        return changed(page_example(), {{"tilt in XZ", what}});
    };
    BOOST_TEST(read(with("spindle's tilt in YZ")).measurand == 1U);
    BOOST_TEST(read(with("YZ")).measurand == 1U);
    BOOST_TEST(said(with("tilt"))
                       .find("\"tilt\" may be several of the numbers this check measures "
                             "[word-unknown]") != std::string::npos,
               said(with("tilt")));
    BOOST_TEST(said(with("squareness")).find("is none of the numbers") != std::string::npos);
    // The check has two numbers: which is meant must be said, and the hint says which there are.
    const auto left_out = said(changed(page_example(), {{"\"what\": \"tilt in XZ\", ", ""}}));
    BOOST_TEST(left_out.find("one of \"spindle's tilt in XZ\", \"spindle's tilt in YZ\"") !=
                   std::string::npos,
               left_out);
    BOOST_TEST(left_out.find("[key-missing]") != std::string::npos);
}

BOOST_AUTO_TEST_CASE(rules_days_and_remarks) {
    const std::string title = "\"title\": \"head before the face mill (invented)\",";
    const auto p = read(changed(
        page_example(),
        {{title,
          title + R"("critical": true, "rule": {"name": "7.2", "guard_band": "0.0001 in/ft"},)"},
         {"\"kind\": \"tram\"", R"("id": "head", "date": "2025-06-02", "kind": "tram")"},
         {"\"class\": \"entry vmc\",", ""}}));
    BOOST_TEST(p.critical);
    BOOST_TEST(p.rule.value().band.value() == 0.0001 / 12, tt::tolerance(1e-12));
    BOOST_TEST((p.day == parse_date("2025-06-02"))); // its own date, though it is yet to come
    BOOST_TEST(p.check.tram_checks[0].name == "head");
    BOOST_REQUIRE(p.notes.size() == 1U);
    BOOST_TEST(p.notes[0].find("no class of machine is declared") == 0U);
    // A certificate that will have run out by then.
    auto square = without_readings(checks()[1]);
    square["date"] = "2027-01-01";
    const auto words = said(plan(square, "Z", "1 mm/m"));
    BOOST_TEST(words.find("certificate of the square \"8 in square\" ran out on 2026-01-31") !=
                   std::string::npos,
               words);
}

BOOST_AUTO_TEST_CASE(what_is_wrong) {
    refused("\"0.0008 in/ft\"", "\"0.0008 in\"", "unit-wrong");
    refused("\"0.0008 in/ft\"", "\"0 in/ft\"", "value-range");
    refused("\"within\"", "\"inside\"", "key-unknown");
    refused(",\n  \"show\": {\"what\": \"tilt in XZ\", \"within\": \"0.0008 in/ft\"}",
            "",
            "key-missing");
    refused("\"closing\": true", "\"closing\": 0.5", "readings-planned");
    refused("\"closing\": true", "\"readings\": \"0 0 0 0\"", "readings-planned");
    refused("\"repeats\": 2", "\"repeats\": 0", "value-range");
    refused("\"repeats\": 2", "\"repeats\": \"two\"", "field-kind");
    refused("\"against\": \"table\"", "\"against\": \"floor\"", "word-unknown");
    refused("\"indicator\": \"tenths indicator\", \"against\"",
            "\"indicator\": \"tenth\", \"against\"",
            "instrument-unknown");
    refused("\"kind\": \"tram\"", "\"kind\": \"trams\"", "word-unknown");
    for (const char* kind : {"drift", "warm-up", "notebook", "test cut"})
        refused("\"kind\": \"tram\"", "\"kind\": \"" + std::string(kind) + "\"", "check-unplanned");
    refused("\"kind\": \"tram\"", "\"id\": \" \", \"kind\": \"tram\"", "name-empty");
    refused("\"axes\": \"XYZ\"", "\"axes\": \"XYX\"", "axes-order");
    refused("\"holdable\": \"machine/1\"", "\"holdable\": \"job/1\"", "file-format");
    refused("\"title\"", "\"units\": \"cubits\", \"title\"", "word-unknown");
    refused("\"0°\", \"90°\", \"180°\", \"270°\"", "\"0°\", \"90°\"", "stations-few");
    // A map of more places than anybody reads.
    json map = {{"kind", "table"},
                {"by", "indicator"},
                {"indicator", "tenths indicator"},
                {"gauge_length", "5 in"}};
    for (int i = 0; i < 60; ++i)
        for (const auto* axis : {"x", "y"})
            map[axis].push_back(std::to_string(1 + 0.1 * i) + " in");
    BOOST_TEST(said(plan(map, "table", "1 mm")).find("60 × 60 stations are more") !=
               std::string::npos);
    // A file that is not there; one number where text is due.
    const auto inline_machine = page_example().find("\"machine\": {");
    const auto check = page_example().find("\"check\": {");
    for (const auto& [machine, id] : std::vector<std::pair<std::string, std::string>>{
             {"\"machine\": \"none-such.json\", ", "file-unreadable"},
             {"\"machine\": \"\", ", "name-empty"},
             {"\"machine\": 7, ", "field-kind"},
             {"", "key-missing"}}) {
        auto text = page_example();
        text.replace(inline_machine, check - inline_machine, machine);
        BOOST_TEST(said(text).find("[" + id + "]") != std::string::npos, said(text));
    }
}

BOOST_AUTO_TEST_CASE(all_that_is_wrong_is_said_at_once) {
    const auto words = said(changed(page_example(),
                                    {{"\"against\": \"table\"", "\"against\": \"floor\""},
                                     {"\"repeats\": 2", "\"repeats\": 0"},
                                     {"\"title\"", "\"tittle\""}}));
    for (const char* id : {"[word-unknown]", "[value-range]", "[key-unknown]"})
        BOOST_TEST(words.find(id) != std::string::npos, words);
}

BOOST_AUTO_TEST_SUITE_END()
