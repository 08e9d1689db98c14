// SPDX-License-Identifier: MIT
/// Matrices of correlation and covariance: whether they can be, how to draw from them, and what
/// those of drawn quantities are.
///
/// R (n × n) holds the correlation coefficients r_ij (pure numbers, 1 on the diagonal), C the
/// covariances, C_ij = u_i u_j r_ij. Both are symmetric, and no combination of the quantities may
/// have a negative variance: R must be positive semidefinite. Full correlation, r = ±1, is allowed.
#pragma once

#include <Eigen/Core>

#include <span>
#include <string>
#include <vector>

namespace holdable::stats {

/// A set of coefficients that cannot hold together, as small as it can be: without any one of the
/// quantities the rest would do.
struct Contradiction {
    std::vector<int> members; ///< indices of the quantities, rising; empty for none
    double shrink = 1; ///< largest factor (pure number) on these coefficients that is possible
};

/// The contradiction in a symmetric R with 1 on its diagonal (asserted), if any. Eigenvalues above
/// −1e-10 n pass for 0, so coefficients may be rounded to 10 digits.
Contradiction contradiction(const Eigen::MatrixXd& correlation);

/// Lower triangular L (n × n) with L Lᵀ = R, so that L z has correlation R for independent standard
/// normal z. Row i depends only on the quantities up to i. Throws NumericError, naming the
/// quantities at fault by `names` (n), where a coefficient is not within ±1 or they contradict.
Eigen::MatrixXd correlation_factor(const Eigen::MatrixXd& correlation,
                                   std::span<const std::string> names);

/// R of a covariance matrix; a quantity without variance is uncorrelated with all others.
Eigen::MatrixXd correlation(const Eigen::MatrixXd& covariance);

/// Count, means and sums of products of deviations of several quantities drawn together. Blocks are
/// merged in a fixed order, so that threads change no digit.
struct JointMoments {
    double count = 0;
    Eigen::VectorXd mean; ///< n
    Eigen::MatrixXd sum2; ///< n × n, Σ(y − ȳ)(y − ȳ)ᵀ

    /// Unbiased covariance matrix (n × n), sum2/(count − 1); zeros for fewer than two draws.
    Eigen::MatrixXd covariance() const;
};

/// Σ(x − x̄)(y − ȳ) of as many draws of each, about the means given; one order of additions.
double sum_of_products(std::span<const double> x,
                       double mean_x,
                       std::span<const double> y,
                       double mean_y) noexcept;

/// Makes `all` the joint moments of both together, to rounding; of the same quantities (asserted),
/// or empty. Allocates nothing unless `all` is empty.
void merge_into(JointMoments& all, const JointMoments& block);

} // namespace holdable::stats
