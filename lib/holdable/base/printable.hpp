// SPDX-License-Identifier: MIT
/// Words of others on a terminal or a page: what may be printed, and what stands for the rest.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace holdable {

/// Length of the well-formed UTF-8 sequence at the front (Unicode 15, table 3-7), in bytes; 0 if
/// there is none, or a zero byte.
std::size_t utf8_sequence(std::string_view text);

/// Whether a character, one sequence of UTF-8, may be printed within a line: it steers no terminal
/// (controls, U+0000 … U+001F and U+007F … U+009F), ends no line or paragraph (U+2028, U+2029) and
/// turns no direction of writing (U+061C, U+200E, U+200F, U+202A … U+202E, U+2066 … U+2069; Unicode
/// Standard Annex 9, 2), so that a text reads as it is.
bool printable(std::string_view character);

/// Where the first character of a UTF-8 text stands that is not printable (bytes), npos if all are.
std::size_t unprintable(std::string_view text);

/// The name of a character, "U+202E".
std::string code_point_name(std::string_view character);

/// The text on one line as it may be printed: what is not printable as `\u202e`, a byte that is not
/// UTF-8 as `\xff`.
std::string shown(std::string_view text);

/// The same of a text of several lines, which stay lines.
std::string shown_lines(std::string_view text);

/// As `shown`, 60 characters at most, `...` for the rest.
std::string shown_in_short(std::string_view text);

/// The text on one line with a blank in place of each.
std::string blanked(std::string_view text);

} // namespace holdable
