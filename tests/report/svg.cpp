// SPDX-License-Identifier: MIT
// The sheet pictures are drawn on. Escaping and wrong UTF-8 against strings written by hand; what a
// sheet makes is read back by Boost.PropertyTree's reader of XML, which is not ours; round numbers
// of scales against lists by hand. All exact, but for the estimated width of text, of which only
// the order and the fit are asked.
#include "holdable/report/svg.hpp"

#include <boost/property_tree/xml_parser.hpp>
#include <boost/test/unit_test.hpp>

#include <sstream>

using namespace holdable;

namespace {

boost::property_tree::ptree parsed(const std::string& svg) {
    std::istringstream in(svg);
    boost::property_tree::ptree tree;
    boost::property_tree::read_xml(in, tree);
    return tree;
}

} // namespace

BOOST_AUTO_TEST_SUITE(svg)

BOOST_AUTO_TEST_CASE(names_stay_text) {
    BOOST_TEST(xml_escaped("<script>alert('a' & \"b\")</script>") ==
               "&lt;script&gt;alert(&#39;a&#39; &amp; &quot;b&quot;)&lt;/script&gt;");
    BOOST_TEST(xml_escaped("Ø 8 µm → é") == "Ø 8 µm → é");
    BOOST_TEST(xml_escaped(std::string_view("a\0b\nc\x7F", 6)) == "a b c ");
    BOOST_TEST(xml_escaped("a\xC2\x85z") == "a z");     // U+0085
    BOOST_TEST(xml_escaped("a\xE2\x80\xAEz") == "a z"); // U+202E turns the direction
    BOOST_TEST(xml_escaped("a\xFFz\xC3") == "a\xEF\xBF\xBDz\xEF\xBF\xBD");
    BOOST_TEST(xml_escaped("\xC0\xAF") == "\xEF\xBF\xBD\xEF\xBF\xBD");         // longer than needed
    BOOST_TEST(xml_escaped("\xED\xA0\x80").find("\xED") == std::string::npos); // half a pair
    BOOST_TEST(xml_escaped("\xEF\xBF\xBF") != "\xEF\xBF\xBF");                 // no character
}

BOOST_AUTO_TEST_CASE(a_sheet_is_one_element) {
    Sheet sheet("a \"b\"", 300);
    sheet.text(1, 2, "<b> & \x01");
    sheet.rectangle(0, 0, 10, 10, sheet.fill(Hatch::dots), {1, ink, "4 3"});
    sheet.rectangle(0, 0, 10, 10, sheet.fill(Hatch::rising));
    for (int kind = 0; kind < 5; ++kind)
        sheet.mark(5, 5, kind);
    const auto svg = sheet.finished(40.5, "tit<le", "des&c");
    const auto tree = parsed(svg);
    const auto& root = tree.get_child("svg");
    BOOST_TEST(tree.size() == 1u);
    BOOST_TEST(root.get<std::string>("<xmlattr>.role") == "img");
    BOOST_TEST(root.get<std::string>("<xmlattr>.viewBox") == "0 0 300 40.5");
    BOOST_TEST(root.get<std::string>("title") == "tit<le");
    BOOST_TEST(root.get<std::string>("desc") == "des&c");
    BOOST_TEST(root.get<std::string>("text") == "<b> &  ");
    BOOST_TEST(root.get_child("defs").count("pattern") == 2u);
    // every id begins as given, and every fill that is asked for is there
    BOOST_TEST(root.get<std::string>("title.<xmlattr>.id") == "a \"b\"-title");
    for (const auto& [tag, child] : root.get_child("defs"))
        BOOST_TEST(svg.find("url(#" + xml_escaped(child.get<std::string>("<xmlattr>.id")) + ")") !=
                   std::string::npos);
}

BOOST_AUTO_TEST_CASE(text_fits) {
    const std::string name = "the roll of X as it was read by the long level in the spring";
    const auto cut = shortened(name, 120, 15);
    BOOST_TEST(cut.ends_with("…"));
    BOOST_TEST(name.starts_with(cut.substr(0, cut.size() - 3)));
    BOOST_TEST(text_width(cut, 15) <= 120.0);
    BOOST_TEST(text_width(cut, 15) > 90.0);
    BOOST_TEST(shortened("short", 120, 15) == "short");
    BOOST_TEST(shortened("ØØØØØØØØ", 40, 15).find('\xC3') != std::string::npos); // whole characters
    BOOST_TEST(text_width("WWW", 15) > text_width("iii", 15));
    BOOST_TEST(text_width("abc", 15, true) > text_width("abc", 15));

    const auto lines = text_lines(name, 160, 15);
    BOOST_TEST(lines.size() > 2u);
    std::string joined;
    for (const auto& line : lines) {
        BOOST_TEST(text_width(line, 15) <= 160.0);
        joined += (joined.empty() ? "" : " ") + line;
    }
    BOOST_TEST(joined == name);
    const auto two = text_lines(name, 160, 15, 2);
    BOOST_TEST(two.size() == 2u);
    BOOST_TEST(two[0] == lines[0]);
    BOOST_TEST(two[1].ends_with("…"));
    BOOST_TEST(text_lines("", 160, 15).size() == 1u);
    BOOST_TEST(text_lines("onewordthatisfartoolongforitsline", 60, 15)[0].ends_with("…"));
}

BOOST_AUTO_TEST_CASE(round_numbers) {
    const auto is = [](std::vector<double> seen, std::vector<double> wanted) {
        BOOST_TEST(seen.size() == wanted.size());
        for (std::size_t i = 0; i < std::min(seen.size(), wanted.size()); ++i)
            BOOST_TEST(std::abs(seen[i] - wanted[i]) < 1e-12);
    };
    is(nice_ticks(0, 10, 5), {0, 2, 4, 6, 8, 10});
    is(nice_ticks(-0.0003, 0.0007, 5), {-0.0002, 0, 0.0002, 0.0004, 0.0006});
    is(nice_ticks(3.2, 16, 4), {5, 10, 15});
    is(nice_ticks(0, 0.3, 3), {0, 0.1, 0.2, 0.3});
    BOOST_TEST(tick_place({0, 0.0002}) == -4);
    BOOST_TEST(tick_place({0, 50}) == 1);
    const ShopUnit in = length_unit(Habit::inch, 1);
    BOOST_TEST(tick_text(0.0002, -4, in) == ".0002");
    BOOST_TEST(tick_text(-0.5, -1, in) == "-.5");
    BOOST_TEST(tick_text(1e-19, -4, in) == "0");
    BOOST_TEST(svg_number(-0.001) == "0");
    BOOST_TEST(svg_number(12.50) == "12.5");
    BOOST_TEST(svg_number(100) == "100");
}

BOOST_AUTO_TEST_CASE(a_scale) {
    const Scale y{10, 20, 200, 100};
    BOOST_TEST(y(10) == 200.0);
    BOOST_TEST(y(15) == 150.0);
    BOOST_TEST(y(20) == 100.0);
}

BOOST_AUTO_TEST_SUITE_END()
