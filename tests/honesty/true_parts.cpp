// SPDX-License-Identifier: MIT
#include "honesty/true_parts.hpp"

#include <Eigen/QR>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace holdable::tests {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::Vector2d;
using Eigen::Vector3d;
using Eigen::VectorXd;

constexpr double part_expansion = 11.7e-6; // steel, as the job says (1/K)
constexpr double scale_expansion = 11.5e-6;

/// The n-th of `count` places from low to high, both ends among them.
double place(double low, double high, int n, int count) {
    return low + (high - low) * n / (count - 1);
}

/// What is left of heights over the plane, or the circle, that fits them best by least squares.
/// @param design one column for each motion of the plane
class Fit {
  public:
    explicit Fit(const MatrixXd& design)
        : q_(Eigen::HouseholderQR<MatrixXd>(design).householderQ() *
             MatrixXd::Identity(design.rows(), design.cols())) {}

    VectorXd left(const VectorXd& heights) const {
        return heights - q_ * (q_.transpose() * heights);
    }

  private:
    MatrixXd q_;
};

double width(const VectorXd& heights) {
    return heights.maxCoeff() - heights.minCoeff();
}

/// What one set-up shares, and what its parts do not.
class Cutting {
  public:
    Cutting(const TrueMachine& machine, const Job& job, int parts, Luck& luck)
        : m_(machine), job_(job), process_(job.process), parts_(parts), luck_(luck) {
        warm_ = scale_expansion * luck.within(job.temperatures.doubt) -
                part_expansion * luck.within(job.temperatures.doubt);
        askew_ = luck.within(process_.line_up->half_width);
        for (int a = 0; a < 2; ++a) {
            zero_[a] = luck.within(process_.work_zero->half_width);
            half_lost_[a] = luck.within(process_.reversal->half_width);
        }
        const auto& force = *process_.side_force;
        force_ = (force.low + force.high) / 2 + luck.within((force.high - force.low) / 2);
    }

    std::vector<std::vector<double>> all() {
        const auto& c = job_.callouts;
        return {lean_of_bore(c[0]),
                place_of_hole(c[1]),
                distance(c[2]),
                flatness(c[3]),
                lean_of_wall(c[4]),
                roundness(c[5]),
                step(c[6])};
    }

  private:
    template <class Measure>
    std::vector<double> each(Measure&& measure) {
        std::vector<double> values;
        values.reserve(static_cast<std::size_t>(parts_));
        for (int p = 0; p < parts_; ++p)
            values.push_back(measure());
        return values;
    }

    Vector2d normal_pair(double sigma) { return {luck_.normal(sigma), luck_.normal(sigma)}; }

    Vector2d axis_at(const Hole& hole, double down) const {
        return m_.tip_error(hole.x, hole.y, hole.top - down, hole.tool_length).head<2>();
    }

    Extent extent(const Face& face) const { return face.extent ? *face.extent : *job_.part; }

    /// Slopes of a milled face along X and Y, by least squares.
    Vector2d slope_of_face(const Face& face) const {
        const auto e = extent(face);
        constexpr int side = 9;
        MatrixXd plane(side * side, 3);
        VectorXd heights(side * side);
        for (int i = 0; i < side; ++i)
            for (int k = 0; k < side; ++k) {
                const double x = place(e.x_low, e.x_high, i, side);
                const double y = place(e.y_low, e.y_high, k, side);
                plane.row(i * side + k) << 1, x, y;
                heights[i * side + k] = m_.tip_error(x, y, face.height, face.tool_length).z();
            }
        return plane.colPivHouseholderQr().solve(heights).tail<2>();
    }

    double mean_height(const Face& face) const {
        const auto e = extent(face);
        constexpr int side = 12; // middles of so many fields each way
        double sum = 0;
        for (int i = 0; i < side; ++i)
            for (int k = 0; k < side; ++k)
                sum += m_.tip_error(e.x_low + (e.x_high - e.x_low) * (i + 0.5) / side,
                                    e.y_low + (e.y_high - e.y_low) * (k + 0.5) / side,
                                    face.height,
                                    face.tool_length)
                           .z();
        return sum / (side * side);
    }

    std::vector<double> lean_of_bore(const Callout& c) {
        const auto& hole = c.hole();
        Vector2d axis = Vector2d::Zero();
        double spread = 0;
        for (int i = 0; i <= 40; ++i) {
            const double down = hole.depth * i / 40;
            axis += (hole.depth / 2 - down) * axis_at(hole, down);
            spread += std::pow(hole.depth / 2 - down, 2);
        }
        const Vector2d tilt = axis / spread + slope_of_face(c.plane().face);
        const double s = process_.hole_direction->standard_deviation;
        return each([&] { return hole.depth * (tilt + normal_pair(s)).norm(); });
    }

