// SPDX-License-Identifier: MIT
/// A statement for programs: statement-result/1.
#pragma once

#include "holdable/report/statement_page.hpp"

#include <string>

namespace holdable {

/// Numbers in SI units beside the words of the page; the appendix always.
/// @throws NumericError if a number is not finite
std::string statement_json(const Statement& statement, const Edition& edition);

} // namespace holdable
