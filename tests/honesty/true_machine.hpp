// SPDX-License-Identifier: MIT
/// A machine whose every error is known, by full homogeneous transforms and plain random numbers:
/// nothing of the library's kinematics, rows, solve or draws is used here. Only the figures that
/// the shop is told beforehand (its class, its instruments) are the library's.
#pragma once

#include "holdable/machine/shop.hpp"
#include "holdable/standards/machine_class.hpp"

#include <Eigen/Cholesky>
#include <Eigen/Dense>
#include <Eigen/Geometry>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <numbers>
#include <random>
#include <utility>

namespace holdable::tests {

inline constexpr int fine = 81; // points of a true curve

class Luck {
  public:
    explicit Luck(std::uint64_t seed) : engine_(seed) {}

    double normal(double sigma) { return sigma * normal_(engine_); }

    double within(double half_width) { return half_width * (2 * uniform_(engine_) - 1); }

  private:
    std::mt19937_64 engine_;
    std::normal_distribution<double> normal_;
    std::uniform_real_distribution<double> uniform_;
};

/// In what a machine is unlike what the program takes for granted.
struct Unlike {
    double times = 1;          ///< all its geometric errors, as if its class were so much worse
    bool odd_curves = false;   ///< steps, waves and bumps in place of smooth random curves
    bool one_source = false;   ///< roll, pitch and yaw of an axis are one curve, squarenesses one
    double dents = 1;          ///< low spots under the square, times what the class says
    double square_times = 1;   ///< error of the square, times the limit of its grade
    bool pushed = false;       ///< between checks and job it gets a push nobody notices
    bool bad_readings = false; ///< a typo of a factor of ten, a sign swapped
};

/// A smooth random curve over a travel: a Gaussian process with the Matérn 3/2 covariance of a
/// third of the travel, zero at the reference and, but for angles, without slope. Or a curve that
/// is nothing of the kind, about as large.
class TrueCurve {
  public:
    TrueCurve() = default;

    TrueCurve(const Travel& travel, double sigma, bool keep_slope, bool odd, Luck& luck)
        : travel_(travel) {
        values_ = sigma * (odd ? odd_shape(luck) : smooth_shape(luck));
        if (!keep_slope)
            take_slope_off();
        values_.array() -= at(travel.reference);
    }

    double at(double q) const {
        const double s = (q - travel_.low) / (travel_.high - travel_.low) * (fine - 1);
        const int i = std::clamp(static_cast<int>(s), 0, fine - 2);
        return values_[i] + (s - i) * (values_[i + 1] - values_[i]);
    }

  private:
    static Eigen::VectorXd smooth_shape(Luck& luck) {
        static const Eigen::MatrixXd factor = [] {
            Eigen::MatrixXd c(fine, fine);
            for (int i = 0; i < fine; ++i)
                for (int j = 0; j < fine; ++j) {
                    const double r = std::sqrt(3.0) * 3 * std::abs(i - j) / (fine - 1);
                    c(i, j) = (1 + r) * std::exp(-r) + (i == j ? 1e-10 : 0);
                }
            return Eigen::MatrixXd(c.llt().matrixL());
        }();
        Eigen::VectorXd z(fine);
        for (auto& value : z)
            value = luck.normal(1);
        return factor * z;
    }

    /// A sharp step, a wave of three to six periods, or a bump always to the same side.
    static Eigen::VectorXd odd_shape(Luck& luck) {
        const double kind = luck.within(1.5);
        const double place = 0.5 + luck.within(0.35);
        const double periods = 4.5 + luck.within(1.5);
        const double phase = luck.within(std::numbers::pi);
        const double size = 2 + luck.within(1);
        Eigen::VectorXd shape(fine);
        for (int i = 0; i < fine; ++i) {
            const double t = i / (fine - 1.0);
            if (kind < -0.5)
                shape[i] = size * (t < place ? -0.5 : 0.5);
            else if (kind < 0.5)
                shape[i] = size / 2 * std::sin(2 * std::numbers::pi * periods * t + phase);
            else
                shape[i] = size * std::exp(-std::pow((t - place) / 0.06, 2));
        }
        return shape;
    }

    void take_slope_off() {
        double numerator = 0;
        double denominator = 0;
        for (int i = 0; i < fine; ++i) {
            const double t = i - (fine - 1) / 2.0;
            numerator += t * values_[i];
            denominator += t * t;
        }
        for (int i = 0; i < fine; ++i)
            values_[i] -= numerator / denominator * (i - (fine - 1) / 2.0);
    }

    Travel travel_;
    Eigen::VectorXd values_;
};

struct TrueMachine {
    Shop shop;
    std::array<TrueCurve, 18> curves;
    double c0y = 0, b0z = 0, a0z = 0;
    double scale[3] = {0, 0, 0};
    double table[2] = {0, 0};   // tilt against the motion of X, Y
    double spindle[2] = {0, 0}; // tilt of its axis about X, Y
    double axial[2] = {0, 0};   // of the spindle once a turn, cosine and sine
    double lag = 0;             // of X behind Y (s)
    double square = 0;
    double gain = 0;
    double level_gain = 0;
    double rocking = 0;

