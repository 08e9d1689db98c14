// SPDX-License-Identifier: MIT
#include "holdable/report/html.hpp"

namespace holdable {
namespace {

/// Bytes of a mark that turns the direction of writing: U+061C, U+200E, U+200F, U+202A … U+202E,
/// U+2066 … U+2069; 0 if none is at the front.
std::size_t turning_mark(std::string_view text) {
    if (text.starts_with("\xd8\x9c"))
        return 2;
    if (text.size() < 3 || text[0] != '\xe2')
        return 0;
    const auto b = static_cast<unsigned char>(text[1]);
    const auto c = static_cast<unsigned char>(text[2]);
    const bool turns = (b == 0x80 && (c == 0x8e || c == 0x8f || (c >= 0xaa && c <= 0xae))) ||
                       (b == 0x81 && c >= 0xa6 && c <= 0xa9);
    return turns ? 3 : 0;
}

} // namespace

std::string html_escaped(std::string_view text) {
    std::string out;
    out.reserve(text.size());
    while (!text.empty()) {
        std::size_t taken = 1;
        const char c = text.front();
        if (const auto mark = turning_mark(text)) {
            out += ' ';
            taken = mark;
        } else if (c == '&') {
            out += "&amp;";
        } else if (c == '<') {
            out += "&lt;";
        } else if (c == '>') {
            out += "&gt;";
        } else if (c == '"') {
            out += "&quot;";
        } else if (c == '\'') {
            out += "&#39;";
        } else if (static_cast<unsigned char>(c) < 0x20 || c == 0x7f) {
            out += ' ';
        } else {
            out += c;
        }
        text.remove_prefix(taken);
    }
    return out;
}

std::string script_escaped(std::string_view json) {
    std::string out;
    for (const char c : json) {
        if (c == '<')
            out += "\\u003c";
        else if (c == '>')
            out += "\\u003e";
        else if (c == '&')
            out += "\\u0026";
        else
            out += c;
    }
    return out;
}

} // namespace holdable
