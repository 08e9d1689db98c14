// SPDX-License-Identifier: MIT
// The page docs/budget-file.md and its schema against the reader: the example of the page is read
// and evaluated, every budget of the repository fits the schema, what is wrong does not, every key
// of the schema and every kind stands on the page. Everything is exact.
#include "files/schema.hpp"
#include "files/shop_text.hpp"
#include "holdable/answer/budget.hpp"
#include "holdable/files/read_budget.hpp"
#include "holdable/model/formula.hpp"

#include <boost/test/unit_test.hpp>

#include <filesystem>
#include <string>
#include <vector>

using namespace holdable;

BOOST_AUTO_TEST_SUITE(documented_budgets)

BOOST_AUTO_TEST_CASE(the_example_of_the_page_is_evaluated) {
    const auto blocks = examples("docs/budget-file.md");
    BOOST_TEST_REQUIRE(blocks.size() == 1U);
    const auto root = parse_document(blocks[0], "page");
    BOOST_TEST(fits(root, "budget"));
    const auto budget = read_budget(root, "page");
    BOOST_TEST(budget.notes.empty());
    const auto answer = evaluate(budget, {.monte_carlo = false});
    // (25.0012 + 0.0126)(1 - 11.5e-6 · 1.5) mm, by hand.
    BOOST_TEST(answer.gum.outputs.at(0).value == 25.0138 * (1 - 17.25e-6),
               boost::test_tools::tolerance(1e-12));
}

BOOST_AUTO_TEST_CASE(the_published_budgets_fit_the_schema) {
    for (const auto& entry :
         std::filesystem::directory_iterator(HOLDABLE_ROOT "/budgets/published"))
        BOOST_TEST(fits(tree("budgets/published/" + entry.path().filename().string()), "budget"),
                   entry.path());
    BOOST_TEST(!fits(tree("budgets/demo/machine.json"), "budget"));
}

BOOST_AUTO_TEST_CASE(what_is_wrong_does_not_fit) {
    const auto page = examples("docs/budget-file.md").at(0);
    const auto refused = [&](const std::string& from, const std::string& to) {
        return !fits(parse_document(changed(page, {{from, to}}), "f"), "budget");
    };
    BOOST_TEST(refused(", \"k\": 2", ""));
    BOOST_TEST(refused("\"k\": 2", "\"k\": 2, \"standard\": \"1 µm\""));
    BOOST_TEST(refused("\"half_width\": \"0.25 µm\"", "\"low\": \"0.25 µm\""));
    BOOST_TEST(refused("\"rectangular\"", "\"rectangle\""));
    BOOST_TEST(refused("[12.5, 13, 12, 13, 12.5]", "[12.5]"));
    BOOST_TEST(refused("\"evidence\": \"certificate\"", "\"evidence\": \"guess\""));
    BOOST_TEST(refused("\"coefficient\": 0.2", "\"coefficient\": 2"));
    BOOST_TEST(refused("\"steps\": {\"warm\": \"t - t20\"}", "\"steps\": {\"warm\": 3}"));
    BOOST_TEST(refused("\"formula\"", "\"formulas\""));
    BOOST_TEST(refused("\"title\"", "\"titel\""));
    BOOST_TEST(!refused("\"title\"", "\"$schema\": \"budget.schema.json\", \"title\""));
}

BOOST_AUTO_TEST_CASE(every_key_and_function_stands_on_the_page) {
    const auto page = read_text(HOLDABLE_ROOT "/docs/budget-file.md");
    const auto schema = tree("docs/budget.schema.json");
    std::vector<std::string> keys;
    keys_of(schema, keys);
    BOOST_TEST(keys.size() > 50U);
    for (const char* kind : {"fixed",
                             "normal",
                             "student",
                             "rectangular",
                             "triangular",
                             "arcsine",
                             "trapezoid",
                             "inexact_rectangular",
                             "exponential",
                             "gamma",
                             "readings"}) {
        BOOST_TEST((find(*find(schema, "$defs"), kind) != nullptr), kind);
        keys.emplace_back(kind);
    }
    for (const auto& key : keys)
        BOOST_TEST((page.find('`' + key + '`') != std::string::npos ||
                    page.find('"' + key + '"') != std::string::npos),
                   key);
    for (const auto& function : model::function_table())
        BOOST_TEST(page.find(std::string(function.name)) != std::string::npos, function.name);
}

BOOST_AUTO_TEST_SUITE_END()
