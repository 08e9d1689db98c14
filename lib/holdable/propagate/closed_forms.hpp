// SPDX-License-Identifier: MIT
/// Chances of normal errors against a limit, where no drawing is needed.
///
/// In one dimension |X| ≤ t, in two the point (X, Y) inside the circle of radius t about 0.
#pragma once

#include <Eigen/Core>

namespace holdable::propagate {

/// P(|X| ≤ t) for X ~ N(mean, standard²), standard ≥ 0.
double folded_cdf(double t, double mean, double standard);

/// t with P(|X| ≤ t) = p for X ~ N(mean, standard²), p in [0.5, 1), standard ≥ 0.
double folded_quantile(double p, double mean, double standard);

/// Normal laws (X, Y) of one covariance, which may be singular, against circles about 0.
class Disk {
  public:
    explicit Disk(const Eigen::Matrix2d& covariance);

    /// P(X² + Y² ≤ t²). To about 1e-8.
    double cdf(double t, const Eigen::Vector2d& mean) const;

    /// t with P(X² + Y² ≤ t²) = p, p in [0.5, 1).
    double quantile(double p, const Eigen::Vector2d& mean) const;

  private:
    double along_axes(double t, const Eigen::Vector2d& mean, double* slope) const;

    Eigen::Matrix2d axes_; ///< columns: the directions of least and of most variance
    Eigen::Vector2d s_;    ///< standard deviations along them, s[0] ≤ s[1]
};

/// P(X² + Y² ≤ t²) for (X, Y) normal; the covariance may be singular. To about 1e-8.
double disk_cdf(double t, const Eigen::Vector2d& mean, const Eigen::Matrix2d& covariance);

/// t with P(X² + Y² ≤ t²) = p, p in [0.5, 1).
double disk_quantile(double p, const Eigen::Vector2d& mean, const Eigen::Matrix2d& covariance);

/// How that t moves with mean and covariance.
struct DiskGradient {
    Eigen::Vector2d by_mean;
    Eigen::Matrix2d by_covariance; ///< symmetric: dt = Σ_ij by_covariance_ij dC_ij
};

/// The gradient at t = disk_quantile(p, mean, covariance). Along a direction without variance the
/// limit of a small one is taken.
DiskGradient
disk_gradient(double t, const Eigen::Vector2d& mean, const Eigen::Matrix2d& covariance);

} // namespace holdable::propagate
