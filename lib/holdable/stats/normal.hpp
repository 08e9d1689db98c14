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

/// Replaces each p by z to 1e-10 max(1, |z|), for draws; p from 2^-53 to 1 − 2^-53, beyond which z
/// stays as it is there (`normal_table` of holdable/stats/quantile_table.hpp). A row and its parts
/// have the same bits.
void normal_quantile(std::span<double> p) noexcept;

} // namespace holdable::stats
