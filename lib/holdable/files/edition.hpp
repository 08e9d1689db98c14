// SPDX-License-Identifier: MIT
/// Editions of the kinds of file: the number in "machine/1". One that is not known is refused and
/// named, never read as if it were another.
#pragma once

#include <string>
#include <string_view>

namespace holdable {

/// Whether a file of the same kind is meant, but not of the edition that is read: "machine/2" for
/// "machine/1".
bool is_other_edition(std::string_view found, std::string_view format);

/// What then is to be known. @param format that is read, as "machine/1"
std::string other_edition(std::string_view format);

} // namespace holdable
