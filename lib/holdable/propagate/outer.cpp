// SPDX-License-Identifier: MIT
#include "holdable/propagate/outer.hpp"

#include "holdable/propagate/parallel.hpp"
#include "holdable/stats/boost_policy.ipp"

#include <boost/math/special_functions/beta.hpp>
#include <boost/math/tools/roots.hpp>

#include <algorithm>
#include <cstdint>
#include <limits>
#include <numeric>

namespace holdable::propagate {
namespace {

double binomial_step(double p, std::size_t n) {
    return std::sqrt(p * (1 - p) / static_cast<double>(n));
}

/// Shares of the parts with a score of at most `limit`, one a world of the list.
std::vector<double> yields_of(const Inner& inner,
                              const std::vector<std::size_t>& worlds,
                              double limit,
                              unsigned threads) {
    std::vector<double> y(worlds.size());
    if (inner.alike()) {
        inner.yields({worlds.data(), 1}, limit, {y.data(), 1});
        std::fill(y.begin(), y.end(), y[0]);
        return y;
    }
    constexpr std::size_t chunk = 256;
    parallel((y.size() + chunk - 1) / chunk, threads, [&](std::size_t b) {
        const std::size_t first = b * chunk;
        const std::size_t count = std::min(chunk, y.size() - first);
        inner.yields({worlds.data() + first, count}, limit, {y.data() + first, count});
    });
    return y;
}

std::vector<std::size_t> first(std::size_t worlds) {
    std::vector<std::size_t> list(worlds);
    std::iota(list.begin(), list.end(), std::size_t{0});
    return list;
}

/// The worlds whose p-quantiles have ranks low … high, by quantile and number. Most worlds are only
/// counted against a few pivots, never sorted.
class RankedWorlds {
  public:
    RankedWorlds(const Inner& inner,
                 const std::vector<double>& yields,
                 double p,
                 std::size_t low,
                 std::size_t high,
                 unsigned threads)
        : inner_(inner), p_(p * (1 - 1e-15)), level_(p), threads_(threads) {
        auto all = first(yields.size());
        if (inner.alike()) {
            const double score = inner.quantile(0, p);
            for (const std::size_t k : all)
                list_.emplace_back(score, k);
            return;
        }
        cut(all, yields, low, high); // the drawing's tolerance is the first pivot
        narrow(all, low, high);
        list_.reserve(all.size());
        for (const std::size_t k : all)
            list_.emplace_back(inner.quantile(k, p), k);
        std::sort(list_.begin(), list_.end());
    }

    /// The score of rank r, low ≤ r ≤ high.
    double score(std::size_t r) const { return list_[r - below_].first; }

    std::size_t world(std::size_t r) const { return list_[r - below_].second; }

  private:
    /// Drops worlds outside the ranks, which are counted from `below_` in what is left.
    void narrow(std::vector<std::size_t>& left, std::size_t low, std::size_t high) {
        const std::size_t enough = 2 * (high - low + 1) + 16;
        for (int attempt = 0; left.size() > enough && attempt < 64; ++attempt) {
            // Pivots at the middle of what is surplus on the larger side.
            const std::size_t before = low - below_;
            const std::size_t after = left.size() - 1 - (high - below_);
            const bool cut_low = before >= after;
            const double aim =
                cut_low ? 0.8 * static_cast<double>(before)
                        : static_cast<double>(left.size()) - 0.8 * static_cast<double>(after);
            const double pivot = sampled(left, aim / static_cast<double>(left.size()));
            cut(left, yields_of(inner_, left, pivot, threads_), low, high);
            ++round_;
        }
    }

    /// Drops what lies on the far side of a pivot. @param yield of those left, within the pivot
    void cut(std::vector<std::size_t>& left,
             const std::vector<double>& yield,
             std::size_t low,
             std::size_t high) {
        std::vector<std::size_t> up_to, beyond;
        for (std::size_t j = 0; j < left.size(); ++j)
            (yield[j] >= p_ ? up_to : beyond).push_back(left[j]);
        if (below_ + up_to.size() <= low && !up_to.empty()) {
            below_ += up_to.size();
            left = std::move(beyond);
        } else if (high < below_ + up_to.size() && !beyond.empty()) {
            left = std::move(up_to);
        } // else the pivot fell between; the next sample is another
    }

