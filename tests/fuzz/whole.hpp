// SPDX-License-Identifier: MIT
/// What must hold whatever a file holds: a refusal names its place, and nothing that is printed can
/// steer a terminal, turn the direction of writing or break a line that is not ours.
#pragma once

#include "holdable/base/error.hpp"
#include "holdable/base/printable.hpp"
#include "holdable/files/document.hpp"

#include <algorithm>
#include <cstddef>
#include <string>
#include <string_view>

namespace holdable::fuzz {

/// The name that texts have in diagnostics.
inline const std::string file_name = "f";

/// The first character of a text that may not be printed, as its bytes; empty if there is none.
/// Written apart from the library's own rule: control characters but the line feed (Unicode 15,
/// category Cc), what ends a line or a paragraph (Zl, Zp), and what turns the direction of writing
/// (Unicode Standard Annex 9, 2: the explicit directional formatting characters and marks).
inline std::string unprintable(std::string_view text) {
    for (std::size_t at = 0; at < text.size();) {
        const auto length = utf8_sequence(text.substr(at));
        const auto c = text.substr(at, std::max<std::size_t>(length, 1));
        const auto byte = static_cast<unsigned char>(c[0]);
        if (length == 0 || (byte < 0x20 && byte != '\n') || byte == 0x7F)
            return std::string(c);
        if (c.size() == 2 && byte == 0xC2 && static_cast<unsigned char>(c[1]) < 0xA0)
            return std::string(c); // U+0080 … U+009F
        for (const std::string_view turns : {"\u061C",
                                             "\u200E",
                                             "\u200F",
                                             "\u2028",
                                             "\u2029",
                                             "\u202A",
                                             "\u202B",
                                             "\u202C",
                                             "\u202D",
                                             "\u202E",
                                             "\u2066",
                                             "\u2067",
                                             "\u2068",
                                             "\u2069"})
            if (c == turns)
                return std::string(c);
        at += c.size();
    }
    return {};
}

/// What does not hold of a refusal; empty if all does.
inline std::string fault_of_refusal(const InputError& error, std::string_view text) {
    const auto lines = 1 + static_cast<int>(std::count(text.begin(), text.end(), '\n'));
    for (const auto& d : error.diagnostics()) {
        const auto& at = d.location;
        const bool whole = d.id == "json-limit" && at.line == 0;
        if (d.id.empty() || d.message.empty())
            return "a diagnostic that says nothing: " + std::string(error.what());
        if (at.file != file_name || (!whole && (at.line < 1 || at.line > lines || at.column < 1)))
            return "a diagnostic without a place: " + to_string(d);
        if (d.message.find('\n') != std::string::npos)
            return "a message of several lines: " + to_string(d);
    }
    return unprintable(error.what()).empty() ? ""
                                             : "not to be printed: " + std::string(error.what());
}

/// What does not hold of a result in words; empty if all does.
inline std::string fault_of_page(std::string_view page) {
    if (page.empty() || page.back() != '\n')
        return "a page without an end";
    return unprintable(page).empty() ? "" : "not to be printed: " + std::string(page);
}

/// What does not hold of a result for programs; empty if all does.
inline std::string fault_of_json(const std::string& json) {
    if (const auto fault = fault_of_page(json); !fault.empty())
        return fault;
    try {
        parse_document(json, file_name);
        return {};
    } catch (const InputError& error) {
        return "no JSON: " + json + error.what();
    }
}

} // namespace holdable::fuzz
