// SPDX-License-Identifier: MIT
#include "holdable/machine/checks.hpp"

#include "holdable/base/error.hpp"
#include "holdable/stats/distribution.hpp"

#include <Eigen/Cholesky>

#include <cmath>
#include <iterator>
#include <type_traits>
#include <utility>

namespace holdable {
namespace {

double variance(const Input& input) {
    return std::pow(stats::standard_uncertainty(input.law), 2);
}

/// What observations say of the table's shapes: the solve of state.hpp, for these unknowns alone.
TableKnowledge table_by(const MachineModel& model, const std::vector<Observation>& observations) {
    const auto n = static_cast<Eigen::Index>(model.unknowns().size());
    const auto m = static_cast<Eigen::Index>(observations.size());
    Eigen::VectorXd prior(n);
    Eigen::VectorXd mean(n);
    for (Eigen::Index j = 0; j < n; ++j) {
        const auto& unknown = model.unknowns()[static_cast<std::size_t>(j)];
        prior[j] = variance(unknown);
        mean[j] = stats::mean(unknown.law);
    }
    Eigen::MatrixXd rows = Eigen::MatrixXd::Zero(m, n);
    Eigen::VectorXd values(m);
    Eigen::VectorXd noise = Eigen::VectorXd::Zero(m);
    for (Eigen::Index i = 0; i < m; ++i) {
        const auto& o = observations[static_cast<std::size_t>(i)];
        rows.row(i).head(o.row.size()) = o.row;
        values[i] = o.value;
        for (const auto& part : o.noise)
            noise[i] += variance(part);
    }
    Eigen::MatrixXd s = rows * prior.asDiagonal() * rows.transpose();
    s.diagonal() += noise;
    const Eigen::LLT<Eigen::MatrixXd> cholesky(s);
    if (cholesky.info() != Eigen::Success)
        throw NumericError("the maps of the table cannot be solved: two readings without any doubt "
                           "contradict each other; state the resolution of every instrument");
    const auto first = model.first_table_shape();
    const auto shapes = model.table().shapes();
    const Eigen::MatrixXd spread = rows.middleCols(first, shapes); // their variance is 1
    return {spread.transpose() * cholesky.solve(values - rows * mean),
            Eigen::MatrixXd::Identity(shapes, shapes) -
                spread.transpose() * cholesky.solve(spread)};
}

} // namespace

std::vector<Observation> observe(MachineModel& model) {
    // A square stands on the table: what is known of that must be known first.
    std::vector<Observation> squares;
    std::vector<Observation> others;
    const auto observe_some = [&](bool by_square, std::vector<Observation>& observations) {
        for_each_check(model.shop(), [&](const auto& check) {
            constexpr bool square =
                std::is_same_v<std::remove_cvref_t<decltype(check)>, SquareCheck>;
            if (square == by_square && check.date <= model.job())
                observe(model, check, observations);
        });
    };
    observe_some(false, others);
    if (model.has_table())
        model.learn_table(table_by(model, others));
    observe_some(true, squares);
    squares.insert(squares.end(),
                   std::make_move_iterator(others.begin()),
                   std::make_move_iterator(others.end()));
    return squares;
}

} // namespace holdable
