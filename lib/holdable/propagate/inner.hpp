// SPDX-License-Identifier: MIT
/// The parts of one world as one characteristic sees them.
///
/// The value x is |d − middle of the limits| of a signed value with two limits, d of one with an
/// upper limit only, and otherwise the reduction of d. A part is good where x ≤ tolerance. In
/// closed form where a signed value's part inputs are normal; else by the common draws of the
/// parts.
#pragma once

#include "holdable/propagate/worlds.hpp"

#include <span>
#include <vector>

namespace holdable::propagate {

/// P(|X| ≤ t) for X ~ N(mean, standard²), standard ≥ 0.
double folded_cdf(double t, double mean, double standard);

/// t with P(|X| ≤ t) = p for X ~ N(mean, standard²), p in (0.5, 1), standard ≥ 0.
double folded_quantile(double p, double mean, double standard);

/// One characteristic in all worlds of a stage; refers to what it is made from.
class Inner {
  public:
    Inner(const Characteristic& characteristic,
          const PartModel& part,
          const Stack& stack,
          std::size_t index,
          const Worlds& worlds);

    /// Nothing is drawn for a part: closed form, or all parts of a world are alike.
    bool exact() const { return closed_ || scales_.empty(); }

    bool two_sided() const { return two_sided_; }

    /// Subtracted from d: the middle of two limits, else 0 (m).
    double middle() const { return middle_; }

    /// The tolerance that the drawing gives: half-width or upper limit (m).
    double tolerance() const { return tolerance_; }

    /// What is compared instead of x: it rises with x and spares the square root.
    double score(double value) const;

    /// The value that has this score.
    double value(double score) const;

    /// Share of the parts of world k with a score of at most `limit`.
    double yield(std::size_t k, double limit) const;

    /// ANDs into `good`, one a part: x ≤ `tolerance()`.
    void and_good(std::size_t k, std::span<unsigned char> good) const;

    /// The p-quantile of the score over the parts of world k.
    double quantile(std::size_t k, double p) const;

    /// Half the distance between the values of x one binomial standard deviation of the part draws
    /// to either side of its p-quantile (m); 0 in closed form.
    double quantile_error(std::size_t k, double p) const;

    /// Adds `weight` times the gradient of world k's p-quantile to the weights, and what closed
    /// form takes from the scatter of each input (∂/∂ln scale) to `scatter`, shape n. Returns the
    /// mean of x over the parts that entered: the quantile, but for the width of the window.
    double add_gradient(
        std::size_t k, double p, double weight, Weights& weights, Eigen::VectorXd& scatter) const;

  private:
    double standard(std::size_t k) const;

    std::size_t parts() const { return scales_.empty() ? 1 : worlds_->parts(); }

    std::span<double> scores(std::size_t k) const;
    void element(std::size_t k, Eigen::Index e, std::span<double> d) const;

    const Stack* stack_;
    const Worlds* worlds_;
    Reduction reduction_;
    Eigen::Index first_, count_;
    bool closed_ = false;
    bool two_sided_ = false;
    double middle_ = 0;
    double tolerance_ = 0;
    std::vector<std::size_t> scales_; ///< that act on this characteristic's parts
    std::vector<double> variance_;    ///< of the parts, for each of them, in closed form (m²)
    double shift_ = 0;                ///< constant part of the parts' mean in closed form (m)
    Eigen::VectorXd spread_;          ///< effect × standard of each part input, closed form (m)
};

} // namespace holdable::propagate
