// SPDX-License-Identifier: MIT
/// A picture read back: its shapes, by a reader of XML that is not ours.
#pragma once

#include <boost/property_tree/xml_parser.hpp>
#include <boost/test/unit_test.hpp>

#include <sstream>
#include <string>
#include <utility>
#include <vector>

namespace holdable::tests {

using Tree = boost::property_tree::ptree;

/// The element <svg>; it must be the only one, and ask for nothing outside.
inline Tree svg_root(const std::string& svg) {
    std::istringstream in(svg);
    Tree tree;
    boost::property_tree::read_xml(in, tree);
    BOOST_REQUIRE(tree.size() == 1u);
    for (const char* outside : {"<script", "<image", "<style", "<foreignObject", "href", "@import"})
        BOOST_TEST(svg.find(outside) == std::string::npos, outside);
    for (auto at = svg.find("url("); at != std::string::npos; at = svg.find("url(", at + 1))
        BOOST_TEST(svg.compare(at, 5, "url(#") == 0);
    return tree.get_child("svg");
}

/// The shapes of one kind, in their order; groups are looked through.
inline std::vector<Tree> shapes(const Tree& root, const std::string& tag) {
    std::vector<Tree> all;
    for (const auto& [name, child] : root)
        if (name == tag)
            all.push_back(child);
        else if (name == "g" || name == "svg")
            for (const auto& deeper : shapes(child, tag))
                all.push_back(deeper);
    return all;
}

inline double number(const Tree& shape, const std::string& attribute) {
    return shape.get<double>("<xmlattr>." + attribute);
}

inline std::string attribute(const Tree& shape, const std::string& name) {
    return shape.get<std::string>("<xmlattr>." + name, "");
}

/// The text that begins so; fails if there is none.
inline Tree text_beginning(const Tree& root, const std::string& begin) {
    for (const auto& text : shapes(root, "text"))
        if (text.data().starts_with(begin))
            return text;
    BOOST_REQUIRE_MESSAGE(false, "no text begins with " << begin);
    return {};
}

/// The corners of a path of straight lines.
inline std::vector<std::pair<double, double>> corners(const Tree& path) {
    auto data = attribute(path, "d");
    for (char& c : data)
        if (c == 'M' || c == 'L' || c == 'Z')
            c = ' ';
    std::istringstream in(data);
    std::vector<std::pair<double, double>> points;
    for (double x = 0, y = 0; in >> x >> y;)
        points.emplace_back(x, y);
    return points;
}

/// Where a line through these points, rising in x, stands at x.
inline double height_at(const std::vector<std::pair<double, double>>& points, double x) {
    for (std::size_t i = 1; i < points.size(); ++i)
        if (points[i].first >= x) {
            const auto& [x0, y0] = points[i - 1];
            const auto& [x1, y1] = points[i];
            return y0 + (x - x0) / (x1 - x0) * (y1 - y0);
        }
    return points.back().second;
}

/// Where a scale puts a value, by two of its printed numbers. @param along "x" or "y"
inline double scaled(const Tree& root,
                     const std::string& first,
                     double first_value,
                     const std::string& second,
                     double second_value,
                     double value,
                     const std::string& along) {
    const auto place = [&](const std::string& words) {
        for (const auto& text : shapes(root, "text"))
            if (text.data() == words &&
                attribute(text, "text-anchor") == (along == "x" ? "middle" : "end"))
                return number(text, along);
        BOOST_REQUIRE_MESSAGE(false, "no number " << words << " on the scale of " << along);
        return 0.0;
    };
    const double a = place(first), b = place(second);
    return a + (value - first_value) / (second_value - first_value) * (b - a);
}

} // namespace holdable::tests
