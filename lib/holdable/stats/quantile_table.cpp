// SPDX-License-Identifier: MIT
#include "holdable/stats/quantile_table.hpp"

#include "holdable/stats/boost_policy.ipp"
#include "holdable/stats/normal.hpp"
#include "holdable/base/clones.ipp"
#include "holdable/base/elementary.hpp"

#include <boost/math/distributions/gamma.hpp>
#include <boost/math/distributions/students_t.hpp>

#include <algorithm>
#include <cmath>
#include <map>
#include <mutex>
#include <numbers>

namespace holdable::stats {
namespace {

/// Tables by parameter. What is dropped when the store is full lives on where it is in use.
template <class Table>
class Store {
  public:
    template <class Make>
    std::shared_ptr<const Table> find(double parameter, Make make) {
        const std::lock_guard lock(mutex_);
        if (const auto known = tables_.find(parameter); known != tables_.end())
            return known->second;
        if (tables_.size() >= 256)
            tables_.clear();
        return tables_[parameter] = std::make_shared<const Table>(make());
    }

  private:
    std::mutex mutex_;
    std::map<double, std::shared_ptr<const Table>> tables_;
};

} // namespace

TailTable::TailTable(const std::function<TailPoint(double)>& law) {
    constexpr int per_octave = 1 << cell_bits;
    const auto node = [](int i) {
        return std::ldexp(smallest * (1.0 + double(i % per_octave) / per_octave), i / per_octave);
    };
    cells_.reserve(octaves * per_octave);
    TailPoint left = law(smallest);
    for (int i = 0; i < octaves * per_octave; ++i) {
        const TailPoint right = law(node(i + 1));
        const double h = node(i + 1) - node(i);
        const double rise = right.value - left.value;
        const double s0 = left.slope * h, s1 = right.slope * h;
        const double c0 = left.curvature * h * h, c1 = right.curvature * h * h;
        cells_.push_back({{left.value,
                           s0,
                           0.5 * c0,
                           10 * rise - 6 * s0 - 4 * s1 - 1.5 * c0 + 0.5 * c1,
                           -15 * rise + 8 * s0 + 7 * s1 + 1.5 * c0 - c1,
                           6 * rise - 3 * s0 - 3 * s1 - 0.5 * c0 + 0.5 * c1}});
        left = right;
    }
}

// In pieces: first what the bits say, then the polynomials, four at a time. The coefficients of four
// cells are turned from rows to columns in registers, which costs less than gathering them.
HOLDABLE_CLONES
void TailTable::values(std::span<double> p) const noexcept {
    using Four = double __attribute__((vector_size(4 * sizeof(double))));
    // Read as one: copied by memcpy, GCC goes by halves through the stack in the AVX2 version.
    using FourAnywhere =
        double __attribute__((vector_size(4 * sizeof(double)), aligned(sizeof(double)), may_alias));
    constexpr std::size_t piece = 256;
    constexpr auto first = std::bit_cast<std::int64_t>(smallest);
    constexpr auto last = std::bit_cast<std::int64_t>(largest);
    constexpr std::int64_t first_cell = first >> (52 - cell_bits);
    std::array<std::int64_t, piece> cell;
    std::array<double, piece> place;
    const auto* const cells = cells_.data();
    while (!p.empty()) {
        const std::size_t n = std::min(piece, p.size());
        for (std::size_t i = 0; i < n; ++i) {
            // Positive doubles are in the order of their bits; so written, it vectorises.
            const auto bits = std::min(std::max(std::bit_cast<std::int64_t>(p[i]), first), last);
            cell[i] = (bits >> (52 - cell_bits)) - first_cell;
            const auto one_to_two =
                ((bits << cell_bits) & std::int64_t{mantissa}) | std::bit_cast<std::int64_t>(1.0);
            place[i] = std::bit_cast<double>(one_to_two) - 1.0;
        }
        std::size_t i = 0;
        for (; i + 4 <= n; i += 4) {
            Four low[4], high[4]; // of each cell c₀ to c₃, c₄ and c₅
            for (std::size_t k = 0; k < 4; ++k) {
                const auto* c = reinterpret_cast<const FourAnywhere*>(&cells[cell[i + k]]);
                low[k] = c[0];
                high[k] = c[1];
            }
            const Four x = *reinterpret_cast<const FourAnywhere*>(&place[i]);
            // Even and odd columns of two rows each, then those of all four.
            const Four even01 = __builtin_shufflevector(low[0], low[1], 0, 4, 2, 6);
            const Four even23 = __builtin_shufflevector(low[2], low[3], 0, 4, 2, 6);
            const Four odd01 = __builtin_shufflevector(low[0], low[1], 1, 5, 3, 7);
            const Four odd23 = __builtin_shufflevector(low[2], low[3], 1, 5, 3, 7);
            const Four fourth01 = __builtin_shufflevector(high[0], high[1], 0, 4, 2, 6);
            const Four fourth23 = __builtin_shufflevector(high[2], high[3], 0, 4, 2, 6);
            const Four fifth01 = __builtin_shufflevector(high[0], high[1], 1, 5, 3, 7);
            const Four fifth23 = __builtin_shufflevector(high[2], high[3], 1, 5, 3, 7);
            const Four c0 = __builtin_shufflevector(even01, even23, 0, 1, 4, 5);
            const Four c1 = __builtin_shufflevector(odd01, odd23, 0, 1, 4, 5);
            const Four c2 = __builtin_shufflevector(even01, even23, 2, 3, 6, 7);
            const Four c3 = __builtin_shufflevector(odd01, odd23, 2, 3, 6, 7);
            const Four c4 = __builtin_shufflevector(fourth01, fourth23, 0, 1, 4, 5);
            const Four c5 = __builtin_shufflevector(fifth01, fifth23, 0, 1, 4, 5);
            *reinterpret_cast<FourAnywhere*>(&p[i]) =
                c0 + x * (c1 + x * (c2 + x * (c3 + x * (c4 + x * c5))));
        }
        for (; i < n; ++i)
            p[i] = cells[cell[i]](place[i]);
        p = p.subspan(n);
    }
}

HOLDABLE_CLONES
void TailTable::symmetric(std::span<double> p, double mean, double scale) const noexcept {
    constexpr std::size_t piece = 256;
    std::array<double, piece> sign;
    while (!p.empty()) {
        const auto part = p.first(std::min(piece, p.size()));
        for (std::size_t i = 0; i < part.size(); ++i) {
            sign[i] = std::copysign(scale, p[i] - 0.5);
            p[i] = std::min(p[i], 1.0 - p[i]);
        }
        values(part);
        for (std::size_t i = 0; i < part.size(); ++i)
            p[i] = mean - sign[i] * p[i];
        p = p.subspan(part.size());
    }
}

const TailTable& normal_table() {
    static const TailTable table([](double p) -> TailPoint {
        const double z = normal_quantile(p);
        const double slope = std::sqrt(2.0 * std::numbers::pi) * elementary::exp(0.5 * z * z);
        return {z, slope, z * slope * slope};
    });
    return table;
}

std::shared_ptr<const TailTable> student_table(double nu) {
    static Store<TailTable> store;
    return store.find(nu, [nu] {
        const boost::math::students_t_distribution<double, BoostTablePolicy> law(nu);
        return TailTable([&](double p) -> TailPoint {
            const double x = p == 0.5 ? 0.0 : boost::math::quantile(law, p);
            const double f = boost::math::pdf(law, x);
            const double log_slope = -(nu + 1.0) * x / (nu + x * x); // f'/f
            return {x, 1.0 / f, -log_slope / f / f};
        });
    });
}

std::shared_ptr<const GammaTables> gamma_tables(double alpha) {
    static Store<GammaTables> store;
    return store.find(alpha, [alpha] {
        const boost::math::gamma_distribution<double, BoostPolicy> law(alpha);
        const double root = std::sqrt(alpha); // the standard deviation at unit scale
        const auto point = [&](double x, double sign) -> TailPoint {
            const double f = boost::math::pdf(law, x);
            const double log_slope = (alpha - 1.0) / x - 1.0; // f'/f
            return {(x - alpha) / root, sign / f / root, -log_slope / f / f / root};
        };
        return GammaTables{
            TailTable([&](double p) { return point(boost::math::quantile(law, p), 1.0); }),
            TailTable([&](double q) {
                return point(boost::math::quantile(boost::math::complement(law, q)), -1.0);
            })};
    });
}

double curved_end(double k) noexcept {
    if (k <= 0.0)
        return 0.0;
    // From the series about 0.
    const double root = std::sqrt(2.0 * k);
    double e = std::min(root - k / 3.0, 0.999);
    for (int step = 0; step < 60; ++step) {
        double g = 0; // Σ eⁿ / (n (n − 1)), the left side; the closed form cancels near 0
        if (e < 0.05) {
            for (int n = 12; n >= 2; --n)
                g = g * e + 1.0 / (n * (n - 1.0));
            g *= e * e;
        } else {
            g = e + (1.0 - e) * std::log1p(-e);
        }
        const double change = (k - g) / -std::log1p(-e);
        const double next = std::min(e + change, 0.5 * (1.0 + e));
        if (std::abs(next - e) <= 4e-16 * e)
            return next;
        e = next;
    }
    return e;
}

const TailTable& curved_end_table() {
    static const TailTable table([](double p) -> TailPoint {
        const double e = std::min(curved_end(2.0 * p), 0.999); // finite to the end
        const double slope = -1.0 / std::log1p(-e);            // de/dk
        return {e, 2.0 * slope, -4.0 * slope * slope * slope / (1.0 - e)};
    });
    return table;
}

} // namespace holdable::stats
