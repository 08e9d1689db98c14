// SPDX-License-Identifier: MIT
#include "holdable/stats/normal.hpp"

#include "holdable/stats/clones.ipp"

#include <algorithm>
#include <array>
#include <bit>
#include <cassert>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <numbers>

namespace holdable::stats {
namespace {

// Coefficients of AS 241, highest power last; typed from memory of the published routine and
// checked by the identity of tests/stats/normal.cpp.
constexpr std::array central_over{3.3871328727963666080e0,
                                  1.3314166789178437745e2,
                                  1.9715909503065514427e3,
                                  1.3731693765509461125e4,
                                  4.5921953931549871457e4,
                                  6.7265770927008700853e4,
                                  3.3430575583588128105e4,
                                  2.5090809287301226727e3};
constexpr std::array central_under{1.0,
                                   4.2313330701600911252e1,
                                   6.8718700749205790830e2,
                                   5.3941960214247511077e3,
                                   2.1213794301586595867e4,
                                   3.9307895800092710610e4,
                                   2.8729085735721942674e4,
                                   5.2264952788528545610e3};
constexpr std::array tail_over{1.42343711074968357734e0,
                               4.63033784615654529590e0,
                               5.76949722146069140550e0,
                               3.64784832476320460504e0,
                               1.27045825245236838258e0,
                               2.41780725177450611770e-1,
                               2.27238449892691845833e-2,
                               7.74545014278341407640e-4};
constexpr std::array tail_under{1.0,
                                2.05319162663775882187e0,
                                1.67638483018380384940e0,
                                6.89767334985100004550e-1,
                                1.48103976427480074590e-1,
                                1.51986665636164571966e-2,
                                5.47593808499534494600e-4,
                                1.05075007164441684324e-9};
constexpr std::array far_over{6.65790464350110377720e0,
                              5.46378491116411436990e0,
                              1.78482653991729133580e0,
                              2.96560571828504891230e-1,
                              2.65321895265761230930e-2,
                              1.24266094738807843860e-3,
                              2.71155556874348757815e-5,
                              2.01033439929228813265e-7};
constexpr std::array far_under{1.0,
                               5.99832206555887937690e-1,
                               1.36929880922735805310e-1,
                               1.48753612908506148525e-2,
                               7.86869131145613259100e-4,
                               1.84631831751005468180e-5,
                               1.42151175831644588870e-7,
                               2.04426310338993978564e-15};

constexpr double central_half_width = 0.425;

[[gnu::always_inline]] inline double polynomial(const std::array<double, 8>& c, double x) {
    double y = c[7];
    for (std::size_t i = 7; i-- > 0;)
        y = y * x + c[i];
    return y;
}

[[gnu::always_inline]] inline double central(double q) {
    const double r = central_half_width * central_half_width - q * q;
    return q * polynomial(central_over, r) / polynomial(central_under, r);
}

/// −ln x for x in (0, 1), to 1e-15 relative below 1/2; only IEEE operations and no branch, so that
/// a loop of it vectorises and every C library gives the same draws. Source: W. J. Cody's reduction
/// with the polynomial of the freely distributable libm, e_log.c (coefficients from memory, checked
/// by tests/stats/normal.cpp).
[[gnu::always_inline]] inline double minus_log(double x) {
    constexpr auto one = std::bit_cast<std::uint64_t>(1.0);
    constexpr auto root_half = std::bit_cast<std::uint64_t>(std::numbers::sqrt2 / 2);
    constexpr std::uint64_t mantissa = (std::uint64_t{1} << 52) - 1;
    constexpr auto two_52 = std::bit_cast<std::uint64_t>(0x1p52);
    // x = 2^k m with m from √½ to √2.
    const auto bits = std::bit_cast<std::uint64_t>(x) + (one - root_half);
    const double k = std::bit_cast<double>((bits >> 52) | two_52) - (0x1p52 + 1023);
    const double f = std::bit_cast<double>((bits & mantissa) + root_half) - 1.0;
    const double s = f / (2.0 + f), z = s * s, w = z * z;
    const double even = w * (3.999999999940941908e-01 +
                             w * (2.222219843214978396e-01 + w * 1.531383769920937332e-01));
    const double odd = z * (6.666666666666735130e-01 +
                            w * (2.857142874366239149e-01 +
                                 w * (1.818357216161805012e-01 + w * 1.479819860511658591e-01)));
    const double half = 0.5 * f * f;
    return (half - (s * (half + (even + odd)) + k * 1.90821492927058770002e-10)) - f -
           k * 6.93147180369123816490e-01;
}

/// √(−ln of the smaller of p and 1 − p).
[[gnu::always_inline]] inline double depth(double p) {
    return std::sqrt(minus_log(std::min(p, 1.0 - p)));
}

[[gnu::always_inline]] inline double near_tail(double r) {
    return polynomial(tail_over, r - 1.6) / polynomial(tail_under, r - 1.6);
}

constexpr double far = 5.0; // of r; 1.4e-11 of either side lies beyond

double far_tail(double r) {
    return polynomial(far_over, r - far) / polynomial(far_under, r - far);
}

} // namespace

double normal_cdf(double z) noexcept {
    return 0.5 * std::erfc(-z / std::numbers::sqrt2);
}

double normal_quantile(double p) noexcept {
    assert(0.0 < p && p < 1.0);
    const double q = p - 0.5;
    if (std::abs(q) <= central_half_width)
        return central(q);
    const double r = depth(p);
    return std::copysign(r <= far ? near_tail(r) : far_tail(r), q);
}

HOLDABLE_CLONES
void normal_quantile(std::span<double> p) noexcept {
    // The central form for all, in a loop without branches that vectorises; then the 15 % outside
    // it are picked out and done over in the same way.
    constexpr std::size_t piece = 256;
    std::array<double, piece> z, r, side;
    std::array<std::size_t, piece> place;
    while (!p.empty()) {
        const std::size_t n = p.size() < piece ? p.size() : piece;
        for (std::size_t i = 0; i < n; ++i)
            z[i] = central(p[i] - 0.5);
        std::size_t outside = 0;
        for (std::size_t i = 0; i < n; ++i) {
            place[outside] = i;
            outside += std::abs(p[i] - 0.5) > central_half_width ? 1 : 0;
        }
        for (std::size_t k = 0; k < outside; ++k)
            side[k] = p[place[k]];
        for (std::size_t k = 0; k < outside; ++k) {
            r[k] = depth(side[k]);
            side[k] = std::copysign(near_tail(r[k]), side[k] - 0.5);
        }
        for (std::size_t k = 0; k < outside; ++k)
            z[place[k]] = r[k] <= far ? side[k] : std::copysign(far_tail(r[k]), side[k]);
        for (std::size_t i = 0; i < n; ++i)
            p[i] = z[i];
        p = p.subspan(n);
    }
}

} // namespace holdable::stats
