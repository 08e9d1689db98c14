// SPDX-License-Identifier: MIT
/// Reads `gauging/1`: how a part is measured, and against what.
///
/// Every key is explained in docs/gauging.md.
#pragma once

#include "holdable/decide/inspection.hpp"
#include "holdable/files/document.hpp"

#include <string>

namespace holdable {

/// Reads an inspection. Remarks on what looks odd are its `notes`.
/// @param file name put into diagnostics
/// @throws InputError with all that is wrong with the file
decide::Inspection read_gauging(const Node& root, const std::string& file);

} // namespace holdable
