// SPDX-License-Identifier: MIT
#include "holdable/stats/quantile_table.hpp"

#include "holdable/stats/boost_policy.ipp"

#include <boost/math/distributions/gamma.hpp>
#include <boost/math/distributions/students_t.hpp>

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstdint>
#include <map>
#include <mutex>

namespace holdable::stats {
namespace {

constexpr int cell_bits = 4; // 16 cells an octave
constexpr int octaves = 52;
constexpr double smallest = 0x1p-53;
constexpr double largest = 0.5 - 0x1p-54; // the last double below 1/2
constexpr std::uint64_t mantissa = (std::uint64_t{1} << 52) - 1;

std::uint64_t cell_of(double p) {
    return std::bit_cast<std::uint64_t>(p) >> (52 - cell_bits);
}

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
        cells_.push_back({left.value,
                          s0,
                          0.5 * c0,
                          10 * rise - 6 * s0 - 4 * s1 - 1.5 * c0 + 0.5 * c1,
                          -15 * rise + 8 * s0 + 7 * s1 + 1.5 * c0 - c1,
                          6 * rise - 3 * s0 - 3 * s1 - 0.5 * c0 + 0.5 * c1});
        left = right;
    }
}

double TailTable::operator()(double p) const noexcept {
    p = std::clamp(p, smallest, largest);
    const auto bits = std::bit_cast<std::uint64_t>(p);
    const auto& c = cells_[cell_of(p) - cell_of(smallest)];
    // The bits of p below those that chose the cell are the place in it, from 0 to 1.
    const auto one_to_two = ((bits << cell_bits) & mantissa) | std::bit_cast<std::uint64_t>(1.0);
    const double x = std::bit_cast<double>(one_to_two) - 1.0;
    return c[0] + x * (c[1] + x * (c[2] + x * (c[3] + x * (c[4] + x * c[5]))));
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

} // namespace holdable::stats
