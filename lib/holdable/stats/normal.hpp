// SPDX-License-Identifier: MIT
/// The standard normal law: its distribution function and the inverse of it, alone and in blocks.
#pragma once

#include <span>

namespace holdable::stats {

/// Φ(z), the probability (pure number) that a standard normal deviate is below z.
double normal_cdf(double z) noexcept;

/// z with Φ(z) = p, for p in (0, 1), to 1e-15 relative; asserts p.
/// Source: Wichura, algorithm AS 241 (PPND16), Applied Statistics 37 (1988) 477.
double normal_quantile(double p) noexcept;

/// Replaces each p in (0, 1) by `normal_quantile(p)`, with the same bits.
void normal_quantile(std::span<double> p) noexcept;

} // namespace holdable::stats
