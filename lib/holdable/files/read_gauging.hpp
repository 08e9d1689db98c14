// SPDX-License-Identifier: MIT
/// Reads `gauging/1`: how a part will be measured, and against what; or how a machine will be
/// checked, and what that shall show.
///
/// Every key is explained in docs/gauging.md.
#pragma once

#include "holdable/answer/planned_check.hpp"
#include "holdable/base/date.hpp"
#include "holdable/decide/inspection.hpp"
#include "holdable/files/document.hpp"
#include "holdable/files/reader.hpp"

#include <optional>
#include <string>
#include <variant>

namespace holdable {

/// What a gauging file may hold.
using Gauging = std::variant<decide::Inspection, PlannedCheck>;

/// Reads either. Remarks on what looks odd are its `notes`.
/// @param file name put into diagnostics; a machine file is sought beside it
/// @param today the day of the measurement unless the file says another
/// @throws InputError with all that is wrong with the file
Gauging read_gauging(const Node& root, const std::string& file, Date today = holdable::today());

/// Reads the keys "machine", "check" and "show". @param reader the root of the file
/// @param file its name @param day of the check unless that says another
PlannedCheck read_planned(const Reader& reader, const std::string& file, Date day);

/// Reads the key "rule", if it is there. @param measure of its guard band
std::optional<decide::CustomerRule> read_rule(const Reader& reader, Measure measure);

} // namespace holdable
