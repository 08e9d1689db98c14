// SPDX-License-Identifier: MIT
/// Characters that do something other than stand in their place, and what is put instead.
///
/// Words from a file, and names of files, are shown on terminals and in pages. There a control
/// character could move the cursor or forge a line, and one that turns the direction of writing
/// could show `100` as `001`. They are replaced wherever a text goes out.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>

namespace holdable {

/// The next code point of a UTF-8 text (Unicode 15, table 3-7), moving `at` past it; -1 for a byte
/// that begins none.
/// @param at before the end of the text
std::int32_t next_code_point(std::string_view text, std::size_t& at);

/// Whether it is a control character (U+0000 … U+001F, U+007F … U+009F), ends a line or turns the
/// direction of writing (U+061C, U+200E, U+200F, U+2028 … U+202E, U+2066 … U+2069).
bool is_hidden(std::int32_t code);

/// The text with a blank for every hidden character.
std::string blanked(std::string_view text);

/// The text with hidden characters as `\u001b`, as JSON writes them, and bytes that are no UTF-8 as
/// `\xff`. @param keep_lines line feeds stay as they are
std::string spelled_out(std::string_view text, bool keep_lines = false);

} // namespace holdable
