// SPDX-License-Identifier: MIT
#include "holdable/machine/square_check.hpp"

#include "holdable/machine/observation.hpp"
#include "holdable/machine/square_seat.hpp"
#include "holdable/machine/square_unknowns.hpp"
#include "holdable/machine/typical.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace holdable {
namespace {

class SquareRows {
  public:
    SquareRows(MachineModel& model, const SquareCheck& check)
        : model_(model), check_(check),
          square_(find_instrument(model.shop().squares, check.square, "square", check.name)),
          indicator_(
              find_instrument(model.shop().indicators, check.indicator, "indicator", check.name)),
          unknowns_(model, square_, check.date), noise_(check.name, indicator_) {
        require_shape(check.across != Axis::z, check.name, "the plane is ZX or ZY");
        require_shape(
            check.stations.size() >= 3, check.name, "an edge needs three stations or more");
        require_shape(!check.settings.empty(), check.name, "there is no setting of the square");
        for (const auto& setting : check.settings)
            require_repeats(
                check.name, check.stations.size(), setting.edge_spread, setting.edge_repeats);
        for (const auto& setting : check.settings)
            noise_.pool(setting.edge_spread, setting.edge_repeats);
        declare_instruments();
    }

    void add_to(std::vector<Observation>& observations) {
        for (std::size_t i = 0; i < check_.settings.size(); ++i)
            add_setting(check_.settings[i], i + 1, observations);
    }

  private:
    void declare_instruments() {
        gain_ = shared_gain(model_, indicator_, "indicator");
        table_ = model_.shared(model_.table_against_motion(check_.across));
        clearance_ = model_.add(job_input(check_.name + ", approach",
                                          {},
                                          "clearance of the ways of Z, read in one direction",
                                          rectangular_law(typical_way_clearance),
                                          Evidence::typical));
    }

    /// The tilt of the base in one setting, as a form: by the map of the table, else a guess.
    Eigen::RowVectorXd tilt(const SquareSetting& setting, const std::string& stem) {
        const auto single = [&](Input input) {
            const int index = model_.add(std::move(input));
            Eigen::RowVectorXd form = model_.zero();
            form[index] = 1;
            return form;
        };
        if (const auto seat = seat_on_map(model_, check_, setting, stem)) {
            const auto base =
                single(job_input(stem + ", base",
                                 check_.name + ", base of the square",
                                 fmt::format("base of the square \"{}\" not flat", square_.name),
                                 rectangular_law(square_.edge_form / check_.base),
                                 square_.form_evidence));
            if (seat->other_contacts <= doubtful_contacts) {
                Eigen::RowVectorXd form = base;
                form.head(seat->tilt.size()) += seat->tilt;
                return form;
            }
            Eigen::RowVectorXd form =
                single(job_input(stem + ", seat on the map",
                                 {},
                                 "how the square rests on the mapped table",
                                 stats::Normal{seat->expected, seat->standard, std::nullopt},
                                 Evidence::measured));
            form.head(base.size()) += base;
            return form;
        }
        const auto& c = model_.assumed_class();
        const double local =
            check_.low_spot.value_or(c.table_flatness.high * std::min(1.0, check_.base / 0.400));
        return single(job_input(stem + ", low spot",
                                {},
                                "low spot of the table under the square",
                                rectangular_law(2 * local / check_.base),
                                check_.low_spot ? Evidence::measured : Evidence::assumed));
    }

    void add_setting(const SquareSetting& setting,
                     std::size_t number,
                     std::vector<Observation>& observations) {
        const auto stem = setting_name(check_, number);
        const auto require_match = [&](std::size_t readings, std::size_t stations, auto run) {
            require_shape(readings == stations,
                          check_.name,
                          fmt::format("setting {} has {} readings along the {} for {} stations",
                                      number,
                                      readings,
                                      run,
                                      stations));
        };
        require_match(setting.edge_readings.size(), check_.stations.size(), "edge");
        require_match(setting.leg_readings.size(), setting.leg_stations.size(), "leg");
        const auto tilted = tilt(setting, stem);
        const int bend = model_.add(job_input(stem + ", bend by warmth",
                                              check_.name + ", bend of the square by warmth",
                                              "square bent by warmth",
                                              rectangular_law(square_bend),
                                              Evidence::typical));
        add_edge(setting, stem, tilted, bend, observations);
        if (!setting.leg_stations.empty())
            add_leg(setting, stem, tilted, observations);
    }

