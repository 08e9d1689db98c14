// SPDX-License-Identifier: MIT
/// The text of a file.
#pragma once

#include <string>

namespace holdable {

/// The whole text of a file, as bytes. Of a text longer than `document_bytes` only so much comes
/// back that `parse_document` can refuse it.
/// @param path name of the file; "-" reads standard input
/// @throws InputError [file-unreadable], with the system's reason
std::string read_text(const std::string& path);

} // namespace holdable
