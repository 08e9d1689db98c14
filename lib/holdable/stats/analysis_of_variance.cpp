// SPDX-License-Identifier: MIT
#include "holdable/stats/analysis_of_variance.hpp"

#include "holdable/base/error.hpp"
#include "holdable/stats/boost_policy.ipp"

#include <boost/math/distributions/fisher_f.hpp>
#include <fmt/format.h>

#include <algorithm>
#include <cassert>
#include <limits>

namespace holdable::stats {
namespace {

double square(double x) {
    return x * x;
}

/// Readings less the first of them, so that a large common part costs no digits: the difference of
/// two doubles within a factor 2 of each other is exact.
class Shifted {
  public:
    explicit Shifted(double origin) : origin_(origin) {}

    double mean(std::span<const double> y) const {
        double sum = 0;
        for (const double x : y)
            sum += x - origin_;
        const auto n = static_cast<double>(y.size());
        double rest = 0;
        for (const double x : y)
            rest += x - origin_ - sum / n;
        return sum / n + rest / n;
    }

    /// Σ (y − mean)², the mean counted from the origin too.
    double sum_of_squares(std::span<const double> y, double mean) const {
        double sum = 0;
        for (const double x : y)
            sum += square(x - origin_ - mean);
        return sum;
    }

    double origin() const { return origin_; }

  private:
    double origin_;
};

} // namespace

FTest f_test(const Variation& of, const Variation& against) {
    if (!(of.dof > 0 && against.dof > 0))
        throw NumericError("a ratio of mean squares needs degrees of freedom in both");
    const double above = of.mean_square(), below = against.mean_square();
    if (!(below > 0))
        return above > 0 ? FTest{std::numeric_limits<double>::max(), 0.0} : FTest{0.0, 1.0};
    const boost::math::fisher_f_distribution<double, BoostPolicy> law(of.dof, against.dof);
    return {above / below, boost::math::cdf(complement(law, above / below))};
}

OneWay one_way(std::span<const std::vector<double>> groups) {
    if (groups.size() < 2)
        throw NumericError("an analysis of variance needs at least two groups of readings");
    double count = 0, squares = 0;
    for (std::size_t i = 0; i < groups.size(); ++i) {
        if (groups[i].empty())
            throw NumericError(fmt::format("group {} of the readings is empty", i + 1));
        const auto n = static_cast<double>(groups[i].size());
        count += n;
        squares += n * n;
    }
    OneWay result;
    result.between.dof = static_cast<double>(groups.size()) - 1;
    result.within.dof = count - static_cast<double>(groups.size());
    if (!(result.within.dof > 0))
        throw NumericError(
            "no group has two readings, so the scatter within the groups is not seen");
    result.group_size = (count - squares / count) / result.between.dof;

    const Shifted shifted(groups[0][0]);
    std::vector<double> means;
    double grand = 0;
    for (const auto& group : groups) {
        means.push_back(shifted.mean(group));
        grand += means.back() * static_cast<double>(group.size()) / count;
        result.within.sum_of_squares += shifted.sum_of_squares(group, means.back());
    }
    for (std::size_t i = 0; i < groups.size(); ++i)
        result.between.sum_of_squares +=
            static_cast<double>(groups[i].size()) * square(means[i] - grand);
    result.mean = shifted.origin() + grand;
    result.test = f_test(result.between, result.within);
    result.repeat_variance = result.within.mean_square();
    result.group_variance =
        (result.between.mean_square() - result.repeat_variance) / result.group_size;
    return result;
}

TwoWay two_way(const Crossed& crossed, Interaction interaction) {
    const std::size_t a = crossed.first, b = crossed.second, r = crossed.repeats;
    if (a < 2 || b < 2 || r < 2)
        throw NumericError(fmt::format("a crossed study needs two levels of each factor and two "
                                       "repeats at least; it has {} x {} and {} repeats",
                                       a,
                                       b,
                                       r));
    assert(crossed.readings.size() == a * b * r);
    const Shifted shifted(crossed.readings[0]);
    const auto na = static_cast<double>(a), nb = static_cast<double>(b),
               nr = static_cast<double>(r);
    std::vector<double> cell(a * b), row(a), column(b);
    TwoWay result;
    double grand = 0;
    for (std::size_t i = 0; i < a; ++i)
        for (std::size_t j = 0; j < b; ++j) {
            const auto y = std::span(crossed.readings).subspan((i * b + j) * r, r);
            const double mean = shifted.mean(y);
            cell[i * b + j] = mean;
            row[i] += mean / nb;
            column[j] += mean / na;
            grand += mean / (na * nb);
            result.repeat.sum_of_squares += shifted.sum_of_squares(y, mean);
        }
    for (std::size_t i = 0; i < a; ++i) {
        result.first.sum_of_squares += nb * nr * square(row[i] - grand);
        for (std::size_t j = 0; j < b; ++j)
            result.interaction.sum_of_squares +=
                nr * square(cell[i * b + j] - row[i] - column[j] + grand);
    }
    for (const double mean : column)
        result.second.sum_of_squares += na * nr * square(mean - grand);
    result.mean = shifted.origin() + grand;
    result.first.dof = na - 1;
    result.second.dof = nb - 1;
    result.interaction.dof = (na - 1) * (nb - 1);
    result.repeat.dof = na * nb * (nr - 1);
    if (interaction == Interaction::pooled) {
        result.repeat.sum_of_squares += result.interaction.sum_of_squares;
        result.repeat.dof += result.interaction.dof;
        result.interaction = {};
    } else {
        result.interaction_test = f_test(result.interaction, result.repeat);
        result.interaction_variance =
            (result.interaction.mean_square() - result.repeat.mean_square()) / nr;
    }
    const Variation& base = interaction == Interaction::kept ? result.interaction : result.repeat;
    result.first_test = f_test(result.first, base);
    result.second_test = f_test(result.second, base);
    result.first_variance = (result.first.mean_square() - base.mean_square()) / (nb * nr);
    result.second_variance = (result.second.mean_square() - base.mean_square()) / (na * nr);
    result.repeat_variance = result.repeat.mean_square();
    return result;
}

} // namespace holdable::stats
