// SPDX-License-Identifier: MIT
/// Two laws and a correlation coefficient, joined by a Gaussian copula.
///
/// x_a = G_a(Φ(z_a)), x_b = G_b(Φ(z_b)) with quantile functions G and standard normal z_a, z_b of
/// correlation ρ. The coefficient r of x_a and x_b is not ρ, and not every r can be had: equal laws
/// reach r = 1, a rectangular and an exponential one only 0.87.
#pragma once

#include "holdable/stats/distribution.hpp"

namespace holdable::propagate {

/// How the coefficient r of two drawn quantities follows from ρ.
///
/// r(ρ) = Σ_k a_k b_k ρ^k with the coefficients a_k, b_k of both in Hermite polynomials (Mehler's
/// formula); beyond the highest order taken, the remainder that makes r(±1) right. Error below
/// 1e-4.
class Copula {
  public:
    /// Both laws pass `stats::check` and have a standard deviation above 0 (asserted).
    Copula(const stats::Distribution& a, const stats::Distribution& b);

    /// r of x_a and x_b (pure number) for ρ in −1 … 1; rises with ρ.
    double coefficient(double rho) const;

    /// ρ for which `coefficient` is r; r must be in coefficient(−1) … coefficient(1) to 1e-6.
    double rho(double r) const;

  private:
    static constexpr int orders = 40;
    double terms_[orders + 3] = {}; // of ρ^k; the last two hold the remainder
};

} // namespace holdable::propagate
