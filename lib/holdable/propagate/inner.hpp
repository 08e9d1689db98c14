// SPDX-License-Identifier: MIT
/// The parts of one world as one characteristic sees them.
///
/// The value x is |d − middle of the limits| of a signed value with two limits, d of one with an
/// upper limit only, and otherwise the reduction of d (negative if a bonus is large). A part is
/// good where x ≤ tolerance. In closed form where the part inputs are normal and x is a signed
/// value or the magnitude of two numbers; else by the common draws of the parts.
#pragma once

#include "holdable/propagate/scores.hpp"
#include "holdable/propagate/valuation.hpp"
#include "holdable/propagate/worlds.hpp"

#include <cmath>
#include <memory>
#include <span>
#include <vector>

namespace holdable::propagate {

/// Place of the p-quantile among n sorted draws, from 0: ⌈pn⌉ − 1, proof against rounding of pn.
std::size_t rank(double p, std::size_t n);

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

    /// All worlds are the same to this characteristic: no knowledge acts on it.
    bool alike() const { return alike_; }

    /// Each part is searched for its best zone.
    bool floats() const { return floating_ != nullptr; }

    /// Subtracted from d: the middle of two limits, else 0 (m).
    double middle() const { return middle_; }

    /// The tolerance that the drawing gives: half-width or upper limit (m).
    double tolerance() const { return tolerance_; }

    /// What is compared instead of x: it rises with x and spares the square root.
    double score(double value) const;

    /// The value that has this score.
    double value(double score) const;

    /// Shares of the parts with a score of at most `limit`, one a world of the list.
    void yields(std::span<const std::size_t> worlds, double limit, std::span<double> yield) const;

    /// Clears in `good`, part by part and world after world, those with x > `tolerance()`.
    void and_good(std::span<const std::size_t> worlds, std::span<unsigned char> good) const;

    /// The p-quantile of the score over the parts of world k.
    double quantile(std::size_t k, double p) const;

    /// The value of each part of world k, without the limits: x where the characteristic has no
    /// lower limit (m). @param value one a part drawn
    void values(std::size_t k, std::span<double> value) const;

    /// Half the distance between the values of x one binomial standard deviation of the part draws
    /// to either side of its p-quantile (m); 0 in closed form.
    double quantile_error(std::size_t k, double p) const;

    /// Adds `weight` times the gradient of world k's p-quantile to the weights, and what closed
    /// form takes from the scatter of each input (∂/∂ln scale) to `scatter`, shape n. Returns the
    /// mean of x over the parts that entered: the quantile, but for the width of the window.
    double add_gradient(
        std::size_t k, double p, double weight, Weights& weights, Eigen::VectorXd& scatter) const;

  private:
    /// The law of d in one world, in closed form: normal, of one element or two.
    struct Normal {
        Eigen::Vector2d mean;       ///< less `middle` (m)
        Eigen::Matrix2d covariance; ///< of one element: its variance at 0, 0 (m²)

        double standard() const { return std::sqrt(covariance(0, 0)); }
    };

    void let_float();
    Normal law(std::size_t k) const;
    double closed_gradient(
        std::size_t k, double p, double weight, Weights& weights, Eigen::VectorXd& scatter) const;

    std::size_t parts() const { return scales_.empty() ? 1 : worlds_->parts(); }

    Terms terms() const;
    Numbers numbers(std::span<const std::size_t> worlds) const;
    double closed_yield(std::size_t k, double limit) const;
    std::span<double> scores(std::size_t k) const;

    const Stack* stack_;
    const Worlds* worlds_;
    const Characteristic* characteristic_;
    Reduction reduction_;
    Valuation valuation_;
    Eigen::Index first_, count_;
    Eigen::Index points_;
    bool squared_ = false; ///< the score is the square of value, or of half of it
    bool closed_ = false;
    bool two_sided_ = false;
    bool alike_ = false;
    double middle_ = 0;
    double tolerance_ = 0;
    std::vector<std::size_t> scales_;  ///< that act on this characteristic's parts
    std::vector<const double*> draws_; ///< of the parts, elements of one scale after the other;
                                       ///< null where all are 0
    std::vector<double> least_, most_; ///< of each of these

    // Where the zone floats, else empty. The points are looked at less their least squares motion,
    // which leaves their zone as it is.
    struct Floating;
    std::shared_ptr<const Floating> floating_;

    // In closed form:
    std::vector<Eigen::Matrix2d> covariance_;         ///< of the parts, for each of `scales_` (m²)
    Eigen::Vector2d shift_ = Eigen::Vector2d::Zero(); ///< constant part of the parts' mean (m)
    Eigen::Matrix2Xd spread_;                         ///< effect × standard of each part input (m)
};

} // namespace holdable::propagate
