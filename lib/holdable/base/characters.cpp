// SPDX-License-Identifier: MIT
#include "holdable/base/characters.hpp"

#include <fmt/format.h>

namespace holdable {

std::int32_t next_code_point(std::string_view text, std::size_t& at) {
    const auto byte = [&](std::size_t i) {
        return static_cast<std::int32_t>(static_cast<unsigned char>(text[i]));
    };
    const auto first = byte(at);
    const int more = first < 0x80   ? 0
                     : first < 0xC2 ? -1
                     : first < 0xE0 ? 1
                     : first < 0xF0 ? 2
                     : first < 0xF5 ? 3
                                    : -1;
    if (more < 0 || at + static_cast<std::size_t>(more) >= text.size()) {
        ++at;
        return -1;
    }
    std::int32_t code = more == 0 ? first : first & (0x3F >> more);
    for (std::size_t i = 1; i <= static_cast<std::size_t>(more); ++i) {
        if ((byte(at + i) & 0xC0) != 0x80) {
            ++at;
            return -1;
        }
        code = code << 6 | (byte(at + i) & 0x3F);
    }
    const bool longer_than_needed = (more == 2 && code < 0x800) || (more == 3 && code < 0x10000);
    if (longer_than_needed || (code >= 0xD800 && code < 0xE000) || code > 0x10FFFF) {
        ++at;
        return -1;
    }
    at += static_cast<std::size_t>(more) + 1;
    return code;
}

bool is_hidden(std::int32_t code) {
    return (code >= 0 && code < 0x20) || (code >= 0x7F && code < 0xA0) || code == 0x061C ||
           code == 0x200E || code == 0x200F || (code >= 0x2028 && code <= 0x202E) ||
           (code >= 0x2066 && code <= 0x2069);
}

std::string blanked(std::string_view text) {
    std::string out;
    for (std::size_t at = 0; at < text.size();) {
        const auto from = at;
        if (is_hidden(next_code_point(text, at)))
            out += ' ';
        else
            out += text.substr(from, at - from);
    }
    return out;
}

std::string spelled_out(std::string_view text, bool keep_lines) {
    std::string out;
    for (std::size_t at = 0; at < text.size();) {
        const auto from = at;
        const auto code = next_code_point(text, at);
        if (code < 0)
            out += fmt::format("\\x{:02x}", static_cast<unsigned char>(text[from]));
        else if (is_hidden(code) && !(keep_lines && code == '\n'))
            out += fmt::format("\\u{:04x}", code);
        else
            out += text.substr(from, at - from);
    }
    return out;
}

} // namespace holdable
