// SPDX-License-Identifier: MIT
#include "holdable/machine/tram_check.hpp"

#include "holdable/machine/observation.hpp"

#include <Eigen/LU>
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <numeric>

namespace holdable {
namespace {

// What a check leaves open unless it says otherwise: common practice, no source.
constexpr double typical_diameter_doubt = 2e-3; // half-width (m)
constexpr double typical_block = 0.5e-6;        // depth: its face, and the tip's place on it (m)
constexpr double typical_axial = 1e-6 / 2.4477; // once a turn, each of two components (m): 95 % of
                                                // the amplitudes below 1 µm
constexpr double typical_lag = 1e-6;            // half of a lever's hysteresis, half-width (m)

/// The weights of four readings with which every offset and every tilt drops out, largest ±1.
Eigen::Vector4d balance_weights(const std::vector<double>& angles) {
    Eigen::Matrix<double, 3, 4> shapes;
    for (Eigen::Index i = 0; i < 4; ++i) {
        const double phi = angles[static_cast<std::size_t>(i)];
        shapes.col(i) << 1, std::cos(phi), std::sin(phi);
    }
    Eigen::Vector4d weights = shapes.fullPivLu().kernel().col(0);
    weights /= weights.cwiseAbs().maxCoeff();
    return weights[0] < 0 ? Eigen::Vector4d(-weights) : weights;
}

class TramRows {
  public:
    TramRows(MachineModel& model, const TramCheck& check)
        : model_(model), check_(check), radius_(check.sweep_diameter / 2),
          indicator_(
              find_instrument(model.shop().indicators, check.indicator, "indicator", check.name)),
          noise_(check.name, indicator_) {
        require_shape(check.angles.size() >= 3, check.name, "a sweep needs three angles or more");
        require_shape(
            check.readings.size() == check.angles.size(),
            check.name,
            fmt::format("{} readings for {} angles", check.readings.size(), check.angles.size()));
        require_shape(check.sweep_diameter > 0, check.name, "the sweep has no diameter");
        require_repeats(check.name, check.angles.size(), check.spread, check.repeats);
        noise_.pool(check.spread, check.repeats);
        declare();
    }

    void add_to(std::vector<Observation>& observations) {
        const auto count = check_.angles.size();
        const int offset = model_.add(offset_input(check_.name + ", offset", free_offset));
        const Drift drift(model_,
                          check_.name,
                          typical_drift,
                          free_offset,
                          moved(check_.closing, check_.readings));
        const double last = static_cast<double>(check_.closing ? count : count - 1);
        std::vector<double> weights(count + 1, 0);
        if (count == 4) {
            const auto four = balance_weights(check_.angles);
            for (std::size_t i = 0; i < 4; ++i) {
                weights[i] += four[static_cast<Eigen::Index>(i)];
                if (check_.closing) { // what drifted is taken out of each in proportion
                    const double share =
                        four[static_cast<Eigen::Index>(i)] * static_cast<double>(i) / last;
                    weights[0] += share;
                    weights[4] -= share;
                }
            }
        }
        const auto add_reading = [&](std::size_t i,
                                     double reading,
                                     double before,
                                     double time,
                                     const std::string& what,
                                     int repeats,
                                     double balance) {
            auto row = at_angle(i, reading, before);
            row.add(offset, 1);
            drift.apply(row, time);
            observations.push_back({check_.name, what, row.take(), reading, noise_(what, repeats)});
            observations.back().balance = balance;
        };
        for (std::size_t i = 0; i < count; ++i)
            add_reading(i,
                        check_.readings[i],
                        check_.readings[i == 0 ? count - 1 : i - 1],
                        static_cast<double>(i) / last,
                        fmt::format("{}, reading {}", check_.name, i + 1),
                        check_.repeats.empty() ? 1 : check_.repeats[i],
                        weights[i]);
        if (check_.closing)
            add_reading(0,
                        *check_.closing,
                        check_.readings.back(),
                        1,
                        check_.name + ", closing reading",
                        1,
                        weights[4]);
        observations.back().offsets = drift.closed() ? 2 : 1;
        observations.back().closure = moved(check_.closing, check_.readings);
    }

  private:
    bool on_table() const { return check_.against == SweptSurface::table; }

