// SPDX-License-Identifier: MIT
#include "holdable/propagate/scores.hpp"

#include "holdable/base/clones.ipp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace holdable::propagate {
namespace {

using Eigen::Index;

constexpr std::size_t at_once = 128; // parts: what is worked on stays in the nearest cache

enum class Use { folded, points };

/// Scratch of a thread, so that no world allocates.
template <Use>
double* scratch(std::size_t size) {
    thread_local std::vector<double> memory;
    if (memory.size() < size)
        memory.resize(size);
    return memory.data();
}

/// Inlined into the clones below, which makes them fast. The terms of an element are added in one
/// sweep, three at a time.
[[gnu::always_inline]] inline void element(const Terms& t,
                                           const double* world,
                                           std::size_t e,
                                           std::size_t first,
                                           std::size_t count,
                                           double* __restrict d) {
    const double* term[3] = {};
    double f[3] = {};
    std::size_t terms = 0;
    bool begun = false;
    const auto sweep = [&]() __attribute__((always_inline)) {
        const double* __restrict a = term[0];
        const double* __restrict b = term[1];
        const double* __restrict c = term[2];
        if (!begun && terms == 0)
            for (std::size_t p = 0; p < count; ++p)
                d[p] = world[e];
        else if (!begun && terms == 1)
            for (std::size_t p = 0; p < count; ++p)
                d[p] = world[e] + f[0] * a[p];
        else if (!begun && terms == 2)
            for (std::size_t p = 0; p < count; ++p)
                d[p] = world[e] + f[0] * a[p] + f[1] * b[p];
        else if (!begun)
            for (std::size_t p = 0; p < count; ++p)
                d[p] = world[e] + f[0] * a[p] + f[1] * b[p] + f[2] * c[p];
        else
            for (std::size_t i = 0; i < terms; ++i)
                for (std::size_t p = 0; p < count; ++p)
                    d[p] += f[i] * term[i][p];
        begun = true;
        terms = 0;
    };
    for (std::size_t s = 0; s < t.scales; ++s) {
        if (t.draws[s * t.elements + e] == nullptr)
            continue;
        if (terms == 3)
            sweep();
        term[terms] = t.draws[s * t.elements + e] + first;
        f[terms++] = world[t.elements + s];
    }
    if (!begun || terms > 0)
        sweep();
}

/// Point e, with what is folded into it. @param fold the folded elements' magnitudes
[[gnu::always_inline]] inline void point(const Terms& t,
                                         const double* world,
                                         std::size_t e,
                                         std::size_t first,
                                         std::size_t count,
                                         const double* fold,
                                         double* __restrict z) {
    element(t, world, e, first, count, z);
    for (Index r = 0; r < t.folded->cols(); ++r) {
        const double f = (*t.folded)(static_cast<Index>(e), r);
        const double* __restrict x = fold + static_cast<std::size_t>(r) * at_once;
        for (std::size_t p = 0; p < count; ++p)
            z[p] += f * x[p];
    }
}

/// Magnitudes of the folded elements, a run of `at_once` each.
[[gnu::always_inline]] inline const double*
folded_elements(const Terms& t, const double* world, std::size_t first, std::size_t count) {
    const auto folds = static_cast<std::size_t>(t.folded->cols());
    double* fold = scratch<Use::folded>(folds * at_once);
    for (std::size_t r = 0; r < folds; ++r) {
        double* x = fold + r * at_once;
        element(t, world, t.points + r, first, count, x);
        for (std::size_t p = 0; p < count; ++p)
            x[p] = std::abs(x[p]);
    }
    return fold;
}

/// Of points: widths, or the largest of them.
[[gnu::always_inline]] inline void zone_scores(
    const Terms& t, const double* world, std::size_t first, std::size_t count, double* score) {
    const auto fold = folded_elements(t, world, first, count);
    double x[at_once];
    double y[at_once];
    if (t.reduction == Reduction::width) {
        point(t, world, 0, first, count, fold, x); // the least so far
        for (std::size_t p = 0; p < count; ++p)
            score[p] = x[p];
        for (std::size_t e = 1; e < t.points; ++e) {
            point(t, world, e, first, count, fold, y);
            for (std::size_t p = 0; p < count; ++p) {
                x[p] = y[p] < x[p] ? y[p] : x[p];
                score[p] = y[p] > score[p] ? y[p] : score[p];
            }
        }
        for (std::size_t p = 0; p < count; ++p)
            score[p] -= x[p];
        return;
    }
    for (std::size_t p = 0; p < count; ++p)
        score[p] = 0;
    if (t.reduction == Reduction::twice_largest) {
        for (std::size_t e = 0; e < t.points; ++e) {
            point(t, world, e, first, count, fold, x);
            for (std::size_t p = 0; p < count; ++p) {
                const double r = 2 * std::abs(x[p]);
                score[p] = r > score[p] ? r : score[p];
            }
        }
        return;
    }
    for (std::size_t e = 0; e < t.points; e += 2) {
        point(t, world, e, first, count, fold, x);
        point(t, world, e + 1, first, count, fold, y);
        for (std::size_t p = 0; p < count; ++p) {
            const double r = x[p] * x[p] + y[p] * y[p];
            score[p] = r > score[p] ? r : score[p];
        }
    }
    if (!t.bonus)
        return;
    element(t, world, t.elements - 1, first, count, x);
    for (std::size_t p = 0; p < count; ++p)
        score[p] = 2 * std::sqrt(score[p]) - x[p];
}

[[gnu::always_inline]] inline void block_scores(
    const Terms& t, const double* world, std::size_t first, std::size_t count, double* score) {
    double d[at_once];
    if (t.reduction == Reduction::signed_value) {
        element(t, world, 0, first, count, score);
        if (t.two_sided)
            for (std::size_t p = 0; p < count; ++p)
                score[p] = std::abs(score[p]);
        return;
    }
    if (t.reduction == Reduction::magnitude) {
        for (std::size_t e = 0; e < t.elements; ++e) {
            element(t, world, e, first, count, d);
            for (std::size_t p = 0; p < count; ++p)
                score[p] = (e == 0 ? 0 : score[p]) + d[p] * d[p];
        }
        return;
    }
    zone_scores(t, world, first, count, score);
}

/// Between which all scores of one world lie, whatever the part: as each step rounds alike, to the
/// last bit.
struct Bounds {
    double low, high;
};

Bounds element_bounds(const Terms& t, const double* world, std::size_t e) {
    Bounds d{world[e], world[e]};
    for (std::size_t s = 0; s < t.scales; ++s) {
        const std::size_t at = s * t.elements + e;
        if (t.draws[at] == nullptr)
            continue;
        const double f = world[t.elements + s];
        d.low += f * t.least[at];
        d.high += f * t.most[at];
    }
    return d;
}

Bounds magnitude(Bounds d) {
    return {std::max({d.low, -d.high, 0.0}), std::max(-d.low, d.high)};
}

Bounds point_bounds(const Terms& t, const double* world, std::size_t e) {
    Bounds z = element_bounds(t, world, e);
    for (Index r = 0; r < t.folded->cols(); ++r) {
        const double f = (*t.folded)(static_cast<Index>(e), r);
        const auto x = magnitude(element_bounds(t, world, t.points + static_cast<std::size_t>(r)));
        z.low += f * (f < 0 ? x.high : x.low);
        z.high += f * (f < 0 ? x.low : x.high);
    }
    return z;
}

/// Of a zone that stands, or of a value without one.
Bounds score_bounds(const Terms& t, const double* world) {
    if (t.reduction == Reduction::signed_value) {
        const auto d = element_bounds(t, world, 0);
        return t.two_sided ? magnitude(d) : d;
    }
    Bounds score{0, 0};
    if (t.reduction == Reduction::magnitude) {
        for (std::size_t e = 0; e < t.elements; ++e) {
            const auto d = magnitude(element_bounds(t, world, e));
            score.low += d.low * d.low;
            score.high += d.high * d.high;
        }
        return score;
    }
    if (t.reduction == Reduction::width) {
        const auto first = point_bounds(t, world, 0);
        Bounds least = first, most = first;
        for (std::size_t e = 1; e < t.points; ++e) {
            const auto z = point_bounds(t, world, e);
            least = {std::min(least.low, z.low), std::min(least.high, z.high)};
            most = {std::max(most.low, z.low), std::max(most.high, z.high)};
        }
        return {most.low - least.high, most.high - least.low};
    }
    if (t.reduction == Reduction::twice_largest) {
        for (std::size_t e = 0; e < t.points; ++e) {
            const auto z = magnitude(point_bounds(t, world, e));
            score = {std::max(score.low, 2 * z.low), std::max(score.high, 2 * z.high)};
        }
        return score;
    }
    for (std::size_t e = 0; e < t.points; e += 2) {
        const auto x = magnitude(point_bounds(t, world, e));
        const auto y = magnitude(point_bounds(t, world, e + 1));
        score.low = std::max(score.low, x.low * x.low + y.low * y.low);
        score.high = std::max(score.high, x.high * x.high + y.high * y.high);
    }
    if (!t.bonus)
        return score;
    const auto room = element_bounds(t, world, t.elements - 1);
    return {2 * std::sqrt(score.low) - room.high, 2 * std::sqrt(score.high) - room.low};
}

HOLDABLE_CLONES
void fill_standing(const Terms& t, const double* world, std::span<double> score) {
    for (std::size_t first = 0; first < score.size(); first += at_once)
        block_scores(
            t, world, first, std::min(at_once, score.size() - first), score.data() + first);
}

HOLDABLE_CLONES
double count_block(
    const Terms& t, const double* world, double limit, std::size_t first, std::size_t count) {
    double score[at_once];
    block_scores(t, world, first, count, score);
    double lanes[8] = {};
    std::size_t p = 0;
    for (; p + 8 <= count; p += 8)
        for (std::size_t lane = 0; lane < 8; ++lane)
            lanes[lane] += score[p + lane] <= limit ? 1 : 0;
    for (; p < count; ++p)
        lanes[0] += score[p] <= limit ? 1 : 0;
    double sum = 0;
    for (const double lane : lanes)
        sum += lane;
    return sum;
}

/// Adds to `within`, one a world, how many of the parts have a score of at most `limit`.
void count_standing(const Terms& t,
                    const double* worlds,
                    std::size_t width,
                    double limit,
                    std::size_t parts,
                    std::span<double> within) {
    std::vector<std::size_t> open; // worlds of which the bounds do not say it all
    for (std::size_t k = 0; k < within.size(); ++k) {
        const auto bounds = score_bounds(t, worlds + k * width);
        if (bounds.high <= limit)
            within[k] += static_cast<double>(parts);
        else if (bounds.low <= limit)
            open.push_back(k);
    }
    for (std::size_t first = 0; first < parts; first += at_once)
        for (const std::size_t k : open)
            within[k] +=
                count_block(t, worlds + k * width, limit, first, std::min(at_once, parts - first));
}

/// Clears those of a block with a score beyond the limit.
HOLDABLE_CLONES
void and_block(const Terms& t,
               const double* world,
               double limit,
               std::size_t first,
               std::size_t count,
               unsigned char* good) {
    double score[at_once];
    block_scores(t, world, first, count, score);
    for (std::size_t p = 0; p < count; ++p)
        good[p] = score[p] > limit ? 0 : good[p];
}

/// Contacts of parts before, the latest of them.
class Known {
  public:
    explicit Known(const FloatingZone& zone) : size_(1) { all_[0] = zone.reference(); }

