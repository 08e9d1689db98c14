// SPDX-License-Identifier: MIT
#include "holdable/propagate/inner.hpp"

#include "holdable/propagate/closed_forms.hpp"
#include "holdable/stats/clones.ipp"
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

/// Standard deviation of a law without more doubt than that, if it is normal.
std::optional<double> normal_standard(const stats::Distribution& law) {
    if (std::holds_alternative<stats::Fixed>(law))
        return 0.0;
    const auto* normal = std::get_if<stats::Normal>(&law);
    return normal != nullptr && !normal->dof ? std::optional(normal->standard) : std::nullopt;
}

enum class Use { scores, folded };

/// Scratch of a thread, so that no world allocates.
template <Use>
std::span<double> scratch(std::size_t size) {
    thread_local std::vector<double> memory;
    if (memory.size() < size)
        memory.resize(size);
    return {memory.data(), size};
}

} // namespace

/// What the scores of all worlds are made of: element e of part p is the world's own number plus,
/// for each scale, the world's factor times the part's draw.
struct Inner::Terms {
    Reduction reduction;
    bool two_sided;
    bool bonus;
    std::size_t elements;
    std::size_t points;
    const Eigen::MatrixXd* folded; ///< points × elements that enter by their magnitude
    const Valuation* floating;     ///< by which a floating zone is valued, else null
    std::size_t scales;
    std::span<const double* const> draws; ///< as `draws_`
};

/// The numbers of some worlds: for each its elements, then the factors of its scales.
struct Inner::Numbers {
    std::vector<double> rows;
    std::size_t width;
};

