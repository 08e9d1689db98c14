// SPDX-License-Identifier: MIT
#include "holdable/stats/shortest.hpp"

#include "holdable/stats/normal.hpp"
#include "holdable/stats/random.hpp"

#include <Eigen/Cholesky>

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <vector>

namespace holdable::stats {
namespace {

constexpr std::size_t cells = 16;
constexpr std::size_t places = cells + 1;
constexpr double outermost = 1e-3; // of s
constexpr double widest = 3;       // half range of ln(s/(1 − s))
constexpr double least_below = 20; // draws outside the outermost place (count)
constexpr double least_in_cell = 3;
constexpr std::size_t replicates = 64;

using Places = std::array<double, places>;
using Coefficients = Eigen::Vector4d; // c₁ … c₄

/// Sorted tails as a function of rank.
class Tails {
  public:
    Tails(const Ordered& y, double p) : y_(y), q_(coverage_steps(p, y.size())) {}

    std::size_t outside() const { return y_.size() - q_; }

    std::size_t count() const { return y_.size(); }

    /// Ranks of the ends of the interval at s, in draws below (count).
    double low_rank(double s) const { return s * static_cast<double>(outside()); }

    double high_rank(double s) const { return low_rank(s) + static_cast<double>(q_); }

    /// The order statistics, y(r) at rank r − 1/2, joined by straight lines. The tails are
    /// mirrored where they end inside.
    double low(double rank) const {
        const auto end = static_cast<double>(outside()) - 1;
        return rank - 0.5 <= end
                   ? at(rank - 0.5, 0, outside() - 1)
                   : 2 * y_[outside() - 1] - at(2 * end - rank + 0.5, 0, outside() - 1);
    }

    double high(double rank) const {
        const auto end = static_cast<double>(q_);
        return rank - 0.5 >= end ? at(rank - 0.5, q_, count() - 1)
                                 : 2 * y_[q_] - at(2 * end - rank + 0.5, q_, count() - 1);
    }

  private:
    double at(double place, std::size_t first, std::size_t last) const {
        place = std::clamp(place, static_cast<double>(first), static_cast<double>(last));
        const auto below = std::min(static_cast<std::size_t>(place), last);
        const auto above = std::min(below + 1, last);
        return y_[below] + (place - static_cast<double>(below)) * (y_[above] - y_[below]);
    }

