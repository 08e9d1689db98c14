// SPDX-License-Identifier: MIT
#include "holdable/stats/round_zone.hpp"

#include "holdable/base/error.hpp"

#include <Eigen/LU>
#include <Eigen/QR>
#include <fmt/format.h>

#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>

namespace holdable::stats {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::Vector2d;
using Eigen::VectorXd;

constexpr double meet = 1e-10;    // of the radius: zone and proof are one
constexpr double nothing = 1e-13; // of the largest point: a radius below it is rounding
constexpr int most_steps = 2000;

/// Cuts e·(z_i − A_i c) ≤ r that hold with equality, each (A_iᵀ e; 1) a column of a basis.
class Cuts {
  public:
    Cuts(const MatrixXd& a, const VectorXd& z) : a_(a), z_(z), n_(a.cols()) { start(); }

    void solve() {
        lu_.compute(columns_);
        VectorXd along(n_ + 1);
        for (Index k = 0; k <= n_; ++k)
            along[k] = direction_.col(k).dot(z_.segment<2>(2 * at(k)));
        const VectorXd y = lu_.transpose().solve(along);
        motion_ = y.head(n_);
        weights_ = lu_.solve(VectorXd::Unit(n_ + 1, n_)).cwiseMax(0);
        // As proof, not as solution: what the weights come to.
        radius_ = weights_.dot(along) / weights_.sum();
    }

    /// Takes the cut of a point in a direction, and lets out the one that must go.
    void exchange(Index point, const Vector2d& e) {
        VectorXd column(n_ + 1);
        column << a_.middleRows<2>(2 * point).transpose() * e, 1;
        const VectorXd d = lu_.solve(column);
        const double small = 1e-12 * d.cwiseAbs().maxCoeff();
        Index out = -1;
        double ratio = std::numeric_limits<double>::infinity();
        for (Index k = 0; k <= n_; ++k) {
            if (d[k] <= small)
                continue;
            const double r = weights_[k] / d[k];
            if (r < ratio || (r == ratio && d[k] > d[out])) {
                ratio = r;
                out = k;
            }
        }
        assert(out >= 0); // Σ weights = 1: some weight must fall
        point_[static_cast<std::size_t>(out)] = point;
        direction_.col(out) = e;
        columns_.col(out) = column;
    }

    const VectorXd& motion() const { return motion_; }

    double radius() const { return radius_; }

    /// Cuts of one point are one contact: Σ w e is its weight and direction.
    void contacts(RoundZone& zone) const {
        std::vector<Vector2d> pulls;
        for (Index k = 0; k <= n_; ++k) {
            if (!(weights_[k] > 0))
                continue;
            const Vector2d pull = weights_[k] * direction_.col(k);
            const auto same = std::find(zone.contacts.begin(), zone.contacts.end(), at(k));
            if (same != zone.contacts.end()) {
                pulls[static_cast<std::size_t>(same - zone.contacts.begin())] += pull;
                continue;
            }
            zone.contacts.push_back(at(k));
            pulls.push_back(pull);
        }
        const auto count = static_cast<Index>(pulls.size());
        zone.directions.resize(2, count);
        zone.weights.resize(count);
        for (Index k = 0; k < count; ++k) {
            const Vector2d& pull = pulls[static_cast<std::size_t>(k)];
            zone.weights[k] = pull.norm();
            zone.directions.col(k) = pull.normalized();
        }
        zone.weights /= zone.weights.sum();
    }

  private:
    Index at(Index k) const { return point_[static_cast<std::size_t>(k)]; }

    /// n numbers whose rows are independent, and one more; sides from the one relation among them.
    void start() {
        const Eigen::ColPivHouseholderQR<MatrixXd> qr(a_.transpose());
        if (qr.rank() < n_)
            throw NumericError("a round zone cannot be fitted: the points lie so that one of its "
                               "directions is a combination of the others");
        const auto& order = qr.colsPermutation().indices();
        MatrixXd rows(n_ + 1, n_);
        for (Index k = 0; k <= n_; ++k)
            rows.row(k) = a_.row(order[k]);
        VectorXd relation(n_ + 1);
        relation << rows.topRows(n_).transpose().fullPivLu().solve(-rows.row(n_).transpose()), 1;
        double along = 0;
        for (Index k = 0; k <= n_; ++k)
            along += relation[k] * z_[order[k]];
        if (along < 0)
            relation = -relation;
        columns_.resize(n_ + 1, n_ + 1);
        direction_.resize(2, n_ + 1);
        for (Index k = 0; k <= n_; ++k) {
            const double side = relation[k] < 0 ? -1 : 1;
            point_.push_back(order[k] / 2);
            direction_.col(k) = side * Vector2d::Unit(order[k] % 2);
            columns_.col(k) << side * rows.row(k).transpose(), 1;
        }
    }

    const MatrixXd& a_;
    const VectorXd& z_;
    Index n_;
    std::vector<Index> point_;
    Eigen::Matrix2Xd direction_;
    MatrixXd columns_;
    Eigen::FullPivLU<MatrixXd> lu_;
    VectorXd motion_;
    double radius_ = 0;
    VectorXd weights_;
};

RoundZone about_nothing(const VectorXd& z) {
    RoundZone zone;
    Index worst = 0;
    for (Index i = 2; i < z.size(); i += 2)
        if (z.segment<2>(i).squaredNorm() > z.segment<2>(worst).squaredNorm())
            worst = i;
    zone.coefficients.resize(0);
    zone.radius = z.segment<2>(worst).norm();
    zone.contacts = {worst / 2};
    zone.directions =
        zone.radius > 0 ? Vector2d(z.segment<2>(worst) / zone.radius) : Vector2d::UnitX();
    zone.weights = VectorXd::Ones(1);
    return zone;
}

} // namespace

RoundZone round_zone(const MatrixXd& design, const VectorXd& z) {
    const Index rows = design.rows();
    assert(rows % 2 == 0 && z.size() == rows && design.allFinite() && z.allFinite());
    if (rows <= design.cols() || rows == 0)
        throw NumericError(fmt::format("a round zone with {} free directions needs more than {} "
                                       "numbers; there are {}",
                                       design.cols(),
                                       design.cols(),
                                       rows));
    if (design.cols() == 0)
        return about_nothing(z);
    const double rounding = nothing * z.cwiseAbs().maxCoeff();
    Cuts cuts(design, z);
    RoundZone best;
    best.radius = std::numeric_limits<double>::infinity();
    double proved = 0;
    for (int step = 0; step < most_steps; ++step) {
        cuts.solve();
        const VectorXd off = z - design * cuts.motion();
        Index worst = 0;
        for (Index i = 2; i < rows; i += 2)
            if (off.segment<2>(i).squaredNorm() > off.segment<2>(worst).squaredNorm())
                worst = i;
        const Vector2d u = off.segment<2>(worst);
        const double reach = u.norm();
        if (reach < best.radius) {
            best.radius = reach;
            best.coefficients = cuts.motion();
        }
        proved = std::max(proved, cuts.radius());
        if (best.radius - cuts.radius() <= std::max(meet * best.radius, rounding)) {
            cuts.contacts(best);
            return best;
        }
        cuts.exchange(worst / 2, u / reach);
    }
    throw NumericError(fmt::format(
        "a round zone of {} is not proved beyond {} in {} steps", best.radius, proved, most_steps));
}

} // namespace holdable::stats
