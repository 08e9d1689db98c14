// SPDX-License-Identifier: MIT
// The pages docs/files.md, docs/checks/ and docs/features/ and the two schemas against the reader:
// every example is read, every file that is read fits its schema, what lacks a key or has one too
// many does not, every key of a schema stands on the page, and every requirement has a page. The
// schema is applied by files/schema.hpp. Everything is exact.
#include "files/schema.hpp"
#include "files/shop_text.hpp"
#include "holdable/files/read_job.hpp"
#include "holdable/files/read_machine.hpp"
#include "holdable/files/read_minutes.hpp"

#include <boost/test/unit_test.hpp>

#include <algorithm>
#include <filesystem>
#include <set>
#include <string>
#include <string_view>
#include <vector>

using namespace holdable;

namespace {

const Date day = parse_date("2025-05-01");

/// What stands between the outer braces.
std::string inside(const std::string& block) {
    const auto from = block.find('{') + 1;
    return block.substr(from, block.rfind('}') - from);
}

/// The pages of a folder of docs/, in order; each has one example, and its drawing of the same name
/// beside it.
std::vector<std::string> pages_of(const std::string& kind) {
    std::vector<std::string> pages;
    const std::filesystem::path folder = HOLDABLE_ROOT "/docs/" + kind;
    if (std::filesystem::exists(folder))
        for (const auto& entry : std::filesystem::directory_iterator(folder))
            if (entry.path().extension() == ".md")
                pages.push_back("docs/" + kind + "/" + entry.path().filename().string());
    std::sort(pages.begin(), pages.end());
    return pages;
}

bool has_drawing(const std::string& page) {
    const auto drawing = page.substr(0, page.size() - 2) + "svg";
    return std::filesystem::exists(HOLDABLE_ROOT "/" + drawing);
}

} // namespace

BOOST_AUTO_TEST_SUITE(documented_files)

BOOST_AUTO_TEST_CASE(every_example_of_the_page_is_read) {
    const auto blocks = examples("docs/files.md");
    BOOST_REQUIRE(blocks.size() == 8U);
    const auto &machine = blocks[0], &instruments = blocks[1], &readings = blocks[2];
    const auto& events = blocks[3];
    const auto& gauge = blocks[4];
    const auto &job = blocks[5], &process = blocks[6], &callout = blocks[7];
    const auto square = examples("docs/checks/square.md").front();
    const auto from = square.find("\"checks\"");
    const auto checks = square.substr(from, square.rfind(']') + 1 - from);
    const auto shop_text = changed(machine,
                                   {{"\"instruments\": []", "\"instruments\": " + instruments},
                                    {"\"checks\": []", checks},
                                    {"\"events\": [], \"corrections\": []",
                                     inside(events) + ", \"gauges\": [" + gauge + "]"}});
    const auto shop_tree = parse_document(shop_text, "page");
    const auto shop = read_machine(shop_tree, "page", day);
    BOOST_TEST(shop.square_checks.size() == 1U);
    BOOST_TEST(shop.corrections.size() == 2U);
    BOOST_TEST(shop.gauges.size() == 1U);
    BOOST_TEST(read_minutes(shop_tree, "page").at("square check") == 30);
    BOOST_TEST(shop.notes.empty());
    BOOST_TEST(fits(shop_tree, "machine"));

    const auto job_text = changed(
        job, {{"\"process\": \"typical\"", inside(process)}, {"\n  ]", ",\n" + callout + "]"}});
    const auto job_tree = parse_document(job_text, "page");
    const auto read = read_job(job_tree, "page");
    BOOST_TEST(read.callouts.size() == 2U);
    BOOST_TEST(read.process.hole_direction.has_value());
    BOOST_TEST(read.notes.empty());
    BOOST_TEST(fits(job_tree, "job"));
    BOOST_TEST(fits(parse_document(job, "page"), "job"));

    // The four ways to write readings, each in the place of the square's.
    std::size_t ways = 0;
    for (std::size_t at = 0; at < readings.size(); at = readings.find('\n', at) + 1, ++ways) {
        const auto line = readings.substr(at, readings.find('\n', at) - at);
        const auto one = parse_document(
            changed(shop_text, {{"\"readings\": \"0 2.5 4.5\", \"closing\": -0.5", inside(line)}}),
            "page");
        BOOST_TEST(
            read_machine(one, "page", day).square_checks[0].settings[0].edge_readings.size() == 3U);
        BOOST_TEST(fits(one, "machine"));
    }
    BOOST_TEST(ways == 4U);
}