    std::size_t size() const { return size_; }

    const Contacts& operator[](std::size_t k) const { return all_[k]; }

    /// Where to put those that were found next; the oldest go.
    void keep(const Contacts& found) {
        if (size_ < most) {
            all_[size_++] = found;
            return;
        }
        all_[next_] = found;
        next_ = (next_ + 1) % most;
    }

    static constexpr std::size_t most = 6;

  private:
    std::array<Contacts, most> all_;
    std::size_t size_;
    std::size_t next_ = 0;
};

/// Parts of one block whose zone floats.
struct Block {
    const double* points;                  ///< numbers of z, a run of `at_once` each (m)
    std::array<double, at_once> room;      ///< bonus (m)
    std::array<double, at_once> high;      ///< of the value without bonus (m)
    std::array<double, at_once> low;       ///< the same
    std::array<unsigned char, at_once> by; ///< the contacts that gave `low`, twice; odd: turned

    void gather(std::size_t p, std::size_t numbers, double* z) const {
        for (std::size_t e = 0; e < numbers; ++e)
            z[e] = points[e * at_once + p];
    }
};

HOLDABLE_CLONES
void fill_block(
    const Terms& t, const double* world, std::size_t first, std::size_t count, Block& block) {
    const double* fold = folded_elements(t, world, first, count);
    double* z = scratch<Use::points>(t.points * at_once);
    block.points = z;
    double high[at_once];
    double low[at_once];
    for (std::size_t p = 0; p < at_once; ++p)
        high[p] = low[p] = 0;
    const bool round = t.reduction == Reduction::twice_worst;
    for (std::size_t e = 0; e < t.points; ++e) {
        double* x = z + e * at_once;
        point(t, world, e, first, count, fold, x);
        if (round && e % 2 == 1) {
            const double* y = x - at_once;
            for (std::size_t p = 0; p < count; ++p) {
                const double r = x[p] * x[p] + y[p] * y[p];
                high[p] = r > high[p] ? r : high[p];
            }
        } else if (!round) { // 0 lies between: a constant is taken off
            for (std::size_t p = 0; p < count; ++p) {
                high[p] = x[p] > high[p] ? x[p] : high[p];
                low[p] = x[p] < low[p] ? x[p] : low[p];
            }
        }
    }
    for (std::size_t p = 0; p < count; ++p)
        block.high[p] = round ? 2 * std::sqrt(high[p]) : high[p] - low[p];
    for (std::size_t p = 0; p < at_once; ++p)
        block.room[p] = 0;
    if (t.bonus)
        element(t, world, t.elements - 1, first, count, block.room.data());
}

/// Lower bounds by what is known.
HOLDABLE_CLONES
void bound(const Known& known, bool round, std::size_t count, Block& block) {
    double sum[at_once];
    for (std::size_t p = 0; p < at_once; ++p)
        block.low[p] = 0;
    block.by.fill(0);
    for (std::size_t j = 0; j < known.size(); ++j) {
        const Contacts& c = known[j];
        double weights = 0;
        for (std::size_t p = 0; p < at_once; ++p)
            sum[p] = 0;
        for (std::size_t k = 0; k < c.count(); ++k) {
            const double w = c.weight(k);
            weights += w;
            const double* x = block.points + (round ? 2 : 1) * c.point[k] * at_once;
            const double wx = 2 * w * c.x[k];
            const double wy = 2 * w * c.y[k];
            for (std::size_t p = 0; p < count; ++p)
                sum[p] += wx * x[p];
            if (round)
                for (std::size_t p = 0; p < count; ++p)
                    sum[p] += wy * x[at_once + p];
        }
        // Negative sums are those of the contacts turned about.
        for (std::size_t p = 0; p < count; ++p) {
            const double s = std::abs(sum[p]) / weights;
            const bool better = s > block.low[p];
            block.low[p] = better ? s : block.low[p];
            block.by[p] =
                better ? static_cast<unsigned char>(2 * j + (sum[p] < 0 ? 1 : 0)) : block.by[p];
        }
    }
}

/// What is surely no more than a limit, and what is surely more.
bool surely_in(double high, double limit) {
    return high * (1 + FloatingZone::guard) <= limit;
}

bool surely_out(double low, double limit) {
    return low * (1 - FloatingZone::guard) > limit;
}

/// Judges a floating zone part by part; what it learns of contacts serves the parts after.
class Judge {
  public:
    explicit Judge(const Terms& t) : t_(t), zone_(*t.floating), known_(zone_), z_(t.points) {}

