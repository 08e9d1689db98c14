// SPDX-License-Identifier: MIT
#include "holdable/stats/normal.hpp"

#include "holdable/base/elementary.hpp"
#include "holdable/stats/quantile_table.hpp"

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

double polynomial(const std::array<double, 8>& c, double x) {
    double y = c[7];
    for (std::size_t i = 7; i-- > 0;)
        y = y * x + c[i];
    return y;
}

double central(double q) {
    const double r = central_half_width * central_half_width - q * q;
    return q * polynomial(central_over, r) / polynomial(central_under, r);
}

/// √(−ln of the smaller of p and 1 − p).
double depth(double p) {
    return std::sqrt(-elementary::log(std::min(p, 1.0 - p)));
}

double near_tail(double r) {
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

void normal_quantile(std::span<double> p) noexcept {
    normal_table().symmetric(p, 0.0, 1.0);
}

} // namespace holdable::stats
