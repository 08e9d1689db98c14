// SPDX-License-Identifier: MIT
/// Files that the program writes: whole, or not at all.
#pragma once

#include <string>
#include <string_view>

namespace holdable::cli {

/// Writes a file: first beside it, under a name of its own, then renamed, so that whoever looks
/// sees the old one or the new one. Paths are taken as they stand.
/// @throws std::system_error with the path, where that cannot be; nothing is left behind
void write_whole(const std::string& path, std::string_view text);

/// Prints an HTML page to a PDF file through Chromium or WeasyPrint, whichever is installed; it is
/// started without a shell and told to use no network.
/// @throws InputError [pdf-program] where neither is, [pdf-failed] where it makes no file
void write_pdf(const std::string& path, std::string_view html);

} // namespace holdable::cli