    TrueMachine(Shop of, const Unlike& unlike, Luck& luck) : shop(std::move(of)) {
        const auto& c = machine_class(shop.machine_class);
        for (int i = 0; i < 18; ++i) {
            const auto& travel = shop.travel[static_cast<std::size_t>(i / 6)];
            const bool angle = i % 6 >= 3;
            const bool positioning = i % 6 == i / 6;
            const double upper = angle         ? c.angular.high
                                 : positioning ? c.lead_per_300_mm.high *
                                                     std::max(1.0, (travel.high - travel.low) / 0.3)
                                               : c.straightness.high;
            auto& made = curves[static_cast<std::size_t>(i)];
            made = TrueCurve(
                travel, unlike.times * upper / (angle ? 3.4 : 2.6), angle, unlike.odd_curves, luck);
            if (unlike.one_source && i % 6 > 3)
                made = curves[static_cast<std::size_t>(i - 1)];
        }
        const double lean = unlike.times * c.squareness.high / 2;
        for (double* s : {&c0y, &b0z, &a0z})
            *s = luck.normal(lean);
        if (unlike.one_source)
            b0z = a0z = c0y;
        for (double& s : scale)
            s = luck.normal(unlike.times * c.lead_per_300_mm.high / 0.3 / 2);
        for (double& t : table)
            t = luck.normal(lean);
        for (double& t : spindle)
            t = luck.normal(unlike.times * c.tram.high / 2);
        for (double& a : axial)
            a = luck.normal(1e-6 / std::sqrt(-2 * std::log(0.05)));
        lag = luck.normal(unlike.times * 1e-3 / 2);
        square = luck.within(shop.squares[0].limit);
        if (unlike.square_times != 1) // out for certain, to either side
            square = std::copysign(unlike.square_times * shop.squares[0].limit, square);
        gain = luck.within(shop.indicators[0].gain_doubt);
        level_gain = luck.within(shop.levels[0].gain_doubt);
        rocking = luck.within(c.rocking.high);
    }

    /// All as it is taken to be, the spindle without any error.
    TrueMachine(Shop of, Luck& luck) : TrueMachine(std::move(of), Unlike{}, luck) {
        std::fill(spindle, spindle + 2, 0.0);
        std::fill(axial, axial + 2, 0.0);
        lag = 0;
    }

    /// A push that nobody notices, as hard as the errors of its class.
    void push(Luck& luck) {
        const auto& c = machine_class(shop.machine_class);
        for (double* s : {&c0y, &b0z, &a0z})
            *s += luck.normal(c.squareness.high / 2);
        for (double& t : spindle)
            t += luck.normal(c.tram.high / 2);
    }

    double curve(int direction, int axis, double q) const {
        const double e =
            curves[6 * static_cast<std::size_t>(axis) + static_cast<std::size_t>(direction)].at(q);
        return direction == axis
                   ? e + scale[axis] * (q - shop.travel[static_cast<std::size_t>(axis)].reference)
                   : e;
    }

    /// Error of a point of the tool, by transforms from the work to the tool. @param tool from the
    /// spindle's gauge point, which turns with the lean of the spindle
    Eigen::Vector3d error(const Eigen::Vector3d& position, const Eigen::Vector3d& tool) const {
        const Eigen::Vector3d along[] = {{1, 0, 0}, {-c0y, 1, 0}, {b0z, -a0z, 1}};
        Eigen::Vector3d q = position;
        for (int a = 0; a < 3; ++a)
            q[a] -= shop.travel[static_cast<std::size_t>(a)].reference;
        Eigen::Isometry3d chain = Eigen::Isometry3d::Identity();
        for (int a = 0; a < 3; ++a) {
            const Eigen::Vector3d shift(
                curve(0, a, position[a]), curve(1, a, position[a]), curve(2, a, position[a]));
            const Eigen::Vector3d turn(
                curve(3, a, position[a]), curve(4, a, position[a]), curve(5, a, position[a]));
            chain.translate(Eigen::Vector3d(q[a] * along[a] + shift));
            if (turn.norm() > 0)
                chain.rotate(Eigen::AngleAxisd(turn.norm(), turn.normalized()));
        }
        const double lean = std::hypot(spindle[0], spindle[1]);
        if (lean > 0)
            chain.rotate(
                Eigen::AngleAxisd(lean, Eigen::Vector3d(spindle[0] / lean, spindle[1] / lean, 0)));
        return chain * tool - (q + tool);
    }

    /// The same at a place. @param off of the edge from the tool's middle (m), `up` from its tip
    Eigen::Vector3d tip_error(double x,
                              double y,
                              double height,
                              double length,
                              Eigen::Vector2d off = {0, 0},
                              double up = 0) const {
        return error({x, y, height + length - shop.nose_to_table}, {off.x(), off.y(), up - length});
    }
};

/// What an instrument shows of a true value: gain, noise, and whole steps.
inline double read(double truth, double gain, double noise, double step, Luck& luck) {
    return std::round((truth / (1 + gain) + luck.normal(noise)) / step) * step;
}

} // namespace holdable::tests
