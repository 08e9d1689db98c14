// SPDX-License-Identifier: MIT
/// The law of propagation of uncertainty (JCGM 100:2008, the GUM); docs/theory.md, 2.
///
/// For y = f(x_1, …, x_N) with sensitivities c_i = ∂f/∂x_i, standard uncertainties u_i and
/// correlation coefficients r_ij: u_c² = Σ_ij c_i c_j u_i u_j r_ij (GUM equation 16). Uncorrelated
/// inputs also get the terms of the next order, Σ_ij (f_ij²/2 + f_i f_ijj) u_i² u_j² (5.1.2, note).
/// U = k u_c with k from Student's t at the effective degrees of freedom of Welch and
/// Satterthwaite, truncated to a whole number (G.4.1, G.6.4).
///
/// That formula is for uncorrelated inputs. A correlated group with finite degrees of freedom
/// enters as one term: with n − 1 where it is readings taken together, each set giving one value
/// (H.2.4, second approach), else with the fewest of its members, and a note says so.
#pragma once

#include "holdable/propagate/budget.hpp"
#include "holdable/stats/sample.hpp"

#include <optional>
#include <string>
#include <vector>

namespace holdable::propagate {

/// One line of a budget.
struct Contribution {
    std::string input;         ///< its name
    double sensitivity = 0;    ///< c_i, in the output's unit per the input's
    double standard = 0;       ///< u_i, in the input's unit
    double contribution = 0;   ///< |c_i| u_i, in the output's unit
    double share = 0;          ///< (c_i u_i)² / Σ (c_j u_j)² (pure number); 0 if all are
    std::optional<double> dof; ///< ν_i; none = infinitely many
    Evidence evidence = Evidence::measured;
};

/// What the GUM says of one output; numbers in the unit of the output.
struct GumOutput {
    std::string name;
    BudgetUnit unit;
    double value = 0; ///< f at the estimates
    /// False where f has a kink or a pole at the estimates: no derivatives, and all below is 0.
    bool applies = true;
    double standard = 0; ///< u_c, first order
    /// √(u_c² + terms of the next order); none where they do not exist (correlated inputs of a
    /// curved f, a kink in the derivatives, a negative sum).
    std::optional<double> second_order_standard;
    /// Σ f_ij u_i u_j r_ij / 2: how far the mean of the output lies from `value`.
    double bend = 0;
    std::optional<double> dof;               ///< ν_eff, not truncated; none = infinitely many
    double k = 0;                            ///< coverage factor (pure number)
    double expanded = 0;                     ///< U = k u_c
    stats::Interval interval;                ///< value ± U
    std::vector<Contribution> contributions; ///< in the order of the inputs, `fixed` left out
    /// Signed: (u_c² − Σ (c_i u_i)²) / Σ (c_i u_i)²; shares and this sum to u_c² / Σ (c_i u_i)².
    double correlation_share = 0;
};

/// What the GUM says of a budget.
struct GumResult {
    std::vector<GumOutput> outputs;
    Eigen::MatrixXd covariance;  ///< of the outputs, each in its unit, first order
    Eigen::MatrixXd correlation; ///< of the outputs (pure numbers); 0 where one has u_c = 0
    std::vector<std::string> notes;
};

/// Two-sided Student's t factor: the t law with nu > 0 degrees of freedom (none = normal) is within
/// ± it with probability `coverage`, in (0, 1).
double coverage_factor(double coverage, std::optional<double> nu);

/// Propagates a budget. @throws InputError as `compile`; NumericError where an output has no value
/// at the estimates, or the correlation coefficients cannot hold together
GumResult gum(const Budget& budget);

} // namespace holdable::propagate
