// SPDX-License-Identifier: MIT
#include "holdable/machine/flat_square_check.hpp"

#include "holdable/machine/observation.hpp"
#include "holdable/machine/square_unknowns.hpp"
#include "holdable/machine/typical.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace holdable {
namespace {

class FlatSquareRows {
  public:
    FlatSquareRows(MachineModel& model, const FlatSquareCheck& check)
        : model_(model), check_(check),
          square_(find_instrument(model.shop().squares, check.square, "square", check.name)),
          indicator_(
              find_instrument(model.shop().indicators, check.indicator, "indicator", check.name)),
          unknowns_(model, square_, check.date), noise_(check.name, indicator_),
          gain_(shared_gain(model, indicator_, "indicator")) {
        require_shape(!check.settings.empty(), check.name, "there is no setting of the square");
        for (const auto& setting : check.settings)
            for (const auto* run : {&setting.leg, &setting.edge}) {
                require_shape(
                    run->stations.size() >= 2, check.name, "a run needs two stations or more");
                require_shape(run->readings.size() == run->stations.size(),
                              check.name,
                              fmt::format("{} readings for {} stations",
                                          run->readings.size(),
                                          run->stations.size()));
                require_repeats(check.name, run->stations.size(), run->spread, run->repeats);
                noise_.pool(run->spread, run->repeats);
            }
        for (std::size_t axis = 0; axis < 2; ++axis)
            clearance_[axis] = model.add(job_input(
                fmt::format("{}, approach of {}", check.name, "XY"[axis]),
                {},
                fmt::format("clearance of the ways of {}, read in one direction", "XY"[axis]),
                rectangular_law(typical_way_clearance),
                Evidence::typical));
    }

    void add_to(std::vector<Observation>& observations) {
        for (std::size_t i = 0; i < check_.settings.size(); ++i) {
            const auto& setting = check_.settings[i];
            const auto stem = fmt::format("{}, setting {}", check_.name, i + 1);
            rotation_ = model_.add(offset_input(stem + ", rotation", free_rotation));
            bend_ = model_.add(job_input(stem + ", bend by warmth",
                                         check_.name + ", bend of the square by warmth",
                                         "square bent by warmth",
                                         rectangular_law(square_bend),
                                         Evidence::typical));
            add_run(setting, setting.leg, Axis::x, stem + ", leg", observations);
            add_run(setting, setting.edge, Axis::y, stem + ", edge", observations);
            ++observations.back().offsets; // the rotation
        }
    }

  private:
    void add_run(const FlatSquareSetting& setting,
                 const FlatRun& run,
                 Axis moving,
                 const std::string& stem,
                 std::vector<Observation>& observations) {
        const int along = static_cast<int>(moving);
        const int offset = model_.add(offset_input(stem + " offset", free_offset));
        const Drift drift(
            model_, stem, typical_drift, free_offset, moved(run.closing, run.readings));
        const auto count = run.stations.size();
        const double last = static_cast<double>(run.closing ? count : count - 1);
        const auto add = [&](double q,
                             double reading,
                             double time,
                             const std::string& what,
                             int repeats) {
            Eigen::Vector3d position(setting.corner.x(), setting.corner.y(), check_.z);
            position[along] = q;
            const double from_corner = q - setting.corner[along];
            Row row(-model_.point_error(position, {0, 0, -check_.gauge_length}, check_.date)
                         .row(1 - along));
            if (moving == Axis::x) {
                row.add(rotation_, from_corner);
                row.add(leg_form_at(std::abs(from_corner)), 1);
            } else {
                unknowns_.apply(row, setting.leg_towards_plus ? 1 : -1, std::abs(from_corner));
                row.add(rotation_, -from_corner);
                row.add(bend_, std::abs(from_corner));
            }
            row.add(clearance_[static_cast<std::size_t>(along)], from_corner);
            row.add(offset, 1);
            drift.apply(row, time);
            row.add(gain_, -reading);
            observations.push_back({check_.name, what, row.take(), reading, noise_(what, repeats)});
        };
        for (std::size_t i = 0; i < count; ++i)
            add(run.stations[i],
                run.readings[i],
                static_cast<double>(i) / last,
                fmt::format("{} reading {}", stem, i + 1),
                run.repeats.empty() ? 1 : run.repeats[i]);
        if (run.closing)
            add(run.stations[0], *run.closing, 1, stem + " closing reading", 1);
        observations.back().offsets = drift.closed() ? 2 : 1;
        observations.back().closure = moved(run.closing, run.readings);
    }

    /// Form of the face of the leg, which does not turn over with the square.
    int leg_form_at(double distance) {
        return model_.shared(job_input(
            fmt::format(
                "square \"{}\", form of the leg at {:.1f} mm", square_.name, distance * 1e3),
            fmt::format("square \"{}\", form of the leg", square_.name),
            fmt::format("form of the leg of the square \"{}\"", square_.name),
            rectangular_law(square_.edge_form / 2),
            square_.form_evidence));
    }

    MachineModel& model_;
    const FlatSquareCheck& check_;
    const Square& square_;
    const Indicator& indicator_;
    SquareUnknowns unknowns_;
    IndicatorNoise noise_;
    int gain_;
    int clearance_[2] = {0, 0};
    int rotation_ = 0; // of the setting
    int bend_ = 0;
};

} // namespace

void observe(MachineModel& model,
             const FlatSquareCheck& check,
             std::vector<Observation>& observations) {
    FlatSquareRows(model, check).add_to(observations);
}

std::vector<Measurand> measured_by(const MachineModel& model, const FlatSquareCheck& check) {
    // Over the places of the first setting.
    const auto& setting = check.settings.front();
    const auto slope = [&](const FlatRun& run, int along) {
        const auto [low, high] = std::minmax_element(run.stations.begin(), run.stations.end());
        const auto error_at = [&](double q) {
            Eigen::Vector3d position(setting.corner.x(), setting.corner.y(), check.z);
            position[along] = q;
            return model.point_error(position, {0, 0, -check.gauge_length}, check.date)
                .row(1 - along)
                .eval();
        };
        return Eigen::RowVectorXd((error_at(*high) - error_at(*low)) / (*high - *low));
    };
    return {{"Y square to X there",
             true,
             -slope(setting.leg, 0) - slope(setting.edge, 1),
             model.parameter(c0y_index, 0, check.date)}};
}

} // namespace holdable
