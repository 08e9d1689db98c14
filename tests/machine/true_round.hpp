// SPDX-License-Identifier: MIT
/// Going round a circle, step by step in time: a first-order lag, play that is pushed from side to
/// side, full homogeneous transforms, distances. It shares no formula with the rows of a circle
/// trace.
#pragma once

#include "holdable/machine/circle_check.hpp"
#include "honesty/true_machine.hpp"
#include "machine/rows.hpp"
#include "machine/workshop.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <string>
#include <utility>
#include <vector>

namespace holdable::tests {

inline const Date circle_day = parse_date("2026-11-20");
inline constexpr double degree = std::numbers::pi / 180;

inline std::vector<double> every(double first, double step) {
    std::vector<double> angles;
    for (double a = first; a < first + 360 - step / 2; a += step)
        angles.push_back(std::fmod(a, 360) * degree);
    return angles;
}

/// About the reference place on a radius of 100 mm at 1 m/min, once each way, readings zero.
inline CircleCheck circle(double first = 5, double step = 10) {
    CircleCheck check;
    check.name = "ring";
    check.date = circle_day;
    check.indicator = "lever";
    check.centre = {0.3, 0.2, -0.2};
    check.radius = 0.1;
    check.gauge_length = 0.12;
    check.feed = 1.0 / 60;
    check.stations = every(first, step);
    check.scale_expansion = 10.5e-6;
    check.scale_expansion_doubt = 1e-6;
    const std::vector<double> none(check.stations.size(), 0.0);
    check.runs = {{true, 0, none}, {false, 0, none}};
    return check;
}

inline Shop shop_with(const CircleCheck& check) {
    auto shop = workshop();
    shop.circle_checks = {check};
    return shop;
}

inline TrueCurve flat(const Travel& travel, Luck& luck) {
    return {travel, 0, true, false, luck};
}

/// A machine without any error.
inline TrueMachine perfect(const Shop& shop) {
    Luck luck(1);
    TrueMachine machine(shop, luck);
    for (std::size_t i = 0; i < 18; ++i)
        machine.curves[i] = flat(shop.travel[i / 6], luck);
    machine.c0y = machine.b0z = machine.a0z = machine.gain = 0;
    std::fill(machine.scale, machine.scale + 3, 0.0);
    return machine;
}

/// A machine that goes round: every axis lags and has play.
struct TrueRound {
    TrueMachine machine;
    std::array<double, 2> lost = {0, 0};
    std::array<double, 2> lag = {0.005, 0.005}; // (s)
    std::array<double, 2> growth = {0, 0};      // of the scales by warmth
    std::array<double, 2> wave = {0, 0};        // cosine and sine of both screws
    Eigen::Vector2d pivot = {0, 0};             // of the link, off the centre

    explicit TrueRound(TrueMachine of) : machine(std::move(of)) {}

    /// The tool at each station less the centre, in the plane of X and Y: it goes round for half a
    /// turn first.
    std::vector<Eigen::Vector2d> goes(const CircleCheck& check, bool counterclockwise) const {
        constexpr int steps = 36000; // a turn
        const double sense = counterclockwise ? 1 : -1;
        const double dt =
            check.feed > 0 ? 2 * std::numbers::pi * check.radius / steps / check.feed : 1e9;
        std::vector<Eigen::Vector2d> result(check.stations.size());
        Eigen::Vector2d slow(0, 0);
        Eigen::Vector2d stands(0, 0);
        for (int k = 0; k <= 3 * steps / 2; ++k) {
            const double phi = check.stations[0] - sense * std::numbers::pi +
                               sense * 2 * std::numbers::pi * k / steps;
            const Eigen::Vector2d sent(check.radius * std::cos(phi), check.radius * std::sin(phi));
            for (int a = 0; a < 2; ++a) {
                const auto i = static_cast<std::size_t>(a);
                slow[a] =
                    k == 0 ? sent[a] : slow[a] + (sent[a] - slow[a]) * -std::expm1(-dt / lag[i]);
                stands[a] =
                    k == 0 ? slow[a]
                           : std::clamp(stands[a], slow[a] - lost[i] / 2, slow[a] + lost[i] / 2);
            }
            for (std::size_t i = 0; k >= steps / 2 && i < result.size(); ++i)
                if (std::abs(std::remainder(phi - check.stations[i], 2 * std::numbers::pi)) <
                    std::numbers::pi / steps)
                    result[i] = tool_at(check, stands);
        }
        return result;
    }

    Eigen::Vector2d tool_at(const CircleCheck& check, const Eigen::Vector2d& stands) const {
        Eigen::Vector3d position = check.centre;
        position.head<2>() += stands;
        Eigen::Vector2d tool =
            stands + machine.error(position, {0, 0, -check.gauge_length}).head<2>();
        for (int a = 0; a < 2; ++a) {
            tool[a] += growth[static_cast<std::size_t>(a)] * stands[a];
            if (check.lead) {
                const double phase = 2 * std::numbers::pi * position[a] / *check.lead;
                tool[a] += wave[0] * std::cos(phase) + wave[1] * std::sin(phase);
            }
        }
        return tool;
    }

    /// What a link shows.
    std::vector<double> radii(const CircleCheck& check, bool counterclockwise) const {
        std::vector<double> all;
        for (const auto& tool : goes(check, counterclockwise))
            all.push_back((tool - pivot).norm() - check.radius);
        return all;
    }
};

} // namespace holdable::tests
