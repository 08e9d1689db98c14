// SPDX-License-Identifier: MIT
/// What must hold of any bytes as a budget file: it is refused with places, or it is evaluated by
/// the GUM and a few trials, or what cannot be computed is said; and what comes of it prints.
#pragma once

#include "fuzz/whole.hpp"
#include "holdable/answer/budget.hpp"
#include "holdable/files/read_budget.hpp"
#include "holdable/report/budget_json.hpp"
#include "holdable/report/budget_text.hpp"

#include <string>
#include <string_view>

namespace holdable::fuzz {

/// What does not hold; empty if all does.
inline std::string fault_of_budget(std::string_view text) {
    propagate::Budget budget;
    try {
        budget = read_budget(parse_document(text, file_name), file_name);
    } catch (const InputError& error) {
        return fault_of_refusal(error, text);
    }
    BudgetOptions options;
    options.run.trials = 2048; // a block or two: what is looked for is not a digit
    options.run.threads = 1;
    for (const bool monte_carlo : {true, false})
        try {
            options.monte_carlo = monte_carlo;
            const auto answer = evaluate(budget, options);
            if (auto fault = fault_of_page(budget_text(answer)); !fault.empty())
                return fault;
            return fault_of_json(budget_json(answer));
        } catch (const NumericError& error) { // too few trials, say; then the GUM alone
            if (!unprintable(error.what()).empty())
                return "not to be printed: " + std::string(error.what());
        }
    return {};
}

} // namespace holdable::fuzz
