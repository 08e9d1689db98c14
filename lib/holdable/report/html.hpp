// SPDX-License-Identifier: MIT
/// Data in a script of a page, safe whatever a file holds; words in it are `xml_escaped` (svg.hpp).
#pragma once

#include <string>
#include <string_view>

namespace holdable {

/// JSON text for a script element: no "<" is left, so that no end of the element is in it.
std::string script_escaped(std::string_view json);

} // namespace holdable