    /// About the f-quantile of the worlds' quantiles, from a few of them.
    double sampled(const std::vector<std::size_t>& left, double f) const {
        constexpr std::size_t few = 31;
        std::vector<double> q;
        const std::size_t stride = std::max<std::size_t>(1, left.size() / few);
        for (std::size_t j = round_ % stride; j < left.size() && q.size() < few; j += stride)
            q.push_back(inner_.quantile(left[j], level_));
        const auto at = q.begin() + static_cast<std::ptrdiff_t>(rank(f, q.size()));
        std::nth_element(q.begin(), at, q.end());
        return *at;
    }

    const Inner& inner_;
    double p_;
    double level_;
    unsigned threads_;
    std::size_t below_ = 0;
    std::size_t round_ = 0;
    std::vector<std::pair<double, std::size_t>> list_;
};

/// Where a rising function is 0, to `small`; the search begins at `guess` with a tenth of `scale`.
template <class F>
double bracketed_root(F f, double guess, double scale, double small) {
    double a = guess, fa = f(a);
    double b = a, fb = fa;
    for (double step = 0.1 * scale; (fa < 0) == (fb < 0); step *= 2) {
        a = b;
        fa = fb;
        b += fa < 0 ? step : -step;
        fb = f(b);
        if (step > 1e9 * scale)
            return b;
    }
    if (a > b) {
        std::swap(a, b);
        std::swap(fa, fb);
    }
    std::uintmax_t steps = 100;
    return boost::math::tools::toms748_solve(
               f,
               a,
               b,
               fa,
               fb,
               [&](double low, double high) { return high - low <= small; },
               steps,
               stats::BoostPolicy{})
        .second;
}

} // namespace

std::vector<double> yields(const Inner& inner, std::size_t worlds, unsigned threads) {
    return yields_of(inner, first(worlds), inner.score(inner.tolerance()), threads);
}

Chance chance(const std::vector<double>& yields, double p, std::size_t parts) {
    const auto n = static_cast<double>(yields.size());
    const auto at_least = [&](double level) {
        return static_cast<double>(std::count_if(
            yields.begin(), yields.end(), [&](double y) { return y >= level * (1 - 1e-15); }));
    };
    Chance c;
    const double holding = at_least(p);
    c.value = holding / n;
    // One world more on either side, so that all or none is not taken for certain.
    const double smoothed = (holding + 1) / (n + 2);
    c.outer_error = std::sqrt(smoothed * (1 - smoothed) / n);
    if (parts > 0) {
        const double step = binomial_step(p, parts);
        c.inner_error = (at_least(p - step) - at_least(std::min(p + step, 1.0))) / (2 * n);
    }
    return c;
}

Assured assured(const Inner& inner,
                const std::vector<double>& yields,
                double p,
                double confidence,
                unsigned threads) {
    const std::size_t worlds = yields.size();
    const std::size_t at = rank(confidence, worlds);
    const double step = binomial_step(confidence, worlds);
    const std::size_t down = rank(confidence - step, worlds);
    const std::size_t up = rank(confidence + step, worlds);
    // The window that speaks for the worlds at t narrows as the draws become many.
    const double tail = static_cast<double>(worlds - 1 - at);
    const double narrow = 0.5 * std::min(1.0, std::pow(2000.0 / static_cast<double>(worlds), 0.2));
    const auto half = static_cast<std::size_t>(narrow * tail);
    const std::size_t low = std::min(down, at - std::min(at, half));
    const std::size_t high = std::max(up, at + half);
    const RankedWorlds ranked(inner, yields, p, low, high, threads);
    const auto value = [&](std::size_t r) { return inner.value(ranked.score(r)); };

    Assured t;
    t.value = value(at);
    t.outer_error = (value(up) - value(down)) / 2;
    double sum = 0;
    for (std::size_t r = at - std::min(at, half); r <= at + half; ++r) {
        const double z =
            (static_cast<double>(r) - static_cast<double>(at)) / (static_cast<double>(half) + 1);
        t.window.emplace_back(ranked.world(r), 1 - z * z);
        sum += 1 - z * z;
    }
    for (auto& [k, weight] : t.window)
        weight /= sum;
    if (!inner.exact()) {
        // The draws of the parts are common, so their error is about the same in all worlds near t.
        const std::size_t stride = t.window.size() / 16 + 1;
        double errors = 0, weights = 0;
        for (std::size_t j = 0; j < t.window.size(); j += stride) {
            errors += t.window[j].second * inner.quantile_error(t.window[j].first, p);
            weights += t.window[j].second;
        }
        t.inner_error = errors / weights;
    }
    return t;
}

double next_part_limit(const Inner& inner,
                       std::size_t worlds,
                       std::size_t parts,
                       double p,
                       double guess,
                       double scale,
                       unsigned threads) {
    if (!(scale > 0))
        return guess;
    if (!inner.exact()) // a million chances give the quantile to a part of its standard error
        worlds = std::min(worlds, std::max<std::size_t>(1000, 16'000'000 / parts));
    const auto excess = [&](const std::vector<std::size_t>& list, double t) {
        return mean(yields_of(inner, list, inner.score(t), threads)) - p;
    };
    const double small = (inner.exact() ? 1e-9 : 1e-4) * scale;
    const auto all = first(worlds);
    if (inner.alike() || worlds < 1000)
        return bracketed_root([&](double t) { return excess(all, t); }, guess, scale, small);

    // A few of the worlds say about where, and how steeply it rises there; all of them are asked
    // at two or three places then.
    std::vector<std::size_t> few;
    for (std::size_t k = 0; k < worlds; k += worlds / 100)
        few.push_back(k);
    double t = bracketed_root([&](double x) { return excess(few, x); }, guess, scale, 1e-3 * scale);
    const double step = 0.02 * scale;
    double slope = (excess(few, t + step) - excess(few, t - step)) / (2 * step);
    double here = excess(all, t);
    for (int attempt = 0; attempt < 6 && slope > 0; ++attempt) {
        const double move = -here / slope;
        if (!(std::abs(move) < scale))
            break;
        t += move;
        if (std::abs(move) <= small)
            return t;
        const double next = excess(all, t);
        slope = (next - here) / move;
        here = next;
    }
    return bracketed_root([&](double x) { return excess(all, x); }, t, 0.1 * scale, small);
}

std::vector<double> joint_yields(const std::vector<Inner>& inner,
                                 std::size_t worlds,
                                 std::size_t parts,
                                 unsigned threads) {
    // What is quickly judged goes first, so that what is not need look at fewer.
    std::vector<const Inner*> order;
    for (const Inner& i : inner)
        order.push_back(&i);
    std::stable_partition(order.begin(), order.end(), [](const Inner* i) { return !i->floats(); });
    std::vector<double> joint(worlds);
    constexpr std::size_t chunk = 16; // worlds at once
    parallel((worlds + chunk - 1) / chunk, threads, [&](std::size_t b) {
        std::vector<std::size_t> some(std::min(chunk, worlds - b * chunk));
        std::iota(some.begin(), some.end(), b * chunk);
        std::vector<unsigned char> good(some.size() * parts, 1);
        for (const Inner* i : order)
            i->and_good(some, good);
        for (std::size_t k = 0; k < some.size(); ++k) {
            const auto from = good.begin() + static_cast<std::ptrdiff_t>(k * parts);
            joint[some[k]] = static_cast<double>(
                                 std::count(from, from + static_cast<std::ptrdiff_t>(parts), 1)) /
                             static_cast<double>(parts);
        }
    });
    return joint;
}

double mean(const std::vector<double>& x) {
    return std::accumulate(x.begin(), x.end(), 0.0) / static_cast<double>(x.size());
}

double quantile(std::vector<double> x, double p) {
    const auto at = x.begin() + static_cast<std::ptrdiff_t>(rank(p, x.size()));
    std::nth_element(x.begin(), at, x.end());
    return *at;
}

double all_good(const std::vector<double>& yields, int quantity) {
    double sum = 0;
    for (const double y : yields)
        sum += std::pow(y, quantity);
    return sum / static_cast<double>(yields.size());
}

int out_at_most(const std::vector<double>& yields, int quantity, double confidence) {
    // P(at most m of n out) = I_y(n − m, m + 1), averaged over the worlds.
    const auto chance_of = [&](int m) {
        if (m >= quantity)
            return 1.0;
        double sum = 0;
        for (const double y : yields)
            sum += y <= 0   ? 0
                   : y >= 1 ? 1
                            : boost::math::ibeta(static_cast<double>(quantity - m),
                                                 static_cast<double>(m + 1),
                                                 y,
                                                 stats::BoostPolicy{});
        return sum / static_cast<double>(yields.size());
    };
    int low = -1, high = quantity;
    while (high - low > 1) {
        const int middle = low + (high - low) / 2;
        (chance_of(middle) >= confidence ? high : low) = middle;
    }
    return high;
}

} // namespace holdable::propagate
