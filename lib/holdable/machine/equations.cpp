// SPDX-License-Identifier: MIT
#include "holdable/machine/equations.hpp"

#include "holdable/base/error.hpp"
#include "holdable/stats/distribution.hpp"

#include <Eigen/Cholesky>

#include <algorithm>

namespace holdable {
namespace {

/// H C₀, shape m × n.
Eigen::MatrixXd spread_of(const Equations& e) {
    Eigen::MatrixXd spread = e.rows * e.prior_variance.asDiagonal();
    if (e.freed.size() > 0)
        spread += e.rows * e.freed * e.freed.transpose();
    return spread;
}

Eigen::LLT<Eigen::MatrixXd>
solver(const Equations& e, const Eigen::MatrixXd& spread, const Eigen::VectorXd& noise) {
    Eigen::MatrixXd s = spread * e.rows.transpose();
    s.diagonal() += noise;
    Eigen::LLT<Eigen::MatrixXd> cholesky(s);
    if (cholesky.info() != Eigen::Success)
        throw NumericError("the checks cannot be solved together: two readings without any doubt "
                           "contradict each other; state the resolution of every instrument");
    return cholesky;
}

} // namespace

Equations equations(const MachineModel& model, const std::vector<Observation>& observations) {
    const auto n = static_cast<Eigen::Index>(model.unknowns().size());
    const auto m = static_cast<Eigen::Index>(observations.size());
    Equations e{Eigen::MatrixXd::Zero(m, n),
                Eigen::VectorXd(m),
                Eigen::VectorXd(m),
                Eigen::VectorXd(n),
                Eigen::VectorXd(n),
                {},
                {},
                {},
                {}};
    for (Eigen::Index j = 0; j < n; ++j) {
        const auto& unknown = model.unknowns()[static_cast<std::size_t>(j)];
        e.prior_mean[j] = stats::mean(unknown.law);
        e.prior_variance[j] = variance(unknown);
    }
    for (Eigen::Index i = 0; i < m; ++i) {
        const auto& o = observations[static_cast<std::size_t>(i)];
        e.rows.row(i).head(o.row.size()) = o.row;
        e.values[i] = o.value;
        e.noise[i] = 0;
        for (const auto& part : o.noise)
            e.noise[i] += variance(part);
        const auto known = std::find(e.names.begin(), e.names.end(), o.check);
        const auto c = static_cast<std::size_t>(known - e.names.begin());
        if (known == e.names.end()) {
            e.names.push_back(o.check);
            e.readings.emplace_back();
            e.offsets.push_back(0);
        }
        e.readings[c].push_back(i);
        e.offsets[c] += o.offsets;
    }
    return e;
}

Fit fit(const Equations& e, const Eigen::VectorXd& noise) {
    const auto spread = spread_of(e);
    const auto cholesky = solver(e, spread, noise);
    Fit f;
    f.information = cholesky.solve(Eigen::MatrixXd::Identity(spread.rows(), spread.rows()));
    const Eigen::VectorXd innovation = e.values - e.rows * e.prior_mean;
    f.weighted = f.information * innovation;
    f.gain = spread.transpose() * f.information;
    f.chi_squared = innovation.dot(f.weighted);
    return f;
}

double variance_left(const Equations& e, const Eigen::MatrixXd& forms) {
    const auto known = forms.cols();
    const double before = (forms.cwiseAbs2() * e.prior_variance.head(known)).sum() +
                          (e.freed.size() > 0 ? (forms * e.freed.head(known)).squaredNorm() : 0.0);
    if (e.rows.rows() == 0)
        return before;
    const auto spread = spread_of(e);
    const auto cholesky = solver(e, spread, e.noise);
    const Eigen::MatrixXd seen = spread.leftCols(known) * forms.transpose(); // m × k
    return before - seen.cwiseProduct(cholesky.solve(seen)).sum();
}

} // namespace holdable
