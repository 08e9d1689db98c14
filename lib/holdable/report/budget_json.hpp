// SPDX-License-Identifier: MIT
/// The result of a budget for programs: `budget-result/1` (docs/budget-file.md).
#pragma once

#include "holdable/answer/budget.hpp"
#include "holdable/report/origin.hpp"

#include <string>

namespace holdable {

/// A JSON object, two blanks a level, ended by a line feed; keys keep their order. All numbers of
/// an output are in its unit, in SI where it has none. What does not exist is null: infinitely many
/// degrees of freedom, results of the GUM where it does not apply. Without Monte Carlo the keys
/// `monte_carlo` and `agreement` are not there, and `trials` is 0.
/// @throws NumericError if a number is not finite
std::string budget_json(const BudgetAnswer& answer, const Origin& origin = {});

} // namespace holdable
