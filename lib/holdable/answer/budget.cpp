// SPDX-License-Identifier: MIT
#include "holdable/answer/budget.hpp"

#include <algorithm>

namespace holdable {

BudgetAnswer evaluate(const propagate::Budget& budget, const BudgetOptions& options) {
    BudgetAnswer answer;
    answer.budget = budget;
    answer.budget.coverage = options.coverage.value_or(budget.coverage);
    answer.seed = options.run.seed;
    answer.gum = propagate::gum(answer.budget);
    const auto add = [&](const std::vector<std::string>& notes) {
        for (const auto& note : notes)
            if (std::find(answer.notes.begin(), answer.notes.end(), note) == answer.notes.end())
                answer.notes.push_back(note);
    };
    add(budget.notes);
    add(answer.gum.notes);
    if (options.monte_carlo) {
        answer.monte_carlo = propagate::monte_carlo(answer.budget, options.run);
        for (std::size_t k = 0; k < answer.gum.outputs.size(); ++k)
            answer.agreement.push_back(propagate::agreement(
                answer.gum.outputs[k], answer.monte_carlo->outputs[k], options.run.digits));
        add(answer.monte_carlo->notes);
    }
    return answer;
}

} // namespace holdable
