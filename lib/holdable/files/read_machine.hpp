// SPDX-License-Identifier: MIT
/// Reads `machine/1`: a shop's machine, its instruments and its checks with raw readings.
///
/// Every key is explained in docs/files.md. Signs are words in the file and are turned here into
/// those of shop.hpp: an indicator on the + side of a surface that reads plus when pressed reads
/// "surface minus tool" along the + axis; each of the two being otherwise turns the sign. A height
/// h above the table is the coordinate Z = h + gauge length - (nose to table).
#pragma once

#include "holdable/base/date.hpp"
#include "holdable/files/document.hpp"
#include "holdable/machine/shop.hpp"

#include <string>

namespace holdable {

/// Reads a shop's machine. Remarks on what looks odd are its `notes`.
/// @param file  name put into diagnostics
/// @param today no check was made later
/// @throws InputError with all that is wrong with the file
Shop read_machine(const Node& root, const std::string& file, Date today = holdable::today());

} // namespace holdable
