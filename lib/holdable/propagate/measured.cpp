// SPDX-License-Identifier: MIT
#include "holdable/propagate/measured.hpp"

#include "holdable/base/error.hpp"
#include "holdable/propagate/inner.hpp"
#include "holdable/propagate/outer.hpp"
#include "holdable/propagate/parallel.hpp"
#include "holdable/propagate/worlds.hpp"
#include "holdable/base/clones.ipp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

namespace holdable {
namespace {

using namespace propagate;
using Eigen::Index;

// Chances of a part hang on how many different parts there are: their draws are common to all
// worlds. Where a zone floats each part is searched, and fewer must do.
constexpr std::size_t usual_worlds = 1000, usual_parts = 4000;
constexpr std::size_t few_worlds = 250, few_parts = 1000;

/// The value, its reading before v, and v, each a characteristic of the same inputs without limits.
PartModel three_of(const PartModel& part, std::size_t c, const MeasurementError& error) {
    PartModel three;
    three.inputs = part.inputs;
    auto value = part.characteristics[c];
    value.lower.reset();
    auto reading = value;
    reading.known += error.known;
    reading.effect += error.effect;
    Characteristic off;
    off.name = value.name;
    off.known = Eigen::VectorXd::Constant(1, error.value_known);
    off.effect = error.value_effect.transpose();
    three.characteristics = {std::move(value), std::move(reading), std::move(off)};
    for (auto& one : three.characteristics) { // of which only sums are needed here
        one.known_parts.resize(one.known.size(), 0);
        one.known_names.clear();
        one.known_evidence.clear();
    }
    return three;
}

/// What one world adds to the sums.
struct World {
    double bad = 0, accepted = 0, accepted_bad = 0, refused_good = 0;
    double error = 0, error_squared = 0; // sums of M − X and of its square (m, m²)
    double outermost = 0;
};

/// What values and readings are compared with, counted from the middle of two limits (m).
struct Limits {
    double middle;
    double below, above; ///< of a good part
    Accepted accepted;
};

/// Adds up parts, values x and readings m (m), in lanes so that it vectorises.
HOLDABLE_CLONES
void judge(std::span<const double> x,
           std::span<const double> m,
           const Limits& limits,
           World& world) {
    constexpr std::size_t lanes = 8;
    double bad[lanes] = {}, in[lanes] = {}, bad_in[lanes] = {}, sum[lanes] = {}, square[lanes] = {};
    const double middle = limits.middle, below = -limits.below, above = limits.above;
    const double low = limits.accepted.low, high = limits.accepted.high;
    const auto add = [&](std::size_t j, std::size_t lane) __attribute__((always_inline)) {
        const double value = x[j] - middle, reading = m[j] - middle, error = reading - value;
        const double is_bad = value >= below && value <= above ? 0 : 1;
        const double is_in = reading >= low && reading <= high ? 1 : 0;
        bad[lane] += is_bad;
        in[lane] += is_in;
        bad_in[lane] += is_bad * is_in;
        sum[lane] += error;
        square[lane] += error * error;
    };
    const std::size_t whole = x.size() - x.size() % lanes;
    for (std::size_t j = 0; j < whole; j += lanes)
        for (std::size_t lane = 0; lane < lanes; ++lane)
            add(j + lane, lane);
    for (std::size_t j = whole; j < x.size(); ++j)
        add(j, 0);
    for (std::size_t lane = 0; lane < lanes; ++lane) {
        world.bad += bad[lane];
        world.accepted += in[lane];
        world.accepted_bad += bad_in[lane];
        world.error += sum[lane];
        world.error_squared += square[lane];
    }
    world.refused_good =
        static_cast<double>(x.size()) - world.bad - world.accepted + world.accepted_bad;
}

HOLDABLE_CLONES
void add(std::span<double> m, std::span<const double> v) {
    for (std::size_t j = 0; j < m.size(); ++j)
        m[j] += v[j];
}

/// Between which a number matters; beyond, only on which side it lies.
struct Bracket {
    double low = -std::numeric_limits<double>::infinity();
    double high = std::numeric_limits<double>::infinity();
};

/// About where the q-quantile lies of which some draws are known, four standard errors to either
/// side.
Bracket about(std::vector<double> known, double q) {
    Bracket bracket;
    if (known.empty())
        return bracket;
    std::sort(known.begin(), known.end());
    const auto n = static_cast<double>(known.size());
    const double step = 4 * std::sqrt(q * (1 - q) / n);
    if (q - step > 0)
        bracket.low = known[rank(q - step, known.size())];
    if (q + step < 1)
        bracket.high = known[rank(q + step, known.size())];
    return bracket;
}

HOLDABLE_CLONES
std::size_t at_most(std::span<const double> x, double limit) {
    constexpr std::size_t lanes = 8;
    double counts[lanes] = {};
    const std::size_t whole = x.size() - x.size() % lanes;
    for (std::size_t j = 0; j < whole; j += lanes)
        for (std::size_t lane = 0; lane < lanes; ++lane)
            counts[lane] += x[j + lane] <= limit ? 1 : 0;
    for (std::size_t j = whole; j < x.size(); ++j)
        counts[0] += x[j] <= limit ? 1 : 0;
    double sum = 0;
    for (const double count : counts)
        sum += count;
    return static_cast<std::size_t>(sum);
}

/// The number of this rank, from 0; ∓∞ where it is at most `low`, or more than `high`.
double of_rank(std::span<double> x, std::size_t place, const Bracket& bracket) {
    constexpr double infinity = std::numeric_limits<double>::infinity();
    if (bracket.low > -infinity && at_most(x, bracket.low) > place)
        return -infinity;
    if (bracket.high < infinity && at_most(x, bracket.high) <= place)
        return infinity;
    const auto at = x.begin() + static_cast<std::ptrdiff_t>(place);
    std::nth_element(x.begin(), at, x.end());
    return *at;
}

double mean_of(const std::vector<World>& worlds, double World::*what) {
    double sum = 0;
    for (const auto& world : worlds)
        sum += world.*what;
    return sum / static_cast<double>(worlds.size());
}

/// Standard error of such a mean: worlds differ by knowledge and by their parts' luck, but the
/// draws of the parts are common to all.
double error_of(const std::vector<World>& worlds, double World::*what, std::size_t parts) {
    const double mean = mean_of(worlds, what);
    double sum = 0;
    for (const auto& world : worlds)
        sum += std::pow(world.*what - mean, 2);
    const auto n = static_cast<double>(worlds.size());
    return std::sqrt(sum / (n * n) + mean * (1 - mean) / static_cast<double>(parts));
}

} // namespace

MeasuredParts measured_parts(const PartModel& part,
                             std::size_t c,
                             const MeasurementError& error,
                             const Accepted& accepted,
                             const std::function<void(std::span<double>)>& out,
                             const PromiseOptions& options,
                             bool few) {
    const auto three = three_of(part, c, error);
    const auto& asked = part.characteristics[c];
    const bool two_sided = asked.lower.has_value();
    const double middle = two_sided ? (asked.upper + *asked.lower) / 2 : 0;
    const double tolerance = two_sided ? (asked.upper - *asked.lower) / 2 : asked.upper;
    const bool floats = asked.free.cols() > 0;
    const auto needed = [](double p) { return static_cast<std::size_t>(std::ceil(20 / (1 - p))); };
    const std::size_t worlds =
        std::max(floats ? few_worlds : usual_worlds, needed(options.confidence));
    const std::size_t parts =
        std::max((floats ? few_parts : usual_parts) / (few ? 10 : 1), needed(options.parts));

    const Stack stack(three, options.several_setups);
    const auto draws = draw(stack, options.seed, worlds, parts, options.threads).all;
    std::vector<Inner> inner;
    for (std::size_t k = 0; k < 3; ++k)
        inner.emplace_back(three.characteristics[k], three, stack, k, draws);
    const Limits judged{middle,
                        two_sided ? tolerance : std::numeric_limits<double>::infinity(),
                        tolerance,
                        accepted};
    const std::size_t place = rank(options.parts, parts);
    std::vector<World> seen(worlds);
    const auto look = [&](std::size_t w, const Bracket& bracket) {
        auto& world = seen[w];
        std::vector<double> x(parts), m(parts), v(parts);
        inner[0].values(w, x);
        inner[1].values(w, m);
        inner[2].values(w, v);
        add(m, v);
        world = {};
        judge(x, m, judged, world);
        for (double& reading : m)
            reading -= middle;
        out(m);
        world.outermost = of_rank(m, place, bracket);
        for (double World::*what : {&World::bad,
                                    &World::accepted,
                                    &World::accepted_bad,
                                    &World::refused_good,
                                    &World::error,
                                    &World::error_squared})
            world.*what /= static_cast<double>(parts);
    };
    // Of the outermost readings one quantile is asked. A few worlds say about where it lies; in
    // most others it is enough to count on which side of that theirs lies.
    constexpr std::size_t few_of = 16;
    const std::size_t some = worlds / few_of;
    parallel(some, options.threads, [&](std::size_t j) { look(few_of * j, {}); });
    std::vector<double> known;
    for (std::size_t j = 0; j < some; ++j)
        known.push_back(seen[few_of * j].outermost);
    const auto bracket = about(std::move(known), options.confidence);
    parallel(worlds, options.threads, [&](std::size_t w) {
        if (w % few_of != 0 || w / few_of >= some)
            look(w, bracket);
    });
    std::vector<double> outermost;
    const auto collect = [&] {
        outermost.clear();
        for (const auto& world : seen)
            outermost.push_back(world.outermost);
        return quantile(outermost, options.confidence);
    };
    double at = collect();
    if (!std::isfinite(at)) { // it lies beyond what the few have said
        parallel(worlds, options.threads, [&](std::size_t w) { look(w, {}); });
        at = collect();
    }
    MeasuredParts result;
    result.bad = mean_of(seen, &World::bad);
    result.accepted = mean_of(seen, &World::accepted);
    result.accepted_bad = mean_of(seen, &World::accepted_bad);
    result.refused_good = mean_of(seen, &World::refused_good);
    result.accepted_bad_error = error_of(seen, &World::accepted_bad, parts);
    result.refused_good_error = error_of(seen, &World::refused_good, parts);
    result.error_mean = mean_of(seen, &World::error);
    result.error_standard = std::sqrt(std::max(
        0.0, mean_of(seen, &World::error_squared) - result.error_mean * result.error_mean));
    result.outermost = at;
    result.worlds = worlds;
    result.parts_in_world = parts;
    return result;
}

} // namespace holdable
