// SPDX-License-Identifier: MIT
/// JSON Schema as far as docs/*.schema.json use it, written from the text of JSON Schema 2020-12;
/// another keyword fails the test. And the examples of the pages beside them.
#pragma once

#include "files/shop_text.hpp"

#include <boost/test/unit_test.hpp>

#include <algorithm>
#include <regex>
#include <string>
#include <string_view>
#include <vector>

namespace holdable {

inline const Node* find(const Node& object, std::string_view key) {
    for (const Member& member : object.members)
        if (member.key == key)
            return &member.value;
    return nullptr;
}

inline bool same(const Node& a, const Node& b) {
    return a.kind == b.kind && a.text == b.text && a.boolean == b.boolean;
}

inline bool is_type(const Node& value, std::string_view type) {
    using Kind = Node::Kind;
    return (type == "object" && value.kind == Kind::object) ||
           (type == "array" && value.kind == Kind::array) ||
           (type == "string" && value.kind == Kind::string) ||
           (type == "boolean" && value.kind == Kind::boolean) ||
           ((type == "number" || type == "integer") && value.kind == Kind::number);
}

inline bool fits(const Node& value, const Node& schema, const Node& root);

inline bool has_required(const Node& value, const Node& required) {
    return value.kind != Node::Kind::object ||
           std::all_of(required.elements.begin(), required.elements.end(), [&](const Node& key) {
               return find(value, key.text) != nullptr;
           });
}

/// Applies `properties` and `additionalProperties`, of which one or both stand there.
inline bool fits_members(const Node& value, const Node& schema, const Node& root) {
    if (value.kind != Node::Kind::object)
        return true;
    const auto* properties = find(schema, "properties");
    const auto* others = find(schema, "additionalProperties");
    return std::all_of(value.members.begin(), value.members.end(), [&](const Member& member) {
        const auto* known = properties == nullptr ? nullptr : find(*properties, member.key);
        if (known != nullptr)
            return fits(member.value, *known, root);
        return others == nullptr ||
               (others->kind == Node::Kind::object && fits(member.value, *others, root));
    });
}

inline bool
fits_keyword(const Node& value, const Member& keyword, const Node& schema, const Node& root) {
    const std::string& key = keyword.key;
    const Node& wanted = keyword.value;
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
    if (key == "required")
        return has_required(value, wanted);
    if (key == "properties" || key == "additionalProperties")
        return fits_members(value, schema, root);
    BOOST_TEST((key == "description" || key == "title" || key == "$schema" || key == "$defs"), key);
    return true;
}

inline bool fits(const Node& value, const Node& schema, const Node& root) {
    return std::all_of(schema.members.begin(), schema.members.end(), [&](const Member& keyword) {
        return fits_keyword(value, keyword, schema, root);
    });
}

inline bool fits(const Node& value, const std::string& kind) {
    const auto schema = tree("docs/" + kind + ".schema.json");
    return fits(value, schema, schema);
}

/// The blocks of JSON on a page, in their order.
inline std::vector<std::string> examples(const std::string& name) {
    const auto page = read_text(HOLDABLE_ROOT "/" + name);
    const std::string open = "```json\n";
    std::vector<std::string> blocks;
    for (auto at = page.find(open); at != std::string::npos; at = page.find(open, at)) {
        at += open.size();
        blocks.push_back(page.substr(at, page.find("```", at) - at));
    }
    return blocks;
}

inline void keys_of(const Node& schema, std::vector<std::string>& keys) {
    if (const auto* properties = find(schema, "properties"))
        for (const Member& member : properties->members)
            keys.push_back(member.key);
    for (const Member& member : schema.members)
        keys_of(member.value, keys);
    for (const Node& element : schema.elements)
        keys_of(element, keys);
}

} // namespace holdable