    Ordered y_;
    std::size_t q_;
};

/// A range of s cut into cells, and what the fit needs of each.
struct Range {
    Places s;
    Eigen::Matrix<double, cells, 4> terms; // increments of ln s, −ln(1 − s), s, s²/2
    Eigen::Matrix<double, cells, 1> weight;
};

double logit(double s) {
    return std::log(s / (1 - s));
}

std::optional<Range> range(const Tails& tails, double from, double to) {
    Range r;
    for (std::size_t j = 0; j < places; ++j)
        r.s[j] = 1 / (1 + std::exp(-(from + (to - from) * double(j) / double(cells))));
    Places low, high;
    for (std::size_t j = 0; j < places; ++j) {
        low[j] = tails.low(tails.low_rank(r.s[j]));
        high[j] = tails.high(tails.high_rank(r.s[j]));
    }
    // A gap of n draws has the relative variance 1/n; its length is smoothed over its neighbours,
    // for one that happens to be short would else weigh more.
    std::array<double, cells> squared;
    for (std::size_t j = 0; j < cells; ++j) {
        const double step = r.s[j + 1] - r.s[j];
        const double in_low = (low[j + 1] - low[j]) / step,
                     in_high = (high[j + 1] - high[j]) / step;
        squared[j] = in_low * in_low + in_high * in_high;
    }
    for (std::size_t j = 0; j < cells; ++j) {
        const double s = r.s[j], t = r.s[j + 1], step = t - s;
        const double draws = step * static_cast<double>(tails.outside());
        if (draws < least_in_cell)
            return std::nullopt;
        const std::size_t first = j < 2 ? 0 : j - 2, last = std::min(j + 3, cells);
        double mean = 0;
        for (std::size_t k = first; k < last; ++k)
            mean += squared[k] / static_cast<double>(last - first);
        if (!(mean > 0))
            return std::nullopt;
        const auto row = static_cast<Eigen::Index>(j);
        r.weight[row] = draws / (mean * step * step);
        r.terms.row(row) << std::log(t / s), -std::log((1 - t) / (1 - s)), step,
            0.5 * (t * t - s * s);
    }
    return r;
}

struct Fit {
    Coefficients c;
    double chi_square; // with cells − 4 degrees of freedom
};

/// The fit through widths at the places of a range.
Fit fit(const Range& r, const Places& width) {
    Eigen::Matrix<double, cells, 1> rise;
    for (std::size_t j = 0; j < cells; ++j)
        rise[static_cast<Eigen::Index>(j)] = width[j + 1] - width[j];
    const Eigen::Matrix<double, 4, cells> weighed = r.terms.transpose() * r.weight.asDiagonal();
    const Eigen::Matrix4d normal = weighed * r.terms;
    // Columns of length 1, so that the factor does not depend on the unit.
    const Eigen::Vector4d scale = normal.diagonal().cwiseSqrt().cwiseInverse();
    const Coefficients c = scale.asDiagonal() * (scale.asDiagonal() * normal * scale.asDiagonal())
                                                    .ldlt()
                                                    .solve(scale.asDiagonal() * (weighed * rise));
    const Eigen::Matrix<double, cells, 1> left = rise - r.terms * c;
    return {c, left.cwiseAbs2().dot(r.weight)};
}

double slope(const Coefficients& c, double s) {
    return c[0] / s + c[1] / (1 - s) + c[2] + c[3] * s;
}

/// Where the fit is least, if that is one place within the range.
std::optional<double> least(const Coefficients& c, const Range& r) {
    std::size_t turns = 0;
    double from = 0, to = 0;
    for (std::size_t j = 0; j < cells; ++j) {
        const bool before = slope(c, r.s[j]) < 0, after = slope(c, r.s[j + 1]) < 0;
        if (before == after)
            continue;
        if (!before || ++turns > 1)
            return std::nullopt; // a maximum, or a second minimum
        from = r.s[j];
        to = r.s[j + 1];
    }
    if (turns == 0)
        return std::nullopt;
    for (int step = 0; step < 50; ++step) {
        const double middle = 0.5 * (from + to);
        (slope(c, middle) < 0 ? from : to) = middle;
    }
    return 0.5 * (from + to);
}

Places widths(const Tails& tails, const Range& r) {
    Places w;
    for (std::size_t j = 0; j < places; ++j)
        w[j] = tails.high(tails.high_rank(r.s[j])) - tails.low(tails.low_rank(r.s[j]));
    return w;
}

/// Where the raw width is least.
double raw_place(const Ordered& y, std::size_t q) {
    std::size_t best = 0;
    for (std::size_t r = 1; r + q < y.size(); ++r)
        if (y[r + q] - y[r] < y[best + q] - y[best])
            best = r;
    return (static_cast<double>(best) + 0.5) / static_cast<double>(y.size() - q);
}

/// A range in which the form holds and has its minimum.
std::optional<std::pair<Range, double>> holding(const Tails& tails, double raw) {
    const double edge = std::max(outermost, least_below / static_cast<double>(tails.outside()));
    if (edge >= 0.25 || raw <= edge || raw >= 1 - edge)
        return std::nullopt;
    constexpr double dof = cells - 4;
    const double allowed = dof + 2.5 * std::sqrt(2 * dof);
    const double limit = logit(1 - edge);
    // The further out, the less a form with so few terms holds over a long range.
    const double out = logit(raw) / 3;
    double half = widest / (1 + out * out);
    for (int attempt = 0; attempt < 3; ++attempt, half /= 2) {
        const auto r =
            range(tails, std::max(-limit, logit(raw) - half), std::min(limit, logit(raw) + half));
        if (!r)
            return std::nullopt;
        const auto fitted = fit(*r, widths(tails, *r));
        if (!(fitted.chi_square < allowed))
            continue;
        if (const auto s = least(fitted.c, *r))
            return std::pair(*r, *s);
    }
    return std::nullopt;
}

/// Sets of draws made from the sorted ones, at given places of s.
class Replicates {
  public:
    Replicates(const Tails& tails, std::vector<double> s)
        : tails_(tails), s_(std::move(s)), steps_(replicates * (2 * s_.size() + 1)) {
        fill_uniform(0, name_hash("shortest interval"), 0, steps_);
        normal_quantile(steps_);
    }

