// SPDX-License-Identifier: MIT
#include "holdable/decide/rule.hpp"

#include "holdable/stats/boost_policy.ipp"
#include "holdable/stats/normal.hpp"

#include <boost/math/distributions/students_t.hpp>
#include <boost/math/quadrature/gauss_kronrod.hpp>
#include <boost/math/tools/roots.hpp>

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>
#include <cstdint>
#include <numbers>

namespace holdable::decide {
namespace {

using StudentLaw = boost::math::students_t_distribution<double, stats::BoostPolicy>;

double cdf(double z, const std::optional<double>& dof) {
    if (std::isinf(z))
        return z > 0 ? 1 : 0;
    return dof ? boost::math::cdf(StudentLaw(*dof), z) : stats::normal_cdf(z);
}

double between(const Limits& limits, double x, double u) {
    return cdf((limits.high - x) / u, {}) - cdf((limits.low - x) / u, {});
}

} // namespace

double conformance(double y, double u, const Limits& limits, std::optional<double> dof) {
    assert(u > 0);
    return cdf((limits.high - y) / u, dof) - cdf((limits.low - y) / u, dof);
}

std::optional<double>
guard_factor(double probability, double tolerance_over_u, std::optional<double> dof) {
    assert(probability > 0.5 && probability < 1 && tolerance_over_u > 0);
    const double one_sided = dof ? boost::math::quantile(StudentLaw(*dof), probability)
                                 : stats::normal_quantile(probability);
    if (std::isinf(tolerance_over_u))
        return one_sided;
    const auto excess = [&](double g) {
        return cdf(g, dof) - cdf(g - tolerance_over_u, dof) - probability;
    };
    const double middle = tolerance_over_u / 2;
    if (excess(middle) < 0)
        return std::nullopt;
    if (excess(middle) == 0)
        return middle;
    if (excess(one_sided) >= 0)
        return one_sided;
    std::uintmax_t steps = 200;
    const auto [low, high] = boost::math::tools::toms748_solve(
        excess, one_sided, middle, boost::math::tools::eps_tolerance<double>(48), steps);
    return high;
}

CustomerRule simple_acceptance() {
    CustomerRule rule;
    rule.name = "simple acceptance";
    rule.of_customer = false;
    return rule;
}

Cost cost_of_proof(const Uncertainty& u,
                   double tolerance,
                   int limits,
                   double known_error,
                   const std::optional<CustomerRule>& rule) {
    Cost cost;
    const double wide =
        limits == 2 ? tolerance / u.standard : std::numeric_limits<double>::infinity();
    cost.guard = guard_factor(proof, wide, u.dof);
    if (!cost.guard)
        return cost;
    if (rule && rule->ratio) {
        cost.ratio_missed = tolerance / (limits * u.expanded) < *rule->ratio;
        if (!cost.ratio_missed)
            cost.guard = 0;
        else if (!rule->guarded_below) {
            cost.guard.reset();
            return cost;
        }
    } else if (rule)
        cost.guard = rule->band.value_or(rule->of_expanded * u.expanded) / u.standard;
    cost.lost =
        std::min((limits * *cost.guard * u.standard + std::abs(known_error)) / tolerance, 1.0);
    return cost;
}

Limits acceptance(const Cost& cost,
                  double u,
                  double known_error,
                  const std::optional<double>& lower,
                  double upper) {
    if (!cost.guard)
        return {1, 0};
    const double guard = *cost.guard * u;
    if (!lower)
        return {0, upper - guard - std::abs(known_error)};
    return {*lower + guard + std::max(known_error, 0.0),
            upper - guard - std::max(-known_error, 0.0)};
}

GlobalRisk global_risk(
    double mean, double scatter, double u, const Limits& tolerance, const Limits& acceptance) {
    assert(scatter > 0 && u > 0);
    GlobalRisk risk;
    risk.bad =
        cdf((mean - tolerance.high) / scatter, {}) + cdf((tolerance.low - mean) / scatter, {});
    risk.accepted = between(acceptance, mean, std::hypot(scatter, u));
    if (acceptance.low >= acceptance.high) {
        risk.accepted = 0;
        risk.rejected_good = 1 - risk.bad;
        return risk;
    }
    // Over a stretch of parts: their density times the chance to be accepted, cut
    // where the density is nothing, in pieces no wider than its bends or those of the chance.
    const auto over = [&](double from, double to, bool accepted) {
        from = std::max(from, mean - 10 * scatter);
        to = std::min(to, mean + 10 * scatter);
        const auto density = [&](double x) {
            const double z = (x - mean) / scatter;
            const double in = between(acceptance, x, u);
            return std::exp(-z * z / 2) / (scatter * std::sqrt(2 * std::numbers::pi)) *
                   (accepted ? in : 1 - in);
        };
        double sum = 0;
        if (!(from < to))
            return sum;
        const double piece = 2 * std::min(scatter, u);
        const auto pieces =
            static_cast<int>(std::clamp(std::ceil((to - from) / piece), 1.0, 4000.0));
        for (int i = 0; i < pieces; ++i)
            sum += boost::math::quadrature::gauss_kronrod<double, 31>::integrate(
                density, from + (to - from) * i / pieces, from + (to - from) * (i + 1) / pieces, 0);
        return sum;
    };
    const double far = std::numeric_limits<double>::infinity();
    risk.accepted_bad = over(-far, tolerance.low, true) + over(tolerance.high, far, true);
    risk.rejected_good = over(tolerance.low, tolerance.high, false);
    return risk;
}

} // namespace holdable::decide
