// SPDX-License-Identifier: MIT
#include "holdable/propagate/inner.hpp"

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

double normal_density(double z) {
    return std::exp(-0.5 * z * z) / std::sqrt(2 * std::numbers::pi);
}

/// Place of the p-quantile among n sorted draws, from 0: ⌈pn⌉ − 1, proof against rounding of pn.
std::size_t rank(double p, std::size_t n) {
    const double r = std::ceil(p * static_cast<double>(n) * (1 - 1e-15)) - 1;
    return static_cast<std::size_t>(std::clamp(r, 0.0, static_cast<double>(n - 1)));
}

/// Standard deviation of a law without more doubt than that, if it is normal.
std::optional<double> normal_standard(const stats::Distribution& law) {
    if (std::holds_alternative<stats::Fixed>(law))
        return 0.0;
    const auto* normal = std::get_if<stats::Normal>(&law);
    return normal != nullptr && !normal->dof ? std::optional(normal->standard) : std::nullopt;
}

/// Scratch of a thread, so that no world allocates.
std::span<double> scratch(std::size_t which, std::size_t size) {
    thread_local std::array<std::vector<double>, 3> memory;
    std::vector<double>& m = memory[which];
    if (m.size() < size)
        m.resize(size);
    return {m.data(), size};
}

} // namespace

double folded_cdf(double t, double mean, double standard) {
    if (t < 0)
        return 0;
    if (standard <= 0)
        return std::abs(mean) <= t ? 1 : 0;
    // By the upper tails, which keep their digits.
    const double m = std::abs(mean);
    return 1 - stats::normal_cdf((m - t) / standard) - stats::normal_cdf((-t - m) / standard);
}

double folded_quantile(double p, double mean, double standard) {
    const double m = std::abs(mean);
    if (standard <= 0)
        return m;
    // Below the root, where the function rises and bends down: Newton's steps never pass it.
    double t = m + stats::normal_quantile(p) * standard;
    for (int step = 0; step < 50; ++step) {
        const double slope =
            (normal_density((t - m) / standard) + normal_density((t + m) / standard)) / standard;
        const double move = (p - folded_cdf(t, m, standard)) / slope;
        t += move;
        if (!(move > 1e-14 * t))
            break;
    }
    return t;
}

Inner::Inner(const Characteristic& characteristic,
             const PartModel& part,
             const Stack& stack,
             std::size_t index,
             const Worlds& worlds)
    : stack_(&stack), worlds_(&worlds), reduction_(characteristic.reduction),
      first_(stack.first[index]), count_(stack.first[index + 1] - stack.first[index]),
      two_sided_(characteristic.lower.has_value()) {
    middle_ = two_sided_ ? (characteristic.upper + *characteristic.lower) / 2 : 0;
    tolerance_ =
        two_sided_ ? (characteristic.upper - *characteristic.lower) / 2 : characteristic.upper;
    closed_ = reduction_ == Reduction::signed_value;
    std::vector<double> variance(stack.scales.size());
    std::vector<bool> acts(stack.scales.size());
    spread_.setZero(stack.inputs());
    for (std::size_t i = 0; i < part.inputs.size(); ++i) {
        const auto column = stack.effect.col(static_cast<Index>(i)).segment(first_, count_);
        if (stack.knowledge[i] || column.isZero(0))
            continue;
        acts[stack.scale_of[i]] = true;
        const std::optional<double> standard = normal_standard(part.inputs[i].law);
        closed_ = closed_ && standard;
        if (!closed_)
            continue;
        const double a = column[0];
        spread_[static_cast<Index>(i)] = a * *standard;
        variance[stack.scale_of[i]] += a * *standard * a * *standard;
        if (stack.scale_of[i] == 0)
            shift_ += a * stack.mean[static_cast<Index>(i)];
    }
    for (std::size_t s = 0; s < acts.size(); ++s)
        if (acts[s]) {
            scales_.push_back(s);
            variance_.push_back(variance[s]);
        }
}

double Inner::standard(std::size_t k) const {
    double sum = 0;
    for (std::size_t j = 0; j < scales_.size(); ++j) {
        const double f = worlds_->factor(static_cast<Index>(k), static_cast<Index>(scales_[j]));
        sum += f * f * variance_[j];
    }
    return std::sqrt(sum);
}

double Inner::score(double t) const {
    if (reduction_ == Reduction::signed_value)
        return t;
    const double r = reduction_ == Reduction::twice_worst ? t / 2 : t;
    return r < 0 ? -1 : r * r;
}

double Inner::value(double score) const {
    switch (reduction_) {
    case Reduction::signed_value:
        return score;
    case Reduction::magnitude:
        return std::sqrt(score);
    case Reduction::twice_worst:
        return 2 * std::sqrt(score);
    }
    return score;
}

void Inner::element(std::size_t k, Index e, std::span<double> d) const {
    const auto row = static_cast<Index>(k);
    std::fill(d.begin(), d.end(), worlds_->shared(row, first_ + e) - middle_);
    for (const std::size_t s : scales_) {
        const double* own = worlds_->own[s].col(first_ + e).data();
        if (s == 0) {
            for (std::size_t p = 0; p < d.size(); ++p)
                d[p] += own[p];
        } else {
            const double f = worlds_->factor(row, static_cast<Index>(s));
            for (std::size_t p = 0; p < d.size(); ++p)
                d[p] += f * own[p];
        }
    }
}

