// SPDX-License-Identifier: MIT
/// Statistical tolerance intervals: what a sample of parts says of all parts.
///
/// From readings of mean x̄ and standard deviation s the limits x̄ ± k2 s hold at least the share P
/// of a normal process with confidence C; x̄ + k1 s alone is above the share P. The mean rests on n
/// readings, s on ν degrees of freedom, n - 1 unless it was pooled:
///
///     k1 = t'(C; ν, z_P √n)/√n                                   t' the noncentral t quantile
///     2 ∫₀^∞ φ(z) P(χ²_ν > ν r²(z/√n)/k2²) dz = C                r(d): Φ(d + r) - Φ(d - r) = P
///
/// both exact (ISO 16269-6:2014, formulas from memory). With ν infinite, s is the process's own
/// deviation: k1 = z_P + z_C/√n, and k2 = r(z_((1+C)/2)/√n). Howe's k2 is close, and short of the
/// exact one by some thousandths. Where nothing is known of the law, the extremes of enough
/// readings do: 1 - Pⁿ ≥ C for one limit, 1 - n Pⁿ⁻¹ + (n - 1) Pⁿ ≥ C for both.
#pragma once

namespace holdable::decide {

/// What a mean and a standard deviation rest on.
struct Basis {
    double n = 2;   ///< readings behind the mean, > 0; may be an effective number
    double dof = 1; ///< degrees of freedom of the standard deviation, > 0; infinite: it is known

    /// Of n readings, at least 2.
    static Basis of_readings(int n);
};

/// t with P(T ≤ t) = p for the noncentral t law; p in (0, 1), dof > 0 and finite, any offset.
double noncentral_t_quantile(double p, double dof, double offset);

/// k1 (pure number); coverage P and confidence C in (0, 1).
double one_sided_factor(double coverage, double confidence, const Basis& basis);

/// k1 for the coverage Φ(z): also where Φ(z) is too near 1 to be written.
double one_sided_factor_at(double z, double confidence, const Basis& basis);

/// k2, exact to about 1e-8 (pure number); coverage in [0.5, 1), confidence in (0, 1).
double two_sided_factor(double coverage, double confidence, const Basis& basis);

/// k2 by Howe's approximation; coverage and confidence in (0, 1), finite dof.
double two_sided_factor_approximate(double coverage, double confidence, const Basis& basis);

/// Fewest readings whose largest one is above the share `coverage` with this confidence, whatever
/// the law; both in (0, 1).
int smallest_sample_one_limit(double coverage, double confidence);

/// Fewest readings whose smallest and largest one hold the share `coverage` between them.
int smallest_sample_two_limits(double coverage, double confidence);

} // namespace holdable::decide
