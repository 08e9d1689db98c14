// SPDX-License-Identifier: MIT
// The pages docs/files.md and docs/checks/ and the two schemas against the reader: every example is
// read, every file that is read fits its schema, what lacks a key or has one too many does not, and
// every key of a schema stands on the page. The schema is applied by files/schema.hpp. Everything
// is exact.
#include "files/schema.hpp"
#include "files/shop_text.hpp"
#include "holdable/files/read_job.hpp"
#include "holdable/files/read_machine.hpp"

#include <boost/test/unit_test.hpp>

#include <algorithm>
#include <filesystem>
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

/// The pages of the checks: docs/checks/KIND.md, each with one example that has the instruments and
/// the checks of a machine file, and its drawing KIND.svg beside it.
std::vector<std::string> check_pages() {
    std::vector<std::string> pages;
    const std::filesystem::path folder = HOLDABLE_ROOT "/docs/checks";
    if (std::filesystem::exists(folder))
        for (const auto& entry : std::filesystem::directory_iterator(folder))
            if (entry.path().extension() == ".md")
                pages.push_back("docs/checks/" + entry.path().filename().string());
    std::sort(pages.begin(), pages.end());
    return pages;
}

} // namespace

BOOST_AUTO_TEST_SUITE(documented_files)

BOOST_AUTO_TEST_CASE(every_example_of_the_page_is_read) {
    const auto blocks = examples("docs/files.md");
    BOOST_REQUIRE(blocks.size() == 7U);
    const auto &machine = blocks[0], &instruments = blocks[1], &readings = blocks[2];
    const auto& events = blocks[3];
    const auto &job = blocks[4], &process = blocks[5], &callout = blocks[6];
    const auto square = examples("docs/checks/square.md").front();
    const auto from = square.find("\"checks\"");
    const auto checks = square.substr(from, square.rfind(']') + 1 - from);
    const auto shop_text = changed(machine,
                                   {{"\"instruments\": []", "\"instruments\": " + instruments},
                                    {"\"checks\": []", checks},
                                    {"\"events\": [], \"corrections\": []", inside(events)}});
    const auto shop_tree = parse_document(shop_text, "page");
    const auto shop = read_machine(shop_tree, "page", day);
    BOOST_TEST(shop.square_checks.size() == 1U);
    BOOST_TEST(shop.corrections.size() == 1U);
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

BOOST_AUTO_TEST_CASE(every_example_of_a_check_is_read) {
    const auto machine = examples("docs/files.md").front();
    for (const auto& page : check_pages()) {
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
            const auto drawing = page.substr(0, page.size() - 2) + "svg";
            BOOST_TEST(std::filesystem::exists(HOLDABLE_ROOT "/" + drawing));
        }
    }
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
    BOOST_TEST(!refused(job, "job", "\"name\"", "\"$schema\": \"job.schema.json\", \"name\""));
}

BOOST_AUTO_TEST_CASE(every_key_stands_on_the_page) {
    auto page = read_text(HOLDABLE_ROOT "/docs/files.md");
    for (const auto& one : check_pages())
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
