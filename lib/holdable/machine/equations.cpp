// SPDX-License-Identifier: MIT
#include "holdable/machine/equations.hpp"

#include "holdable/base/error.hpp"
#include "holdable/stats/distribution.hpp"

#include <Eigen/Cholesky>

#include <algorithm>
#include <cstddef>
#include <vector>

namespace holdable {
namespace {

using Eigen::Index;

/// What is not 0 of a matrix, column by column: a reading hangs on few of the unknowns.
struct Column {
    std::vector<Index> at;
    std::vector<double> value;
};

std::vector<Column> columns_of(const Eigen::MatrixXd& rows) {
    std::vector<Column> columns(static_cast<std::size_t>(rows.cols()));
    for (Index j = 0; j < rows.cols(); ++j)
        for (Index i = 0; i < rows.rows(); ++i)
            if (const double value = rows(i, j); value != 0) {
                auto& column = columns[static_cast<std::size_t>(j)];
                column.at.push_back(i);
                column.value.push_back(value);
            }
    return columns;
}

/// S = H C₀ Hᵀ + R, its lower triangle.
Eigen::MatrixXd covariance_of_readings(const Equations& e,
                                       const std::vector<Column>& columns,
                                       const Eigen::VectorXd& noise) {
    Eigen::MatrixXd s = noise.asDiagonal();
    for (std::size_t j = 0; j < columns.size(); ++j) {
        const auto& [at, value] = columns[j];
        const double variance = e.prior_variance[static_cast<Index>(j)];
        for (std::size_t b = 0; b < at.size(); ++b) {
            const double times = variance * value[b];
            double* column = s.col(at[b]).data();
            for (std::size_t a = b; a < at.size(); ++a)
                column[at[a]] += times * value[a];
        }
    }
    if (e.freed.size() > 0)
        s.selfadjointView<Eigen::Lower>().rankUpdate(e.rows * e.freed);
    return s;
}

Eigen::LLT<Eigen::MatrixXd> solver(const Eigen::MatrixXd& s) {
    Eigen::LLT<Eigen::MatrixXd> cholesky(s);
    if (cholesky.info() != Eigen::Success)
        throw NumericError("the checks cannot be solved together: two readings without any doubt "
                           "contradict each other; state the resolution of every instrument");
    return cholesky;
}

/// Writes the inverse of a lower triangle, half by half.
void invert(const Eigen::Ref<const Eigen::MatrixXd>& root, Eigen::Ref<Eigen::MatrixXd> inverse) {
    const Index m = root.rows();
    if (m <= 32) {
        inverse.setIdentity();
        root.triangularView<Eigen::Lower>().solveInPlace(inverse);
        return;
    }
    const Index half = m / 2, rest = m - half;
    invert(root.topLeftCorner(half, half), inverse.topLeftCorner(half, half));
    invert(root.bottomRightCorner(rest, rest), inverse.bottomRightCorner(rest, rest));
    inverse.topRightCorner(half, rest).setZero();
    const Eigen::MatrixXd between =
        root.bottomLeftCorner(rest, half) *
        inverse.topLeftCorner(half, half).triangularView<Eigen::Lower>();
    inverse.bottomLeftCorner(rest, half).noalias() =
        -(inverse.bottomRightCorner(rest, rest).triangularView<Eigen::Lower>() * between);
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
    const auto columns = columns_of(e.rows);
    const auto cholesky = solver(covariance_of_readings(e, columns, noise));
    const Index m = e.rows.rows(), n = e.rows.cols();
    Fit f;
    f.inverse_root.resize(m, m);
    invert(cholesky.matrixLLT(), f.inverse_root);
    f.rows.setZero(m, n);
    for (Index j = 0; j < n; ++j) {
        const auto& [at, value] = columns[static_cast<std::size_t>(j)];
        for (std::size_t k = 0; k < at.size(); ++k)
            f.rows.col(j).tail(m - at[k]) += value[k] * f.inverse_root.col(at[k]).tail(m - at[k]);
    }
    f.gain = e.prior_variance.asDiagonal() * f.rows.transpose();
    if (e.freed.size() > 0)
        f.gain += e.freed * (f.rows * e.freed).transpose();
    f.readings = f.inverse_root.triangularView<Eigen::Lower>() * (e.values - e.rows * e.prior_mean);
    f.weighted = f.inverse_root.transpose().triangularView<Eigen::Upper>() * f.readings;
    f.chi_squared = f.readings.squaredNorm();
    return f;
}

double variance_left(const Equations& e, const Eigen::MatrixXd& forms) {
    const auto known = forms.cols();
    const double before = (forms.cwiseAbs2() * e.prior_variance.head(known)).sum() +
                          (e.freed.size() > 0 ? (forms * e.freed.head(known)).squaredNorm() : 0.0);
    if (e.rows.rows() == 0)
        return before;
    const auto cholesky = solver(covariance_of_readings(e, columns_of(e.rows), e.noise));
    const Eigen::MatrixXd over = e.prior_variance.head(known).asDiagonal() * forms.transpose();
    Eigen::MatrixXd seen = e.rows.leftCols(known) * over; // m × k
    if (e.freed.size() > 0)
        seen += (e.rows * e.freed) * (forms * e.freed.head(known)).transpose();
    return before - seen.cwiseProduct(cholesky.solve(seen)).sum();
}

} // namespace holdable
