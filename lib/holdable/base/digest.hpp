// SPDX-License-Identifier: MIT
/// The fingerprint of a file, by which a page names what it was made from.
///
/// SHA-256 (FIPS 180-4), so that `sha256sum` of the file gives the same. Written here, for no
/// library that the program needs anyway has it.
#pragma once

#include <string>
#include <string_view>

namespace holdable {

/// SHA-256 of some bytes, as 64 hexadecimal digits in lower case.
std::string sha256(std::string_view bytes);

} // namespace holdable
