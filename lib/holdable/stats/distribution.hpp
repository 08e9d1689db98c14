// SPDX-License-Identifier: MIT
/// The laws that may stand for what is known of a quantity, one struct a kind of `budget/1`.
///
/// All numbers are in the unit of the quantity unless said otherwise. A law is given by position
/// (`mean`) and spread; `half_width` is half the distance between its limits. Its symbols are those
/// of JCGM 101:2008, clause 6.4.
///
/// Where a law of Type B carries `dof`, the degrees of freedom of its standard uncertainty (GUM
/// G.4.2), absent means infinitely many. They act in the Welch-Satterthwaite formula. Only the
/// normal law is also drawn otherwise for them: as the t law scaled by its standard uncertainty
/// (JCGM 101 6.4.9); the others are drawn unchanged.
#pragma once

#include <functional>
#include <optional>
#include <span>
#include <variant>
#include <vector>

namespace holdable::stats {

/// Known without doubt.
struct Fixed {
    double mean = 0;
};

/// N(mean, standard²), or the scaled and shifted t law where `dof` is given.
struct Normal {
    double mean = 0;
    double standard = 0;
    std::optional<double> dof{};
};

/// The scaled and shifted t law t_ν(mean, scale²), ν = `dof` > 0; `scale` is the standard
/// uncertainty of the GUM, the standard deviation is scale √(ν/(ν − 2)) (JCGM 101 6.4.9).
struct Student {
    double mean = 0;
    double scale = 0;
    double dof = 1;
};

/// Equally probable between mean ± half_width (JCGM 101 6.4.2).
struct Rectangular {
    double mean = 0;
    double half_width = 0;
    std::optional<double> dof{};
};

/// Symmetric triangle between mean ± half_width (JCGM 101 6.4.5).
struct Triangular {
    double mean = 0;
    double half_width = 0;
    std::optional<double> dof{};
};

/// U-shaped: a sine of amplitude half_width at unknown phase (JCGM 101 6.4.6).
struct Arcsine {
    double mean = 0;
    double half_width = 0;
    std::optional<double> dof{};
};

/// Symmetric trapezoid between mean ± half_width; `top` = β, top width over base width, 0 … 1 (pure
/// number; JCGM 101 6.4.4).
struct Trapezoid {
    double mean = 0;
    double half_width = 0;
    double top = 0;
    std::optional<double> dof{};
};

/// A rectangle whose half-width is itself only known to lie within half_width ± half_width_doubt,
/// the middle being fixed: the curvilinear trapezoid (JCGM 101 6.4.3, d = half_width_doubt).
struct InexactRectangular {
    double mean = 0;
    double half_width = 0;
    double half_width_doubt = 0;
    std::optional<double> dof{};
};

/// Not negative, of known mean (JCGM 101 6.4.10).
struct Exponential {
    double mean = 1;
    std::optional<double> dof{};
};

/// Not negative, of known mean and standard deviation: shape (mean/standard)², scale
/// standard²/mean.
struct Gamma {
    double mean = 1;
    double standard = 1;
    std::optional<double> dof{};
};

/// At least two independent readings of the quantity, all under the same conditions:
/// t_{n−1}(x̄, s²/n) (JCGM 101 6.4.9.2).
struct Readings {
    std::vector<double> values;
};

/// What is known of one quantity.
using Distribution = std::variant<Fixed,
                                  Normal,
                                  Student,
                                  Rectangular,
                                  Triangular,
                                  Arcsine,
                                  Trapezoid,
                                  InexactRectangular,
                                  Exponential,
                                  Gamma,
                                  Readings>;

/// Throws InputError `distribution-parameter` where the numbers make no law: not finite, a negative
/// spread, a top beyond 0 … 1, a doubt not below its half-width, a mean not above 0 where none may
/// be, fewer than two readings. All functions below take only laws that pass.
void check(const Distribution& law);

/// The best estimate, in the unit of the quantity; for t laws the centre, even with dof ≤ 1.
double mean(const Distribution& law);

/// The standard uncertainty u of the GUM, ≥ 0: for t laws the scale (GUM 4.2.3, 4.3).
double standard_uncertainty(const Distribution& law);

/// The standard deviation of what is drawn (JCGM 101 Table 1); none for t laws with dof ≤ 2.
std::optional<double> standard_deviation(const Distribution& law);

/// Degrees of freedom of `standard_uncertainty` (count, may be fractional); none = infinitely many.
std::optional<double> degrees_of_freedom(const Distribution& law);

/// x with P(X ≤ x) = p, p in (0, 1) (asserted), to about 1e-13 of the standard uncertainty.
double quantile(const Distribution& law, double p);

/// A function that replaces each p in (0, 1) of a block by the quantile: feed it the uniforms of
/// `fill_uniform`. Exact as `quantile` but for t, gamma and inexact laws, interpolated to
/// 1e-9 max(u, |x − mean|). It may be called from several threads at once.
std::function<void(std::span<double>)> sampler(const Distribution& law);

} // namespace holdable::stats
