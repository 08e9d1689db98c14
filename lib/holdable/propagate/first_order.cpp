// SPDX-License-Identifier: MIT
#include "holdable/propagate/first_order.hpp"

#include "holdable/propagate/valuation.hpp"
#include "holdable/stats/boost_policy.ipp"
#include "holdable/stats/normal.hpp"

#include <boost/math/distributions/students_t.hpp>

#include <cmath>
#include <map>

namespace holdable::propagate {
namespace {

using Eigen::Index;
using StudentsT = boost::math::students_t_distribution<double, stats::BoostPolicy>;

constexpr double many = 1e6; ///< degrees of freedom taken for the normal law

double upper_tail(double t, double dof) {
    return dof < many ? cdf(complement(StudentsT(dof), t)) : stats::normal_cdf(-t);
}

double quantile_of(double p, double dof) {
    return dof < many ? quantile(StudentsT(dof), p) : stats::normal_quantile(p);
}

/// z with P(|mean + T| ≤ z) = p, T of the t law.
double folded(double p, double mean, double dof) {
    const double m = std::abs(mean);
    double low = m + quantile_of(p, dof);
    double high = m + quantile_of((1 + p) / 2, dof);
    for (int i = 0; i < 200 && high - low > 1e-14 * high; ++i) {
        const double z = (low + high) / 2;
        (1 - upper_tail(z - m, dof) - upper_tail(z + m, dof) < p ? low : high) = z;
    }
    return high;
}

/// Whether the estimate is at least 2u off the kinks: of the zone's value at 0, and of each folded
/// element at 0.
bool off_the_kinks(const PartModel& part,
                   const Characteristic& c,
                   const Eigen::VectorXd& d,
                   double zone,
                   Eigen::VectorXd gradient) {
    if (c.bonus) // which has no kink
        gradient[gradient.size() - 1] = 0;
    const auto standard = [&](const Eigen::RowVectorXd& row) {
        double variance = 0;
        for (std::size_t i = 0; i < part.inputs.size(); ++i)
            variance += std::pow(
                row[static_cast<Index>(i)] * stats::standard_uncertainty(part.inputs[i].law), 2);
        return std::sqrt(variance);
    };
    const auto sure = [&](Index e) { return std::abs(d[e]) >= 2 * standard(c.effect.row(e)); };
    const Index points = points_of(c);
    for (Index e = points; e < points + c.folded.cols(); ++e)
        if (!sure(e))
            return false;
    if (zone > 0)
        return zone >= 2 * standard(gradient.transpose() * c.effect);
    for (Index e = 0; e < points; ++e)
        if (standard(c.effect.row(e)) > 0)
            return false;
    return true;
}

} // namespace

double
first_order_limit(double value, double u, double dof, std::optional<double> middle, double p) {
    if (dof <= 0)
        dof = 2 * many;
    if (middle)
        return u > 0 ? u * folded(p, (value - *middle) / u, dof) : std::abs(value - *middle);
    return value + (u > 0 ? u * quantile_of(p, dof) : 0);
}

FirstOrder first_order(const PartModel& part, std::size_t characteristic, double p) {
    const Characteristic& c = part.characteristics[characteristic];
    Eigen::VectorXd d = c.known;
    for (std::size_t i = 0; i < part.inputs.size(); ++i)
        d += c.effect.col(static_cast<Index>(i)) * stats::mean(part.inputs[i].law);
    FirstOrder result;
    Eigen::VectorXd gradient;
    result.value = Valuation(c).value(d, gradient);

    result.sensitivity = c.effect.transpose() * gradient;
    double variance = 0, quartic = 0;
    std::map<std::string, double> scaled;
    for (std::size_t i = 0; i < part.inputs.size(); ++i) {
        const Input& input = part.inputs[i];
        const double u = stats::standard_uncertainty(input.law);
        const double v = std::pow(result.sensitivity[static_cast<Index>(i)] * u, 2);
        variance += v;
        if (!input.scale.empty())
            scaled[input.scale] += v;
        else if (const auto dof = stats::degrees_of_freedom(input.law))
            quartic += v * v / *dof;
    }
    for (const Input& input : part.inputs)
        if (const auto at = scaled.find(input.scale); at != scaled.end()) {
            quartic += at->second * at->second / input.scale_dof;
            scaled.erase(at);
        }
    const double u = std::sqrt(variance);
    result.standard_uncertainty = u;
    const double dof = quartic > 0 ? variance * variance / quartic : 2 * many;
    result.dof = dof;
    const auto middle = c.lower ? std::optional((c.upper + *c.lower) / 2) : std::nullopt;
    result.limit = first_order_limit(result.value, u, dof, middle, p);
    if (c.reduction != Reduction::signed_value)
        result.applies =
            off_the_kinks(part, c, d, result.value + (c.bonus ? d[d.size() - 1] : 0), gradient);
    return result;
}

} // namespace holdable::propagate
