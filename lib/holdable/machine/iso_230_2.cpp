// SPDX-License-Identifier: MIT
#include "holdable/machine/iso_230_2.hpp"

#include "holdable/base/error.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace holdable {
namespace {

void require_targets(const PositioningRuns& runs) {
    const auto& any = runs.up.empty() ? runs.down : runs.up;
    const auto wanted = any.empty() ? 0 : any.front().size();
    const auto fits = [wanted](const std::vector<double>& run) { return run.size() == wanted; };
    if (wanted == 0 || !std::all_of(runs.up.begin(), runs.up.end(), fits) ||
        !std::all_of(runs.down.begin(), runs.down.end(), fits))
        throw InputError("check-shape", "every run is read at the same targets, one or more");
}

double range(const std::vector<double>& high, const std::vector<double>& low) {
    return *std::max_element(high.begin(), high.end()) - *std::min_element(low.begin(), low.end());
}

/// x + factor · s at each target.
std::vector<double> band(const Iso230Direction& d, double factor) {
    auto ends = d.mean;
    for (std::size_t i = 0; i < d.spread.size(); ++i)
        ends[i] += factor * d.spread[i];
    return ends;
}

std::optional<Iso230Direction> direction(const std::vector<std::vector<double>>& runs) {
    if (runs.empty())
        return std::nullopt;
    Iso230Direction d;
    const double n = static_cast<double>(runs.size());
    for (std::size_t i = 0; i < runs.front().size(); ++i) {
        double mean = 0;
        for (const auto& run : runs)
            mean += run[i] / n;
        d.mean.push_back(mean);
        double squares = 0;
        for (const auto& run : runs)
            squares += std::pow(run[i] - mean, 2);
        if (runs.size() > 1)
            d.spread.push_back(std::sqrt(squares / (n - 1)));
    }
    d.systematic = range(d.mean, d.mean);
    if (runs.size() > 1) {
        d.repeatability = 4 * *std::max_element(d.spread.begin(), d.spread.end());
        d.accuracy = range(band(d, 2), band(d, -2));
    }
    return d;
}

std::vector<double> joined(std::vector<double> first, const std::vector<double>& second) {
    first.insert(first.end(), second.begin(), second.end());
    return first;
}

Iso230Both both(const Iso230Direction& up, const Iso230Direction& down) {
    Iso230Both b;
    std::vector<double> means;
    for (std::size_t i = 0; i < up.mean.size(); ++i) {
        b.reversals.push_back(up.mean[i] - down.mean[i]);
        b.reversal = std::max(b.reversal, std::abs(b.reversals.back()));
        means.push_back((up.mean[i] + down.mean[i]) / 2);
    }
    b.mean_reversal = std::accumulate(b.reversals.begin(), b.reversals.end(), 0.0) /
                      static_cast<double>(b.reversals.size());
    const auto all = joined(up.mean, down.mean);
    b.systematic = range(all, all);
    b.mean_range = range(means, means);
    if (!up.accuracy || !down.accuracy)
        return b;
    double repeatability = std::max(*up.repeatability, *down.repeatability);
    for (std::size_t i = 0; i < up.mean.size(); ++i)
        repeatability = std::max(repeatability,
                                 2 * up.spread[i] + 2 * down.spread[i] + std::abs(b.reversals[i]));
    b.repeatability = repeatability;
    b.accuracy = range(joined(band(up, 2), band(down, 2)), joined(band(up, -2), band(down, -2)));
    return b;
}

} // namespace

Iso230 iso_230_2(const PositioningRuns& runs) {
    require_targets(runs);
    Iso230 result{direction(runs.up), direction(runs.down), std::nullopt};
    if (result.up && result.down)
        result.both = both(*result.up, *result.down);
    return result;
}

} // namespace holdable