std::span<double> Inner::scores(std::size_t k) const {
    const std::size_t n = parts();
    const auto score = scratch(0, n);
    if (reduction_ == Reduction::signed_value) {
        element(k, 0, score);
        if (two_sided_)
            for (double& x : score)
                x = std::abs(x);
        return score;
    }
    const auto d = scratch(1, n);
    if (reduction_ == Reduction::magnitude) {
        std::fill(score.begin(), score.end(), 0.0);
        for (Index e = 0; e < count_; ++e) {
            element(k, e, d);
            for (std::size_t p = 0; p < n; ++p)
                score[p] += d[p] * d[p];
        }
        return score;
    }
    const auto y = scratch(2, n);
    std::fill(score.begin(), score.end(), 0.0);
    for (Index e = 0; e < count_; e += 2) {
        element(k, e, d);
        element(k, e + 1, y);
        for (std::size_t p = 0; p < n; ++p) {
            const double r = d[p] * d[p] + y[p] * y[p];
            score[p] = r > score[p] ? r : score[p];
        }
    }
    return score;
}

double Inner::yield(std::size_t k, double limit) const {
    if (closed_) {
        const double m = worlds_->shared(static_cast<Index>(k), first_) - middle_ + shift_;
        const double s = standard(k);
        if (two_sided_)
            return folded_cdf(limit, m, s);
        return s > 0 ? stats::normal_cdf((limit - m) / s) : (m <= limit ? 1 : 0);
    }
    std::int64_t good = 0;
    for (const double x : scores(k))
        good += x <= limit ? 1 : 0;
    return static_cast<double>(good) / static_cast<double>(parts());
}

void Inner::and_good(std::size_t k, std::span<unsigned char> good) const {
    const double limit = score(tolerance_);
    const auto all = scores(k);
    if (all.size() == 1 && all[0] > limit)
        std::fill(good.begin(), good.end(), static_cast<unsigned char>(0));
    if (all.size() == 1)
        return;
    for (std::size_t p = 0; p < good.size(); ++p)
        good[p] = static_cast<unsigned char>(good[p] & (all[p] <= limit ? 1 : 0));
}

double Inner::quantile(std::size_t k, double p) const {
    if (closed_) {
        const double m = worlds_->shared(static_cast<Index>(k), first_) - middle_ + shift_;
        return two_sided_ ? folded_quantile(p, m, standard(k))
                          : m + stats::normal_quantile(p) * standard(k);
    }
    const auto all = scores(k);
    const auto at = all.begin() + static_cast<std::ptrdiff_t>(rank(p, all.size()));
    std::nth_element(all.begin(), at, all.end());
    return *at;
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

double Inner::add_gradient(
    std::size_t k, double p, double weight, Weights& weights, Eigen::VectorXd& scatter) const {
    const auto row = static_cast<Index>(k);
    if (closed_) {
        const double m = worlds_->shared(row, first_) - middle_ + shift_;
        const double s = standard(k);
        const double t = quantile(k, p);
        // F(t, m, s) = p; dt = −(F_m dm + F_s ds)/F_t.
        double by_mean = 1;
        double by_standard = 0;
        if (s > 0 && two_sided_) {
            const double upper = normal_density((t - m) / s);
            const double lower = normal_density((-t - m) / s);
            by_mean = (upper - lower) / (upper + lower);
            by_standard = ((t - m) * upper + (t + m) * lower) / (s * (upper + lower));
        } else if (s > 0) {
            by_standard = (t - m) / s;
        } else if (two_sided_ && m < 0) {
            by_mean = -1;
        }
        weights.on_shared(row, first_) += weight * by_mean;
        weights.on_constant[first_] += weight * by_mean;
        if (s > 0)
            for (Index i = 0; i < spread_.size(); ++i) {
                const auto place = static_cast<std::size_t>(i);
                const double f =
                    worlds_->factor(row, static_cast<Index>(stack_->scale_of[place])) * spread_[i];
                scatter[i] += weight * by_standard * f * f / s;
            }
        for (Index i = 0; i < spread_.size(); ++i) {
            const auto place = static_cast<std::size_t>(i);
            if (!stack_->knowledge[place] && stack_->scale_of[place] == 0)
                scatter[i] += weight * by_mean * stack_->effect(first_, i) * stack_->mean[i];
        }
        return t;
    }
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
        gradient.setZero();
        if (reduction_ == Reduction::signed_value) {
            gradient[0] = two_sided_ && d[0] < 0 ? -1 : 1;
        } else if (x > 0 && reduction_ == Reduction::magnitude) {
            gradient = d / x;
        } else if (x > 0) {
            Index worst = 0;
            for (Index e = 2; e < count_; e += 2)
                if (d.segment<2>(e).squaredNorm() > d.segment<2>(worst).squaredNorm())
                    worst = e;
            gradient.segment<2>(worst) = 4 / x * d.segment<2>(worst);
        }
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
