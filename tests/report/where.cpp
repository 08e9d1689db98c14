// SPDX-License-Identifier: MIT
// The page and the JSON of `where`, from results made by hand: moves in shop words, a map that is
// read back number by number, its marks at the places known beforehand, 80 columns, and the same
// numbers in the JSON. Everything is exact; wording is recorded from the program after reading it.
#include "holdable/files/document.hpp"
#include "holdable/report/page.hpp"
#include "holdable/report/where_json.hpp"
#include "holdable/report/where_text.hpp"
#include "report/where_samples.hpp"

#include <boost/test/unit_test.hpp>

#include <sstream>
#include <string>
#include <vector>

using namespace holdable;

namespace {

std::vector<std::string> lines_of(const std::string& text) {
    std::vector<std::string> lines;
    std::istringstream in(text);
    for (std::string line; std::getline(in, line);)
        lines.push_back(line);
    return lines;
}

/// The line that begins with this, blanks before it aside.
std::string line_of(const std::string& text, const std::string& begin) {
    for (const auto& line : lines_of(text)) {
        const auto at = line.find_first_not_of(' ');
        if (at != std::string::npos && line.compare(at, begin.size(), begin) == 0)
            return line;
    }
    return {};
}

std::vector<std::string> words_of(const std::string& line) {
    std::vector<std::string> words;
    std::istringstream in(line);
    for (std::string word; in >> word;)
        words.push_back(word);
    return words;
}

/// Whether it says that, wherever its lines break.
bool has(const std::string& text, const std::string& what) {
    std::string flat;
    for (const auto& word : words_of(text))
        flat += (flat.empty() ? "" : " ") + word;
    return flat.find(what) != std::string::npos;
}

} // namespace

BOOST_AUTO_TEST_SUITE(where_reports)

BOOST_AUTO_TEST_CASE(moves_in_shop_words) {
    const auto words = [](Placement p) { return move_words(p, Habit::inch); };
    BOOST_TEST(words({-2 * 0.0254, 0.5 * 0.0254, 0, 0}) ==
               "2.000 in to the left and .500 in to the back");
    BOOST_TEST(words({0, -0.0254, 0, 1}) == "1.000 in to the front, turned a quarter "
                                            "counterclockwise");
    BOOST_TEST(words({0.0254, 0, 0.0254, 3}) ==
               "1.000 in to the right and 1.000 in higher, turned a quarter clockwise");
    BOOST_TEST(words({0, 0, 0, 2}) == "turned half round");
    BOOST_TEST(words({0, 0, 0, 4}).empty());
    BOOST_TEST(move_words({0.05, 0, -0.01, 0}, Habit::metric) ==
               "50.00 mm to the right and 10.00 mm lower");
}

BOOST_AUTO_TEST_CASE(the_map_reads_back) {
    const auto page = where_text(samples::moved());
    const auto text = page.substr(page.find("Y, in"));
    // high Y first: standing at the machine the back is at the top
    const auto back = words_of(line_of(text, "8.000"));
    const auto front = words_of(line_of(text, "6.000"));
    BOOST_TEST((back == std::vector<std::string>{"8.000", ">2.0<", "3.0", "·"}));
    BOOST_TEST((front == std::vector<std::string>{"6.000", "3.0", "[4.0]", "5.0"}));
    const auto columns_line = words_of(line_of(text, "X, in"));
    BOOST_TEST((columns_line == std::vector<std::string>{"X,", "in", "6.000", "8.000", "10.000"}));
    BOOST_TEST(text.find("8.000") < text.find("front"));
    BOOST_TEST(has(page, "bore, smallest tolerance that can be promised, Ø in .0001 in"));
    BOOST_TEST(has(page, "· not allowed"));
}

BOOST_AUTO_TEST_CASE(where_several_decide_the_map_has_shares_and_letters) {
    auto w = samples::moved();
    w.map.places[0].deciding = 1;
    w.map.places[0].smallest = {7.62e-6, 50.8e-6};
    w.map.places[0].used = 0.2;
    const auto text = where_text(w);
    const auto front = words_of(line_of(text.substr(text.find("Y, in")), "6.000"));
    // 4.0 of 10.0 ten-thousandths are 40 %
    BOOST_TEST((front == std::vector<std::string>{"6.000", "20b", "[40a]", "50a"}));
    BOOST_TEST(has(text, "percent of its tolerance"));
    BOOST_TEST(has(text, "a bore and b hole"));
}

BOOST_AUTO_TEST_CASE(the_page_says_what_is_gained_and_what_limits) {
    const auto text = where_text(samples::moved());
    BOOST_TEST(has(text, "Move the part 2.000 in to the left and 2.000 in to the back"));
    BOOST_TEST(has(text, "X -2.000 in, Y +2.000 in"));
    BOOST_TEST(has(text, "MARGINAL → YES"));
    BOOST_TEST(has(text, "no further to the left"));
    BOOST_TEST(has(text, "lock out, and block a vertical head"));
    BOOST_TEST(has(text, "Not a certificate"));
    for (const auto& line : lines_of(text))
        BOOST_TEST(columns(line) <= page_width, line);
}

BOOST_AUTO_TEST_CASE(a_part_that_stays) {
    auto w = samples::moved();
    w.found = false;
    w.best = {};
    const auto text = where_text(w);
    BOOST_TEST(has(text, "Leave it where it is"));
    BOOST_TEST(!has(text, ">"));
}

BOOST_AUTO_TEST_CASE(nothing_to_tell_places_apart) {
    auto w = samples::moved();
    w.found = false;
    w.best = {};
    w.map = {};
    w.stops.clear();
    BOOST_TEST(has(where_text(w), "the same everywhere"));
    for (auto& c : w.callouts) {
        c.computed = false;
        c.missing = "how straight the tool follows Z";
    }
    const auto text = where_text(w);
    BOOST_TEST(has(text, "No callout can be computed"));
    BOOST_TEST(has(text, "not known: how straight"));
    BOOST_TEST(has(where_json(w), "\"map\": null"));
}

BOOST_AUTO_TEST_CASE(the_json_has_the_same_numbers) {
    const auto w = samples::moved();
    const auto text = where_json(w);
    BOOST_TEST(has(text, "\"holdable\": \"where-result/1\""));
    const auto root = parse_document(text, "json");
    const auto member = [](const Node& node, const std::string& key) -> const Node& {
        for (const auto& [name, place, value] : node.members)
            if (name == key)
                return value;
        BOOST_FAIL("no key " << key);
        return node;
    };
    const auto& map = member(root, "map");
    BOOST_TEST(member(map, "x").elements.size() == 3U);
    const auto& places = member(map, "places").elements;
    BOOST_REQUIRE(places.size() == 6U);
    BOOST_TEST(member(places[1], "used").number == 0.4);
    BOOST_TEST((member(places[5], "used").kind == Node::Kind::null));
    BOOST_TEST(member(places[5], "obstacle").text == word(Obstacle::ends));
    BOOST_TEST(member(member(root, "best"), "x").number == w.best.x);
    BOOST_TEST(member(root, "deciding_best").number == 1);
}

BOOST_AUTO_TEST_SUITE_END()
