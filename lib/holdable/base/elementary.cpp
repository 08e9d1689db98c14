// SPDX-License-Identifier: MIT
#include "holdable/base/elementary.hpp"

#include "holdable/base/clones.ipp"

#include <bit>
#include <cstdint>
#include <limits>
#include <numbers>

namespace holdable::elementary {
namespace {

// Reduction and coefficients of FreeBSD libm, e_exp.c and e_log.c (from memory, checked by
// tests/base/elementary.cpp against 50 digits); without its branches, so that a loop vectorises.
// What is clamped or picked is done in loops of its own: in one loop GCC follows the constants into
// branches, and only AVX-512, which masks them, has vectors left.

constexpr double log2_high = 6.93147180369123816490e-01; // 21 bits of zeros at its end
constexpr double log2_low = 1.90821492927058770002e-10;

/// Adding and taking away leaves a whole number; while it is added, the last bits hold it.
constexpr double to_whole = 0x1.8p52;

/// 2^k for a whole k from −1022 to 1023.
[[gnu::always_inline]] inline double power_of_two(double k) {
    return std::bit_cast<double>((std::bit_cast<std::uint64_t>(k + to_whole) + 1023) << 52);
}

/// Beyond these the exponential is 0 or infinite; so written, a NaN stays one.
[[gnu::always_inline]] inline double clamped(double x) {
    x = x > 710.0 ? 710.0 : x;
    return x < -750.0 ? -750.0 : x;
}

/// @param x clamped
[[gnu::always_inline]] inline double exponential(double x) {
    // x = k ln 2 + r with |r| ≤ ½ ln 2.
    const double k = (x * std::numbers::log2e + to_whole) - to_whole;
    const double high = x - k * log2_high, low = k * log2_low;
    const double r = high - low, z = r * r;
    const double c =
        r - z * (1.66666666666666019037e-01 +
                 z * (-2.77777777770155933842e-03 +
                      z * (6.61375632143793436117e-05 +
                           z * (-1.65339022054652515390e-06 + z * 4.13813679705723846039e-08))));
    const double y = 1.0 - ((low - r * c / (2.0 - c)) - high);
    // In two steps, of which the second rounds where the result is smaller than a normal number.
    const double half = (0.5 * k + to_whole) - to_whole;
    return y * power_of_two(half) * power_of_two(k - half);
}

/// Right for positive finite x only.
[[gnu::always_inline]] inline double logarithm(double x) {
    constexpr auto one = std::bit_cast<std::uint64_t>(1.0);
    constexpr auto root_half = std::bit_cast<std::uint64_t>(std::numbers::sqrt2 / 2);
    constexpr std::uint64_t mantissa = (std::uint64_t{1} << 52) - 1;
    constexpr auto two_52 = std::bit_cast<std::uint64_t>(0x1p52);
    // 1 where the exponent is 0, so that its bits are no normal number's, without a comparison.
    const std::uint64_t below = ((std::bit_cast<std::uint64_t>(x) >> 52) - 1) >> 63;
    const double small = std::bit_cast<double>((0 - below) & one);
    const double normal = x * (1.0 + small * 0x1p54); // 1 + 2⁵⁴ is 2⁵⁴
    // x = 2^k m with m from √½ to √2.
    const auto bits = std::bit_cast<std::uint64_t>(normal) + (one - root_half);
    const double k =
        std::bit_cast<double>((bits >> 52) | two_52) - (0x1p52 + 1023) - small * 54.0;
    const double f = std::bit_cast<double>((bits & mantissa) + root_half) - 1.0;
    const double s = f / (2.0 + f), z = s * s, w = z * z;
    const double even = w * (3.999999999940941908e-01 +
                             w * (2.222219843214978396e-01 + w * 1.531383769920937332e-01));
    const double odd = z * (6.666666666666735130e-01 +
                            w * (2.857142874366239149e-01 +
                                 w * (1.818357216161805012e-01 + w * 1.479819860511658591e-01)));
    const double half = 0.5 * f * f;
    return k * log2_high - ((half - (s * (half + (even + odd)) + k * log2_low)) - f);
}

/// y where x is positive and finite, else what the logarithm is there.
[[gnu::always_inline]] inline double with_ends(double x, double y) {
    constexpr double infinite = std::numeric_limits<double>::infinity();
    constexpr double nan = std::numeric_limits<double>::quiet_NaN();
    y = x < infinite ? y : x; // infinite stays so, and a NaN
    y = x == 0.0 ? -infinite : y;
    return x < 0.0 ? nan : y;
}

} // namespace

double exp(double x) noexcept {
    return exponential(clamped(x));
}

double log(double x) noexcept {
    return with_ends(x, logarithm(x));
}

HOLDABLE_CLONES
void exp(const double* __restrict x, double* __restrict y, std::size_t size) noexcept {
    for (std::size_t t = 0; t < size; ++t)
        y[t] = clamped(x[t]);
    for (std::size_t t = 0; t < size; ++t)
        y[t] = exponential(y[t]);
}

HOLDABLE_CLONES
void log(const double* __restrict x, double* __restrict y, std::size_t size) noexcept {
    for (std::size_t t = 0; t < size; ++t)
        y[t] = logarithm(x[t]);
    for (std::size_t t = 0; t < size; ++t)
        y[t] = with_ends(x[t], y[t]);
}

} // namespace holdable::elementary
