// SPDX-License-Identifier: MIT
#include "holdable/propagate/joint_region.hpp"

#include "holdable/stats/sample.hpp"

#include <Eigen/Cholesky>

#include <algorithm>
#include <cstddef>

namespace holdable::propagate {

std::optional<JointFactors> joint_region(const std::vector<std::vector<double>>& columns,
                                         const Eigen::VectorXd& mean,
                                         const Eigen::VectorXd& standard,
                                         const Eigen::MatrixXd& correlation,
                                         double fraction) {
    // In standardised quantities, so that units do not matter to "singular".
    const Eigen::LLT<Eigen::MatrixXd> root(correlation);
    if (root.info() != Eigen::Success || root.matrixLLT().diagonal().minCoeff() < 1e-5)
        return std::nullopt;
    const std::size_t draws = columns.front().size();
    std::vector<double> ellipsoid(draws), rectangle(draws);
    Eigen::VectorXd z(mean.size());
    for (std::size_t t = 0; t < draws; ++t) {
        for (Eigen::Index k = 0; k < z.size(); ++k)
            z(k) = (columns[static_cast<std::size_t>(k)][t] - mean(k)) / standard(k);
        rectangle[t] = z.cwiseAbs().maxCoeff();
        root.matrixL().solveInPlace(z);
        ellipsoid[t] = z.norm();
    }
    const auto within = [&](std::vector<double>& sizes) {
        const auto place = stats::coverage_steps(fraction, draws) - 1;
        const auto at = sizes.begin() + static_cast<std::ptrdiff_t>(place);
        std::nth_element(sizes.begin(), at, sizes.end());
        return *at;
    };
    return JointFactors{within(ellipsoid), within(rectangle)};
}

} // namespace holdable::propagate