    /// Calls `tell(part, it is within the limit)` for the parts of a block that `wanted` lets pass.
    template <class Wanted, class Tell>
    void block(const double* world,
               double limit,
               std::size_t first,
               std::size_t count,
               const Wanted& wanted,
               const Tell& tell) {
        fill_block(t_, world, first, count, block_);
        bound(known_, zone_.round(), count, block_);
        for (std::size_t p = 0; p < count; ++p) {
            if (!wanted(first + p))
                continue;
            const double here = limit + block_.room[p];
            if (surely_in(block_.high[p], here)) {
                tell(first + p, true);
            } else if (surely_out(block_.low[p], here)) {
                tell(first + p, false);
            } else {
                block_.gather(p, t_.points, z_.data());
                contacts_ = known_[block_.by[p] / 2];
                if (block_.by[p] % 2 == 1)
                    contacts_.turn();
                tell(first + p, zone_.within(z_.data(), here, contacts_));
                known_.keep(contacts_);
            }
        }
    }

  private:
    const Terms& t_;
    const FloatingZone& zone_;
    Known known_;
    Contacts contacts_;
    Block block_;
    std::vector<double> z_;
};

void count_floating(const Terms& t,
                    const double* worlds,
                    std::size_t width,
                    double limit,
                    std::size_t parts,
                    std::span<double> within) {
    Judge judge(t);
    for (std::size_t first = 0; first < parts; first += at_once) {
        const std::size_t count = std::min(at_once, parts - first);
        for (std::size_t k = 0; k < within.size(); ++k)
            judge.block(
                worlds + k * width,
                limit,
                first,
                count,
                [](std::size_t) { return true; },
                [&](std::size_t, bool good) { within[k] += good ? 1 : 0; });
    }
}

void fill_floating(const Terms& t, const double* world, std::span<double> score) {
    Block block;
    std::vector<double> z(t.points);
    for (std::size_t first = 0; first < score.size(); first += at_once) {
        const std::size_t count = std::min(at_once, score.size() - first);
        fill_block(t, world, first, count, block);
        for (std::size_t p = 0; p < count; ++p) {
            block.gather(p, t.points, z.data());
            score[first + p] = t.floating->value(z.data()) - block.room[p];
        }
    }
}

double of_rank(std::vector<double> x, std::size_t rank) {
    const auto at = x.begin() + static_cast<std::ptrdiff_t>(rank);
    std::nth_element(x.begin(), at, x.end());
    return *at;
}

} // namespace

