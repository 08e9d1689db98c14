// SPDX-License-Identifier: MIT
#include "holdable/decide/gauge_study.hpp"

#include "holdable/base/error.hpp"
#include "holdable/stats/boost_policy.ipp"
#include "holdable/stats/regression.hpp"

#include <boost/math/distributions/chi_squared.hpp>
#include <boost/math/distributions/fisher_f.hpp>
#include <boost/math/distributions/students_t.hpp>
#include <fmt/format.h>

#include <algorithm>
#include <cassert>
#include <cmath>

namespace holdable::decide {
namespace {

using stats::BoostPolicy;
using stats::Variation;

constexpr double tail = 0.025;   // of the intervals, at either end
constexpr double pooling = 0.25; // p of an interaction from which it is pooled

double square(double x) {
    return x * x;
}

/// One term c · MS of a component.
struct Term {
    double coefficient;
    Variation of;

    double value() const { return coefficient * of.mean_square(); }
};

/// The quantile of MS/σ² with ν degrees of freedom.
double mean_square_quantile(double p, double nu) {
    return boost::math::quantile(boost::math::chi_squared_distribution<double, BoostPolicy>(nu),
                                 p) /
           nu;
}

double f_quantile(double p, double nu_1, double nu_2) {
    return boost::math::quantile(
        boost::math::fisher_f_distribution<double, BoostPolicy>(nu_1, nu_2), p);
}

/// How far a mean square of ν degrees of freedom may lie above (G) and below (H) what it estimates,
/// as parts of itself.
double above(double nu) {
    return 1 - 1 / mean_square_quantile(1 - tail, nu);
}

double below(double nu) {
    return 1 / mean_square_quantile(tail, nu) - 1;
}

Component component(const std::vector<Term>& terms) {
    Component result;
    double spread = 0;
    for (const auto& term : terms) {
        result.estimate += term.value();
        spread += square(term.value()) / term.of.dof;
    }
    result.variance = std::max(result.estimate, 0.0);
    result.dof = result.variance > 0 ? square(result.variance) / spread : 0;
    double low = 0, high = 0;
    for (const auto& q : terms) {
        const bool adds = q.coefficient > 0;
        low += square((adds ? above(q.of.dof) : below(q.of.dof)) * q.value());
        high += square((adds ? below(q.of.dof) : above(q.of.dof)) * q.value());
        for (const auto& r : terms) {
            if (!adds || r.coefficient > 0)
                continue;
            const double product = -q.value() * r.value();
            const double f = f_quantile(1 - tail, q.of.dof, r.of.dof);
            low += product *
                   (square(f - 1) - square(above(q.of.dof) * f) - square(below(r.of.dof))) / f;
            const double g = f_quantile(tail, q.of.dof, r.of.dof);
            high += product *
                    (square(1 - g) - square(below(q.of.dof) * g) - square(above(r.of.dof))) / g;
        }
    }
    result.interval = {std::max(result.estimate - std::sqrt(std::max(low, 0.0)), 0.0),
                       std::max(result.estimate + std::sqrt(std::max(high, 0.0)), 0.0)};
    return result;
}

void note_negative(GaugeStudy& study, const Component& of, std::string_view what) {
    if (of.estimate < 0)
        study.notes.push_back(fmt::format("the scatter between {} comes out negative: this study "
                                          "does not see it, and it is taken as zero",
                                          what));
}

double chance_of(double t, double dof) {
    const boost::math::students_t_distribution<double, BoostPolicy> law(dof);
    return 2 * boost::math::cdf(complement(law, std::abs(t)));
}

} // namespace

double GaugeStudy::share_of_spread() const {
    const double total = gauge.variance + parts.variance;
    return total > 0 ? std::sqrt(gauge.variance / total) : 0;
}

std::optional<int> GaugeStudy::distinct_categories() const {
    if (!(gauge.variance > 0))
        return std::nullopt;
    return static_cast<int>(
        std::min(std::floor(std::sqrt(2 * parts.variance / gauge.variance)), 1e6));
}

GaugeStudy crossed_study(const stats::Crossed& crossed) {
    auto table = stats::two_way(crossed);
    GaugeStudy study;
    study.interaction_p = table.interaction_test.p;
    study.pooled = study.interaction_p > pooling || table.interaction_variance < 0;
    if (study.pooled)
        table = stats::two_way(crossed, stats::Interaction::pooled);
    study.mean = table.mean;
    const auto p = static_cast<double>(crossed.first), o = static_cast<double>(crossed.second),
               r = static_cast<double>(crossed.repeats);
    const auto& base = study.pooled ? table.repeat : table.interaction;
    study.repeatability = component({{1, table.repeat}});
    study.operators = component({{1 / (p * r), table.second}, {-1 / (p * r), base}});
    study.parts = component({{1 / (o * r), table.first}, {-1 / (o * r), base}});
    if (!study.pooled)
        study.interaction = component({{1 / r, table.interaction}, {-1 / r, table.repeat}});
    note_negative(study, study.operators, "operators");
    note_negative(study, study.parts, "parts");

    // What adds up to them, the operators only where they are seen.
    const double seen = study.operators.estimate > 0 ? 1 / (p * r) : 0;
    std::vector<Term> operators;
    if (seen > 0)
        operators.push_back({seen, table.second});
    auto gauge = operators;
    if (study.pooled) {
        gauge.push_back({1 - seen, table.repeat});
        study.reproducibility = seen > 0 ? study.operators : Component{};
    } else {
        operators.push_back({1 / r - seen, table.interaction});
        gauge = operators;
        operators.push_back({-1 / r, table.repeat});
        gauge.push_back({1 - 1 / r, table.repeat});
        study.reproducibility = component(operators);
    }
    study.gauge = component(gauge);
    return study;
}

GaugeStudy nested_study(const Nested& nested) {
    const std::size_t a = nested.operators, b = nested.parts, r = nested.repeats;
    if (a < 2 || b < 2 || r < 2)
        throw NumericError(fmt::format("a nested study needs two operators, two parts of each and "
                                       "two repeats at least; it has {}, {} and {}",
                                       a,
                                       b,
                                       r));
    assert(nested.readings.size() == a * b * r);
    // Parts about their operator and repeats about their part: a one-way analysis each.
    std::vector<std::vector<double>> parts, operators(a);
    for (std::size_t i = 0; i < a * b; ++i) {
        const auto from = nested.readings.begin() + static_cast<std::ptrdiff_t>(i * r);
        parts.emplace_back(from, from + static_cast<std::ptrdiff_t>(r));
        auto& all = operators[i / b];
        all.insert(all.end(), parts.back().begin(), parts.back().end());
    }
    const auto within = stats::one_way(parts), top = stats::one_way(operators);
    const Variation error = within.within;
    const Variation middle{
        std::max(within.between.sum_of_squares - top.between.sum_of_squares, 0.0),
        within.between.dof - top.between.dof};
    const auto m = static_cast<double>(b), n = static_cast<double>(r);
    GaugeStudy study;
    study.mean = top.mean;
    study.repeatability = component({{1, error}});
    study.parts = component({{1 / n, middle}, {-1 / n, error}});
    study.operators = component({{1 / (m * n), top.between}, {-1 / (m * n), middle}});
    note_negative(study, study.operators, "operators");
    note_negative(study, study.parts, "parts");
    if (study.operators.estimate > 0) {
        study.reproducibility = study.operators;
        study.gauge = component({{1 / (m * n), top.between}, {-1 / (m * n), middle}, {1, error}});
    } else
        study.gauge = study.repeatability;
    return study;
}

BiasStudy bias_study(std::span<const double> readings, double reference) {
    if (readings.size() < 2)
        throw NumericError("the bias of a gauge needs two readings at least");
    std::vector<double> errors;
    for (const double reading : readings)
        errors.push_back(reading - reference);
    const auto moments = stats::moments(errors);
    BiasStudy study;
    study.bias = moments.mean;
    study.scatter = moments.standard_deviation();
    study.dof = moments.count - 1;
    study.standard = study.scatter / std::sqrt(moments.count);
    if (!(study.standard > 0))
        throw NumericError(
            "all readings are the same: no scatter of the bias can be read off them");
    study.t = study.bias / study.standard;
    study.p = chance_of(study.t, study.dof);
    const double k = boost::math::quantile(
        boost::math::students_t_distribution<double, BoostPolicy>(study.dof), 1 - tail);
    study.interval = {study.bias - k * study.standard, study.bias + k * study.standard};
    return study;
}

double Linearity::standard_at(double reference) const {
    const double slope_part = reference * slope_standard;
    return std::sqrt(std::max(0.0,
                              intercept_standard * intercept_standard + 2 * reference * covariance +
                                  slope_part * slope_part));
}

Linearity linearity_study(const Eigen::VectorXd& references, const Eigen::VectorXd& readings) {
    assert(references.size() == readings.size());
    const auto fit = stats::fit_line(references, readings - references);
    Linearity line;
    line.intercept = fit.coefficients(0);
    line.slope = fit.coefficients(1);
    line.scatter = fit.residual_standard_deviation;
    line.dof = fit.dof;
    const auto covariance = fit.covariance();
    line.slope_standard = std::sqrt(covariance(1, 1));
    line.intercept_standard = std::sqrt(covariance(0, 0));
    line.covariance = covariance(0, 1);
    if (!(line.slope_standard > 0))
        throw NumericError("all biases lie on a line: no scatter can be read off them");
    line.t = line.slope / line.slope_standard;
    line.p = chance_of(line.t, line.dof);
    return line;
}

bool resolves(double resolution, double tolerance) {
    return resolution <= tolerance / 20 * (1 + 1e-12);
}

} // namespace holdable::decide
