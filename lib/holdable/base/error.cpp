// SPDX-License-Identifier: MIT
#include "holdable/base/error.hpp"

#include "holdable/base/printable.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cassert>
#include <string_view>

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
    std::string place = shown(d.location.file);
    if (d.location.line > 0)
        place +=
            fmt::format("{}{}:{}", place.empty() ? "" : ":", d.location.line, d.location.column);
    std::string text =
        fmt::format("{}{}error: {} [{}]", place, place.empty() ? "" : ": ", shown(d.message), d.id);
    if (!d.location.pointer.empty())
        text += "\n    at " + shown(d.location.pointer);
    // Further lines of a hint stand below the first: a caret must meet its place.
    for (std::string_view rest = d.hint; !rest.empty();) {
        const auto line = rest.substr(0, rest.find('\n'));
        text += (rest.size() == d.hint.size() ? "\n    hint: " : "\n          ") + shown(line);
        rest.remove_prefix(std::min(line.size() + 1, rest.size()));
    }
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