namespace {

constexpr std::size_t at_once = 128;       // parts: what is worked on stays in the nearest cache
constexpr std::size_t worlds_at_once = 64; // through which the same parts go

/// Inlined into the clones below, which makes them fast. The terms of an element are added in one
/// sweep, three at a time.
[[gnu::always_inline]] inline void element(const Inner::Terms& t,
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
[[gnu::always_inline]] inline void point(const Inner::Terms& t,
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

/// Values where the zone floats, part by part.
void floating_scores(const Inner::Terms& t,
                     const double* world,
                     std::size_t first,
                     std::size_t count,
                     double* score) {
    const auto elements = static_cast<Index>(t.elements);
    Eigen::MatrixXd d(at_once, elements);
    for (std::size_t e = 0; e < t.elements; ++e)
        element(t, world, e, first, count, d.col(static_cast<Index>(e)).data());
    Eigen::VectorXd gradient(elements);
    for (std::size_t p = 0; p < count; ++p)
        score[p] = t.floating->value(d.row(static_cast<Index>(p)).transpose(), gradient);
}

/// Of points: widths, or the largest of them.
[[gnu::always_inline]] inline void zone_scores(const Inner::Terms& t,
                                               const double* world,
                                               std::size_t first,
                                               std::size_t count,
                                               double* score) {
    if (t.floating != nullptr) {
        floating_scores(t, world, first, count, score);
        return;
    }
    const auto folds = static_cast<std::size_t>(t.folded->cols());
    const auto fold = scratch<Use::folded>(folds * at_once);
    for (std::size_t r = 0; r < folds; ++r) {
        double* x = fold.data() + r * at_once;
        element(t, world, t.points + r, first, count, x);
        for (std::size_t p = 0; p < count; ++p)
            x[p] = std::abs(x[p]);
    }
    double x[at_once];
    double y[at_once];
    if (t.reduction == Reduction::width) {
        point(t, world, 0, first, count, fold.data(), x); // the least so far
        for (std::size_t p = 0; p < count; ++p)
            score[p] = x[p];
        for (std::size_t e = 1; e < t.points; ++e) {
            point(t, world, e, first, count, fold.data(), y);
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
            point(t, world, e, first, count, fold.data(), x);
            for (std::size_t p = 0; p < count; ++p) {
                const double r = 2 * std::abs(x[p]);
                score[p] = r > score[p] ? r : score[p];
            }
        }
        return;
    }
    for (std::size_t e = 0; e < t.points; e += 2) {
        point(t, world, e, first, count, fold.data(), x);
        point(t, world, e + 1, first, count, fold.data(), y);
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

[[gnu::always_inline]] inline void block_scores(const Inner::Terms& t,
                                                const double* world,
                                                std::size_t first,
                                                std::size_t count,
                                                double* score) {
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

HOLDABLE_CLONES
void fill_scores(const Inner::Terms& t, const double* world, std::span<double> score) {
    for (std::size_t first = 0; first < score.size(); first += at_once)
        block_scores(
            t, world, first, std::min(at_once, score.size() - first), score.data() + first);
}

/// Adds to `within`, one a world, how many of the parts have a score of at most `limit`.
HOLDABLE_CLONES
void count_within(const Inner::Terms& t,
                  const double* worlds,
                  std::size_t width,
                  double limit,
                  std::size_t parts,
                  std::span<double> within) {
    double score[at_once];
    for (std::size_t first = 0; first < parts; first += at_once) {
        const std::size_t count = std::min(at_once, parts - first);
        for (std::size_t k = 0; k < within.size(); ++k) {
            block_scores(t, worlds + k * width, first, count, score);
            double lanes[8] = {};
            std::size_t p = 0;
            for (; p + 8 <= count; p += 8)
                for (std::size_t lane = 0; lane < 8; ++lane)
                    lanes[lane] += score[p + lane] <= limit ? 1 : 0;
            for (; p < count; ++p)
                lanes[0] += score[p] <= limit ? 1 : 0;
            for (const double lane : lanes)
                within[k] += lane;
        }
    }
}

} // namespace

std::size_t rank(double p, std::size_t n) {
    const double r = std::ceil(p * static_cast<double>(n) * (1 - 1e-15)) - 1;
    return static_cast<std::size_t>(std::clamp(r, 0.0, static_cast<double>(n - 1)));
}

Inner::Inner(const Characteristic& characteristic,
             const PartModel& part,
             const Stack& stack,
             std::size_t index,
             const Worlds& worlds)
    : stack_(&stack), worlds_(&worlds), characteristic_(&characteristic),
      reduction_(characteristic.reduction), valuation_(characteristic), first_(stack.first[index]),
      count_(stack.first[index + 1] - stack.first[index]), points_(points_of(characteristic)),
      floats_(characteristic.free.cols() > 0),
      squared_(reduction_ == Reduction::magnitude ||
               (reduction_ == Reduction::twice_worst && !floats_ && !characteristic.bonus)),
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
        if (stack.knowledge[i] || column.isZero(0))
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

Inner::Terms Inner::terms() const {
    return {reduction_,
            two_sided_,
            characteristic_->bonus,
            static_cast<std::size_t>(count_),
            static_cast<std::size_t>(points_),
            &characteristic_->folded,
            floats_ ? &valuation_ : nullptr,
            scales_.size(),
            draws_};
}

Inner::Numbers Inner::numbers(std::span<const std::size_t> worlds) const {
    Numbers n{{}, static_cast<std::size_t>(count_) + scales_.size()};
    n.rows.reserve(worlds.size() * n.width);
    for (const std::size_t k : worlds) {
        const auto row = static_cast<Index>(k);
        for (Index e = 0; e < count_; ++e)
            n.rows.push_back(worlds_->shared(row, first_ + e) - middle_);
        for (const std::size_t s : scales_)
            n.rows.push_back(worlds_->factor(row, static_cast<Index>(s)));
    }
    return n;
}

std::span<double> Inner::scores(std::size_t k) const {
    const auto score = scratch<Use::scores>(parts());
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
        const auto normal = law(k);
        if (reduction_ == Reduction::magnitude)
            return score(disk_quantile(p, normal.mean, normal.covariance));
        return two_sided_ ? folded_quantile(p, normal.mean[0], normal.standard())
                          : normal.mean[0] + stats::normal_quantile(p) * normal.standard();
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
