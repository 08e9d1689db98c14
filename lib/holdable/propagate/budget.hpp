// SPDX-License-Identifier: MIT
/// An uncertainty budget: named inputs, formulas over them, and what is asked of their results.
///
/// The inputs x_1 … x_N carry laws; steps and outputs are formulas (holdable/model/formula.hpp).
/// Numbers are in SI where the unit is known; where it is not ("V" of somebody's own) they are in
/// that unit. Propagation is `gum` and `monte_carlo`, comparison `agreement`.
#pragma once

#include "holdable/base/quantity.hpp"
#include "holdable/model/tape.hpp"
#include "holdable/propagate/input.hpp"
#include "holdable/stats/distribution.hpp"

#include <Eigen/Core>

#include <optional>
#include <string>
#include <vector>

namespace holdable::propagate {

/// The unit that a number is written in at the edge: inside value = factor · number + offset.
struct BudgetUnit {
    Unit unit{};       ///< empty spelling: SI, or a pure number
    bool known = true; ///< false: only carried by its spelling; factor 1, offset 0

    /// The number in this unit of an inside value.
    double number(double inside) const { return in_unit(inside, unit); }

    /// The number in this unit of an inside difference, such as an uncertainty.
    double difference(double inside) const { return inside / unit.factor; }
};

/// One source of doubt of an input.
struct BudgetPart {
    stats::Distribution law; ///< inside units; its mean adds to the input, so usually 0
    std::string meaning{};   ///< in the words of the shop
    Evidence evidence = Evidence::measured;
};

/// A named input: value + the sum of its parts, which are independent of each other. A plain input
/// has one part, which carries its estimate.
struct BudgetInput {
    std::string name;              ///< as in the formulas
    std::vector<BudgetPart> parts; ///< at least one
    double value = 0;              ///< added to the parts (inside units)
    BudgetUnit unit{};
    std::string meaning{};
};

/// That two inputs vary together.
struct Correlation {
    std::string first, second; ///< names of two different inputs of one part each
    /// −1 … 1 (pure number). None: the inputs are readings taken together, the k-th of one with the
    /// k-th of the other, and theirs is computed (GUM 5.2.3).
    std::optional<double> coefficient{};
};

/// A formula under a name that later formulas may use.
struct Step {
    std::string name;
    std::string formula;
};

/// What is asked for.
struct BudgetOutput {
    std::string name;
    std::string formula;
    BudgetUnit unit{};
};

/// A budget as read from a file or made by a program.
struct Budget {
    std::string title{};
    std::string source{};   ///< where the method comes from
    double coverage = 0.95; ///< probability p of the intervals, in (0, 1)
    std::vector<BudgetInput> inputs{};
    std::vector<Correlation> correlations{};
    std::vector<Step> steps{};
    std::vector<BudgetOutput> outputs{};
    std::vector<std::string>
        notes{}; ///< remarks of whoever wrote it down; nothing computes with them
};

/// The formulas of a budget ready to run.
struct CompiledBudget {
    model::Tape tape;               ///< register i is input i, output k is output k
    std::vector<std::string> notes; ///< units that are carried unchecked
};

/// Checks the budget and compiles its formulas. What only hangs on a wrong step is not said again.
/// @throws InputError with everything wrong, each at the JSON Pointer of `budget/1`: [budget-name,
/// budget-empty, budget-coverage, budget-correlation, distribution-parameter, formula-…]
CompiledBudget compile(const Budget& budget);

/// The best estimate of an input (inside units).
double estimate(const BudgetInput& input);

/// The standard uncertainty of an input (inside units): root sum of squares over its parts.
double standard_uncertainty(const BudgetInput& input);

/// Its degrees of freedom by Welch and Satterthwaite over the parts (GUM G.4.1); none = infinitely
/// many.
std::optional<double> degrees_of_freedom(const BudgetInput& input);

/// The weakest evidence among its parts.
Evidence evidence(const BudgetInput& input);

/// Degrees of freedom of a standard uncertainty that is itself known to `doubt` of its size (pure
/// number > 0): ν = 1/(2 doubt²) (GUM G.4.2).
double degrees_of_freedom_of_doubt(double doubt);

/// Inputs that hang together by correlations, directly or through each other.
struct CorrelatedGroup {
    std::vector<std::size_t> members; ///< numbers of the inputs, rising; at least two
    Eigen::MatrixXd correlation;      ///< of the members, in their order
    /// Readings taken together, all the same number n of them: their means are drawn as a
    /// multivariate t with n − N degrees of freedom, N members (JCGM 102 5.3.2 and 9.4).
    bool readings_together = false;
};

/// The groups of a budget that passes `compile`. Where members of a group are readings taken
/// together, pairs without a stated coefficient get that of their readings; others get 0.
/// @throws NumericError if the coefficients cannot hold together, naming the inputs
std::vector<CorrelatedGroup> correlated_groups(const Budget& budget);

} // namespace holdable::propagate
