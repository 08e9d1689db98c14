// SPDX-License-Identifier: MIT
#include "holdable/machine/spindle.hpp"

#include "holdable/stats/distribution.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace holdable {
namespace {

constexpr double usual_bar = 0.300; // (m)

/// Σ c² u² over the first inputs of a list, in two components at once.
Eigen::Matrix2d covariance(const std::vector<Input>& inputs, const Eigen::MatrixXd& c) {
    Eigen::Matrix2d sum = Eigen::Matrix2d::Zero();
    for (Eigen::Index j = 0; j < c.cols(); ++j) {
        const double u = stats::standard_uncertainty(inputs[static_cast<std::size_t>(j)].law);
        sum += u * u * c.col(j) * c.col(j).transpose();
    }
    return sum;
}

/// The seats of all checks, each with the weight of its degrees of freedom.
void add_scatter(const MachineState& state, RunOut& result) {
    double sum = 0;
    double dof = 0;
    const auto usual = typical_seat_scatter();
    for (const auto& check : state.model.shop().run_out_checks) {
        if (check.date > state.model.job())
            continue;
        const auto one = seat_scatter(check);
        const double variance = std::pow(one.shift, 2) + std::pow(result.length * one.tilt, 2);
        sum += one.degrees_of_freedom * variance;
        dof += one.degrees_of_freedom;
    }
    result.seats_measured = dof > 0;
    result.seat_scatter =
        2 * (dof > 0 ? std::sqrt(sum / dof) : std::hypot(usual.shift, result.length * usual.tilt));
}

} // namespace

RunOut run_out_at(const MachineState& state, double length) {
    const auto rows = state.model.run_out(length, state.model.job());
    const Eigen::Vector2d e = rows * state.estimate.head(rows.cols());
    const Eigen::MatrixXd sensitivity = rows * state.error_map.topRows(rows.cols());
    const auto left = covariance(state.inputs, sensitivity);
    const auto before = covariance(state.model.unknowns(), rows);
    RunOut result;
    result.length = length;
    result.total = 2 * e.norm();
    const Eigen::Vector2d along =
        e.norm() > 0 ? Eigen::Vector2d(e.normalized()) : Eigen::Vector2d(1, 0);
    result.standard = 2 * std::sqrt(along.dot(left * along));
    result.standard_by_class = 2 * std::sqrt(along.dot(before * along));
    result.high_at = std::atan2(e.y(), e.x());
    if (result.high_at < 0)
        result.high_at += 2 * std::numbers::pi;
    add_scatter(state, result);
    return result;
}

double run_out_reach(const Shop& shop) {
    double reach = 0;
    for (const auto& check : shop.run_out_checks)
        for (const auto& seat : check.seats)
            if (seat.at_length)
                reach = std::max(reach, check.length);
    return reach > 0 ? reach : usual_bar;
}

} // namespace holdable
