// SPDX-License-Identifier: MIT
/// Tables of costly inverse distribution functions.
///
/// One tail: x(p) for a tail probability p in [2^-53, 1/2]. Every octave of p is cut into
/// 16 equal cells, each with the polynomial of degree 5 that has the value, slope and
/// curvature of x at both ends. All three are known from the law: x' = 1/f and x'' = -f'/f³ with
/// the density f at x. So the error is of the sixth order of the cell and the polynomial rises
/// where x does.
#pragma once

#include <algorithm>
#include <array>
#include <bit>
#include <cstdint>
#include <functional>
#include <memory>
#include <span>
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
    double operator()(double p) const noexcept {
        p = std::min(std::max(p, smallest), largest);
        const auto bits = std::bit_cast<std::uint64_t>(p);
        const auto& cell = cells_[cell_of(p) - cell_of(smallest)];
        // The bits of p below those that chose the cell are the place in it, from 0 to 1.
        const auto one_to_two =
            ((bits << cell_bits) & mantissa) | std::bit_cast<std::uint64_t>(1.0);
        return cell(std::bit_cast<double>(one_to_two) - 1.0);
    }

    /// Replaces each p in (0, 1) of a symmetric law, of which this is the lower tail, by its
    /// quantile, mean + scale · x.
    void symmetric(std::span<double> p, double mean, double scale) const noexcept;

    /// Replaces each p by x at p.
    void values(std::span<double> p) const noexcept;

  private:
    static constexpr int cell_bits = 4; // 16 cells an octave
    static constexpr int octaves = 52;
    static constexpr double smallest = 0x1p-53;
    static constexpr double largest = 0.5 - 0x1p-54; // the last double below 1/2
    static constexpr std::uint64_t mantissa = (std::uint64_t{1} << 52) - 1;

    static std::uint64_t cell_of(double p) {
        return std::bit_cast<std::uint64_t>(p) >> (52 - cell_bits);
    }

    /// One polynomial; a row as long as a line of the cache.
    struct alignas(64) Cell {
        std::array<double, 8> coefficient; ///< c₀ to c₅

        double operator()(double x) const {
            const auto& c = coefficient;
            return c[0] + x * (c[1] + x * (c[2] + x * (c[3] + x * (c[4] + x * c[5]))));
        }
    };

    std::vector<Cell> cells_;
};

/// Lower tail of the standard normal law; error below 1e-10 max(1, |z|). Built once; safe from any
/// thread.
const TailTable& normal_table();

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

/// The solution e in [0, 1) of e + (1 − e) ln(1 − e) = k for k in [0, 1), which ends the
/// curvilinear trapezoid (Newton's method, to rounding).
double curved_end(double k) noexcept;

/// The same over k/2, for k up to 1/2; error below 1e-11. Built once; safe from any thread.
const TailTable& curved_end_table();

} // namespace holdable::stats
