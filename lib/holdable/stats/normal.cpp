// SPDX-License-Identifier: MIT
#include "holdable/stats/normal.hpp"

#include "holdable/stats/clones.ipp"

#include <array>
#include <cassert>
#include <cmath>
#include <cstddef>
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

double in_tail(double p) {
    const double r = std::sqrt(-std::log(p < 0.5 ? p : 1.0 - p));
    const double z = r <= 5.0 ? polynomial(tail_over, r - 1.6) / polynomial(tail_under, r - 1.6)
                              : polynomial(far_over, r - 5.0) / polynomial(far_under, r - 5.0);
    return p < 0.5 ? -z : z;
}

} // namespace

double normal_cdf(double z) noexcept {
    return 0.5 * std::erfc(-z / std::numbers::sqrt2);
}

double normal_quantile(double p) noexcept {
    assert(0.0 < p && p < 1.0);
    const double q = p - 0.5;
    return std::abs(q) <= central_half_width ? central(q) : in_tail(p);
}

HOLDABLE_CLONES
void normal_quantile(std::span<double> p) noexcept {
    // The central form for all, in a loop without branches that vectorises; then the 15 % outside
    // it are done over.
    constexpr std::size_t piece = 256;
    while (!p.empty()) {
        const std::size_t n = p.size() < piece ? p.size() : piece;
        std::array<double, piece> z{};
        for (std::size_t i = 0; i < n; ++i)
            z[i] = central(p[i] - 0.5);
        for (std::size_t i = 0; i < n; ++i) {
            const bool outside = std::abs(p[i] - 0.5) > central_half_width;
            p[i] = outside ? in_tail(p[i]) : z[i];
        }
        p = p.subspan(n);
    }
}

} // namespace holdable::stats
