// SPDX-License-Identifier: MIT
/// A statement as plain text of 80 columns.
#pragma once

#include "holdable/report/statement_page.hpp"

#include <string>

namespace holdable {

/// The page, and below it the appendix where the edition has one.
std::string statement_text(const StatementPage& page);

} // namespace holdable