    /// The ends of the intervals at all places in replicate number k.
    void draw(std::size_t k) {
        const std::size_t n = s_.size();
        const double* z = steps_.data() + k * (2 * n + 1);
        const auto count = static_cast<double>(tails_.count());
        // A Wiener process at the ranks, from the lowest, then made a bridge.
        shift.resize(2 * n);
        double from = 0, sum = 0;
        for (std::size_t j = 0; j < 2 * n; ++j) {
            const double to = rank(j);
            sum += std::sqrt(std::max(to - from, 0.0)) * z[j];
            shift[j] = sum;
            from = to;
        }
        const double end = sum + std::sqrt(std::max(count - from, 0.0)) * z[2 * n];
        for (std::size_t j = 0; j < 2 * n; ++j)
            shift[j] -= rank(j) / count * end;
    }

    double low(std::size_t j) const { return tails_.low(rank(j) + shift[j]); }

    double high(std::size_t j) const {
        const std::size_t k = s_.size() + j;
        return tails_.high(rank(k) + shift[k]);
    }

    /// The interval at an s between two of the places.
    Interval at(double s) const {
        const auto above = std::upper_bound(s_.begin() + 1, s_.end() - 1, s);
        const auto j = static_cast<std::size_t>(above - s_.begin());
        const double x = (s - s_[j - 1]) / (s_[j] - s_[j - 1]);
        const auto between = [&](std::size_t k) {
            return shift[k - 1] + x * (shift[k] - shift[k - 1]);
        };
        return {tails_.low(tails_.low_rank(s) + between(j)),
                tails_.high(tails_.high_rank(s) + between(s_.size() + j))};
    }

  private:
    double rank(std::size_t j) const {
        return j < s_.size() ? tails_.low_rank(s_[j]) : tails_.high_rank(s_[j - s_.size()]);
    }

    const Tails& tails_;
    std::vector<double> s_;
    std::vector<double> steps_;
    std::vector<double> shift; // of the ranks: low ends, then high ends
};

/// Scatter of the ends over replicates of which `ends` finds the interval.
template <class Ends>
Interval scatter(Replicates& made, Ends ends) {
    std::array<double, replicates> low, high;
    for (std::size_t k = 0; k < replicates; ++k) {
        made.draw(k);
        const Interval i = ends();
        low[k] = i.low;
        high[k] = i.high;
    }
    return {moments(low).standard_deviation(), moments(high).standard_deviation()};
}

Interval smoothed_error(const Tails& tails, const Range& r) {
    Replicates made(tails, {r.s.begin(), r.s.end()});
    return scatter(made, [&] {
        Places width;
        for (std::size_t j = 0; j < places; ++j)
            width[j] = made.high(j) - made.low(j);
        const auto shortest = std::min_element(width.begin(), width.end()) - width.begin();
        return made.at(least(fit(r, width).c, r).value_or(r.s[static_cast<std::size_t>(shortest)]));
    });
}

Interval raw_error(const Tails& tails) {
    constexpr std::size_t many = 128;
    const double limit =
        logit(1 - 0.5 / static_cast<double>(std::max<std::size_t>(tails.outside(), 2)));
    std::vector<double> s;
    for (std::size_t j = 0; j <= many; ++j)
        s.push_back(1 / (1 + std::exp(limit * (1 - 2 * double(j) / double(many)))));
    Replicates made(tails, s);
    return scatter(made, [&] {
        Interval best{made.low(0), made.high(0)};
        for (std::size_t j = 1; j <= many; ++j)
            if (const Interval next{made.low(j), made.high(j)}; next.width() < best.width())
                best = next;
        return best;
    });
}

} // namespace

ShortestInterval smoothed_shortest_interval(const Ordered& y, double p) {
    const Tails tails(y, p);
    ShortestInterval result;
    result.raw = shortest_interval(y, p);
    if (const auto found = holding(tails, raw_place(y, y.size() - tails.outside()))) {
        const auto& [r, s] = *found;
        result.interval = {tails.low(tails.low_rank(s)), tails.high(tails.high_rank(s))};
        result.error = smoothed_error(tails, r);
        result.smoothed = true;
    } else {
        result.interval = result.raw;
        result.error = raw_error(tails);
    }
    return result;
}

} // namespace holdable::stats