HOLDABLE_CLONES
void take_roots(std::span<double> score, double times) {
    for (double& x : score)
        x = times * std::sqrt(x);
}

void fill_scores(const Terms& t, const double* world, std::span<double> score) {
    if (t.floating != nullptr)
        fill_floating(t, world, score);
    else
        fill_standing(t, world, score);
}

void fill_scores_about(const Terms& t,
                       const double* world,
                       std::size_t rank,
                       std::span<double> score) {
    if (t.floating == nullptr) {
        fill_standing(t, world, score);
        return;
    }
    const FloatingZone& zone = *t.floating;
    Block block;
    std::vector<double> z(t.points);
    // A few parts show which contacts are usual; they bound all others.
    Known known(zone);
    fill_block(t, world, 0, std::min(at_once, score.size()), block);
    const std::size_t some = std::min(score.size(), at_once);
    for (std::size_t p = 0; p < some; p += (some + Known::most - 1) / Known::most) {
        block.gather(p, t.points, z.data());
        Contacts contacts;
        zone.value(z.data(), &contacts);
        known.keep(contacts);
    }
    std::vector<double> low(score.size()), high(score.size());
    for (std::size_t first = 0; first < score.size(); first += at_once) {
        const std::size_t count = std::min(at_once, score.size() - first);
        fill_block(t, world, first, count, block);
        bound(known, zone.round(), count, block);
        for (std::size_t p = 0; p < count; ++p) {
            low[first + p] = block.low[p] * (1 - FloatingZone::guard) - block.room[p];
            high[first + p] = block.high[p] * (1 + FloatingZone::guard) - block.room[p];
        }
    }
    const double from = of_rank(low, rank);
    const double to = of_rank(high, rank);
    for (std::size_t first = 0; first < score.size(); first += at_once) {
        const std::size_t count = std::min(at_once, score.size() - first);
        bool filled = false;
        for (std::size_t p = first; p < first + count; ++p) {
            if (high[p] < from || low[p] > to) {
                score[p] = high[p] < from ? high[p] : low[p];
                continue;
            }
            if (!filled)
                fill_block(t, world, first, count, block);
            filled = true;
            block.gather(p - first, t.points, z.data());
            score[p] = zone.value(z.data()) - block.room[p - first];
        }
    }
}

