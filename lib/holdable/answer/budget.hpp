// SPDX-License-Identifier: MIT
/// What an uncertainty budget comes to, by the GUM and by Monte Carlo, and whether the two agree.
#pragma once

#include "holdable/propagate/agreement.hpp"
#include "holdable/propagate/budget.hpp"
#include "holdable/propagate/gum.hpp"
#include "holdable/propagate/monte_carlo.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace holdable {

/// How a budget is evaluated.
struct BudgetOptions {
    std::optional<double> coverage{}; ///< probability in (0, 1); none: the budget's own
    bool monte_carlo = true;          ///< also by Monte Carlo
    propagate::MonteCarloOptions run{};
};

/// A budget with its results, which stand in the order of its outputs.
struct BudgetAnswer {
    propagate::Budget budget; ///< as evaluated: with the coverage asked for
    std::uint64_t seed = 1;
    propagate::GumResult gum;
    std::optional<propagate::MonteCarloResult> monte_carlo; ///< none: not wanted
    std::vector<propagate::Agreement> agreement;            ///< empty without Monte Carlo
    std::vector<std::string> notes; ///< of the file, the GUM, Monte Carlo; none twice
};

/// Evaluates a budget. @throws InputError, NumericError as `propagate::gum` and
/// `propagate::monte_carlo`
BudgetAnswer evaluate(const propagate::Budget& budget, const BudgetOptions& options = {});

} // namespace holdable
