// SPDX-License-Identifier: MIT
#include "holdable/base/printable.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace holdable {
namespace {

/// The code point of a character, a sequence of UTF-8 as utf8_sequence finds it, or a zero byte.
unsigned code_point(std::string_view character) {
    const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(character[i]); };
    switch (character.size()) {
    case 1:
        return byte(0);
    case 2:
        return (byte(0) & 0x1FU) << 6 | (byte(1) & 0x3FU);
    case 3:
        return (byte(0) & 0xFU) << 12 | (byte(1) & 0x3FU) << 6 | (byte(2) & 0x3FU);
    default:
        return (byte(0) & 7U) << 18 | (byte(1) & 0x3FU) << 12 | (byte(2) & 0x3FU) << 6 |
               (byte(3) & 0x3FU);
    }
}

/// Steps through a text; a byte that is not UTF-8 is a character of its own.
template <class Work>
void for_each_character(std::string_view text, const Work& work) {
    while (!text.empty()) {
        const auto length = std::max<std::size_t>(utf8_sequence(text), 1);
        work(text.substr(0, length));
        text.remove_prefix(length);
    }
}

std::string as_shown(std::string_view character) {
    if (utf8_sequence(character) == 0 && character[0] != 0)
        return fmt::format("\\x{:02x}", static_cast<unsigned char>(character[0]));
    return printable(character) ? std::string(character)
                                : fmt::format("\\u{:04x}", code_point(character));
}

} // namespace

std::size_t utf8_sequence(std::string_view text) {
    const auto byte = [&](std::size_t i) {
        return i < text.size() ? static_cast<unsigned char>(text[i]) : 0U;
    };
    const unsigned lead = byte(0);
    if (lead < 0x80)
        return lead > 0 ? 1 : 0;
    if (lead < 0xC2 || lead > 0xF4)
        return 0;
    const std::size_t length = lead < 0xE0 ? 2 : lead < 0xF0 ? 3 : 4;
    const unsigned low = lead == 0xE0 ? 0xA0 : lead == 0xF0 ? 0x90 : 0x80;  // no overlong forms
    const unsigned high = lead == 0xED ? 0x9F : lead == 0xF4 ? 0x8F : 0xBF; // no surrogates
    if (byte(1) < low || byte(1) > high)
        return 0;
    for (std::size_t i = 2; i < length; ++i)
        if (byte(i) < 0x80 || byte(i) > 0xBF)
            return 0;
    return length;
}

bool printable(std::string_view character) {
    const unsigned code = code_point(character);
    return !(code < 0x20 || (code >= 0x7F && code < 0xA0) || code == 0x061C || code == 0x200E ||
             code == 0x200F || (code >= 0x2028 && code <= 0x202E) ||
             (code >= 0x2066 && code <= 0x2069));
}

std::size_t unprintable(std::string_view text) {
    for (std::size_t at = 0; at < text.size();) {
        const auto length = std::max<std::size_t>(utf8_sequence(text.substr(at)), 1);
        if (!printable(text.substr(at, length)))
            return at;
        at += length;
    }
    return std::string_view::npos;
}

std::string code_point_name(std::string_view character) {
    return fmt::format("U+{:04X}", code_point(character));
}

std::string shown(std::string_view text) {
    std::string result;
    for_each_character(text, [&](std::string_view character) { result += as_shown(character); });
    return result;
}

std::string shown_lines(std::string_view text) {
    std::string result;
    for_each_character(text, [&](std::string_view character) {
        result += character == "\n" ? std::string("\n") : as_shown(character);
    });
    return result;
}

std::string shown_in_short(std::string_view text) {
    std::size_t length = 0;
    for (int n = 0; n < 60 && length < text.size(); ++n)
        length += std::max<std::size_t>(utf8_sequence(text.substr(length)), 1);
    return shown(text.substr(0, length)) + (length < text.size() ? "..." : "");
}

std::string blanked(std::string_view text) {
    std::string result;
    for_each_character(text, [&](std::string_view character) {
        const auto may = utf8_sequence(character) > 0 && printable(character);
        result += may ? character : " ";
    });
    return result;
}

} // namespace holdable
