// SPDX-License-Identifier: MIT
#include "holdable/machine/square_seat.hpp"

#include "holdable/machine/model.hpp"
#include "holdable/machine/rest_plane.hpp"
#include "holdable/stats/normal.hpp"
#include "holdable/stats/random.hpp"

#include <Eigen/Eigenvalues>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <vector>

namespace holdable {
namespace {

constexpr int along_leg = 9;
constexpr int across_leg = 3;
constexpr int draws = 2000;
constexpr std::uint64_t seed = 1;

/// Half the footprint's width, and where along the leg the weight acts.
double half_width(const SquareCheck& check) {
    return check.base_width.value_or(check.base / 5) / 2;
}

double weight_at(const SquareCheck& check) {
    return check.weight_at.value_or(check.base / 3);
}

/// The footprint in coordinates of the table.
std::vector<BearingPoint> footprint(const SquareCheck& check, const SquareSetting& setting) {
    const int u = static_cast<int>(check.across);
    const double turned = setting.leg_towards_plus ? 1 : -1;
    std::vector<BearingPoint> points;
    for (int i = 0; i < along_leg; ++i)
        for (int j = 0; j < across_leg; ++j) {
            Eigen::Vector2d at = check.place.head<2>();
            at[u] += turned * check.base * i / (along_leg - 1);
            at[1 - u] += half_width(check) * (2.0 * j / (across_leg - 1) - 1);
            points.push_back({at.x(), at.y(), 0});
        }
    return points;
}

Eigen::Vector2d centre_of(const SquareCheck& check, const SquareSetting& setting) {
    Eigen::Vector2d at = check.place.head<2>();
    at[static_cast<int>(check.across)] += (setting.leg_towards_plus ? 1 : -1) * weight_at(check);
    return at;
}

/// A symmetric root of a covariance. @return shape n × n
Eigen::MatrixXd root(const Eigen::MatrixXd& covariance) {
    const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> eigen(covariance);
    return eigen.eigenvectors() * eigen.eigenvalues().cwiseMax(0).cwiseSqrt().asDiagonal();
}

/// Standard normal numbers of the footprint's points, a function of the setting's name alone.
Eigen::MatrixXd normal_numbers(const std::string& name, Eigen::Index points) {
    Eigen::MatrixXd z(points, draws);
    std::vector<double> u(draws);
    for (Eigen::Index i = 0; i < points; ++i) {
        stats::fill_uniform(seed, stats::name_hash(fmt::format("{}, seat {}", name, i)), 0, u);
        stats::normal_quantile(u);
        z.row(i) = Eigen::Map<const Eigen::RowVectorXd>(u.data(), draws);
    }
    return z;
}

void set_heights(std::vector<BearingPoint>& points, const Eigen::VectorXd& heights) {
    for (std::size_t i = 0; i < points.size(); ++i)
        points[i].h = heights[static_cast<Eigen::Index>(i)];
}

} // namespace

std::string setting_name(const SquareCheck& check, std::size_t number) {
    return fmt::format("{}, setting {}", check.name, number);
}

bool stands_on_map(const MachineModel& model,
                   const SquareCheck& check,
                   const SquareSetting& setting) {
    if (!model.has_table())
        return false;
    const auto points = footprint(check, setting);
    const auto& maps = model.shop().table_checks;
    return std::any_of(maps.begin(), maps.end(), [&](const TableCheck& map) {
        const auto area = mapped_area(map);
        return map.date <= model.job() &&
               std::all_of(points.begin(), points.end(), [&](const BearingPoint& p) {
                   return area.contains(p.x, p.y);
               });
    });
}

std::optional<SquareSeat> seat_on_map(const MachineModel& model,
                                      const SquareCheck& check,
                                      const SquareSetting& setting,
                                      const std::string& name) {
    const auto& known = model.table_knowledge();
    if (!known || check.low_spot || !stands_on_map(model, check, setting))
        return std::nullopt;
    auto points = footprint(check, setting);
    const auto centre = centre_of(check, setting);
    const auto count = static_cast<Eigen::Index>(points.size());
    Eigen::MatrixXd weights(count, model.table().shapes());
    for (Eigen::Index i = 0; i < count; ++i) {
        const auto& p = points[static_cast<std::size_t>(i)];
        weights.row(i) = model.table().weights(p.x, p.y);
    }
    // A body on the table turns by the fall of its base plane: the sign of the table's own slope.
    const int u = static_cast<int>(check.across);
    const Eigen::VectorXd mean = weights * known->mean;
    set_heights(points, mean);
    const auto rest = rest_on(points, centre);
    Eigen::RowVectorXd shapes = Eigen::RowVectorXd::Zero(weights.cols());
    const auto map = slope_map(points, rest.contacts);
    for (int c = 0; c < 3; ++c)
        shapes -=
            map(u, c) *
            weights.row(static_cast<Eigen::Index>(rest.contacts[static_cast<std::size_t>(c)]));

    SquareSeat seat;
    seat.tilt = model.zero();
    seat.tilt.segment(model.first_table_shape(), shapes.size()) = shapes;
    seat.expected = -rest.slope[u];
    seat.standard = std::sqrt((shapes * known->covariance * shapes.transpose())(0, 0));
    if (const auto way = rocking(points, centre, rest, rocking_rise))
        if (const double change = rest.slope[u] - way->other.slope[u];
            std::abs(change) > rocking_tilt)
            seat.rocks_by = change;

    const Eigen::MatrixXd heights =
        (root(weights * known->covariance * weights.transpose()) * normal_numbers(name, count))
            .colwise() +
        mean;
    int others = 0;
    Eigen::VectorXd tilts(draws);
    for (int t = 0; t < draws; ++t) {
        set_heights(points, heights.col(t));
        const auto drawn = rest_on(points, centre);
        tilts[t] = -drawn.slope[u];
        others += drawn.contacts != rest.contacts;
    }
    seat.other_contacts = static_cast<double>(others) / draws;
    if (seat.other_contacts > doubtful_contacts) {
        seat.expected = tilts.mean();
        seat.standard = std::sqrt((tilts.array() - seat.expected).square().sum() / (draws - 1));
    }
    return seat;
}

} // namespace holdable
