// SPDX-License-Identifier: MIT
#include "holdable/decide/capability.hpp"

#include "holdable/propagate/closed_forms.hpp"
#include "holdable/stats/boost_policy.ipp"
#include "holdable/stats/normal.hpp"

#include <boost/math/distributions/chi_squared.hpp>
#include <boost/math/distributions/non_central_t.hpp>
#include <boost/math/tools/roots.hpp>

#include <algorithm>
#include <cassert>
#include <cmath>
#include <cstdint>

namespace holdable::decide {
namespace {

using stats::BoostPolicy;
using ChiSquared = boost::math::chi_squared_distribution<double, BoostPolicy>;
using NoncentralT = boost::math::non_central_t_distribution<double, BoostPolicy>;

double width(const Limits& limits) {
    assert(std::isfinite(limits.low) && std::isfinite(limits.high) && limits.low < limits.high);
    return limits.high - limits.low;
}

[[maybe_unused]] bool is_probability(double p) {
    return p > 0 && p < 1;
}

/// √(χ²_p/ν), what an estimated deviation is of the true one.
double deviation_ratio(double p, double dof) {
    return std::isfinite(dof) ? std::sqrt(quantile(ChiSquared(dof), p) / dof) : 1;
}

template <class Law>
Quantiles quantiles_of(const Law& law) {
    return {law.quantile(Quantiles::p_low), law.quantile(0.5), law.quantile(Quantiles::p_high)};
}

} // namespace

double spread_index(const Limits& limits, double standard) {
    assert(standard > 0);
    return width(limits) / (6 * standard);
}

double capability_index(const Limits& limits, double mean, double standard) {
    assert(standard > 0 && (std::isfinite(limits.low) || std::isfinite(limits.high)));
    return std::min(limits.high - mean, mean - limits.low) / (3 * standard);
}

double target_index(const Limits& limits, double mean, double standard, double target) {
    assert(standard > 0);
    return width(limits) / (6 * std::hypot(standard, mean - target));
}

double spread_index_lower(double index, const Basis& basis, double confidence) {
    assert(index > 0 && is_probability(confidence));
    return index * deviation_ratio(1 - confidence, basis.dof);
}

double spread_index_upper(double index, const Basis& basis, double confidence) {
    assert(index > 0 && is_probability(confidence));
    return index * deviation_ratio(confidence, basis.dof);
}

double capability_index_lower(double index, const Basis& basis, double confidence) {
    assert(is_probability(confidence) && basis.n > 0 && basis.dof > 0);
    return index - stats::normal_quantile(confidence) *
                       std::sqrt(1 / (9 * basis.n) + index * index / (2 * basis.dof));
}

double one_limit_index_lower(double index, const Basis& basis, double confidence) {
    assert(is_probability(confidence) && basis.n > 0 && basis.dof > 0 && std::isfinite(basis.dof));
    const double per_index = 3 * std::sqrt(basis.n);
    // The chance of an estimate as good as this or worse falls as the true index grows.
    const auto excess = [&](double truth) {
        return cdf(NoncentralT(basis.dof, per_index * truth), per_index * index) - confidence;
    };
    double low = index;
    double high = index;
    double step = std::max(0.1, std::abs(index) / 2);
    for (; excess(low) < 0; step *= 2)
        low -= step;
    for (step = 0.1; excess(high) > 0; step *= 2)
        high += step;
    if (low == high)
        return low;
    std::uintmax_t steps = 100;
    return boost::math::tools::toms748_solve(excess,
                                             low,
                                             high,
                                             boost::math::tools::eps_tolerance<double>(40),
                                             steps,
                                             BoostPolicy{})
        .first;
}

double one_limit_index_needed(double index, const Basis& basis, double confidence) {
    return one_sided_factor_at(3 * index, confidence, basis) / 3;
}

double target_index_lower(double index, double n, double offset, double confidence) {
    assert(index > 0 && n > 0 && is_probability(confidence));
    const double square = offset * offset;
    const double dof = n * (1 + square) * (1 + square) / (1 + 2 * square);
    return index * deviation_ratio(1 - confidence, dof);
}

double nonconforming_share(double index, int limits) {
    assert(limits == 1 || limits == 2);
    return limits * stats::normal_cdf(-3 * index);
}

double equivalent_index(double nonconforming) {
    assert(is_probability(nonconforming));
    return -stats::normal_quantile(nonconforming) / 3;
}

Indices indices(const Limits& limits, const Quantiles& q) {
    assert(q.low < q.middle && q.middle < q.high);
    Indices result;
    if (std::isfinite(limits.low))
        result.lower = (q.middle - limits.low) / (q.middle - q.low);
    if (std::isfinite(limits.high))
        result.upper = (limits.high - q.middle) / (q.high - q.middle);
    if (result.lower && result.upper)
        result.spread = (limits.high - limits.low) / (q.high - q.low);
    return result;
}

double Weibull::quantile(double p) const {
    assert(shape > 0 && scale > 0 && is_probability(p));
    return scale * std::pow(-std::log1p(-p), 1 / shape);
}

double Weibull::beyond(double limit) const {
    assert(shape > 0 && scale > 0 && limit >= 0);
    return std::exp(-std::pow(limit / scale, shape));
}

Quantiles Weibull::quantiles() const {
    return quantiles_of(*this);
}

double Magnitude::quantile(double p) const {
    assert(standard > 0 && is_probability(p));
    if (p >= 0.5)
        return propagate::folded_quantile(p, mean, standard);
    std::uintmax_t steps = 200;
    const auto excess = [&](double t) { return propagate::folded_cdf(t, mean, standard) - p; };
    return boost::math::tools::toms748_solve(excess,
                                             0.0,
                                             propagate::folded_quantile(0.5, mean, standard),
                                             boost::math::tools::eps_tolerance<double>(40),
                                             steps,
                                             BoostPolicy{})
        .second;
}

double Magnitude::beyond(double limit) const {
    assert(standard > 0 && limit >= 0);
    const double m = std::abs(mean);
    return stats::normal_cdf((m - limit) / standard) + stats::normal_cdf((-limit - m) / standard);
}

Quantiles Magnitude::quantiles() const {
    return quantiles_of(*this);
}

} // namespace holdable::decide