BOOST_AUTO_TEST_CASE(every_job_of_the_budgets_fits_the_schema) {
    int jobs = 0;
    for (const auto* folder : {"demo", "questions", "quote"})
        for (const auto& entry :
             std::filesystem::directory_iterator(std::string(HOLDABLE_ROOT "/budgets/") + folder)) {
            const auto text = read_text(entry.path().string());
            if (text.find("\"job/1\"") == std::string::npos)
                continue;
            ++jobs;
            BOOST_TEST(fits(parse_document(text, "job"), "job"), entry.path().filename());
        }
    BOOST_TEST(jobs >= 14);
}

BOOST_AUTO_TEST_CASE(every_example_of_a_check_is_read) {
    const auto machine = examples("docs/files.md").front();
    for (const auto& page : pages_of("checks")) {
        BOOST_TEST_CONTEXT(page) {
            const auto blocks = examples(page);
            BOOST_REQUIRE(blocks.size() == 1U);
            const auto text =
                changed(machine, {{"\"instruments\": [], \"checks\": []", inside(blocks[0])}});
            const auto tree = parse_document(text, "page");
            const auto shop = read_machine(tree, "page", day);
            BOOST_TEST(count_checks(shop) > 0U);
            BOOST_TEST(shop.notes.empty());
            BOOST_TEST(fits(tree, "machine"));
            BOOST_TEST(has_drawing(page));
        }
    }
}

BOOST_AUTO_TEST_CASE(every_example_of_a_feature_is_a_job) {
    for (const auto& page : pages_of("features")) {
        BOOST_TEST_CONTEXT(page) {
            const auto blocks = examples(page);
            BOOST_REQUIRE(blocks.size() == 1U);
            const auto tree = parse_document(blocks[0], "page");
            const auto job = read_job(tree, "page");
            BOOST_TEST(job.notes.empty());
            BOOST_TEST(fits(tree, "job"));
            BOOST_TEST(std::any_of(job.callouts.begin(), job.callouts.end(), [&](const Callout& c) {
                return page == "docs/features/" + std::string(word(c.kind)) + ".md";
            }));
            BOOST_TEST(has_drawing(page));
        }
    }
}

BOOST_AUTO_TEST_CASE(the_example_of_where_is_a_job) {
    const auto blocks = examples("docs/where.md");
    BOOST_REQUIRE(blocks.size() == 1U);
    const auto tree = parse_document(blocks[0], "page");
    const auto job = read_job(tree, "page");
    BOOST_TEST(job.notes.empty());
    BOOST_TEST(job.may_lie.lift.has_value());
    BOOST_TEST(!job.may_turn);
    BOOST_TEST(fits(tree, "job"));
    const auto refused = [&](const std::string& from, const std::string& to) {
        return !fits(parse_document(changed(blocks[0], {{from, to}}), "page"), "job");
    };
    BOOST_TEST(refused("\"may_turn\": false", "\"may_turn\": \"no\""));
    BOOST_TEST(refused("\"z\": [\"0 in\", \"1 in\"]", "\"z\": [\"0 in\"]"));
    BOOST_TEST(refused("\"z\": [\"0 in\"", "\"up\": [\"0 in\""));
}

BOOST_AUTO_TEST_CASE(the_example_of_a_statement_is_read) {
    const auto blocks = examples("docs/statement.md");
    BOOST_REQUIRE(blocks.size() == 1U);
    const auto card =
        changed(blocks[0],
                {{", \"gauge\": \"bore gauge\"", ""}, {", \"gauge\": \"plate and square\"", ""}});
    const auto tree = parse_document(
        changed(examples("docs/files.md").front(),
                {{"\"instruments\": []", "\"statement\": " + card + ", \"instruments\": []"}}),
        "page");
    const auto shop = read_machine(tree, "page", day);
    BOOST_TEST(shop.card.responsible == "R. Alder");
    BOOST_REQUIRE(shop.card.sheet.size() == 2U);
    BOOST_TEST(shop.card.sheet[0].to.value() == 2.2 * 0.0254, boost::test_tools::tolerance(1e-12));
    BOOST_TEST(fits(tree, "machine"));
}

