// SPDX-License-Identifier: MIT
#include "holdable/propagate/bend.hpp"

#include "holdable/base/error.hpp"
#include "holdable/propagate/valuation.hpp"
#include "holdable/propagate/worlds.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace holdable::propagate {
namespace {

constexpr std::size_t sample = 64; // parts, each in a world of its own

/// The characteristic with its moves across as further signed numbers, for the draws alone.
PartModel with_moves_across(const PartModel& part, const Characteristic& one) {
    const auto& bend = one.bend;
    const auto q = one.known.size();
    const auto points = points_of(one);
    if (bend.known.size() != points || bend.effect.rows() != points ||
        bend.effect.cols() > one.effect.cols() || !bend.known.allFinite() ||
        !bend.effect.allFinite() || !(bend.radius > 0))
        throw NumericError(fmt::format("characteristic '{}': moves across are {} and {} x {}, "
                                       "wanted {} and at most {} columns, all finite",
                                       one.name,
                                       bend.known.size(),
                                       bend.effect.rows(),
                                       bend.effect.cols(),
                                       points,
                                       one.effect.cols()));
    PartModel both;
    both.inputs = part.inputs;
    auto& all = both.characteristics.emplace_back();
    all.name = one.name;
    all.reduction = Reduction::magnitude;
    all.upper = one.upper;
    all.known.resize(q + points);
    all.known << one.known, bend.known;
    all.effect = Eigen::MatrixXd::Zero(q + points, one.effect.cols());
    all.effect.topRows(q) = one.effect;
    all.effect.bottomLeftCorner(points, bend.effect.cols()) = bend.effect;
    return both;
}

} // namespace

double left_out_by_bending(const PartModel& part,
                           std::size_t characteristic,
                           const PromiseOptions& options) {
    const auto& one = part.characteristics[characteristic];
    if (one.bend.radius == 0)
        return 0;
    const PartModel both = with_moves_across(part, one);
    const Stack stack(both, options.several_setups);
    const Worlds worlds = draw(stack, options.seed, sample, sample, options.threads).all;
    const Valuation valuation(one);
    const auto q = one.known.size();
    const auto points = points_of(one);
    Eigen::VectorXd gradient;
    double most = 0;
    for (Eigen::Index i = 0; i < static_cast<Eigen::Index>(sample); ++i) {
        Eigen::VectorXd d = worlds.shared.row(i).transpose();
        for (std::size_t s = 0; s < worlds.own.size(); ++s)
            if (worlds.own[s].rows() > 0)
                d += worlds.factor(i, static_cast<Eigen::Index>(s)) *
                     worlds.own[s].row(i).transpose();
        Eigen::VectorXd bent = d.head(q);
        bent.head(points) += d.tail(points).cwiseAbs2() / (2 * one.bend.radius);
        most = std::max(most,
                        std::abs(valuation.value(bent, gradient) -
                                 valuation.value(d.head(q), gradient)));
    }
    return most;
}

} // namespace holdable::propagate
