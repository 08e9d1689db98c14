// SPDX-License-Identifier: MIT
/// Position in a round zone, alone and together with the size of the feature.
///
/// A hole's axis lies (X, Y) off, normal with any mean and covariance; its position value is the
/// diameter 2 √(X² + Y²), which a zone of diameter T must hold. About 0 with equal deviations σ
/// that is Rayleigh's law, P(2r > T) = exp(-T²/8σ²); off 0 Rice's, with unequal deviations Hoyt's.
/// Indices of single axes flatter a round zone: take that of the position value, (T - X50)/(X99.865
/// - X50).
///
/// At maximum material (ISO 2692) the zone grows with the room the size leaves. With M the size of
/// most material, the low limit of a hole or the high one of a shaft, and the drawing's T at it,
/// the zone is T + |actual - M|; what the mating part must clear, the virtual condition, is M - T
/// for a hole and M + T for a shaft. Size and position conform together with
///
///     P = ∫ f(d) P(2r ≤ T + |d - M|) dd   between the limits of size
///
/// where they are independent; the mean of the bonus put into the second factor is not that. Where
/// size and place share causes, draw them. Lengths in one unit. Formulas from memory.
#pragma once

#include "holdable/decide/rule.hpp"

#include <Eigen/Core>

#include <optional>

namespace holdable::decide {

/// An axis about its true place; the covariance may be singular.
struct Place {
    Eigen::Vector2d mean = Eigen::Vector2d::Zero();
    Eigen::Matrix2d covariance = Eigen::Matrix2d::Identity();
};

/// Diameter that holds the share p of all position values. Exact with equal deviations and no
/// correlation, p in (0, 1); else to about 1e-8 of p, p in [0.5, 1).
double position_quantile(double p, const Place& place);

/// P(position value > zone), zone ≥ 0. Exact, tails too, with equal deviations and no correlation;
/// else to about 1e-8.
double outside_zone(double zone, const Place& place);

/// The upper index of the position value, by quantiles; a covariance not zero.
double position_index(double zone, const Place& place);

/// A hole or a shaft with a size and a place.
struct SizedFeature {
    bool hole = true;
    Limits size;                   ///< both finite
    double zone = 0;               ///< diameter on the drawing, ≥ 0
    bool maximum_material = false; ///< the zone grows as the size leaves maximum material

    /// The size of most material.
    double most_material() const { return hole ? size.low : size.high; }
};

/// The boundary a mating part must clear.
double virtual_condition(const SizedFeature& feature);

/// The zone's diameter at an actual size, none where the size does not conform.
std::optional<double> available_zone(const SizedFeature& feature, double actual);

/// P(size and position conform), the size ~ N(mean, standard²) independent of the place, standard ≥
/// 0. To about 1e-8.
double joint_conformity(const SizedFeature& feature,
                        double size_mean,
                        double size_standard,
                        const Place& place);

} // namespace holdable::decide
