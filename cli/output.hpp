// SPDX-License-Identifier: MIT
/// Results that go to a file.
#pragma once

#include <string>

namespace holdable::cli {

/// Writes a file whole or not at all: under another name in the same folder, then renamed.
/// @throws std::system_error where that cannot be done
void write_file(const std::string& path, const std::string& content);

} // namespace holdable::cli
