// SPDX-License-Identifier: MIT
#include "holdable/stats/minimum_zone.hpp"

#include "holdable/base/error.hpp"
#include "holdable/stats/first_contacts.hpp"

#include <Eigen/LU>
#include <fmt/format.h>

#include <cassert>
#include <cmath>
#include <limits>

namespace holdable::stats {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr double touching = 1e-12; // of the largest deviation: beyond a limit by less is on it
constexpr int patience = 20;       // steps without gain, before the lowest index is taken

/// Points on the limits, each with its side, as columns (σ a; 1) of a basis.
class Basis {
  public:
    Basis(const MatrixXd& a, const VectorXd& z) : a_(a), z_(z), n_(a.cols()) { start(); }

    /// Solves for middle and half-width of the zone through the contacts, and their weights.
    void solve() {
        const Eigen::FullPivLU<MatrixXd> lu(columns_);
        VectorXd sides(n_ + 1);
        for (Index k = 0; k <= n_; ++k)
            sides[k] = side_[at(k)] * z_[contact_[at(k)]];
        const VectorXd y = lu.transpose().solve(sides);
        middle_ = y.head(n_);
        half_ = y[n_];
        weights_ = lu.solve(VectorXd::Unit(n_ + 1, n_)).cwiseMax(0);
        inverse_ = lu.inverse();
    }

    /// Takes a point in on one side, and lets out the contact that must go.
    void exchange(Index point, double side, bool lowest_index) {
        VectorXd column(n_ + 1);
        column << side * a_.row(point).transpose(), 1;
        const VectorXd d = inverse_ * column;
        const double small = 1e-12 * d.cwiseAbs().maxCoeff();
        Index out = -1;
        double ratio = std::numeric_limits<double>::infinity();
        for (Index k = 0; k <= n_; ++k) {
            if (d[k] <= small)
                continue;
            const double r = weights_[k] / d[k];
            const bool tie = out >= 0 && r == ratio;
            if (r < ratio ||
                (tie && (lowest_index ? contact_[at(k)] < contact_[at(out)] : d[k] > d[out]))) {
                ratio = r;
                out = k;
            }
        }
        assert(out >= 0); // Σ weights = 1: some weight must fall
        contact_[at(out)] = point;
        side_[at(out)] = side;
        columns_.col(out) = column;
    }

    MinimumZone zone() const {
        MinimumZone result;
        result.coefficients = middle_;
        result.width = 2 * std::max(0.0, half_);
        std::vector<double> kept;
        for (Index k = 0; k <= n_; ++k)
            if (weights_[k] > 0) {
                result.contacts.push_back(contact_[at(k)]);
                kept.push_back(side_[at(k)] * weights_[k]);
            }
        result.weights = Eigen::Map<const VectorXd>(kept.data(), static_cast<Index>(kept.size()));
        return result;
    }

    const VectorXd& middle() const { return middle_; }

    double half() const { return half_; }

  private:
    static std::size_t at(Index k) { return static_cast<std::size_t>(k); }

    /// n points whose rows are independent, and one more; sides from the one relation among them.
    void start() {
        auto first = first_contacts(a_);
        if (!first)
            throw NumericError("a zone cannot be fitted: the points lie so that one of its "
                               "directions is a combination of the others");
        auto& [order, rows, relation] = *first;
        contact_.assign(order.begin(), order.end());
        double along = 0;
        for (Index k = 0; k <= n_; ++k)
            along += relation[k] * z_[contact_[at(k)]];
        if (along < 0)
            relation = -relation;
        columns_.resize(n_ + 1, n_ + 1);
        for (Index k = 0; k <= n_; ++k) {
            side_.push_back(relation[k] < 0 ? -1 : 1);
            columns_.col(k) << side_[at(k)] * rows.row(k).transpose(), 1;
        }
    }

    const MatrixXd& a_;
    const VectorXd& z_;
    Index n_;
    std::vector<Index> contact_;
    std::vector<double> side_;
    MatrixXd columns_;
    MatrixXd inverse_;
    VectorXd middle_;
    double half_ = 0;
    VectorXd weights_;
};

} // namespace

MinimumZone minimum_zone(const MatrixXd& design, const VectorXd& z) {
    const Index m = design.rows();
    assert(z.size() == m && design.allFinite() && z.allFinite());
    if (m <= design.cols())
        throw NumericError(fmt::format("a zone with {} free directions needs more than {} points; "
                                       "there are {}",
                                       design.cols(),
                                       design.cols(),
                                       m));
    Basis basis(design, z);
    basis.solve();
    int still = 0;
    double reached = basis.half();
    for (Index step = 0; step < 100 * m; ++step) {
        const VectorXd off = z - design * basis.middle();
        const double limit = std::max(0.0, basis.half()) +
                             touching * std::max(z.cwiseAbs().maxCoeff(), basis.half());
        const bool lowest_index = still > patience;
        Index worst = -1;
        for (Index i = 0; i < m; ++i)
            if (std::abs(off[i]) > limit &&
                (worst < 0 || (!lowest_index && std::abs(off[i]) > std::abs(off[worst]))))
                worst = i;
        if (worst < 0)
            break;
        basis.exchange(worst, off[worst] < 0 ? -1 : 1, lowest_index);
        basis.solve();
        still = basis.half() > reached ? 0 : still + 1;
        reached = std::max(reached, basis.half());
    }
    return basis.zone();
}

} // namespace holdable::stats
