// SPDX-License-Identifier: MIT
#include "holdable/stats/round_zone.hpp"

#include "holdable/base/error.hpp"
#include "holdable/stats/first_contacts.hpp"

#include <Eigen/LU>
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
constexpr int most_tries = 2000;
constexpr int steps_between = 24; // after so many steps the contacts are tried by Newton's method
constexpr int newton_steps = 12;

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
        auto first = first_contacts(a_);
        if (!first)
            throw NumericError("a round zone cannot be fitted: the points lie so that one of its "
                               "directions is a combination of the others");
        auto& [order, rows, relation] = *first;
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

/// From contacts that the cuts have found to where they are exact. With u_i = z_i − A_i c over the
/// contacts, Newton's method on Σ w_i A_iᵀ u_i = 0, |u_i|² = ρ, Σ w_i = 1: quadratic also where the
/// contacts are fewer than the motions, as at the two ends of a diameter, which cuts only creep up
/// to. Contacts whose weight turns negative are dropped. @return whether zone and proof meet
bool polish(const MatrixXd& a, const VectorXd& z, RoundZone& zone, double rounding) {
    const Index n = a.cols();
    VectorXd c = zone.coefficients;
    VectorXd w = zone.weights;
    double rho = zone.radius * zone.radius;
    for (int step = 0; step < newton_steps; ++step) {
        const auto m = static_cast<Index>(zone.contacts.size());
        MatrixXd jacobian = MatrixXd::Zero(n + m + 1, n + m + 1);
        VectorXd f = VectorXd::Zero(n + m + 1);
        for (Index k = 0; k < m; ++k) {
            const Index i = 2 * zone.contacts[static_cast<std::size_t>(k)];
            const auto rows = a.middleRows<2>(i);
            const Vector2d u = z.segment<2>(i) - rows * c;
            const VectorXd pull = rows.transpose() * u;
            f.head(n) += w[k] * pull;
            f[n + k] = u.squaredNorm() - rho;
            jacobian.topLeftCorner(n, n) -= w[k] * rows.transpose() * rows;
            jacobian.block(0, n + k, n, 1) = pull;
            jacobian.block(n + k, 0, 1, n) = -2 * pull.transpose();
            jacobian(n + k, n + m) = -1;
            jacobian(n + m, n + k) = 1;
        }
        f[n + m] = w.sum() - 1;
        const VectorXd by = jacobian.fullPivLu().solve(-f);
        if (!by.allFinite())
            return false;
        c += by.head(n);
        w += by.segment(n, m);
        rho += by[n + m];
        if (!(rho > 0))
            return false;
        for (Index k = m - 1; k >= 0; --k)
            if (w[k] < 0 && zone.contacts.size() > 1) {
                zone.contacts.erase(zone.contacts.begin() + k);
                const VectorXd rest = w.tail(w.size() - k - 1);
                w.segment(k, rest.size()) = rest;
                w.conservativeResize(w.size() - 1);
            }
        w = w.cwiseMax(0) / w.cwiseMax(0).sum();
        // the zone that this motion needs, and what the contacts prove
        const VectorXd off = z - a * c;
        double reach = 0;
        for (Index i = 0; i < off.size(); i += 2)
            reach = std::max(reach, off.segment<2>(i).norm());
        const auto left = static_cast<Index>(zone.contacts.size());
        Eigen::Matrix2Xd directions(2, left);
        VectorXd free = VectorXd::Zero(n);
        double proof = 0;
        for (Index k = 0; k < left; ++k) {
            const Index i = 2 * zone.contacts[static_cast<std::size_t>(k)];
            directions.col(k) = off.segment<2>(i).normalized();
            free += w[k] * a.middleRows<2>(i).transpose() * directions.col(k);
            proof += w[k] * directions.col(k).dot(z.segment<2>(i));
        }
        const double slack = std::max(meet * reach, rounding);
        if (reach - proof <= slack &&
            free.cwiseAbs().maxCoeff() * (1 + c.norm()) <= slack / reach) {
            zone.coefficients = c;
            zone.radius = reach;
            zone.directions = directions;
            zone.weights = w;
            return true;
        }
    }
    return false;
}

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
    for (int step = 0; step < most_tries; ++step) {
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
        if ((step + 1) % steps_between == 0) {
            auto near = best;
            near.contacts.clear();
            cuts.contacts(near);
            if (polish(design, z, near, rounding))
                return near;
        }
        cuts.exchange(worst / 2, u / reach);
    }
    throw NumericError(fmt::format(
        "a round zone of {} is not proved beyond {} in {} steps", best.radius, proved, most_tries));
}

} // namespace holdable::stats
