// SPDX-License-Identifier: MIT
/// Capability indices: how often the spread of a process fits into its tolerance.
///
/// For a normal process of mean μ and standard deviation σ between the limits T_L and T_U
///
///     C_p = (T_U - T_L)/6σ      C_pk = min(T_U - μ, μ - T_L)/3σ
///     C_pm = (T_U - T_L)/(6 √(σ² + (μ - target)²))
///
/// and, whatever the law, by its quantiles (ISO 22514-2)
///
///     (T_U - T_L)/(X99.865 - X0.135)      (T_U - X50)/(X99.865 - X50)      (X50 - T_L)/(X50 -
///     X0.135)
///
/// The same formulas are called P_p, P_pk where the spread is that of all parts and nobody has
/// shown the process to be stable. From a sample, an index is an estimate: the bounds below hold
/// with confidence C from one side. That of C_p is exact (χ²), as that of an index of one limit
/// (noncentral t); of C_pk take the latter for its worse limit, which errs on the safe side, or
/// Bissell's approximation; that of C_pm is Boyles's approximation. An index predicted from a
/// budget rests on no sample: it is the equivalent index -z(nonconforming)/3.
///
/// What cannot be negative (form, run-out, position) has one limit and no natural middle: a normal
/// law's index is then wrong and mostly too good. Use the quantiles of a law that begins at 0.
/// All formulas from memory. Limits, means and deviations in one unit; indices are pure numbers.
#pragma once

#include "holdable/decide/rule.hpp"
#include "holdable/decide/tolerance_interval.hpp"

#include <optional>

namespace holdable::decide {

/// C_p; both limits finite, standard > 0.
double spread_index(const Limits& limits, double standard);

/// C_pk, of the limit there is, or the worse of two; negative where the mean is outside.
double capability_index(const Limits& limits, double mean, double standard);

/// C_pm; both limits finite, standard > 0.
double target_index(const Limits& limits, double mean, double standard, double target);

/// The C_p that the process has at least, with this confidence. @param index estimated, > 0
double spread_index_lower(double index, const Basis& basis, double confidence);

/// The C_p that the process has at most, with this confidence.
double spread_index_upper(double index, const Basis& basis, double confidence);

/// The C_pk that the process has at least, Bissell's approximation; finite dof.
double capability_index_lower(double index, const Basis& basis, double confidence);

/// The index of one limit that the process has at least, exact; finite dof.
/// @param index estimated, of either sign
double one_limit_index_lower(double index, const Basis& basis, double confidence);

/// The index of one limit a sample must show, to demonstrate `index` with this confidence.
double one_limit_index_needed(double index, const Basis& basis, double confidence);

/// The C_pm that the process has at least, Boyles's approximation.
/// @param n readings @param offset (x̄ - target)/s (pure number)
double target_index_lower(double index, double n, double offset, double confidence);

/// Share of a normal process outside: `limits` Φ(-3 index), that is for two limits a centred one.
double nonconforming_share(double index, int limits);

/// The index of one limit a normal process with that share outside would have; share in (0, 1).
double equivalent_index(double nonconforming);

/// The quantiles an index is made of.
struct Quantiles {
    double low = 0;    ///< 0.135 %
    double middle = 0; ///< 50 %
    double high = 0;   ///< 99.865 %

    static constexpr double p_low = 0.00135;
    static constexpr double p_high = 0.99865;
};

/// Indices by quantiles; what needs a limit that is not there is none.
struct Indices {
    std::optional<double> spread;
    std::optional<double> lower;
    std::optional<double> upper;
};

/// @param quantiles low < middle < high
Indices indices(const Limits& limits, const Quantiles& quantiles);

/// A Weibull law from 0 on, the usual one for form: P(X ≤ x) = 1 - exp(-(x/scale)^shape).
struct Weibull {
    double shape = 1; ///< β > 0 (pure number)
    double scale = 1; ///< λ > 0 (unit of x)

    double quantile(double p) const;   ///< p in (0, 1)
    double beyond(double limit) const; ///< P(X > limit), limit ≥ 0
    Quantiles quantiles() const;
};

/// The magnitude |X| of X ~ N(mean, standard²), standard > 0.
struct Magnitude {
    double mean = 0;
    double standard = 1;

    double quantile(double p) const;   ///< p in (0, 1)
    double beyond(double limit) const; ///< P(|X| > limit), limit ≥ 0
    Quantiles quantiles() const;
};

} // namespace holdable::decide