    std::vector<double> place_of_hole(const Callout& c) {
        const auto& hole = c.hole();
        const auto& edges = c.edges();
        const Vector2d datum =
            m_.tip_error(edges.x, edges.y, edges.height, edges.tool_length).head<2>();
        const double lengths[] = {hole.x - edges.x, hole.y - edges.y};
        const double turned[] = {-askew_ * lengths[1], askew_ * lengths[0]};
        Vector2d common;
        for (int a = 0; a < 2; ++a)
            common[a] = turned[a] + zero_[a] + half_lost_[a] + lengths[a] * warm_;
        const Vector2d top = axis_at(hole, 0) - datum + common;
        const Vector2d foot = axis_at(hole, hole.depth) - datum + common;
        return each([&] {
            Vector2d shift = normal_pair(process_.axis_repeat->standard_deviation) +
                             normal_pair(process_.hole_place->standard_deviation);
            for (double& s : shift)
                s += luck_.within(process_.location->half_width) +
                     luck_.within(process_.drift->half_width);
            const Vector2d lean =
                hole.depth * normal_pair(process_.hole_direction->standard_deviation);
            return 2 * std::max((top + shift).norm(), (foot + shift - lean).norm());
        });
    }

    std::vector<double> distance(const Callout& c) {
        const auto& holes = std::get<Holes>(c.feature);
        const Vector2d between(holes[1].x - holes[0].x, holes[1].y - holes[0].y);
        const double length = between.norm();
        const double middle = holes[0].depth / 2;
        // as a measuring machine would: the length of the line between both axes as they are
        const double same =
            (between + axis_at(holes[1], middle) - axis_at(holes[0], middle)).norm() - length +
            length * warm_;
        return each([&] {
            Vector2d off = Vector2d::Zero();
            for (const double sign : {-1.0, 1.0})
                off += sign * (normal_pair(process_.axis_repeat->standard_deviation) +
                               normal_pair(process_.hole_place->standard_deviation) +
                               middle * normal_pair(process_.hole_direction->standard_deviation));
            return std::abs(same + off.dot(between) / length);
        });
    }

    /// Each point is left by the lowest of the edges that pass over it: those that lead and those
    /// that trail, of its own pass and of the next that still reaches it.
    std::vector<double> flatness(const Callout& c) {
        const auto& face = std::get<Face>(c.feature);
        const auto e = extent(face);
        const double radius = face.cutter->diameter / 2;
        const double step = face.cutter->step_over;
        constexpr int along = 15;
        constexpr int across = 25;
        const int passes = static_cast<int>(std::ceil((e.y_high - e.y_low) / step - 1e-9));
        const auto centre = [&](int pass) { return e.y_low + (pass + 0.5) * step; };
        MatrixXd design(along * across, 3);
        VectorXd heights(along * across);
        VectorXd bow(along * across);
        VectorXd time(along * across);
        for (int i = 0; i < along; ++i)
            for (int k = 0; k < across; ++k) {
                const int n = i * across + k;
                const double x = place(e.x_low, e.x_high, i, along);
                const double y = place(e.y_low, e.y_high, k, across);
                double lowest = 1;
                for (int pass = 0; pass < passes; ++pass) {
                    const double off = y - centre(pass);
                    if (std::abs(off) > radius)
                        continue;
                    const double ahead = std::sqrt(radius * radius - off * off);
                    for (const double lead : {-ahead, ahead})
                        lowest = std::min(lowest,
                                          m_.tip_error(x - lead,
                                                       centre(pass),
                                                       face.height,
                                                       face.tool_length,
                                                       {lead, off})
                                              .z());
                }
                heights[n] = lowest;
                design.row(n) << 1, x - e.x_low, y - e.y_low;
                const double t = 2 * (x - e.x_low) / (e.x_high - e.x_low) - 1;
                bow[n] = 1 - 2 * t * t;
                const double pass =
                    std::min(std::floor((y - e.y_low) / step), static_cast<double>(passes - 1));
                time[n] = (pass + (t + 1) / 2) / passes;
            }
        const Fit fit(design);
        heights = fit.left(heights);
        bow = fit.left(bow);
        time = fit.left(time);
        const double drift = process_.drift->half_width * std::min(1.0, 1800 / *job_.duration);
        return each([&] {
            return width(heights + luck_.within(process_.distortion->half_width) * bow +
                         luck_.within(drift) * time);
        });
    }

    /// How far a tool gives at a height over its tip, for 1 N there: a cantilever of 0.8 of its
    /// diameter, and its holder.
    static double give(const Wall& wall, double above) {
        const double l = wall.tool_reach;
        const double inertia = std::numbers::pi * std::pow(0.8 * wall.tool_diameter, 4) / 64;
        return (2 * l * l * l - 3 * l * l * above + above * above * above) /
                   (6 * wall.tool_modulus * inertia) +
               5e-8;
    }

