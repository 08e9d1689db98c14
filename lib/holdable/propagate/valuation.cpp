// SPDX-License-Identifier: MIT
#include "holdable/propagate/valuation.hpp"

#include "holdable/stats/minimum_zone.hpp"
#include "holdable/stats/round_zone.hpp"

#include <Eigen/QR>

namespace holdable::propagate {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

} // namespace

Index points_of(const Characteristic& c) {
    return c.known.size() - c.folded.cols() - (c.bonus ? 1 : 0);
}

MatrixXd floating_span(const Characteristic& c) {
    const Index points = points_of(c);
    const bool constant = c.reduction == Reduction::width;
    MatrixXd all(points, (constant ? 1 : 0) + c.free.cols());
    if (constant)
        all.col(0).setOnes();
    if (c.free.cols() > 0) // an empty one has no rows either
        all.rightCols(c.free.cols()) = c.free;
    // Directions may have any units.
    for (Index k = 0; k < all.cols(); ++k)
        if (const double length = all.col(k).norm(); length > 0)
            all.col(k) /= length;
    if (all.cols() == 0 || points == 0)
        return MatrixXd(points, 0);
    const Eigen::ColPivHouseholderQR<MatrixXd> qr(all);
    return qr.householderQ() * MatrixXd::Identity(points, qr.rank());
}

Valuation::Valuation(const Characteristic& c)
    : c_(&c), points_(points_of(c)), span_(floating_span(c)) {}

double Valuation::value(const VectorXd& d, VectorXd& gradient) const {
    gradient.setZero(d.size());
    const Index folded = c_->folded.cols();
    VectorXd z = d.head(points_);
    if (folded > 0)
        z += c_->folded * d.segment(points_, folded).cwiseAbs();
    VectorXd by_point = VectorXd::Zero(points_);
    double value = zone(z, by_point);
    gradient.head(points_) = by_point;
    for (Index r = 0; r < folded; ++r) {
        const double x = d[points_ + r];
        gradient[points_ + r] = (x > 0 ? 1 : x < 0 ? -1 : 0) * c_->folded.col(r).dot(by_point);
    }
    if (c_->bonus) {
        value -= d[d.size() - 1];
        gradient[d.size() - 1] = -1;
    }
    return value;
}

double Valuation::zone(const VectorXd& z, VectorXd& gradient) const {
    switch (c_->reduction) {
    case Reduction::signed_value:
        gradient[0] = 1;
        return z[0];
    case Reduction::magnitude: {
        const double length = z.norm();
        if (length > 0)
            gradient = z / length;
        return length;
    }
    case Reduction::width: {
        if (span_.cols() == 1) {
            Index low = 0;
            Index high = 0;
            const double width = z.maxCoeff(&high) - z.minCoeff(&low);
            gradient[high] += 1;
            gradient[low] -= 1;
            return width;
        }
        const auto zone = stats::minimum_zone(span_, z);
        for (std::size_t k = 0; k < zone.contacts.size(); ++k)
            gradient[zone.contacts[k]] += 2 * zone.weights[static_cast<Index>(k)];
        return zone.width;
    }
    case Reduction::twice_largest: {
        Index at = 0;
        const double largest = z.cwiseAbs().maxCoeff(&at);
        gradient[at] = z[at] > 0 ? 2 : z[at] < 0 ? -2 : 0;
        return 2 * largest;
    }
    case Reduction::twice_worst:
        break;
    }
    if (span_.cols() > 0) {
        const auto zone = stats::round_zone(span_, z);
        for (std::size_t k = 0; k < zone.contacts.size(); ++k)
            gradient.segment<2>(2 * zone.contacts[k]) += 2 * zone.weights[static_cast<Index>(k)] *
                                                         zone.directions.col(static_cast<Index>(k));
        return 2 * zone.radius;
    }
    Index worst = 0;
    for (Index e = 2; e < points_; e += 2)
        if (z.segment<2>(e).squaredNorm() > z.segment<2>(worst).squaredNorm())
            worst = e;
    const double length = z.segment<2>(worst).norm();
    if (length > 0)
        gradient.segment<2>(worst) = 2 / length * z.segment<2>(worst);
    return 2 * length;
}

} // namespace holdable::propagate
