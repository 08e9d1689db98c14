// SPDX-License-Identifier: MIT
#include "holdable/machine/straightness_check.hpp"

#include "holdable/machine/observation.hpp"
#include "holdable/machine/typical.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace holdable {
namespace {

// Recomputed, for a length of 1 m: steel 50 mm deep on its ends, 5 ρ g L⁴ / (32 E h²) with
// 7850 kg/m³ and 210 GPa; 1 K over the 200 mm of a granite beam of 6 µm/m/K, α L² / (8 h).
constexpr double metre_sag = 23e-6;      // at most, ~ L⁴ (m)
constexpr double typical_bend = 3.75e-6; // half-width, ~ L² (m)

class StraightnessRows {
  public:
    StraightnessRows(MachineModel& model, const StraightnessCheck& check)
        : model_(model), check_(check),
          edge_(find_instrument(
              model.shop().straightedges, check.straightedge, "straightedge", check.name)),
          indicator_(
              find_instrument(model.shop().indicators, check.indicator, "indicator", check.name)),
          noise_(check.name, indicator_) {
        require_shape(check.axis != check.direction,
                      check.name,
                      "an axis is straight across its own direction");
        require_shape(check.stations.size() >= 3, check.name, "a run needs three stations or more");
        require_shape(
            !check.settings.empty(), check.name, "there is no setting of the straightedge");
        for (const auto& setting : check.settings) {
            require_shape(setting.readings.size() == check.stations.size(),
                          check.name,
                          fmt::format("{} readings for {} stations",
                                      setting.readings.size(),
                                      check.stations.size()));
            require_repeats(check.name, check.stations.size(), setting.spread, setting.repeats);
            noise_.pool(setting.spread, setting.repeats);
        }
        gain_ = shared_gain(model, indicator_, "indicator");
        if (check.direction == Axis::z) {
            const double most = check.sag.value_or(typical_sag(edge_.length)); // between 0 and that
            sag_ = model.add(
                job_input(check.name + ", sag",
                          {},
                          fmt::format("sag of the straightedge \"{}\"", edge_.name),
                          stats::Distribution(stats::Rectangular{most / 2, most / 2, std::nullopt}),
                          check.sag ? Evidence::specification : Evidence::typical));
        }
    }

    void add_to(std::vector<Observation>& observations) {
        for (std::size_t i = 0; i < check_.settings.size(); ++i)
            add_setting(check_.settings[i],
                        fmt::format("{}, setting {}", check_.name, i + 1),
                        observations);
    }

  private:
    void add_setting(const StraightnessSetting& setting,
                     const std::string& stem,
                     std::vector<Observation>& observations) {
        const int offset = model_.add(offset_input(stem + ", offset", free_offset));
        const int rotation = model_.add(offset_input(stem + ", rotation", free_rotation));
        const int bend =
            model_.add(job_input(stem + ", bend by warmth",
                                 check_.name + ", bend of the straightedge by warmth",
                                 "straightedge bent by warmth",
                                 rectangular_law(typical_bend * edge_.length * edge_.length),
                                 Evidence::typical));
        const Drift drift(
            model_, stem, typical_drift, free_offset, moved(setting.closing, setting.readings));
        const auto count = check_.stations.size();
        const double last = static_cast<double>(setting.closing ? count : count - 1);
        const auto add = [&](double q,
                             double reading,
                             double time,
                             const std::string& what,
                             int repeats) {
            auto row = at_station(q, setting.faces_plus ? 1 : -1, bend);
            row.add(rotation, q - check_.stations.front());
            row.add(offset, 1);
            drift.apply(row, time);
            row.add(gain_, -reading);
            observations.push_back({check_.name, what, row.take(), reading, noise_(what, repeats)});
        };
        for (std::size_t i = 0; i < count; ++i)
            add(check_.stations[i],
                setting.readings[i],
                static_cast<double>(i) / last,
                fmt::format("{}, reading {}", stem, i + 1),
                setting.repeats.empty() ? 1 : setting.repeats[i]);
        if (setting.closing)
            add(check_.stations[0], *setting.closing, 1, stem + ", closing reading", 1);
        observations.back().offsets = drift.closed() ? 3 : 2; // the rotation is as free
        observations.back().closure = moved(setting.closing, setting.readings);
    }

    Row at_station(double q, double face, int bend) {
        Eigen::Vector3d position = check_.place;
        position[static_cast<int>(check_.axis)] = q;
        Row row(-model_.point_error(position, {0, 0, -check_.gauge_length}, check_.date)
                     .row(static_cast<int>(check_.direction)));
        const double distance = std::abs(q - check_.marked_end);
        const double u = distance / edge_.length;
        row.add(form_at(distance), face);
        row.add(bend, 4 * u * (1 - u));
        if (sag_ >= 0)
            row.add(sag_, -4 * u * (1 - u));
        return row;
    }

    /// How far the edge stands out there: the same unknown whenever it is read there.
    int form_at(double distance) {
        return model_.shared(job_input(
            fmt::format("straightedge \"{}\", form at {:.1f} mm", edge_.name, distance * 1e3),
            fmt::format("straightedge \"{}\", form", edge_.name),
            fmt::format("form of the straightedge \"{}\"", edge_.name),
            rectangular_law(edge_.form / 2),
            edge_.form_evidence));
    }

    MachineModel& model_;
    const StraightnessCheck& check_;
    const Straightedge& edge_;
    const Indicator& indicator_;
    IndicatorNoise noise_;
    int gain_ = 0;
    int sag_ = -1;
};

} // namespace

double typical_sag(double length) {
    return metre_sag * std::pow(length, 4);
}

void observe(MachineModel& model,
             const StraightnessCheck& check,
             std::vector<Observation>& observations) {
    StraightnessRows(model, check).add_to(observations);
}

std::vector<Measurand> measured_by(const MachineModel& model, const StraightnessCheck& check) {
    const auto [low, high] = std::minmax_element(check.stations.begin(), check.stations.end());
    const double centre = (*low + *high) / 2;
    const double middle =
        *std::min_element(check.stations.begin(), check.stations.end(), [&](double a, double b) {
            return std::abs(a - centre) < std::abs(b - centre);
        });
    const auto error_at = [&](double q) {
        Eigen::Vector3d position = check.place;
        position[static_cast<int>(check.axis)] = q;
        return model.point_error(position, {0, 0, -check.gauge_length}, check.date)
            .row(static_cast<int>(check.direction))
            .eval();
    };
    const double share = (middle - *low) / (*high - *low);
    const Eigen::RowVectorXd row =
        error_at(middle) - (1 - share) * error_at(*low) - share * error_at(*high);
    return {{fmt::format("{} moving, its middle over its ends in {}",
                         letter(check.axis),
                         letter(check.direction)),
             false,
             row,
             row}};
}

} // namespace holdable