BOOST_AUTO_TEST_CASE(every_requirement_has_a_page) {
    std::set<std::string> pages, wanted;
    for (const auto& page : pages_of("features"))
        pages.insert(page);
    for (int kind = 0; !word(static_cast<Requirement>(kind)).empty(); ++kind)
        wanted.insert("docs/features/" + std::string(word(static_cast<Requirement>(kind))) + ".md");
    BOOST_TEST(wanted.size() == 16U); // position … length
    BOOST_TEST(pages == wanted, boost::test_tools::per_element());
    const auto files = read_text(HOLDABLE_ROOT "/docs/files.md");
    for (const auto& page : wanted)
        BOOST_TEST(files.find("(" + page.substr(5) + ")") != std::string::npos, page);
}

BOOST_AUTO_TEST_CASE(the_demonstration_fits_the_schemas) {
    BOOST_TEST(fits(tree("budgets/demo/machine.json"), "machine"));
    BOOST_TEST(fits(tree("budgets/demo/job-inch.json"), "job"));
    BOOST_TEST(fits(tree("budgets/demo/job-metric.json"), "job"));
    BOOST_TEST(!fits(tree("budgets/demo/job-inch.json"), "machine"));
}

BOOST_AUTO_TEST_CASE(what_is_wrong_does_not_fit) {
    const auto machine = read_text(HOLDABLE_ROOT "/budgets/demo/machine.json");
    const auto job = read_text(HOLDABLE_ROOT "/budgets/demo/job-metric.json");
    const auto refused = [](const std::string& text,
                            const std::string& kind,
                            const std::string& from,
                            const std::string& to) {
        return !fits(parse_document(changed(text, {{from, to}}), "f"), kind);
    };
    BOOST_TEST(refused(machine, "machine", ", \"k\": 2", ""));
    BOOST_TEST(refused(machine, "machine", "\"units\"", "\"unit\""));
    BOOST_TEST(refused(machine, "machine", "\"leg_points\": \"-Y\"", "\"leg_points\": \"Y\""));
    BOOST_TEST(refused(machine, "machine", "\"0 in\"", "0"));
    BOOST_TEST(refused(job, "job", "\"quantity\": 50", "\"quantity\": 0"));
    BOOST_TEST(refused(job, "job", "\"evidence\": \"specification\"", "\"evidence\": \"guess\""));
    BOOST_TEST(refused(job, "job", "[\"200 mm\", \"160 mm\"]", "[\"200 mm\"]"));
    BOOST_TEST(refused(job, "job", "\"position\"", "\"flatness\""));
    BOOST_TEST(refused(job, "job", "\"hole\"", "\"boss\""));
    BOOST_TEST(!refused(job, "job", "\"name\"", "\"$schema\": \"job.schema.json\", \"name\""));
}

BOOST_AUTO_TEST_CASE(every_key_stands_on_the_page) {
    auto page =
        read_text(HOLDABLE_ROOT "/docs/files.md") + read_text(HOLDABLE_ROOT "/docs/statement.md");
    for (const auto& folder : {"checks", "features"})
        for (const auto& one : pages_of(folder))
            page += read_text(HOLDABLE_ROOT "/" + one);
    std::vector<std::string> keys;
    keys_of(tree("docs/machine.schema.json"), keys);
    keys_of(tree("docs/job.schema.json"), keys);
    BOOST_TEST(keys.size() > 100U);
    for (const auto& key : keys)
        BOOST_TEST((page.find('`' + key + '`') != std::string::npos ||
                    page.find('"' + key + '"') != std::string::npos),
                   key);
}

BOOST_AUTO_TEST_SUITE_END()
