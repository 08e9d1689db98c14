// SPDX-License-Identifier: MIT
#include "holdable/propagate/first_order.hpp"

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

/// Value and gradient at d.
double reduce(Reduction reduction, const Eigen::VectorXd& d, Eigen::VectorXd& gradient) {
    gradient.setZero(d.size());
    if (reduction == Reduction::signed_value) {
        gradient[0] = 1;
        return d[0];
    }
    Index at = 0, size = d.size();
    double factor = 1;
    if (reduction == Reduction::twice_worst) {
        size = 2;
        factor = 2;
        for (Index e = 2; e < d.size(); e += 2)
            if (d.segment(e, 2).squaredNorm() > d.segment(at, 2).squaredNorm())
                at = e;
    }
    const double length = d.segment(at, size).norm();
    if (length > 0)
        gradient.segment(at, size) = factor * d.segment(at, size) / length;
    return factor * length;
}

} // namespace

FirstOrder first_order(const PartModel& part, std::size_t characteristic, double p) {
    const Characteristic& c = part.characteristics[characteristic];
    Eigen::VectorXd d = c.known;
    for (std::size_t i = 0; i < part.inputs.size(); ++i)
        d += c.effect.col(static_cast<Index>(i)) * stats::mean(part.inputs[i].law);
    Eigen::VectorXd gradient;
    FirstOrder result;
    result.value = reduce(c.reduction, d, gradient);

    double variance = 0, quartic = 0;
    bool doubtful = false;
    std::map<std::string, double> scaled;
    for (std::size_t i = 0; i < part.inputs.size(); ++i) {
        const Input& input = part.inputs[i];
        const auto column = c.effect.col(static_cast<Index>(i));
        const double u = stats::standard_uncertainty(input.law);
        const double v = std::pow(gradient.dot(column) * u, 2);
        doubtful = doubtful || (u > 0 && !column.isZero(0));
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
    const double middle = c.lower ? (c.upper + *c.lower) / 2 : 0;
    if (c.lower)
        result.limit = u > 0 ? u * folded(p, (result.value - middle) / u, dof)
                             : std::abs(result.value - middle);
    else
        result.limit = result.value + (u > 0 ? u * quantile_of(p, dof) : 0);
    if (c.reduction != Reduction::signed_value)
        result.applies = result.value >= 2 * u && (result.value > 0 || !doubtful);
    return result;
}

} // namespace holdable::propagate
