// SPDX-License-Identifier: MIT
#include "holdable/propagate/inner.hpp"

#include "holdable/base/clones.ipp"
#include "holdable/propagate/closed_forms.hpp"
#include "holdable/stats/normal.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>
#include <variant>

namespace holdable::propagate {
namespace {

using Eigen::Index;

constexpr std::size_t worlds_at_once = 64; // through which the same parts go

/// Standard deviation of a law without more doubt than that, if it is normal.
std::optional<double> normal_standard(const stats::Distribution& law) {
    if (std::holds_alternative<stats::Fixed>(law))
        return 0.0;
    const auto* normal = std::get_if<stats::Normal>(&law);
    return normal != nullptr && !normal->dof ? std::optional(normal->standard) : std::nullopt;
}

struct Ends {
    double least, most;
};

/// @param count above 0
HOLDABLE_CLONES
Ends ends_of(const double* x, std::size_t count) {
    constexpr std::size_t lanes = 8;
    double least[lanes];
    double most[lanes];
    for (std::size_t l = 0; l < lanes; ++l)
        least[l] = most[l] = x[0];
    std::size_t i = 0;
    for (; i + lanes <= count; i += lanes)
        for (std::size_t l = 0; l < lanes; ++l) {
            least[l] = x[i + l] < least[l] ? x[i + l] : least[l];
            most[l] = x[i + l] > most[l] ? x[i + l] : most[l];
        }
    for (; i < count; ++i) {
        least[0] = std::min(least[0], x[i]);
        most[0] = std::max(most[0], x[i]);
    }
    return {*std::min_element(least, least + lanes), *std::max_element(most, most + lanes)};
}

/// Scratch of a thread, so that no world allocates.
std::span<double> scratch(std::size_t size) {
    thread_local std::vector<double> memory;
    if (memory.size() < size)
        memory.resize(size);
    return {memory.data(), size};
}

} // namespace

std::size_t rank(double p, std::size_t n) {
    const double r = std::ceil(p * static_cast<double>(n) * (1 - 1e-15)) - 1;
    return static_cast<std::size_t>(std::clamp(r, 0.0, static_cast<double>(n - 1)));
}

/// A floating zone, and what its points are made of, less the motions.
struct Inner::Floating {
    Eigen::MatrixXd span;
    FloatingZone zone;
    Eigen::MatrixXd folded;
    std::vector<Eigen::MatrixXd> own; ///< parts × points, for each of `scales_`

