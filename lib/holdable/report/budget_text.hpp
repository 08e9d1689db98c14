// SPDX-License-Identifier: MIT
/// The result of a budget as a page of text.
///
/// Order: the inputs; then each output with its result, both intervals, whether they agree, and
/// what it is made of; how the outputs hang together; notes. The length of a bar is the share of
/// the variance, its hatching the evidence: the firmer, the denser. Bars are not cumulative.
#pragma once

#include "holdable/answer/budget.hpp"

#include <string>

namespace holdable {

/// The result in one line, by GUM 7.2.6: "l = 50.000838 mm, U = 0.000093 mm (k = 2.92, ν_eff = 16,
/// 99 %)". U is a claim and rounded up; the value goes to its last place.
std::string budget_sentence(const propagate::GumOutput& output, double coverage);

/// The page: lines of at most 80 columns, each ended.
/// @throws NumericError if a number that is to be printed is not finite
std::string budget_text(const BudgetAnswer& answer);

} // namespace holdable
