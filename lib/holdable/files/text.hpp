// SPDX-License-Identifier: MIT
/// The text of a file, read and written.
#pragma once

#include "holdable/files/document.hpp"

#include <cstddef>
#include <string>
#include <string_view>

namespace holdable {

/// The whole text of a file, as bytes.
/// @param path name of the file; "-" reads standard input
/// @param most_bytes no more is read of it
/// @throws InputError [file-unreadable], with the system's reason; [json-limit] if it is longer
std::string read_text(const std::string& path, std::size_t most_bytes = document_bytes);

/// Says so if there is a file, or anything else, of that name. @throws InputError [file-exists]
void refuse_existing(const std::string& path);

/// Writes a file, or puts it in the place of the one there: under a name of its own first, so that
/// a reader finds the old one or the new one, and never half of it. A link stays one, and what it
/// points to is replaced; a file that is write-protected is not. A pipe or a device is written to
/// as it stands. Paths are taken literally. A process that is killed in between leaves the old file
/// as it was, and at most one named `holdable-XXXXXX.part` beside it.
/// @throws InputError [file-unwritable] with the system's reason; nothing is left behind
void write_text(const std::string& path, std::string_view text);

/// The same of a file that is not there yet. @throws InputError also [file-exists] if there is one
void write_new_text(const std::string& path, std::string_view text);

} // namespace holdable
