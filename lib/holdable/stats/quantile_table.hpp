// SPDX-License-Identifier: MIT
/// Tables of costly inverse distribution functions.
///
/// One tail: x(p) for a tail probability p in [2^-53, 1/2]. Every octave of p is cut into
/// 16 equal cells, each with the polynomial of degree 5 that has the value, slope and
/// curvature of x at both ends. All three are known from the law: x' = 1/f and x'' = -f'/f³ with
/// the density f at x. So the error is of the sixth order of the cell and the polynomial rises
/// where x does.
#pragma once

#include <array>
#include <functional>
#include <memory>
#include <vector>

namespace holdable::stats {

/// x(p), dx/dp and d²x/dp² at one tail probability.
struct TailPoint {
    double value;
    double slope;
    double curvature;
};

/// One tail of an inverse distribution function.
class TailTable {
  public:
    /// Calls `law` at each of the 52 × 16 + 1 nodes.
    explicit TailTable(const std::function<TailPoint(double)>& law);

    /// x at tail probability p; p outside [2^-53, 1/2] is moved to the nearer end.
    double operator()(double p) const noexcept;

  private:
    std::vector<std::array<double, 6>> cells_;
};

/// Lower tail of the t law with `nu` ≥ 1 degrees of freedom; error below 1e-9 max(1, |x|). Built
/// once, then shared; safe from any thread.
std::shared_ptr<const TailTable> student_table(double nu);

/// Both tails of (X − mean)/standard for the gamma law of shape `alpha` ≥ 1/2; error below
/// 1e-9 max(1, |x|).
struct GammaTables {
    TailTable lower; ///< over p
    TailTable upper; ///< over 1 − p
};

/// Built once a shape, then shared; safe from any thread.
std::shared_ptr<const GammaTables> gamma_tables(double alpha);

} // namespace holdable::stats
