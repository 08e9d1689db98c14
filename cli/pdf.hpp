// SPDX-License-Identifier: MIT
/// Paper from a page of HTML, by a program that is there for it.
#pragma once

#include <string>
#include <string_view>

namespace holdable::cli {

/// Prints an HTML page to a PDF file through Chromium or WeasyPrint, whichever is installed; it is
/// started without a shell and told to use no network.
/// @throws InputError [pdf-program] where neither is, [pdf-failed] where it makes no file
void write_pdf(const std::string& path, std::string_view html);

} // namespace holdable::cli