    void declare() {
        gain_ = shared_gain(model_, indicator_, "indicator");
        mean_ = std::accumulate(check_.readings.begin(), check_.readings.end(), 0.0) /
                static_cast<double>(check_.readings.size());
        radius_doubt_ = model_.add(
            job_input(check_.name + ", radius",
                      {},
                      "radius of the sweep",
                      rectangular_law(check_.diameter_doubt.value_or(typical_diameter_doubt) / 2),
                      check_.diameter_doubt ? Evidence::measured : Evidence::typical));
        for (const bool sine : {false, true})
            axial_[sine] = model_.shared(job_input(
                fmt::format("spindle, axial motion once a turn, {}", sine ? "sine" : "cosine"),
                "spindle, axial motion once a turn",
                "spindle moving along its axis once a turn",
                normal_law(typical_axial),
                Evidence::typical));
        if (!check_.both_ways)
            lag_ = model_.add(job_input(check_.name + ", lag of the lever",
                                        {},
                                        "lag of the lever, swept one way",
                                        rectangular_law(typical_lag),
                                        Evidence::typical));
        if (on_table())
            for (const bool y : {false, true})
                table_[y] = model_.shared(model_.table_against_motion(y ? Axis::y : Axis::x));
        const auto& c = model_.assumed_class();
        const double depth = check_.low_spot.value_or(
            on_table() ? c.table_flatness.high * std::min(1.0, check_.sweep_diameter / 0.400)
                       : typical_block);
        for (const double angle : check_.angles)
            spots_.push_back(model_.add(job_input(
                fmt::format("{}, form at {:.1f}°", check_.name, angle * 180 / std::numbers::pi),
                check_.name + ", form of the surface",
                on_table() ? "form of the table where it was swept"
                           : "face of the block, and the tip's place on it",
                rectangular_law(depth / 2),
                check_.low_spot ? Evidence::measured
                : on_table()    ? Evidence::assumed
                                : Evidence::typical)));
    }

    /// Of a sweep that is yet to come: as if the spindle leaned along X.
    double expected_rise(std::size_t i) const {
        const auto& angles = check_.angles;
        return std::cos(angles[i]) - std::cos(angles[i == 0 ? angles.size() - 1 : i - 1]);
    }

    Row at_angle(std::size_t i, double reading, double before) {
        const double cosine = std::cos(check_.angles[i]);
        const double sine = std::sin(check_.angles[i]);
        const Eigen::Vector3d arm(radius_ * cosine, radius_ * sine, 0);
        const Eigen::Vector3d position =
            on_table() ? check_.place : Eigen::Vector3d(check_.place - arm);
        const Eigen::Vector3d tool = arm - Eigen::Vector3d(0, 0, check_.gauge_length);
        Row row(arm.x() * model_.spindle_tilt(Axis::y, check_.date) -
                arm.y() * model_.spindle_tilt(Axis::x, check_.date) -
                model_.point_error(position, tool, check_.date).row(2));
        if (on_table()) {
            row.add(table_[0], -arm.x());
            row.add(table_[1], -arm.y());
        }
        row.add(spots_[i], 1);
        row.add(axial_[0], cosine);
        row.add(axial_[1], sine);
        if (const double rise = check_.planned ? expected_rise(i) : reading - before;
            lag_ >= 0 && rise != 0)
            row.add(lag_, rise > 0 ? 1 : -1);
        row.add(radius_doubt_, (reading - mean_) / radius_);
        row.add(gain_, -reading);
        return row;
    }

    MachineModel& model_;
    const TramCheck& check_;
    double radius_;
    const Indicator& indicator_;
    IndicatorNoise noise_;
    double mean_ = 0;
    int gain_ = 0;
    int radius_doubt_ = 0;
    int lag_ = -1;
    std::array<int, 2> axial_{};
    std::array<int, 2> table_{};
    std::vector<int> spots_;
};

} // namespace

void observe(MachineModel& model, const TramCheck& check, std::vector<Observation>& observations) {
    TramRows(model, check).add_to(observations);
}

std::vector<Measurand> measured_by(const MachineModel& model, const TramCheck& check) {
    const auto b = model.spindle_tilt(Axis::y, check.date);
    const auto a = model.spindle_tilt(Axis::x, check.date);
    return {{"spindle's tilt in XZ", true, b, b}, {"spindle's tilt in YZ", true, a, a}};
}

} // namespace holdable
