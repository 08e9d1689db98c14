// SPDX-License-Identifier: MIT
#include "holdable/propagate/floating_zone.hpp"

#include "holdable/base/clones.ipp"
#include "holdable/stats/first_contacts.hpp"
#include "holdable/stats/minimum_zone.hpp"
#include "holdable/stats/round_zone.hpp"

#include <Eigen/LU>

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>
#include <limits>

namespace holdable::propagate {
namespace {

using Eigen::Index;

constexpr std::size_t lanes = 8;
constexpr std::size_t patience = 20;    // steps without gain, before the lowest index is taken
constexpr std::size_t most_steps = 400; // then the unhurried solvers of stats take over
constexpr std::size_t most_changes = 40;
constexpr double touching = 1e-12; // of the largest number: beyond a limit by less is on it
constexpr double meet = 1e-10;     // of the radius: zone and proof are one

struct Extremes {
    double low, high;
};

/// off = z − Σ motion · c, filled up by its last number, and the extremes of that.
HOLDABLE_CLONES
Extremes moved(const double* z,
               const double* motions,
               const double* c,
               std::size_t count,
               std::size_t stride,
               std::size_t numbers,
               double* __restrict off) {
    for (std::size_t i = 0; i < numbers; ++i)
        off[i] = z[i];
    for (std::size_t i = numbers; i < stride; ++i)
        off[i] = z[numbers - 1];
    for (std::size_t j = 0; j < count; ++j) {
        const double* __restrict m = motions + j * stride;
        const double by = c[j];
        for (std::size_t i = 0; i < stride; ++i)
            off[i] -= by * m[i];
    }
    double low[lanes];
    double high[lanes];
    for (std::size_t l = 0; l < lanes; ++l)
        low[l] = high[l] = off[l];
    for (std::size_t i = lanes; i < stride; i += lanes)
        for (std::size_t l = 0; l < lanes; ++l) {
            low[l] = off[i + l] < low[l] ? off[i + l] : low[l];
            high[l] = off[i + l] > high[l] ? off[i + l] : high[l];
        }
    return {*std::min_element(low, low + lanes), *std::max_element(high, high + lanes)};
}

} // namespace

void Contacts::turn() {
    const std::size_t size = count();
    for (std::size_t k = 0; k < size; ++k) {
        x[k] = -x[k];
        y[k] = -y[k];
        for (std::size_t j = 0; j + 1 < size; ++j) {
            columns[k * size + j] = -columns[k * size + j];
            inverse[k * size + j] = -inverse[k * size + j];
        }
    }
}

/// What half of the value lies between, as far as the search went.
struct FloatingZone::Bracket {
    double low = 0;
    double high = std::numeric_limits<double>::infinity();
    bool met = false; ///< they are one but for rounding
};

FloatingZone::FloatingZone(Reduction reduction, Eigen::MatrixXd span)
    : round_(reduction == Reduction::twice_worst), span_(std::move(span)),
      numbers_(static_cast<std::size_t>(span_.rows())),
      stride_((numbers_ + lanes - 1) / lanes * lanes) {
    const Index n = span_.cols();
    motions_.resize(static_cast<std::size_t>(n) * stride_);
    for (std::size_t j = 0; j < static_cast<std::size_t>(n); ++j)
        for (std::size_t i = 0; i < stride_; ++i)
            motions_[j * stride_ + i] =
                span_(static_cast<Index>(std::min(i, numbers_ - 1)), static_cast<Index>(j));
    const auto first = stats::first_contacts(span_);
    assert(first); // the motions are orthonormal
    const auto& [order, rows, relation] = *first;
    for (Index k = 0; k <= n; ++k) {
        const double side = relation[k] < 0 ? -1 : 1;
        const auto number = static_cast<std::size_t>(order[k]);
        reference_.point.push_back(round_ ? number / 2 : number);
        reference_.x.push_back(round_ && number % 2 == 1 ? 0 : side);
        reference_.y.push_back(round_ && number % 2 == 1 ? side : 0);
        for (Index j = 0; j < n; ++j)
            reference_.columns.push_back(side * rows(k, j));
        reference_.columns.push_back(1);
    }
    reference_.inverse.resize(reference_.columns.size());
    renew(reference_);
}

/// Makes the inverse afresh. @return false where the cuts depend on each other
bool FloatingZone::renew(Contacts& contacts) const {
    const auto size = static_cast<Index>(contacts.count());
    const Eigen::Map<const Eigen::MatrixXd> columns(contacts.columns.data(), size, size);
    const Eigen::PartialPivLU<Eigen::MatrixXd> lu(columns);
    if (!(lu.matrixLU().diagonal().cwiseAbs().minCoeff() > 1e-13))
        return false;
    // Row k of the inverse stands in the k-th run of numbers.
    Eigen::Map<Eigen::MatrixXd>(contacts.inverse.data(), size, size) = lu.inverse().transpose();
    contacts.changes = 0;
    return true;
}

/// Takes the cut of a point in, and lets out the one that must go.
template <std::size_t size>
bool FloatingZone::exchange(Contacts& contacts, std::size_t point, double x, double y) const {
    std::array<double, size> column;
    std::array<double, size> d;
    double* const inverse = contacts.inverse.data();
    for (std::size_t j = 0; j + 1 < size; ++j) {
        const double* m = motions_.data() + j * stride_;
        column[j] = round_ ? x * m[2 * point] + y * m[2 * point + 1] : x * m[point];
    }
    column[size - 1] = 1;
    double largest = 0;
    for (std::size_t k = 0; k < size; ++k) {
        d[k] = 0;
        for (std::size_t j = 0; j < size; ++j)
            d[k] += inverse[k * size + j] * column[j];
        largest = std::max(largest, std::abs(d[k]));
    }
    std::size_t out = size;
    double pivot = 0;
    double ratio = std::numeric_limits<double>::infinity();
    for (std::size_t k = 0; k < size; ++k) {
        if (d[k] <= 1e-12 * largest)
            continue;
        const double r = std::max(0.0, inverse[(k + 1) * size - 1]) / d[k];
        if (r < ratio || (r == ratio && d[k] > pivot)) {
            ratio = r;
            out = k;
            pivot = d[k];
        }
    }
    if (out == size)
        return false;
    double* row = inverse + out * size;
    for (std::size_t j = 0; j < size; ++j)
        row[j] /= pivot;
    for (std::size_t k = 0; k < size; ++k)
        if (k != out)
            for (std::size_t j = 0; j < size; ++j)
                inverse[k * size + j] -= d[k] * row[j];
    contacts.point[out] = point;
    contacts.x[out] = x;
    contacts.y[out] = y;
    std::copy(column.begin(),
              column.end(),
              contacts.columns.begin() + static_cast<std::ptrdiff_t>(out * size));
    return ++contacts.changes < most_changes || renew(contacts);
}

/// Exchanges contacts until zone and proof meet, `stop(low, high)` holds, or it goes no further.
template <std::size_t size, class Stop>
FloatingZone::Bracket
FloatingZone::search(const double* z, Contacts& contacts, const Stop& stop) const {
    thread_local std::vector<double> memory;
    memory.resize(stride_);
    double* const off = memory.data();
    std::array<double, size> along;
    std::array<double, size> motion;
    Bracket bracket;
    double largest = 0; // of what is off at first
    std::size_t still = 0;
    for (std::size_t step = 0; step < most_steps; ++step) {
        const double* const inverse = contacts.inverse.data();
        double proof = 0;
        double sum = 0;
        for (std::size_t k = 0; k < size; ++k) {
            const std::size_t p = contacts.point[k];
            along[k] = round_ ? contacts.x[k] * z[2 * p] + contacts.y[k] * z[2 * p + 1]
                              : contacts.x[k] * z[p];
            const double w = std::max(0.0, inverse[(k + 1) * size - 1]);
            proof += w * along[k];
            sum += w;
        }
        proof /= sum;
        for (std::size_t j = 0; j < size; ++j) {
            motion[j] = 0;
            for (std::size_t k = 0; k < size; ++k)
                motion[j] += inverse[k * size + j] * along[k];
        }
        still = proof > bracket.low ? 0 : still + 1;
        bracket.low = std::max(bracket.low, proof);
        const bool lowest = still > patience;
        const Extremes extremes =
            moved(z, motions_.data(), motion.data(), size - 1, stride_, numbers_, off);
        if (step == 0)
            largest = std::max(extremes.high, -extremes.low);
        std::size_t worst = 0;
        double reach = 0;
        double x = 0;
        double y = 0;
        if (round_) {
            for (std::size_t i = 0; i < numbers_; i += 2) {
                const double r = off[i] * off[i] + off[i + 1] * off[i + 1];
                if (r > reach) {
                    reach = r;
                    worst = i / 2;
                }
            }
            reach = std::sqrt(reach);
            bracket.high = std::min(bracket.high, reach);
            bracket.met = bracket.high - proof <= std::max(meet * bracket.high, touching * largest);
            if (reach > 0) {
                x = off[2 * worst] / reach;
                y = off[2 * worst + 1] / reach;
            }
        } else {
            bracket.high = std::min(bracket.high, (extremes.high - extremes.low) / 2);
            reach = std::max(extremes.high, -extremes.low);
            const double limit = std::max(0.0, proof) + touching * std::max(largest, proof);
            bracket.met = reach <= limit;
            const double sought = extremes.high >= -extremes.low ? extremes.high : extremes.low;
            while (lowest ? std::abs(off[worst]) <= limit : off[worst] != sought)
                if (++worst == numbers_) { // as little as rounding lies between
                    worst = 0;
                    break;
                }
            x = off[worst] < 0 ? -1 : 1;
        }
        if (stop(bracket.low, bracket.high))
            return bracket;
        if (bracket.met) {
            if (contacts.changes == 0)
                return bracket;
            bracket.met = false;
            bracket.low = 0;
            if (!renew(contacts))
                return bracket;
            continue;
        }
        if (!exchange<size>(contacts, worst, x, y))
            return bracket;
    }
    return bracket;
}

/// The search for as many contacts as there are; beyond these, none.
template <class Stop>
FloatingZone::Bracket
FloatingZone::search(const double* z, Contacts& contacts, const Stop& stop) const {
    switch (contacts.count()) {
    case 2:
        return search<2>(z, contacts, stop);
    case 3:
        return search<3>(z, contacts, stop);
    case 4:
        return search<4>(z, contacts, stop);
    case 5:
        return search<5>(z, contacts, stop);
    case 6:
        return search<6>(z, contacts, stop);
    case 7:
        return search<7>(z, contacts, stop);
    default:
        return {};
    }
}

double FloatingZone::exact(const double* z) const {
    const Eigen::Map<const Eigen::VectorXd> points(z, static_cast<Index>(numbers_));
    return round_ ? 2 * stats::round_zone(span_, points).radius
                  : stats::minimum_zone(span_, points).width;
}

double FloatingZone::value(const double* z, Contacts* found) const {
    thread_local Contacts own;
    Contacts& contacts = found != nullptr ? *found : own;
    contacts = reference_;
    const Bracket bracket = search(z, contacts, [](double, double) { return false; });
    if (!bracket.met)
        return exact(z);
    return 2 * (round_ ? bracket.high : bracket.low);
}

bool FloatingZone::within(const double* z, double limit, Contacts& contacts) const {
    const double half = limit / 2;
    const auto in = [&](double high) { return high * (1 + guard) <= half; };
    const auto out = [&](double low) { return low * (1 - guard) > half; };
    const Bracket bracket =
        search(z, contacts, [&](double low, double high) { return in(high) || out(low); });
    if (in(bracket.high))
        return true;
    if (out(bracket.low))
        return false;
    contacts = reference_; // whatever happened to them
    return value(z) <= limit;
}

} // namespace holdable::propagate
