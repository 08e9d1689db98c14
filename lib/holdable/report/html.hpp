// SPDX-License-Identifier: MIT
/// Text in HTML, safe whatever a file holds.
#pragma once

#include <string>
#include <string_view>

namespace holdable {

/// Text for an element or a quoted attribute: &, <, >, " and ' become entities, control characters
/// and what turns the direction of writing become blanks.
std::string html_escaped(std::string_view text);

/// JSON text for a script element: no "<" is left, so that no end of the element is in it.
std::string script_escaped(std::string_view json);

} // namespace holdable
