// SPDX-License-Identifier: MIT
/// Gauge studies: what of the scatter of readings the gauge and its users bring, and what the
/// parts.
///
/// Readings in any unit, variances in its square. Crossed: every operator measures every part
/// several times, y = μ + P_i + O_j + (PO)_ij + E. Nested: every operator has parts of his own, as
/// where measuring spoils them, y = μ + O_i + P_j(i) + E. All effects are random.
///
/// A component is a combination Σ c_q MS_q of mean squares (holdable/stats). Where it comes out
/// negative it is not seen in the study: it is set to zero and a note says so. Its degrees of
/// freedom are those of Satterthwaite, ν = (Σ c_q MS_q)²/Σ (c_q MS_q)²/ν_q. Its two-sided 95 %
/// interval is the modified large-sample one, cut at zero: with three operators it is wide, and
/// that is the message. Repeatability and reproducibility together ("gauge") are what one reading
/// by one operator scatters.
/// Source: Burdick and Graybill, Confidence Intervals on Variance Components (1992), from memory;
/// tests/decide/gauge_study.cpp counts how often the intervals hold.
///
/// The interaction is pooled with the repeats where its p is above 0.25 (common practice, no
/// source).
#pragma once

#include "holdable/stats/analysis_of_variance.hpp"
#include "holdable/stats/sample.hpp"

#include <Eigen/Core>

#include <optional>
#include <span>
#include <string>
#include <vector>

namespace holdable::decide {

/// One source of scatter.
struct Component {
    double estimate = 0;      ///< variance as it comes out, perhaps negative (unit²)
    double variance = 0;      ///< the same, zero where that is negative (unit²)
    double dof = 0;           ///< of `variance` (count); 0 where that is zero
    stats::Interval interval; ///< 95 % of the variance, ends not below zero (unit²)
};

/// What a gauge study says.
struct GaugeStudy {
    double mean = 0;           ///< of all readings (unit)
    Component repeatability;   ///< of one operator on one part
    Component operators;       ///< between operators, the same on all parts
    Component interaction;     ///< operators that differ otherwise from part to part
    Component parts;           ///< between the parts
    Component reproducibility; ///< operators and interaction
    Component gauge;           ///< repeatability and reproducibility
    bool pooled = false;       ///< the interaction was taken for repeatability
    double interaction_p = 1;  ///< of its F test (probability); 1 in a nested study
    std::vector<std::string> notes;

    /// √(gauge/(gauge + parts)): share of the study's spread that is the gauge (pure number); 0
    /// without spread.
    double share_of_spread() const;

    /// ⌊√2 √parts/√gauge⌋, how many sizes of part the gauge tells apart; none without gauge
    /// scatter.
    std::optional<int> distinct_categories() const;
};

/// A crossed study: first factor parts, second operators.
/// @throws NumericError as `stats::two_way`
GaugeStudy crossed_study(const stats::Crossed& study);

/// Readings of a nested study.
struct Nested {
    std::size_t operators = 0, parts = 0, repeats = 0; ///< parts of each operator; each ≥ 2
    std::vector<double> readings; ///< operator slowest, repeat fastest; the number is asserted
};

/// @throws NumericError if one of the three counts is below 2
GaugeStudy nested_study(const Nested& study);

/// Readings of one thing whose value is known.
struct BiasStudy {
    double bias = 0;          ///< mean reading less the reference (unit)
    double scatter = 0;       ///< standard deviation of one reading (unit)
    double standard = 0;      ///< of the bias, scatter/√n (unit)
    double dof = 0;           ///< n − 1 (count)
    double t = 0;             ///< bias/standard (pure number)
    double p = 1;             ///< of a |t| as large by chance (probability)
    stats::Interval interval; ///< 95 % of the bias (unit)
};

/// @throws NumericError for fewer than two readings, or all the same
BiasStudy bias_study(std::span<const double> readings, double reference);

/// Does the bias change with size? bias = intercept + slope · reference.
struct Linearity {
    double slope = 0, intercept = 0; ///< (pure number), (unit)
    double slope_standard = 0;       ///< of the slope (pure number)
    double intercept_standard = 0;   ///< (unit)
    double covariance = 0;           ///< of the two (unit)
    double scatter = 0;              ///< about the line (unit)
    double dof = 0;                  ///< n − 2 (count)
    double t = 0;                    ///< slope/slope_standard (pure number)
    double p = 1;                    ///< of a |t| as large by chance (probability)

    /// The line there, and its standard uncertainty (unit).
    double at(double reference) const { return intercept + slope * reference; }

    double standard_at(double reference) const;
};

/// @param references of each reading, same number (asserted)
/// @throws NumericError as `stats::fit_line`, or where all biases lie on the line
Linearity linearity_study(const Eigen::VectorXd& references, const Eigen::VectorXd& readings);

/// Whether a gauge reads finely enough for a tolerance of that width: a twentieth of it at most
/// (ISO 22514-7, from memory).
bool resolves(double resolution, double tolerance);

} // namespace holdable::decide
