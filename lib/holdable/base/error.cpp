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

} // namespace

std::string to_string(const Diagnostic& d) {
    std::string place = d.location.file;
    if (d.location.line > 0)
        place +=
            fmt::format("{}{}:{}", place.empty() ? "" : ":", d.location.line, d.location.column);
    std::string text =
        fmt::format("{}{}error: {} [{}]", place, place.empty() ? "" : ": ", d.message, d.id);
    if (!d.location.pointer.empty())
        text += "\n    at " + d.location.pointer;
    if (!d.hint.empty())
        text += "\n    hint: " + d.hint;
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
