// SPDX-License-Identifier: MIT
/// What must hold of any bytes as a document: they are refused with a place, or they become a tree
/// whose every value begins where it says, that stays below the limits, and that comes back when it
/// is written down and read again.
#pragma once

#include "fuzz/whole.hpp"

#include <algorithm>
#include <cstdio>
#include <string>
#include <string_view>
#include <vector>

namespace holdable::fuzz {

inline std::string as_json(std::string_view string) {
    std::string text = "\"";
    for (const char c : string)
        if (c == '"' || c == '\\' || (static_cast<unsigned char>(c) < 0x20)) {
            char escape[8];
            std::snprintf(escape, sizeof escape, "\\u%04x", static_cast<unsigned>(c));
            text += escape;
        } else {
            text += c;
        }
    return text + '"';
}

inline std::string as_json(const Node& node) {
    std::string text;
    switch (node.kind) {
    case Node::Kind::null:
        return "null";
    case Node::Kind::boolean:
        return node.boolean ? "true" : "false";
    case Node::Kind::number:
        return node.text;
    case Node::Kind::string:
        return as_json(node.text);
    case Node::Kind::array:
        for (const auto& element : node.elements)
            text += (text.empty() ? "" : ",") + as_json(element);
        return '[' + text + ']';
    case Node::Kind::object:
        for (const auto& [key, place, value] : node.members)
            text += (text.empty() ? "" : ",") + as_json(key) + ':' + as_json(value);
        return '{' + text + '}';
    }
    return text;
}

inline bool same(const Node& a, const Node& b) {
    return a.kind == b.kind && a.text == b.text && a.number == b.number && a.boolean == b.boolean &&
           std::equal(
               a.elements.begin(), a.elements.end(), b.elements.begin(), b.elements.end(), same) &&
           std::equal(a.members.begin(),
                      a.members.end(),
                      b.members.begin(),
                      b.members.end(),
                      [](const Member& x, const Member& y) {
                          return x.key == y.key && same(x.value, y.value);
                      });
}

/// The rest of the text from a place on.
inline std::string_view at(const std::vector<std::string_view>& lines, const Place& place) {
    if (place.line < 1 || place.line > static_cast<int>(lines.size()) || place.column < 1)
        return {};
    auto line = lines[static_cast<std::size_t>(place.line) - 1];
    for (int column = 1; column < place.column && !line.empty(); ++column)
        line.remove_prefix(std::max<std::size_t>(utf8_sequence(line), 1));
    return line;
}

/// What does not hold of a value and all in it. @param depth of it, 0 at the root
inline std::string
fault_of_node(const Node& node, const std::vector<std::string_view>& lines, std::size_t depth) {
    const auto text = at(lines, node.place);
    const char c = text.empty() ? '\0' : text.front();
    const bool begins = node.kind == Node::Kind::null      ? text.starts_with("null")
                        : node.kind == Node::Kind::boolean ? c == (node.boolean ? 't' : 'f')
                        : node.kind == Node::Kind::number  ? text.starts_with(node.text)
                        : node.kind == Node::Kind::string  ? c == '"'
                        : node.kind == Node::Kind::array   ? c == '['
                                                           : c == '{';
    if (!begins)
        return "a value that is not where it says: " + as_json(node);
    const bool container = node.kind == Node::Kind::array || node.kind == Node::Kind::object;
    if (depth + (container ? 1 : 0) > document_depth)
        return "nested too deep";
    for (const auto& element : node.elements)
        if (auto fault = fault_of_node(element, lines, depth + 1); !fault.empty())
            return fault;
    for (const auto& [key, place, value] : node.members) {
        if (!at(lines, place).starts_with('"'))
            return "a key that is not where it says: " + key;
        if (auto fault = fault_of_node(value, lines, depth + 1); !fault.empty())
            return fault;
    }
    return {};
}

/// What does not hold; empty if all does.
inline std::string fault_of_document(std::string_view text) {
    Node root;
    try {
        root = parse_document(text, file_name);
    } catch (const InputError& error) {
        return fault_of_refusal(error, text);
    }
    if (text.starts_with("\xEF\xBB\xBF"))
        text.remove_prefix(3);
    std::vector<std::string_view> lines;
    for (auto rest = text;;) {
        const auto end = std::min(rest.find('\n'), rest.size());
        lines.push_back(rest.substr(0, end));
        if (end == rest.size())
            break;
        rest.remove_prefix(end + 1);
    }
    if (auto fault = fault_of_node(root, lines, 0); !fault.empty())
        return fault;
    const auto written = as_json(root);
    try {
        return same(parse_document(written, file_name), root) ? "" : "read differently: " + written;
    } catch (const InputError& error) {
        return "written, then refused: " + written + "\n" + error.what();
    }
}

} // namespace holdable::fuzz