    std::vector<double> lean_of_wall(const Callout& c) {
        const auto& wall = std::get<Wall>(c.feature);
        const double radius = wall.tool_diameter / 2;
        const double lean = slope_of_face(c.plane().face).dot(wall.normal);
        constexpr int along = 13;
        constexpr int up = 9;
        const Vector2d way = (wall.to - wall.from) / (along - 1);
        VectorXd turn(along * up);
        VectorXd left(along * up);
        VectorXd bow(along * up);
        for (int i = 0; i < along; ++i)
            for (int k = 0; k < up; ++k) {
                const int n = i * up + k;
                const double h = wall.depth * k / (up - 1);
                const Vector2d axis = wall.from + i * way + radius * wall.normal;
                left[n] = m_.tip_error(axis.x(),
                                       axis.y(),
                                       wall.top - wall.depth,
                                       wall.tool_length,
                                       -radius * wall.normal,
                                       h)
                              .head<2>()
                              .dot(wall.normal) +
                          force_ * give(wall, h) + lean * h;
                const double t = 2.0 * i / (along - 1) - 1;
                turn[n] = t;
                bow[n] = 1 - 2 * t * t;
            }
        return each([&] {
            const VectorXd wavy = left + luck_.within(process_.distortion->half_width) * bow;
            // least width over all turns about the upright: convex, so by thirds
            double low = -1e-4;
            double high = 1e-4;
            for (int round = 0; round < 24; ++round) {
                const double third = (high - low) / 3;
                if (width(wavy + (low + third) * turn) < width(wavy + (high - third) * turn))
                    high -= third;
                else
                    low += third;
            }
            return width(wavy + (low + high) / 2 * turn);
        });
    }

    std::vector<double> roundness(const Callout& c) {
        const auto& hole = c.hole();
        constexpr int around = 144;
        const double radius = hole.diameter / 2;
        MatrixXd design(around, 3);
        VectorXd heights(around);
        VectorXd oval(around);
        for (int k = 0; k < around; ++k) {
            const double angle = 2 * std::numbers::pi * (k + 0.5) / around;
            const Vector2d n(std::cos(angle), std::sin(angle));
            // Where each axis stands while it was sent to this place: late, and short of it.
            const double turned = hole.feed / radius * m_.lag / 2;
            Vector2d stands(radius * std::cos(angle - turned), radius * std::sin(angle + turned));
            stands.x() += n.y() > 0 ? half_lost_[0] : -half_lost_[0];
            stands.y() += n.x() > 0 ? -half_lost_[1] : half_lost_[1];
            const Vector2d cut = stands + m_.tip_error(hole.x + stands.x(),
                                                       hole.y + stands.y(),
                                                       hole.top - hole.depth / 2,
                                                       hole.tool_length)
                                              .head<2>();
            heights[k] = cut.norm() - radius;
            design.row(k) << 1, n.x(), n.y();
            oval[k] = std::cos(2 * angle);
        }
        const Fit fit(design);
        heights = fit.left(heights);
        oval = fit.left(oval);
        return each(
            [&] { return width(heights + luck_.within(process_.distortion->half_width) * oval); });
    }

    std::vector<double> step(const Callout& c) {
        const auto& face = std::get<Face>(c.feature);
        const auto& datum = c.plane().face;
        const double same =
            mean_height(face) - mean_height(datum) + (face.height - datum.height) * warm_;
        return each([&] {
            return std::abs(same + luck_.within(process_.drift->half_width) +
                            luck_.normal(process_.axis_repeat->standard_deviation) -
                            luck_.normal(process_.axis_repeat->standard_deviation));
        });
    }

    const TrueMachine& m_;
    const Job& job_;
    const Process& process_;
    int parts_;
    Luck& luck_;
    double warm_ = 0;  // of a length, so much of it
    double askew_ = 0; // rad
    Vector2d zero_, half_lost_;
    double force_ = 0; // N
};

} // namespace

std::vector<std::vector<double>>
cut_parts(const TrueMachine& machine, const Job& job, int parts, Luck& luck) {
    return Cutting(machine, job, parts, luck).all();
}

double quantile(std::vector<double> values, double share) {
    const auto at =
        values.begin() +
        static_cast<std::ptrdiff_t>(std::ceil(share * static_cast<double>(values.size()) - 1e-9)) -
        1;
    std::nth_element(values.begin(), at, values.end());
    return *at;
}

double share_within(const std::vector<double>& values, double limit) {
    const auto good =
        std::count_if(values.begin(), values.end(), [&](double v) { return v <= limit; });
    return static_cast<double>(good) / static_cast<double>(values.size());
}

} // namespace holdable::tests