    void add_edge(const SquareSetting& setting,
                  const std::string& stem,
                  const Eigen::RowVectorXd& tilted,
                  int bend,
                  std::vector<Observation>& observations) {
        const int offset = model_.add(offset_input(stem + ", edge offset", free_offset));
        const Drift drift(model_,
                          stem + ", edge",
                          typical_drift,
                          free_offset,
                          moved(setting.closing, setting.edge_readings));
        const double turned = setting.leg_towards_plus ? 1 : -1;
        const auto count = check_.stations.size();
        const double last = static_cast<double>(setting.closing ? count : count - 1);
        const auto add_reading = [&](double z,
                                     double reading,
                                     double time,
                                     const std::string& what,
                                     int repeats) {
            const double height = z - check_.place.z();
            Eigen::Vector3d position = check_.place;
            position.z() = z;
            Row row(-model_.point_error(position, tool(), check_.date)
                         .row(static_cast<int>(check_.across)));
            unknowns_.apply(row, turned, height);
            row.add(table_, height);
            row.add(tilted, height);
            row.add(bend, height);
            row.add(clearance_, height);
            row.add(offset, 1);
            drift.apply(row, time);
            row.add(gain_, -reading);
            observations.push_back({check_.name, what, row.take(), reading, noise_(what, repeats)});
        };
        for (std::size_t i = 0; i < count; ++i)
            add_reading(check_.stations[i],
                        setting.edge_readings[i],
                        static_cast<double>(i) / last,
                        fmt::format("{}, edge reading {}", stem, i + 1),
                        setting.edge_repeats.empty() ? 1 : setting.edge_repeats[i]);
        if (setting.closing)
            add_reading(check_.stations[0], *setting.closing, 1, stem + ", closing reading", 1);
        observations.back().offsets = drift.closed() ? 2 : 1;
        observations.back().closure = moved(setting.closing, setting.edge_readings);
    }

    void add_leg(const SquareSetting& setting,
                 const std::string& stem,
                 const Eigen::RowVectorXd& tilted,
                 std::vector<Observation>& observations) {
        const int offset = model_.add(offset_input(stem + ", leg offset", free_offset));
        const Drift drift(model_, stem + ", leg", typical_drift, free_offset, std::nullopt);
        const auto count = setting.leg_stations.size();
        require_shape(count >= 2, check_.name, "a leg needs two stations or more");
        const auto u = static_cast<int>(check_.across);
        for (std::size_t i = 0; i < count; ++i) {
            Eigen::Vector3d position = check_.place;
            position[u] = setting.leg_stations[i];
            const double along = setting.leg_stations[i] - check_.place[u];
            Row row(-model_.point_error(position, tool(), check_.date).row(2));
            row.add(table_, -along);
            row.add(tilted, -along);
            row.add(offset, 1);
            drift.apply(row, static_cast<double>(i) / static_cast<double>(count - 1));
            row.add(gain_, -setting.leg_readings[i]);
            const auto what = fmt::format("{}, leg reading {}", stem, i + 1);
            observations.push_back({check_.name,
                                    what,
                                    row.take(),
                                    setting.leg_readings[i],
                                    noise_(what, 1),
                                    i == 0 ? 1 : 0});
        }
    }

    Eigen::Vector3d tool() const { return {0, 0, -check_.gauge_length}; }

    MachineModel& model_;
    const SquareCheck& check_;
    const Square& square_;
    const Indicator& indicator_;
    SquareUnknowns unknowns_;
    IndicatorNoise noise_;
    int gain_ = 0;
    int table_ = 0;
    int clearance_ = 0;
};

} // namespace

void observe(MachineModel& model,
             const SquareCheck& check,
             std::vector<Observation>& observations) {
    SquareRows(model, check).add_to(observations);
}

std::vector<Measurand> measured_by(const MachineModel& model, const SquareCheck& check) {
    const auto [low, high] = std::minmax_element(check.stations.begin(), check.stations.end());
    const auto error_at = [&](double z) {
        Eigen::Vector3d position = check.place;
        position.z() = z;
        return model.point_error(position, {0, 0, -check.gauge_length}, check.date)
            .row(static_cast<int>(check.across))
            .eval();
    };
    return {{fmt::format("Z square to {} there", letter(check.across)),
             true,
             (error_at(*high) - error_at(*low)) / (*high - *low),
             model.parameter(check.across == Axis::x ? b0z_index : a0z_index, 0, check.date)}};
}

} // namespace holdable