void count_within(const Terms& t,
                  const double* worlds,
                  std::size_t width,
                  double limit,
                  std::size_t parts,
                  std::span<double> within) {
    if (t.floating != nullptr)
        count_floating(t, worlds, width, limit, parts, within);
    else
        count_standing(t, worlds, width, limit, parts, within);
}

void and_within(const Terms& t,
                const double* worlds,
                std::size_t width,
                double limit,
                std::span<unsigned char> good,
                std::size_t count_of_worlds) {
    const std::size_t parts = good.size() / count_of_worlds;
    const auto no = [&](std::size_t k, std::size_t p) { good[k * parts + p] = 0; };
    if (t.floating != nullptr) {
        Judge judge(t);
        for (std::size_t first = 0; first < parts; first += at_once)
            for (std::size_t k = 0; k < count_of_worlds; ++k)
                judge.block(
                    worlds + k * width,
                    limit,
                    first,
                    std::min(at_once, parts - first),
                    [&](std::size_t p) { return good[k * parts + p] != 0; },
                    [&](std::size_t p, bool within) {
                        if (!within)
                            no(k, p);
                    });
        return;
    }
    for (std::size_t k = 0; k < count_of_worlds; ++k) {
        const double* world = worlds + k * width;
        unsigned char* own = good.data() + k * parts;
        const auto bounds = score_bounds(t, world);
        if (bounds.high <= limit)
            continue;
        if (bounds.low > limit) {
            std::fill_n(own, parts, static_cast<unsigned char>(0));
            continue;
        }
        for (std::size_t first = 0; first < parts; first += at_once)
            and_block(t, world, limit, first, std::min(at_once, parts - first), own + first);
    }
}

} // namespace holdable::propagate
