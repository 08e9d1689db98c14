// SPDX-License-Identifier: MIT
#include "holdable/decide/round_zone.hpp"

#include "holdable/decide/capability.hpp"
#include "holdable/propagate/closed_forms.hpp"
#include "holdable/stats/boost_policy.ipp"
#include "holdable/stats/normal.hpp"

#include <boost/math/distributions/non_central_chi_squared.hpp>
#include <boost/math/quadrature/gauss.hpp>

#include <algorithm>
#include <cassert>
#include <cmath>
#include <numbers>

namespace holdable::decide {
namespace {

using Rice = boost::math::non_central_chi_squared_distribution<double, stats::BoostPolicy>;

/// The deviation of both axes where they have the same and no correlation.
std::optional<double> round_deviation(const Place& place) {
    const double variance = place.covariance(0, 0);
    if (variance > 0 && place.covariance(1, 1) == variance && place.covariance(0, 1) == 0 &&
        place.covariance(1, 0) == 0)
        return std::sqrt(variance);
    return {};
}

/// (r/σ)² of a round law off its place is noncentral χ² with two degrees of freedom.
Rice rice(const Place& place, double deviation) {
    return Rice(2, place.mean.squaredNorm() / (deviation * deviation));
}

} // namespace

double position_quantile(double p, const Place& place) {
    assert(p > 0 && p < 1);
    const auto deviation = round_deviation(place);
    if (!deviation) {
        assert(p >= 0.5);
        return 2 * propagate::disk_quantile(p, place.mean, place.covariance);
    }
    if (place.mean.isZero(0))
        return 2 * *deviation * std::sqrt(-2 * std::log1p(-p));
    return 2 * *deviation * std::sqrt(quantile(rice(place, *deviation), p));
}

double outside_zone(double zone, const Place& place) {
    assert(zone >= 0);
    const auto deviation = round_deviation(place);
    if (!deviation)
        return 1 - propagate::disk_cdf(zone / 2, place.mean, place.covariance);
    const double r = zone / 2 / *deviation;
    if (place.mean.isZero(0))
        return std::exp(-r * r / 2);
    return cdf(complement(rice(place, *deviation), r * r));
}

double position_index(double zone, const Place& place) {
    const double middle = position_quantile(0.5, place);
    return (zone - middle) / (position_quantile(Quantiles::p_high, place) - middle);
}

double virtual_condition(const SizedFeature& feature) {
    return feature.most_material() + (feature.hole ? -feature.zone : feature.zone);
}

std::optional<double> available_zone(const SizedFeature& feature, double actual) {
    if (!(actual >= feature.size.low && actual <= feature.size.high))
        return {};
    return feature.zone +
           (feature.maximum_material ? std::abs(actual - feature.most_material()) : 0);
}

double joint_conformity(const SizedFeature& feature,
                        double size_mean,
                        double size_standard,
                        const Place& place) {
    assert(std::isfinite(feature.size.low) && std::isfinite(feature.size.high));
    assert(size_standard >= 0);
    if (size_standard <= 0) {
        const auto zone = available_zone(feature, size_mean);
        return zone ? 1 - outside_zone(*zone, place) : 0;
    }
    constexpr double beyond = 9; // standard deviations: 2e-19 of a normal law lies further out
    const double low = std::max(-beyond, (feature.size.low - size_mean) / size_standard);
    const double high = std::min(beyond, (feature.size.high - size_mean) / size_standard);
    if (low >= high)
        return 0;
    const auto density = [&](double z) {
        const double room = std::abs(size_mean + z * size_standard - feature.most_material());
        const double zone = feature.zone + (feature.maximum_material ? room : 0);
        return std::exp(-0.5 * z * z) / std::sqrt(2 * std::numbers::pi) *
               (1 - outside_zone(zone, place));
    };
    // The place may change over a small part of the size's range: panels of a standard deviation.
    const int panels = static_cast<int>(std::ceil(high - low));
    const double step = (high - low) / panels;
    double sum = 0;
    for (int i = 0; i < panels; ++i)
        sum += boost::math::quadrature::gauss<double, 20>::integrate(
            density, low + i * step, low + (i + 1) * step);
    return std::clamp(sum, 0.0, 1.0);
}

} // namespace holdable::decide
