// SPDX-License-Identifier: MIT
#include "holdable/propagate/distribution.hpp"

#include "holdable/propagate/inner.hpp"
#include "holdable/propagate/outer.hpp"
#include "holdable/propagate/parallel.hpp"
#include "holdable/propagate/worlds.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace holdable {
namespace {

using namespace propagate;

constexpr std::size_t drawn_worlds = 2000, drawn_parts = 1000;
constexpr std::size_t fewer_worlds = 300, fewer_parts = 400; // where each part is searched
constexpr std::size_t usual_bins = 48, few_bins = 24;
constexpr std::size_t tolerances = 61;
constexpr double shown = 0.001; // of the parts stays outside the bins at either end

/// The part with one characteristic, as it stands and without limits.
PartModel twice(const PartModel& part, std::size_t c) {
    PartModel both;
    both.inputs = part.inputs;
    both.characteristics = {part.characteristics[c], part.characteristics[c]};
    both.characteristics[1].lower.reset();
    return both;
}

void fill_bins(PartDistribution& d,
               const std::vector<double>& sorted,
               std::size_t bins,
               bool from_zero) {
    double low = stats::sample_quantile(sorted, shown);
    double high = stats::sample_quantile(sorted, 1 - shown);
    if (from_zero && low > 0)
        low = 0;
    if (!(high > low)) { // all parts are alike
        const double width = std::max(std::abs(high) * 1e-3, 1e-9);
        low -= width;
        high += width;
    }
    d.edges.resize(bins + 1);
    d.share.assign(bins, 0);
    for (std::size_t i = 0; i <= bins; ++i)
        d.edges[i] = low + (high - low) * static_cast<double>(i) / static_cast<double>(bins);
    auto from = std::lower_bound(sorted.begin(), sorted.end(), d.edges[0]);
    for (std::size_t i = 0; i < bins; ++i) {
        const auto to = i + 1 == bins ? std::upper_bound(from, sorted.end(), d.edges[i + 1])
                                      : std::lower_bound(from, sorted.end(), d.edges[i + 1]);
        d.share[i] = static_cast<double>(to - from) / static_cast<double>(sorted.size());
        from = to;
    }
}

void fill_yields(PartDistribution& d, const Inner& inner, double reach, unsigned threads) {
    std::vector<std::size_t> worlds(d.worlds);
    std::iota(worlds.begin(), worlds.end(), std::size_t{0});
    d.tolerance.resize(tolerances);
    d.expected.resize(tolerances);
    d.assured.resize(tolerances);
    parallel(tolerances, threads, [&](std::size_t i) {
        d.tolerance[i] = reach * static_cast<double>(i) / static_cast<double>(tolerances - 1);
        std::vector<double> y(worlds.size());
        inner.yields(worlds, inner.score(d.tolerance[i]), y);
        d.expected[i] = mean(y);
        d.assured[i] = quantile(std::move(y), 1 - d.confidence);
    });
}

} // namespace

PartDistribution
distribution_of(const PartModel& part, std::size_t c, const PromiseOptions& options) {
    const auto& asked = part.characteristics[c];
    const bool floats = asked.free.cols() > 0;
    const auto needed = [](double p) { return static_cast<std::size_t>(std::ceil(20 / (1 - p))); };
    PartDistribution d;
    d.name = asked.name;
    d.parts = options.parts;
    d.confidence = options.confidence;
    d.worlds = std::max(floats ? fewer_worlds : drawn_worlds, needed(options.confidence));
    d.parts_in_world = std::max(floats ? fewer_parts : drawn_parts, needed(options.parts));

    const auto both = twice(part, c);
    const Stack stack(both, options.several_setups);
    const auto draws = draw(stack, options.seed, d.worlds, d.parts_in_world, options.threads).all;
    const Inner inner(both.characteristics[0], both, stack, 0, draws);
    const Inner unlimited(both.characteristics[1], both, stack, 1, draws);

    std::vector<double> values(d.worlds * d.parts_in_world);
    parallel(d.worlds, options.threads, [&](std::size_t k) {
        unlimited.values(k, std::span(values).subspan(k * d.parts_in_world, d.parts_in_world));
    });
    const auto moments = stats::moments(values);
    d.mean = moments.mean;
    d.standard_deviation = moments.standard_deviation();
    std::sort(values.begin(), values.end());
    d.median = stats::sample_quantile(values, 0.5);
    d.symmetric = stats::symmetric_interval(values, d.parts);
    d.shortest = stats::shortest_interval(values, d.parts);
    const auto count = static_cast<double>(values.size());
    d.above = static_cast<double>(values.end() -
                                  std::upper_bound(values.begin(), values.end(), asked.upper)) /
              count;
    if (asked.lower)
        d.below = static_cast<double>(std::lower_bound(values.begin(), values.end(), *asked.lower) -
                                      values.begin()) /
                  count;
    fill_bins(d,
              values,
              floats ? few_bins : usual_bins,
              asked.reduction != Reduction::signed_value && !asked.bonus);

    const double highest = stats::sample_quantile(values, 1 - shown) - inner.middle();
    const double lowest = inner.middle() - stats::sample_quantile(values, shown);
    const double most = asked.lower ? std::max(highest, lowest) : highest;
    const double least = 1e-9; // nothing is drawn within a nanometre
    const double reach = std::clamp(
        1.15 * inner.tolerance(), std::max(1.15 * most, least), std::max(3 * most, least));
    fill_yields(d, inner, reach, options.threads);
    return d;
}

} // namespace holdable
