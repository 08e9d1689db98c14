// SPDX-License-Identifier: MIT
#include "holdable/base/error.hpp"

#include "holdable/base/characters.hpp"

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

} // namespace

std::string to_string(const Diagnostic& d) {
    std::string place = spelled_out(d.location.file);
    if (d.location.line > 0)
        place +=
            fmt::format("{}{}:{}", place.empty() ? "" : ":", d.location.line, d.location.column);
    std::string text = fmt::format(
        "{}{}error: {} [{}]", place, place.empty() ? "" : ": ", spelled_out(d.message), d.id);
    if (!d.location.pointer.empty())
        text += "\n    at " + spelled_out(d.location.pointer);
    if (!d.hint.empty())
        text += "\n    hint: ";
    // Further lines stand below the first: a caret must meet its place.
    for (const char c : spelled_out(d.hint, true))
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
