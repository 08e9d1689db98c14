// SPDX-License-Identifier: MIT
/// Exponential and logarithm from IEEE operations alone.
///
/// The same bits alone and in a row, on every instruction set and with every C library; in a row
/// they are computed several at a time. Error below 1 unit in the last place; outside the domain,
/// and at its ends, what the functions of <cmath> give.
#pragma once

#include <cmath>
#include <cstddef>

namespace holdable::elementary {

double exp(double x) noexcept;

double log(double x) noexcept;

/// Of wider numbers, for comparison: the C library's.
inline long double exp(long double x) noexcept {
    return std::exp(x);
}

inline long double log(long double x) noexcept {
    return std::log(x);
}

/// y[t] = exp(x[t]) for `size` values; the rows do not overlap.
void exp(const double* x, double* y, std::size_t size) noexcept;

/// y[t] = log(x[t]) for `size` values; the rows do not overlap.
void log(const double* x, double* y, std::size_t size) noexcept;

} // namespace holdable::elementary
