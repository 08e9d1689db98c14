// SPDX-License-Identifier: MIT
#include "holdable/propagate/agreement.hpp"

#include <cassert>
#include <cmath>

namespace holdable::propagate {

double numerical_tolerance(double u, int digits) {
    assert(u >= 0 && digits >= 1);
    if (u == 0)
        return 0;
    // u = c · 10^l with a whole number c of `digits` digits; 99.6 is written 10 · 10¹.
    int l = static_cast<int>(std::floor(std::log10(u))) - digits + 1;
    if (std::round(u / std::pow(10.0, l)) >= std::pow(10.0, digits))
        ++l;
    return 0.5 * std::pow(10.0, l);
}

Agreement agreement(const GumOutput& gum, const MonteCarloOutput& mc, int digits) {
    Agreement result;
    result.digits = digits;
    const double u = mc.standard.value_or(gum.standard);
    result.tolerance = numerical_tolerance(u > 0 ? u : gum.standard, digits);
    if (!gum.applies) {
        result.certain = true;
        return result;
    }
    result.difference = {std::abs(gum.interval.low - mc.interval.low),
                         std::abs(gum.interval.high - mc.interval.high)};
    // Ends without doubt differ by rounding.
    const double rounding = 1e-12 * std::abs(gum.value);
    const double low = result.difference.low - result.tolerance;
    const double high = result.difference.high - result.tolerance;
    result.gum_valid = low <= rounding && high <= rounding;
    const double low_doubt = 2 * mc.interval_error.low, high_doubt = 2 * mc.interval_error.high;
    result.certain = result.gum_valid ? low + low_doubt <= rounding && high + high_doubt <= rounding
                                      : low - low_doubt > rounding || high - high_doubt > rounding;
    return result;
}

} // namespace holdable::propagate
