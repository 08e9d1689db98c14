// SPDX-License-Identifier: MIT
#include "holdable/stats/covariance.hpp"

#include "holdable/base/error.hpp"

#include <Eigen/Eigenvalues>
#include <fmt/format.h>

#include <algorithm>
#include <cassert>
#include <cmath>
#include <numeric>

namespace holdable::stats {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;

constexpr double rounding = 1e-10; // of coefficients given in decimal digits

double least_eigenvalue(const MatrixXd& r, const std::vector<int>& members) {
    if (members.empty())
        return 0;
    const MatrixXd part = r(members, members);
    return Eigen::SelfAdjointEigenSolver<MatrixXd>(part, Eigen::EigenvaluesOnly).eigenvalues()(0);
}

bool impossible(const MatrixXd& r, const std::vector<int>& members) {
    return least_eigenvalue(r, members) < -rounding * static_cast<double>(members.size());
}

std::string listed(std::span<const std::string> words) {
    std::string text;
    for (std::size_t i = 0; i < words.size(); ++i)
        text += fmt::format("{}\"{}\"",
                            i == 0                  ? ""
                            : i + 1 == words.size() ? " and "
                                                    : ", ",
                            words[i]);
    return text;
}

} // namespace

Contradiction contradiction(const MatrixXd& r) {
    assert(r.rows() == r.cols() && r.isApprox(r.transpose(), 1e-12));
    assert(r.rows() == 0 || (r.diagonal().array() - 1).abs().maxCoeff() < 1e-12);
    std::vector<int> members(static_cast<std::size_t>(r.rows()));
    std::iota(members.begin(), members.end(), 0);
    if (!impossible(r, members))
        return {};
    // Whoever can leave while the rest still contradicts was not needed. One pass is enough: a set
    // that has become possible stays so when more leave.
    for (int candidate = 0; candidate < r.rows(); ++candidate) {
        auto rest = members;
        std::erase(rest, candidate);
        if (impossible(r, rest))
            members = rest;
    }
    // I + f (R − I) has the least eigenvalue 1 − f (1 − λ).
    return {members, 1.0 / (1.0 - least_eigenvalue(r, members))};
}

MatrixXd correlation_factor(const MatrixXd& r, std::span<const std::string> names) {
    const Index n = r.rows();
    assert(static_cast<std::size_t>(n) == names.size());
    for (Index i = 0; i < n; ++i)
        for (Index j = 0; j < i; ++j)
            if (!(std::abs(r(i, j)) <= 1.0))
                throw NumericError(fmt::format("the correlation of \"{}\" and \"{}\" is {}; a "
                                               "coefficient lies between -1 and 1",
                                               names[static_cast<std::size_t>(j)],
                                               names[static_cast<std::size_t>(i)],
                                               r(i, j)));
    if (const auto wrong = contradiction(r); !wrong.members.empty()) {
        std::vector<std::string> at_fault;
        for (const int i : wrong.members)
            at_fault.push_back(names[static_cast<std::size_t>(i)]);
        throw NumericError(fmt::format(
            "the correlations of {} contradict each other: some combination would have a negative "
            "variance; correct one of them, or multiply all of them by {:.3g} or less",
            listed(at_fault),
            std::floor(wrong.shrink * 1000) / 1000));
    }
    // Cholesky, by rows. A pivot lost to rounding belongs to a quantity that those before it
    // determine: its column is 0.
    MatrixXd l = MatrixXd::Zero(n, n);
    for (Index i = 0; i < n; ++i) {
        for (Index j = 0; j < i; ++j) {
            const double left = r(i, j) - l.row(i).head(j).dot(l.row(j).head(j));
            l(i, j) = l(j, j) > 0 ? left / l(j, j) : 0.0;
        }
        const double pivot = r(i, i) - l.row(i).head(i).squaredNorm();
        l(i, i) = pivot > 1e-9 ? std::sqrt(pivot) : 0.0;
        if (l(i, i) == 0)
            l.row(i).head(i).normalize();
    }
    return l;
}

MatrixXd correlation(const MatrixXd& covariance) {
    const Index n = covariance.rows();
    MatrixXd r = MatrixXd::Identity(n, n);
    for (Index i = 0; i < n; ++i) {
        for (Index j = 0; j < i; ++j) {
            const double scale = std::sqrt(covariance(i, i)) * std::sqrt(covariance(j, j));
            r(i, j) = r(j, i) = scale > 0 ? std::clamp(covariance(i, j) / scale, -1.0, 1.0) : 0.0;
        }
    }
    return r;
}

MatrixXd JointMoments::covariance() const {
    return count > 1 ? MatrixXd(sum2 / (count - 1)) : MatrixXd::Zero(mean.size(), mean.size());
}

double sum_of_products(std::span<const double> x,
                       double mean_x,
                       std::span<const double> y,
                       double mean_y) noexcept {
    assert(x.size() == y.size());
    constexpr std::size_t lanes = 8; // interleaved sums, so that the loop vectorises
    double part[lanes] = {};
    const std::size_t whole = x.size() - x.size() % lanes;
    for (std::size_t t = 0; t < whole; t += lanes)
        for (std::size_t lane = 0; lane < lanes; ++lane)
            part[lane] += (x[t + lane] - mean_x) * (y[t + lane] - mean_y);
    for (std::size_t t = whole; t < x.size(); ++t)
        part[t - whole] += (x[t] - mean_x) * (y[t] - mean_y);
    double total = 0;
    for (const double sum : part)
        total += sum;
    return total;
}

void merge_into(JointMoments& all, const JointMoments& block) {
    if (block.count == 0)
        return;
    if (all.count == 0) {
        all = block;
        return;
    }
    const Index n = all.mean.size();
    assert(block.mean.size() == n);
    const double count = all.count + block.count;
    const double weight = all.count / count * block.count;
    const auto apart = [&](Index i) { return block.mean(i) - all.mean(i); };
    for (Index j = 0; j < n; ++j)
        for (Index i = 0; i < n; ++i)
            all.sum2(i, j) += block.sum2(i, j) + apart(i) * apart(j) * weight;
    for (Index i = 0; i < n; ++i)
        all.mean(i) += apart(i) * (block.count / count);
    all.count = count;
}

} // namespace holdable::stats
