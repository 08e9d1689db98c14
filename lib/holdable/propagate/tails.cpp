// SPDX-License-Identifier: MIT
#include "holdable/propagate/tails.hpp"

#include "holdable/propagate/parallel.hpp"

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>

namespace holdable::propagate {
namespace {

constexpr double sure = 5; // standard deviations of a binomial count: 3e-7 beyond on one side

/// A fraction of the pilot that is `fraction` of the run at least.
double widened(double fraction, double pilot) {
    return fraction + sure * std::sqrt(fraction * (1 - fraction) / pilot) + 2 / pilot;
}

} // namespace

TailCuts tail_cuts(std::span<double> pilot, double fraction) {
    assert(pilot.size() >= 1000 && fraction < 0.5);
    const auto size = static_cast<double>(pilot.size());
    const auto beyond = static_cast<std::size_t>(std::ceil(widened(fraction, size) * size));
    const std::size_t tail = std::min(beyond, pilot.size() / 2);
    stats::sort_tails(pilot, tail);
    return {pilot[tail - 1], pilot[pilot.size() - tail], pilot.front(), pilot.back()};
}

Tails::Tails(const TailCuts& cuts, double fraction, std::uint64_t trials)
    // Twice as much again as the pilot is likely to have cut too much.
    : cuts_(cuts), room_(static_cast<std::size_t>(
                       std::ceil(std::min(1.5 * fraction + 0.05, 1.0) * static_cast<double>(trials)))) {
    low_.values.reset(new double[room_]);
    high_.values.reset(new double[room_]);
}

void Tails::append(Side& side, const double* values, std::size_t count) noexcept {
    const std::size_t at = side.count.fetch_add(count);
    if (at < room_)
        std::copy_n(values, std::min(count, room_ - at), side.values.get() + at);
}

void Tails::add(std::span<const double> values) noexcept {
    std::array<double, 512> low, high;
    for (; !values.empty(); values = values.subspan(std::min(low.size(), values.size()))) {
        std::size_t lows = 0, highs = 0;
        // Written first, then counted or not: no branch that hangs on chance.
        for (const double y : values.first(std::min(low.size(), values.size()))) {
            low[lows] = y;
            lows += y <= cuts_.low;
            high[highs] = y;
            highs += y >= cuts_.high;
        }
        append(low_, low.data(), lows);
        append(high_, high.data(), highs);
    }
}

bool Tails::enough(std::size_t tail) const {
    const auto good = [&](const Side& side) { return tail <= side.count && side.count <= room_; };
    return good(low_) && good(high_);
}

stats::Ordered Tails::ordered(std::size_t tail, std::size_t count, unsigned threads) {
    assert(enough(tail));
    const std::span low(low_.values.get(), low_.count), high(high_.values.get(), high_.count);
    parallel(2, threads, [&](std::size_t side) {
        if (side == 0)
            stats::sort_lowest(low, tail);
        else
            stats::sort_highest(high, tail);
    });
    return {low.first(tail), high.last(tail), count};
}

TailCells::TailCells(const TailCuts& cuts) {
    const auto begin = [](Side& side, double cut, double outermost) {
        side.cut = cut;
        side.step = 2 * (outermost - cut) / static_cast<double>(cells);
        side.outermost = outermost;
    };
    begin(low_, cuts.low, cuts.lowest);
    begin(high_, cuts.high, cuts.highest);
}

void TailCells::Side::take(double value) noexcept {
    const double place = (value - cut) / step;
    const bool within = place < static_cast<double>(cells); // not where all of the pilot is one value
    counts[within ? static_cast<std::size_t>(place) : cells].fetch_add(1, std::memory_order_relaxed);
    if (within)
        return;
    double known = outermost.load(std::memory_order_relaxed);
    while ((step < 0 ? value < known : value > known) &&
           !outermost.compare_exchange_weak(known, value, std::memory_order_relaxed)) {
    }
}

void TailCells::add(std::span<const double> values) noexcept {
    for (const double y : values) {
        if (y <= low_.cut)
            low_.take(y);
        if (y >= high_.cut)
            high_.take(y);
    }
}

std::uint64_t TailCells::Side::total() const {
    std::uint64_t sum = 0;
    for (const auto& n : counts)
        sum += n;
    return sum;
}

bool TailCells::enough(std::size_t tail) const {
    return std::min(low_.total(), high_.total()) >= tail;
}

void TailCells::Side::read_from_outermost(std::size_t number, double each) {
    read.clear();
    read.reserve(number);
    std::size_t cell = cells;
    double outside = 0; // values beyond the cell
    for (std::size_t k = 0; k < number; ++k) {
        const double rank = (static_cast<double>(k) + 0.5) * each;
        while (cell > 0 && outside + static_cast<double>(counts[cell]) < rank)
            outside += static_cast<double>(counts[cell--]);
        const double in = std::min((rank - outside) / static_cast<double>(std::max<std::uint64_t>(counts[cell], 1)), 1.0);
        read.push_back(outer_edge(cell) + in * (edge(cell) - outer_edge(cell)));
    }
}

stats::Ordered TailCells::ordered(std::size_t tail, std::size_t size, std::size_t count) {
    const double each = static_cast<double>(count) / static_cast<double>(size);
    assert(enough(static_cast<std::size_t>(static_cast<double>(tail) * each)));
    low_.read_from_outermost(tail, each);
    high_.read_from_outermost(tail, each);
    std::reverse(high_.read.begin(), high_.read.end());
    return {low_.read, high_.read, size};
}

double TailCells::width_at(double value) const {
    const Side& side = value <= low_.cut ? low_ : high_;
    const double place = (value - side.cut) / side.step;
    return place < static_cast<double>(cells) ? std::abs(side.step)
                                               : std::abs(side.outermost - side.edge(cells));
}

} // namespace holdable::propagate
