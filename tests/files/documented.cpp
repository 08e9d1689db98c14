// SPDX-License-Identifier: MIT
// The page docs/files.md and the two schemas against the reader: every example of the page is read,
// every file that is read fits its schema, what lacks a key or has one too many does not, and every
// key of a schema stands on the page. The schema is applied by the few keywords it uses, written
// here from the text of JSON Schema 2020-12; another keyword fails the test. Everything is exact.
#include "files/shop_text.hpp"
#include "holdable/files/read_job.hpp"
#include "holdable/files/read_machine.hpp"

#include <boost/test/unit_test.hpp>

#include <algorithm>
#include <string>
#include <string_view>
#include <vector>

using namespace holdable;

namespace {

const Date day = parse_date("2025-05-01");

const Node* find(const Node& object, std::string_view key) {
    for (const Member& member : object.members)
        if (member.key == key)
            return &member.value;
    return nullptr;
}

bool same(const Node& a, const Node& b) {
    return a.kind == b.kind && a.text == b.text && a.boolean == b.boolean;
}

bool is_type(const Node& value, std::string_view type) {
    using Kind = Node::Kind;
    return (type == "object" && value.kind == Kind::object) ||
           (type == "array" && value.kind == Kind::array) ||
           (type == "string" && value.kind == Kind::string) ||
           (type == "boolean" && value.kind == Kind::boolean) ||
           ((type == "number" || type == "integer") && value.kind == Kind::number);
}

bool fits(const Node& value, const Node& schema, const Node& root);

bool fits_object(const Node& value, const Node& schema, const Node& root) {
    if (value.kind != Node::Kind::object)
        return true;
    if (const auto* required = find(schema, "required"))
        for (const Node& key : required->elements)
            if (find(value, key.text) == nullptr)
                return false;
    const auto* properties = find(schema, "properties");
    return properties == nullptr ||
           std::all_of(value.members.begin(), value.members.end(), [&](const Member& member) {
               const auto* known = find(*properties, member.key);
               return known != nullptr && fits(member.value, *known, root);
           });
}

bool fits_keyword(const Node& value, const Member& keyword, const Node& schema, const Node& root) {
    const auto& [key, place, wanted] = keyword;
    const bool text = value.kind == Node::Kind::string;
    const bool number = value.kind == Node::Kind::number;
    const bool array = value.kind == Node::Kind::array;
    if (key == "$ref") {
        const std::string_view name = std::string_view(wanted.text).substr(8); // "#/$defs/"
        return fits(value, *find(*find(root, "$defs"), name), root);
    }
    if (key == "type")
        return wanted.kind == Node::Kind::string
                   ? is_type(value, wanted.text)
                   : std::any_of(wanted.elements.begin(), wanted.elements.end(), [&](auto& type) {
                         return is_type(value, type.text);
                     });
    if (key == "const")
        return same(value, wanted);
    if (key == "enum")
        return std::any_of(wanted.elements.begin(), wanted.elements.end(), [&](const Node& one) {
            return same(value, one);
        });
    if (key == "oneOf")
        return std::count_if(wanted.elements.begin(), wanted.elements.end(), [&](const Node& one) {
                   return fits(value, one, root);
               }) == 1;
    if (key == "pattern")
        return !text || std::regex_search(value.text, std::regex(wanted.text));
    if (key == "minLength")
        return !text || value.text.size() >= static_cast<std::size_t>(wanted.number);
    if (key == "minimum")
        return !number || value.number >= wanted.number;
    if (key == "maximum")
        return !number || value.number <= wanted.number;
    if (key == "minItems")
        return !array || value.elements.size() >= static_cast<std::size_t>(wanted.number);
    if (key == "maxItems")
        return !array || value.elements.size() <= static_cast<std::size_t>(wanted.number);
    if (key == "items")
        return std::all_of(value.elements.begin(), value.elements.end(), [&](const Node& one) {
            return fits(one, wanted, root);
        });
    if (key == "properties")
        return fits_object(value, schema, root);
    if (key == "additionalProperties") {
        BOOST_TEST(!wanted.boolean);
        return true;
    }
    BOOST_TEST((key == "required" || key == "description" || key == "title" || key == "$schema" ||
                key == "$defs"),
               key);
    return true;
}

bool fits(const Node& value, const Node& schema, const Node& root) {
    return std::all_of(schema.members.begin(), schema.members.end(), [&](const Member& keyword) {
        return fits_keyword(value, keyword, schema, root);
    });
}

bool fits(const Node& value, const std::string& kind) {
    const auto schema = tree("docs/" + kind + ".schema.json");
    return fits(value, schema, schema);
}

/// The blocks of JSON on the page, in their order.
std::vector<std::string> examples() {
    const auto page = read_text(HOLDABLE_ROOT "/docs/files.md");
    const std::string open = "```json\n";
    std::vector<std::string> blocks;
    for (auto at = page.find(open); at != std::string::npos; at = page.find(open, at)) {
        at += open.size();
        blocks.push_back(page.substr(at, page.find("```", at) - at));
    }
    return blocks;
}

/// What stands between the outer braces.
std::string inside(const std::string& block) {
    const auto from = block.find('{') + 1;
    return block.substr(from, block.rfind('}') - from);
}

void keys_of(const Node& schema, std::vector<std::string>& keys) {
    if (const auto* properties = find(schema, "properties"))
        for (const Member& member : properties->members)
            keys.push_back(member.key);
    for (const Member& member : schema.members)
        keys_of(member.value, keys);
    for (const Node& element : schema.elements)
        keys_of(element, keys);
}

} // namespace

BOOST_AUTO_TEST_SUITE(documented_files)

BOOST_AUTO_TEST_CASE(every_example_of_the_page_is_read) {
    const auto blocks = examples();
    BOOST_REQUIRE(blocks.size() == 9U);
    const auto &machine = blocks[0], &instruments = blocks[1], &readings = blocks[2];
    const auto &square = blocks[3], &level = blocks[4], &events = blocks[5];
    const auto &job = blocks[6], &process = blocks[7], &callout = blocks[8];
    const auto shop_text =
        changed(machine,
                {{"\"instruments\": []", "\"instruments\": " + instruments},
                 {"\"checks\": []", "\"checks\": [" + square + "," + level + "]"},
                 {"\"events\": [], \"corrections\": []", inside(events)}});
    const auto shop_tree = parse_document(shop_text, "page");
    const auto shop = read_machine(shop_tree, "page", day);
    BOOST_TEST(shop.square_checks.size() + shop.level_checks.size() == 2U);
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
    BOOST_TEST(refused(machine, "machine", "\"leg_points\": \"+X\"", "\"leg_points\": \"X\""));
    BOOST_TEST(refused(machine, "machine", "\"0 in\"", "0"));
    BOOST_TEST(refused(job, "job", "\"quantity\": 50", "\"quantity\": 0"));
    BOOST_TEST(refused(job, "job", "\"evidence\": \"specification\"", "\"evidence\": \"guess\""));
    BOOST_TEST(refused(job, "job", "[\"200 mm\", \"160 mm\"]", "[\"200 mm\"]"));
    BOOST_TEST(refused(job, "job", "\"position\"", "\"flatness\""));
    BOOST_TEST(!refused(job, "job", "\"name\"", "\"$schema\": \"job.schema.json\", \"name\""));
}

BOOST_AUTO_TEST_CASE(every_key_stands_on_the_page) {
    const auto page = read_text(HOLDABLE_ROOT "/docs/files.md");
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
