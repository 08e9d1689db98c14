// SPDX-License-Identifier: MIT
#include "holdable/stats/sample.hpp"

#include "holdable/base/error.hpp"

#include <boost/sort/pdqsort/pdqsort.hpp>
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>
#include <functional>

namespace holdable::stats {
namespace {

/// Σ f(y), in eight interleaved sums so that the loop vectorises with a fixed order of additions.
template <std::size_t N, class F>
std::array<double, N> sums(std::span<const double> draws, F f) {
    constexpr std::size_t lanes = 8;
    std::array<std::array<double, lanes>, N> part{};
    const auto add = [&](std::size_t i, std::size_t lane) {
        const std::array<double, N> terms = f(draws[i]);
        for (std::size_t k = 0; k < N; ++k)
            part[k][lane] += terms[k];
    };
    const std::size_t whole = draws.size() - draws.size() % lanes;
    for (std::size_t i = 0; i < whole; i += lanes)
        for (std::size_t lane = 0; lane < lanes; ++lane)
            add(i + lane, lane);
    for (std::size_t i = whole; i < draws.size(); ++i)
        add(i, i - whole);
    std::array<double, N> total{};
    for (std::size_t k = 0; k < N; ++k)
        for (const double x : part[k])
            total[k] += x;
    return total;
}

/// Place, from 0, of the order statistic at or above the fraction p; p M may exceed a whole number
/// by its rounding (0.55 × 100).
std::size_t rank(double p, std::size_t count) {
    const double r = std::ceil(p * static_cast<double>(count) * (1.0 - 1e-15)) - 1.0;
    return static_cast<std::size_t>(std::clamp(r, 0.0, static_cast<double>(count - 1)));
}

/// Puts the first `count` of the draws by `before` in order at `begin`; the rest behind them.
template <class Iterator, class Before>
void sort_first(Iterator begin, Iterator end, std::size_t count, Before before) {
    const auto size = static_cast<std::size_t>(end - begin);
    const auto last = begin + static_cast<std::ptrdiff_t>(count);
    // From a sample, a cut that leaves a little more than `count` before it: one pass with few
    // exchanges then does the most of the selection. Where it leaves less, nothing is lost.
    constexpr std::size_t sampled = 1024;
    if (size > 32 * sampled) {
        std::array<double, sampled> sample;
        for (std::size_t k = 0; k < sampled; ++k)
            sample[k] = begin[static_cast<std::ptrdiff_t>(k * (size / sampled))];
        const double expected = double(count) / double(size) * sampled;
        const auto place = static_cast<std::size_t>(expected + 4 * std::sqrt(expected) + 4);
        if (place < sampled) {
            std::nth_element(sample.begin(), sample.begin() + place, sample.end(), before);
            const double cut = sample[place];
            const auto middle =
                std::partition(begin, end, [&](double y) { return before(y, cut); });
            if (middle >= last)
                end = middle;
        }
    }
    if (last != end)
        std::nth_element(begin, last, end, before);
    boost::sort::pdqsort_branchless(begin, last, before);
}

} // namespace

double Moments::variance() const {
    return count > 1 ? sum2 / (count - 1) : 0.0;
}

double Moments::standard_deviation() const {
    return std::sqrt(variance());
}

double Moments::skewness() const {
    return sum2 > 0 ? std::sqrt(count) * sum3 / std::pow(sum2, 1.5) : 0.0;
}

double Moments::excess_kurtosis() const {
    return sum2 > 0 ? count * sum4 / (sum2 * sum2) - 3.0 : 0.0;
}

double Moments::mean_error() const {
    return count > 0 ? standard_deviation() / std::sqrt(count) : 0.0;
}

double Moments::standard_deviation_error() const {
    // var(s²) ≈ (μ₄ − σ⁴)/M, and ds = d(s²)/(2s).
    return count > 0 ? 0.5 * standard_deviation() *
                           std::sqrt(std::max(excess_kurtosis() + 2.0, 0.0) / count)
                     : 0.0;
}

Moments moments(std::span<const double> draws) noexcept {
    if (draws.empty())
        return {};
    const auto n = static_cast<double>(draws.size());
    const double origin = draws.front();
    const double mean =
        origin + sums<1>(draws, [origin](double y) { return std::array{y - origin}; })[0] / n;
    const auto [rest, s2, s3, s4] = sums<4>(draws, [mean](double y) {
        const double d = y - mean;
        return std::array{d, d * d, d * d * d, (d * d) * (d * d)};
    });
    // The sum of deviations is the rounding of the mean.
    return {n, mean + rest / n, s2 - rest * rest / n, s3, s4};
}

Moments merge(const Moments& a, const Moments& b) noexcept {
    if (a.count == 0)
        return b;
    if (b.count == 0)
        return a;
    const double n = a.count + b.count;
    const double fa = a.count / n, fb = b.count / n;
    const double d = b.mean - a.mean, d2 = d * d;
    Moments m;
    m.count = n;
    m.mean = a.mean + d * fb;
    m.sum2 = a.sum2 + b.sum2 + d2 * n * fa * fb;
    m.sum3 =
        a.sum3 + b.sum3 + d * d2 * n * fa * fb * (fa - fb) + 3.0 * d * (fa * b.sum2 - fb * a.sum2);
    m.sum4 = a.sum4 + b.sum4 + d2 * d2 * n * fa * fb * (fa * fa - fa * fb + fb * fb) +
             6.0 * d2 * (fa * fa * b.sum2 + fb * fb * a.sum2) +
             4.0 * d * (fa * b.sum3 - fb * a.sum3);
    return m;
}

std::size_t coverage_steps(double p, std::size_t count) {
    const double q = std::floor(p * static_cast<double>(count) + 0.5);
    if (!(q >= 1 && q < static_cast<double>(count)))
        throw NumericError(fmt::format("an interval that covers {} cannot be read from {} trials; "
                                       "use more trials",
                                       p,
                                       count));
    return static_cast<std::size_t>(q);
}

void sort_tails(std::span<double> draws, std::size_t tail) {
    if (2 * tail >= draws.size()) {
        std::sort(draws.begin(), draws.end());
        return;
    }
    sort_lowest(draws, tail);
    sort_highest(draws.subspan(tail), tail);
}

void sort_lowest(std::span<double> draws, std::size_t count) {
    assert(count <= draws.size());
    if (count > 0)
        sort_first(draws.begin(), draws.end(), count, std::less<>());
}

void sort_highest(std::span<double> draws, std::size_t count) {
    assert(count <= draws.size());
    if (count > 0)
        sort_first(draws.rbegin(), draws.rend(), count, std::greater<>());
}

std::size_t tail_count(double p, std::size_t count) {
    return count - coverage_steps(p, count);
}

Interval symmetric_interval(const Ordered& y, double p) {
    const std::size_t q = coverage_steps(p, y.size());
    const std::size_t r = (y.size() - q + 1) / 2; // from 1, as in the standard
    return {y[r - 1], y[r + q - 1]};
}

Interval shortest_interval(const Ordered& y, double p) {
    const std::size_t q = coverage_steps(p, y.size());
    Interval best{y[0], y[q]};
    for (std::size_t r = 1; r + q < y.size(); ++r) {
        const Interval next{y[r], y[r + q]};
        if (next.width() < best.width())
            best = next;
    }
    return best;
}

double sample_quantile(const Ordered& y, double p) {
    assert(y.size() > 0);
    return y[rank(p, y.size())];
}

double sample_quantile_error(const Ordered& y, double p) {
    assert(y.size() > 0);
    const double step = std::sqrt(p * (1.0 - p) / static_cast<double>(y.size()));
    return 0.5 * (y[rank(p + step, y.size())] - y[rank(p - step, y.size())]);
}

} // namespace holdable::stats