    Floating(const Characteristic& c, const Eigen::MatrixXd& motions)
        : span(motions), zone(c.reduction, motions), folded(c.folded) {
        if (folded.cols() > 0)
            folded -= span * (span.transpose() * folded);
    }
};

Inner::Inner(const Characteristic& characteristic,
             const PartModel& part,
             const Stack& stack,
             std::size_t index,
             const Worlds& worlds)
    : stack_(&stack), worlds_(&worlds), characteristic_(&characteristic),
      reduction_(characteristic.reduction), valuation_(characteristic), first_(stack.first[index]),
      count_(stack.first[index + 1] - stack.first[index]), points_(points_of(characteristic)),
      squared_(reduction_ == Reduction::magnitude ||
               (reduction_ == Reduction::twice_worst && characteristic.free.cols() == 0 &&
                !characteristic.bonus)),
      two_sided_(characteristic.lower.has_value()) {
    middle_ = two_sided_ ? (characteristic.upper + *characteristic.lower) / 2 : 0;
    tolerance_ =
        two_sided_ ? (characteristic.upper - *characteristic.lower) / 2 : characteristic.upper;
    closed_ = reduction_ == Reduction::signed_value ||
              (reduction_ == Reduction::magnitude && count_ == 2);
    std::vector<Eigen::Matrix2d> covariance(stack.scales.size(), Eigen::Matrix2d::Zero());
    std::vector<bool> acts(stack.scales.size());
    spread_.setZero(2, stack.inputs());
    for (std::size_t i = 0; i < part.inputs.size(); ++i) {
        const auto column = stack.effect.col(static_cast<Index>(i)).segment(first_, count_);
        // a guess that is frozen stands, with its mean, in what the worlds share
        if (stack.knowledge[i] || column.isZero(0) || (worlds.without_guesses && stack.guess[i]))
            continue;
        acts[stack.scale_of[i]] = true;
        const std::optional<double> standard = normal_standard(part.inputs[i].law);
        closed_ = closed_ && standard;
        if (!closed_)
            continue;
        Eigen::Vector2d a = Eigen::Vector2d::Zero();
        a.head(count_) = column;
        const Eigen::Vector2d spread = a * *standard;
        spread_.col(static_cast<Index>(i)) = spread;
        covariance[stack.scale_of[i]] += spread * spread.transpose();
        if (stack.scale_of[i] == 0)
            shift_ += a * stack.mean[static_cast<Index>(i)];
    }
    const auto acts_on = [&](std::size_t scale, Index e) {
        for (std::size_t i = 0; i < part.inputs.size(); ++i)
            if (!stack.knowledge[i] && stack.scale_of[i] == scale &&
                stack.effect(first_ + e, static_cast<Index>(i)) != 0)
                return true;
        return false;
    };
    for (std::size_t s = 0; s < acts.size(); ++s)
        if (acts[s]) {
            scales_.push_back(s);
            covariance_.push_back(covariance[s]);
            for (Index e = 0; e < count_; ++e)
                draws_.push_back(acts_on(s, e) ? worlds.own[s].col(first_ + e).data() : nullptr);
        }
    const auto constant = [](const auto& column) { return (column.array() == column[0]).all(); };
    alike_ = true;
    for (Index e = first_; alike_ && e < first_ + count_; ++e)
        alike_ = constant(worlds.shared.col(e));
    for (std::size_t j = 0; alike_ && j < scales_.size(); ++j)
        alike_ = constant(worlds.factor.col(static_cast<Index>(scales_[j])));
    if (characteristic.free.cols() > 0)
        let_float();
    else
        for (const double* drawn : draws_) {
            const auto [least, most] = drawn == nullptr ? Ends{0, 0} : ends_of(drawn, parts());
            least_.push_back(least);
            most_.push_back(most);
        }
}

void Inner::let_float() {
    const auto floating =
        std::make_shared<Floating>(*characteristic_, floating_span(*characteristic_));
    for (std::size_t j = 0; j < scales_.size(); ++j) {
        const auto drawn = draws_.begin() + static_cast<std::ptrdiff_t>(j) * count_;
        const auto points = worlds_->own[scales_[j]].middleCols(first_, points_);
        if (std::all_of(drawn, drawn + points_, [](const double* d) { return d == nullptr; })) {
            floating->own.emplace_back();
            continue;
        }
        floating->own.emplace_back(points - (points * floating->span) * floating->span.transpose());
        for (Index e = 0; e < points_; ++e)
            drawn[e] = floating->own.back().col(e).data();
    }
    floating_ = floating;
}

Inner::Normal Inner::law(std::size_t k) const {
    const auto row = static_cast<Index>(k);
    Normal law{shift_, Eigen::Matrix2d::Zero()};
    law.mean.head(count_) += worlds_->shared.row(row).segment(first_, count_).transpose();
    law.mean.head(count_).array() -= middle_;
    for (std::size_t j = 0; j < scales_.size(); ++j) {
        const double f = worlds_->factor(row, static_cast<Index>(scales_[j]));
        law.covariance += f * f * covariance_[j];
    }
    return law;
}

double Inner::score(double t) const {
    if (!squared_)
        return t;
    const double r = reduction_ == Reduction::twice_worst ? t / 2 : t;
    return r < 0 ? -1 : r * r;
}

double Inner::value(double score) const {
    if (!squared_)
        return score;
    return reduction_ == Reduction::twice_worst ? 2 * std::sqrt(score) : std::sqrt(score);
}

Terms Inner::terms() const {
    return {reduction_,
            two_sided_,
            characteristic_->bonus,
            static_cast<std::size_t>(count_),
            static_cast<std::size_t>(points_),
            scales_.size(),
            floating_ ? &floating_->folded : &characteristic_->folded,
            floating_ ? &floating_->zone : nullptr,
            draws_,
            least_,
            most_};
}

Numbers Inner::numbers(std::span<const std::size_t> worlds) const {
    Numbers n{{}, static_cast<std::size_t>(count_) + scales_.size()};
    n.rows.reserve(worlds.size() * n.width);
    for (const std::size_t k : worlds) {
        const auto row = static_cast<Index>(k);
        Eigen::VectorXd d = worlds_->shared.row(row).segment(first_, count_).transpose();
        d.array() -= middle_;
        if (floating_)
            d.head(points_) -= floating_->span * (floating_->span.transpose() * d.head(points_));
        n.rows.insert(n.rows.end(), d.begin(), d.end());
        for (const std::size_t s : scales_)
            n.rows.push_back(worlds_->factor(row, static_cast<Index>(s)));
    }
    return n;
}

std::span<double> Inner::scores(std::size_t k) const {
    const auto score = scratch(parts());
    fill_scores(terms(), numbers({&k, 1}).rows.data(), score);
    return score;
}

double Inner::closed_yield(std::size_t k, double limit) const {
    const auto normal = law(k);
    if (reduction_ == Reduction::magnitude)
        return disk_cdf(value(std::max(limit, 0.0)), normal.mean, normal.covariance);
    const double m = normal.mean[0];
    const double s = normal.standard();
    if (two_sided_)
        return folded_cdf(limit, m, s);
    return s > 0 ? stats::normal_cdf((limit - m) / s) : (m <= limit ? 1 : 0);
}

void Inner::yields(std::span<const std::size_t> worlds,
                   double limit,
                   std::span<double> yield) const {
    if (closed_) {
        for (std::size_t j = 0; j < worlds.size(); ++j)
            yield[j] = closed_yield(worlds[j], limit);
        return;
    }
    const auto t = terms();
    for (std::size_t first = 0; first < worlds.size(); first += worlds_at_once) {
        const auto some = worlds.subspan(first, std::min(worlds_at_once, worlds.size() - first));
        const auto within = yield.subspan(first, some.size());
        const auto n = numbers(some);
        std::fill(within.begin(), within.end(), 0.0);
        count_within(t, n.rows.data(), n.width, limit, parts(), within);
        for (double& y : within)
            y /= static_cast<double>(parts());
    }
}

void Inner::and_good(std::span<const std::size_t> worlds, std::span<unsigned char> good) const {
    const double limit = score(tolerance_);
    const std::size_t each = good.size() / worlds.size();
    const auto n = numbers(worlds);
    if (parts() > 1 || each == 1) {
        and_within(terms(), n.rows.data(), n.width, limit, good, worlds.size());
        return;
    }
    // all parts of a world are alike
    std::vector<unsigned char> one(worlds.size(), 1);
    and_within(terms(), n.rows.data(), n.width, limit, one, worlds.size());
    for (std::size_t k = 0; k < worlds.size(); ++k)
        if (one[k] == 0)
            std::fill_n(good.begin() + static_cast<std::ptrdiff_t>(k * each),
                        each,
                        static_cast<unsigned char>(0));
}

double Inner::quantile(std::size_t k, double p) const {
    if (closed_) {
        const auto normal = law(k);
        if (reduction_ == Reduction::magnitude)
            return score(disk_quantile(p, normal.mean, normal.covariance));
        return two_sided_ ? folded_quantile(p, normal.mean[0], normal.standard())
                          : normal.mean[0] + stats::normal_quantile(p) * normal.standard();
    }
    const auto all = scratch(parts());
    const std::size_t place = rank(p, all.size());
    fill_scores_about(terms(), numbers({&k, 1}).rows.data(), place, all);
    const auto at = all.begin() + static_cast<std::ptrdiff_t>(place);
    std::nth_element(all.begin(), at, all.end());
    return *at;
}

void Inner::values(std::size_t k, std::span<double> value_of) const {
    const auto all = value_of.first(parts());
    fill_scores(terms(), numbers({&k, 1}).rows.data(), all);
    if (squared_)
        take_roots(all, reduction_ == Reduction::twice_worst ? 2 : 1);
    if (all.size() == 1) // all parts of a world are alike
        std::fill(value_of.begin() + 1, value_of.end(), value_of[0]);
}

double Inner::quantile_error(std::size_t k, double p) const {
    if (exact())
        return 0;
    const auto n = static_cast<double>(worlds_->parts());
    const double step = std::sqrt(p * (1 - p) / n);
    // At the very end there is no draw above: the lower side speaks for both.
    const double high = p + step;
    const double centre = value(quantile(k, p));
    const double below = centre - value(quantile(k, p - step));
    return high < 1 - 0.5 / n ? (value(quantile(k, high)) - centre + below) / 2 : below;
}

double Inner::closed_gradient(
    std::size_t k, double p, double weight, Weights& weights, Eigen::VectorXd& scatter) const {
    const auto row = static_cast<Index>(k);
    const auto normal = law(k);
    const double t = value(quantile(k, p));
    Eigen::Vector2d by_mean(1, 0);
    Eigen::Matrix2d by_covariance = Eigen::Matrix2d::Zero();
    if (reduction_ == Reduction::magnitude) {
        const auto gradient = disk_gradient(t, normal.mean, normal.covariance);
        by_mean = gradient.by_mean;
        by_covariance = gradient.by_covariance;
    } else {
        // F(t, m, s) = p; dt = −(F_m dm + F_s ds)/F_t, and ds = dC/(2 s).
        const double m = normal.mean[0];
        const double s = normal.standard();
        if (s > 0 && two_sided_) {
            const double upper = std::exp(-0.5 * std::pow((t - m) / s, 2));
            const double lower = std::exp(-0.5 * std::pow((t + m) / s, 2));
            by_mean[0] = (upper - lower) / (upper + lower);
            by_covariance(0, 0) =
                ((t - m) * upper + (t + m) * lower) / (s * (upper + lower)) / (2 * s);
        } else if (s > 0) {
            by_covariance(0, 0) = (t - m) / s / (2 * s);
        } else if (two_sided_ && m < 0) {
            by_mean[0] = -1;
        }
    }
    const Eigen::VectorXd on_elements = weight * by_mean.head(count_);
    weights.on_shared.row(row).segment(first_, count_) += on_elements.transpose();
    weights.on_constant.segment(first_, count_) += on_elements;
    for (Index i = 0; i < spread_.cols(); ++i) {
        const auto place = static_cast<std::size_t>(i);
        if (stack_->knowledge[place])
            continue;
        const std::size_t scale = stack_->scale_of[place];
        const double f = worlds_->factor(row, static_cast<Index>(scale));
        const Eigen::Vector2d spread = f * spread_.col(i);
        scatter[i] += weight * 2 * spread.dot(by_covariance * spread);
        if (scale == 0)
            scatter[i] +=
                on_elements.dot(stack_->effect.col(i).segment(first_, count_)) * stack_->mean[i];
    }
    return t;
}

double Inner::add_gradient(
    std::size_t k, double p, double weight, Weights& weights, Eigen::VectorXd& scatter) const {
    if (closed_)
        return closed_gradient(k, p, weight, weights, scatter);
    const auto row = static_cast<Index>(k);
    // The parts whose value is near the quantile, as many above as below.
    const std::size_t n = parts();
    const auto drawn = scores(k);
    const std::vector<double> all(drawn.begin(), drawn.end());
    std::vector<double> sorted = all;
    const std::size_t at = rank(p, n);
    const std::size_t half = std::min({at, n - 1 - at, (n - at) / 2});
    const auto low = sorted.begin() + static_cast<std::ptrdiff_t>(at - half);
    const auto high = sorted.begin() + static_cast<std::ptrdiff_t>(at + half);
    std::nth_element(sorted.begin(), low, sorted.end());
    const double from = *low;
    std::nth_element(low, high, sorted.end());
    const double to = *high;
    std::vector<Index> near;
    for (std::size_t j = 0; j < n; ++j)
        if (all[j] >= from && all[j] <= to)
            near.push_back(static_cast<Index>(j));
    const double each = weight / static_cast<double>(near.size());
    double mean = 0;
    Eigen::VectorXd d(count_), gradient(count_);
    for (const Index j : near) {
        for (Index e = 0; e < count_; ++e) {
            d[e] = worlds_->shared(row, first_ + e) - middle_;
            for (const std::size_t s : scales_)
                d[e] +=
                    worlds_->factor(row, static_cast<Index>(s)) * worlds_->own[s](j, first_ + e);
        }
        const double x = value(all[static_cast<std::size_t>(j)]);
        mean += x / static_cast<double>(near.size());
        valuation_.value(d, gradient);
        if (two_sided_ && d[0] < 0)
            gradient[0] = -1;
        gradient *= each;
        weights.on_shared.row(row).segment(first_, count_) += gradient.transpose();
        weights.on_constant.segment(first_, count_) += gradient;
        for (const std::size_t s : scales_)
            weights.on_own[s].row(j).segment(first_, count_) +=
                worlds_->factor(row, static_cast<Index>(s)) * gradient.transpose();
    }
    return mean;
}

} // namespace holdable::propagate
