// SPDX-License-Identifier: MIT
#include "holdable/decide/tolerance_interval.hpp"

#include "holdable/propagate/closed_forms.hpp"
#include "holdable/stats/boost_policy.ipp"
#include "holdable/stats/normal.hpp"

#include <boost/math/distributions/chi_squared.hpp>
#include <boost/math/distributions/non_central_t.hpp>
#include <boost/math/quadrature/gauss.hpp>
#include <boost/math/tools/roots.hpp>

#include <cassert>
#include <cmath>
#include <cstdint>
#include <numbers>

namespace holdable::decide {
namespace {

using stats::BoostPolicy;
using ChiSquared = boost::math::chi_squared_distribution<double, BoostPolicy>;
using NoncentralT = boost::math::non_central_t_distribution<double, BoostPolicy>;

[[maybe_unused]] bool is_fraction(double p) {
    return p > 0 && p < 1;
}

constexpr double beyond = 8.5; // standard deviations: 2e-17 of a normal law lies further out

/// Chance that x̄ ± k s holds the share `coverage`, s of a process with deviation 1.
double confidence_of(double k, double coverage, const Basis& basis) {
    const ChiSquared chi_squared(basis.dof);
    const double root = std::sqrt(basis.n);
    const auto needed = [&](double z) { return propagate::folded_quantile(coverage, z / root, 1); };
    const auto density = [&](double z) {
        const double s = needed(z) / k;
        return std::sqrt(2 / std::numbers::pi) * std::exp(-0.5 * z * z) *
               cdf(complement(chi_squared, basis.dof * s * s));
    };
    // With many degrees of freedom the chance that s is enough falls steeply about the z that needs
    // s = 1: the integral is cut where that begins and where it ends.
    const auto z_needing = [&](double s) {
        const auto excess = [&](double z) { return needed(z) - k * s; };
        if (excess(0) >= 0)
            return 0.0;
        if (excess(beyond) <= 0)
            return beyond;
        std::uintmax_t steps = 50;
        const auto z =
            boost::math::tools::toms748_solve(excess,
                                              0.0,
                                              beyond,
                                              boost::math::tools::eps_tolerance<double>(12),
                                              steps,
                                              BoostPolicy{});
        return z.second;
    };
    const double spread = beyond / std::sqrt(2 * basis.dof);
    double sum = 0;
    double from = 0;
    for (const double to : {z_needing(1 - spread), z_needing(1 + spread), beyond}) {
        constexpr int panels = 5;
        const double step = (to - from) / panels;
        for (int i = 0; i < panels && step > 0; ++i)
            sum += boost::math::quadrature::gauss<double, 20>::integrate(
                density, from + i * step, from + (i + 1) * step);
        from = to;
    }
    return sum;
}

/// Fewest n ≥ 1 for which `is_enough`, which stays true once it is.
template <class Enough>
int fewest(const Enough& is_enough) {
    int high = 1;
    while (!is_enough(high))
        high *= 2;
    int low = high / 2; // not enough
    while (high - low > 1) {
        const int middle = low + (high - low) / 2;
        (is_enough(middle) ? high : low) = middle;
    }
    return high;
}

} // namespace

Basis Basis::of_readings(int n) {
    assert(n >= 2);
    return {static_cast<double>(n), static_cast<double>(n - 1)};
}

double noncentral_t_quantile(double p, double dof, double offset) {
    assert(is_fraction(p) && dof > 0 && std::isfinite(dof));
    return quantile(NoncentralT(dof, offset), p);
}

double one_sided_factor_at(double z, double confidence, const Basis& basis) {
    assert(is_fraction(confidence) && basis.n > 0 && basis.dof > 0);
    const double root = std::sqrt(basis.n);
    if (!std::isfinite(basis.dof))
        return z + stats::normal_quantile(confidence) / root;
    return noncentral_t_quantile(confidence, basis.dof, z * root) / root;
}

double one_sided_factor(double coverage, double confidence, const Basis& basis) {
    assert(is_fraction(coverage));
    return one_sided_factor_at(stats::normal_quantile(coverage), confidence, basis);
}

double two_sided_factor(double coverage, double confidence, const Basis& basis) {
    assert(coverage >= 0.5 && is_fraction(coverage) && is_fraction(confidence));
    assert(basis.n > 0 && basis.dof > 0);
    if (!std::isfinite(basis.dof))
        return propagate::folded_quantile(
            coverage, stats::normal_quantile((1 + confidence) / 2) / std::sqrt(basis.n), 1);
    double high = 2 * propagate::folded_quantile(coverage, 0, 1);
    while (confidence_of(high, coverage, basis) < confidence)
        high *= 2;
    double low = high / 2;
    while (confidence_of(low, coverage, basis) > confidence)
        low /= 2;
    std::uintmax_t steps = 100;
    const auto root = boost::math::tools::toms748_solve(
        [&](double k) { return confidence_of(k, coverage, basis) - confidence; },
        low,
        high,
        boost::math::tools::eps_tolerance<double>(36),
        steps,
        BoostPolicy{});
    return root.second;
}

double two_sided_factor_approximate(double coverage, double confidence, const Basis& basis) {
    assert(is_fraction(coverage) && is_fraction(confidence) && std::isfinite(basis.dof));
    return stats::normal_quantile((1 + coverage) / 2) *
           std::sqrt(basis.dof * (1 + 1 / basis.n) /
                     quantile(ChiSquared(basis.dof), 1 - confidence));
}

int smallest_sample_one_limit(double coverage, double confidence) {
    assert(is_fraction(coverage) && is_fraction(confidence));
    return fewest([&](int n) { return std::pow(coverage, n) <= 1 - confidence; });
}

int smallest_sample_two_limits(double coverage, double confidence) {
    assert(is_fraction(coverage) && is_fraction(confidence));
    return fewest([&](int n) {
        return std::pow(coverage, n - 1) * (n - (n - 1) * coverage) <= 1 - confidence;
    });
}

} // namespace holdable::decide
