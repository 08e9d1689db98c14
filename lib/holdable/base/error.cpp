// SPDX-License-Identifier: MIT
#include "holdable/base/error.hpp"

#include <fmt/format.h>

#include <cassert>

namespace holdable {
namespace {

std::string join(const std::vector<Diagnostic>& diagnostics) {
    std::string text;
    for (const auto& d : diagnostics)
        text.append(text.empty() ? "" : "\n").append(to_string(d));
    return text;
}

/// The text with control characters as `\u000a`: the user's words neither break nor colour lines.
std::string one_line(const std::string& text) {
    std::string line;
    for (const char c : text) {
        const auto byte = static_cast<unsigned char>(c);
        line += byte < 0x20 || byte == 0x7F ? fmt::format("\\u{:04x}", byte) : std::string(1, c);
    }
    return line;
}

} // namespace

std::string to_string(const Diagnostic& d) {
    std::string place = d.location.file;
    if (d.location.line > 0)
        place +=
            fmt::format("{}{}:{}", place.empty() ? "" : ":", d.location.line, d.location.column);
    std::string text = fmt::format(
        "{}{}error: {} [{}]", place, place.empty() ? "" : ": ", one_line(d.message), d.id);
    if (!d.location.pointer.empty())
        text += "\n    at " + one_line(d.location.pointer);
    if (!d.hint.empty())
        text += "\n    hint: ";
    // Further lines stand below the first: a caret must meet its place.
    for (const char c : d.hint)
        text += c == '\n' ? std::string("\n          ") : std::string(1, c);
    return text;
}

InputError::InputError(std::vector<Diagnostic> diagnostics)
    : std::runtime_error(join(diagnostics)), diagnostics_(std::move(diagnostics)) {
    assert(!diagnostics_.empty());
}

InputError::InputError(std::string id, std::string message, std::string hint)
    : InputError(
          std::vector<Diagnostic>{{std::move(id), {}, std::move(message), std::move(hint)}}) {}

} // namespace holdable
