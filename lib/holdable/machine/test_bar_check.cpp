// SPDX-License-Identifier: MIT
#include "holdable/machine/test_bar_check.hpp"

#include "holdable/machine/observation.hpp"
#include "holdable/machine/typical.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace holdable {
namespace {

// What a check leaves open unless it says otherwise: common practice, no source.
constexpr double typical_bar_form = 2e-6; // of a ground test bar, zone (m)

class TestBarRows {
  public:
    TestBarRows(MachineModel& model, const TestBarCheck& check)
        : model_(model), check_(check),
          indicator_(
              find_instrument(model.shop().indicators, check.indicator, "indicator", check.name)),
          noise_(check.name, indicator_), form_(check.bar_form.value_or(typical_bar_form)) {
        require_shape(check.across != Axis::z, check.name, "the plane is XZ or YZ");
        require_shape(check.stations.size() >= 3, check.name, "a bar needs three stations or more");
        require_shape(!check.settings.empty(), check.name, "there is no setting of the bar");
        for (const auto& setting : check.settings) {
            require_shape(setting.readings.size() == check.stations.size(),
                          check.name,
                          fmt::format("{} readings for {} stations",
                                      setting.readings.size(),
                                      check.stations.size()));
            require_repeats(check.name, check.stations.size(), setting.spread, setting.repeats);
            noise_.pool(setting.spread, setting.repeats);
        }
        const auto [low, high] = std::minmax_element(check.stations.begin(), check.stations.end());
        low_ = *low;
        run_ = *high - *low;
        require_shape(run_ > 0, check.name, "all stations are at one place");
        declare();
    }

    void add_to(std::vector<Observation>& observations) {
        for (std::size_t i = 0; i < check_.settings.size(); ++i)
            add_setting(check_.settings[i],
                        fmt::format("{}, setting {}", check_.name, i + 1),
                        observations);
    }

  private:
    /// What of the two components in the bar's own frame is seen at a turn of the spindle.
    std::array<double, 2> seen(const TestBarSetting& setting) const {
        const double c = std::cos(setting.turned);
        const double s = std::sin(setting.turned);
        return check_.across == Axis::x ? std::array{c, -s} : std::array{s, c};
    }

    bool seen_at_all(std::size_t component) const {
        return std::any_of(
            check_.settings.begin(), check_.settings.end(), [&](const TestBarSetting& setting) {
                return std::abs(seen(setting)[component]) > 1e-9;
            });
    }

    int form_unknown(const std::string& what, double half_width) {
        return model_.add(job_input(check_.name + ", " + what,
                                    check_.name + ", form of the bar",
                                    "form of the test bar",
                                    rectangular_law(half_width),
                                    check_.bar_form ? Evidence::specification : Evidence::typical));
    }

    void declare() {
        gain_ = shared_gain(model_, indicator_, "indicator");
        approach_ = model_.add(job_input(check_.name + ", approach",
                                         {},
                                         "clearance of the ways of Z, read in one direction",
                                         rectangular_law(typical_way_clearance),
                                         Evidence::typical));
        taper_ = form_unknown("taper of the bar", form_ / 4);
        const auto& c = model_.assumed_class();
        for (std::size_t k = 0; k < 2; ++k) {
            if (!seen_at_all(k))
                continue;
            // the run-out of a class is the 95 % point of a vector's magnitude
            tilt_[k] =
                model_.add(job_input(fmt::format("{}, tilt of the bar, {}", check_.name, k + 1),
                                     check_.name + ", tilt of the bar",
                                     "test bar tilted in its seat",
                                     normal_law(c.runout_300_mm.high / 2 / 0.300 / 2.4477),
                                     Evidence::assumed));
            for (std::size_t i = 0; i < check_.stations.size(); ++i)
                axis_[k].push_back(form_unknown(
                    fmt::format("axis of the bar at station {}, {}", i + 1, k + 1), form_ / 2));
        }
        for (std::size_t i = 0; i < check_.stations.size(); ++i)
            radius_.push_back(
                form_unknown(fmt::format("radius of the bar at station {}", i + 1), form_ / 4));
    }

    Row at_station(std::size_t i, const TestBarSetting& setting, double reading) {
        const double z = check_.stations[i];
        const double along = z + model_.shop().nose_to_table - check_.height;
        const auto u = static_cast<int>(check_.across);
        const auto error = model_.point_error({check_.x, check_.y, z}, {0, 0, -along}, check_.date);
        Row row(error.row(u) + (check_.across == Axis::x
                                    ? -along * model_.spindle_tilt(Axis::y, check_.date)
                                    : along * model_.spindle_tilt(Axis::x, check_.date)));
        const auto components = seen(setting);
        for (std::size_t k = 0; k < 2; ++k)
            if (tilt_[k] >= 0) {
                row.add(tilt_[k], components[k] * along);
                row.add(axis_[k][i], components[k]);
            }
        const double face = check_.on_plus_face ? 1 : -1;
        row.add(radius_[i], face);
        row.add(taper_, face * (2 * (z - low_) / run_ - 1));
        row.add(approach_, z - low_);
        row.add(gain_, -reading);
        return row;
    }

    void add_setting(const TestBarSetting& setting,
                     const std::string& stem,
                     std::vector<Observation>& observations) {
        const int offset = model_.add(offset_input(stem + ", offset", free_offset));
        const Drift drift(
            model_, stem, typical_drift, free_offset, moved(setting.closing, setting.readings));
        const auto count = check_.stations.size();
        const double last = static_cast<double>(setting.closing ? count : count - 1);
        const auto add_reading =
            [&](std::size_t i, double reading, double time, const std::string& what, int repeats) {
                auto row = at_station(i, setting, reading);
                row.add(offset, 1);
                drift.apply(row, time);
                observations.push_back(
                    {check_.name, what, row.take(), reading, noise_(what, repeats), 0});
            };
        for (std::size_t i = 0; i < count; ++i)
            add_reading(i,
                        setting.readings[i],
                        static_cast<double>(i) / last,
                        fmt::format("{}, reading {}", stem, i + 1),
                        setting.repeats.empty() ? 1 : setting.repeats[i]);
        if (setting.closing)
            add_reading(0, *setting.closing, 1, stem + ", closing reading", 1);
        observations.back().offsets = drift.closed() ? 2 : 1;
        observations.back().closure = moved(setting.closing, setting.readings);
    }

    MachineModel& model_;
    const TestBarCheck& check_;
    const Indicator& indicator_;
    IndicatorNoise noise_;
    double form_;
    double low_ = 0;
    double run_ = 0;
    int gain_ = 0;
    int approach_ = 0;
    int taper_ = 0;
    std::array<int, 2> tilt_ = {-1, -1};
    std::array<std::vector<int>, 2> axis_;
    std::vector<int> radius_;
};

} // namespace

void observe(MachineModel& model,
             const TestBarCheck& check,
             std::vector<Observation>& observations) {
    TestBarRows(model, check).add_to(observations);
}

std::vector<Measurand> measured_by(const MachineModel& model, const TestBarCheck& check) {
    const bool xz = check.across == Axis::x;
    const auto tilt = model.spindle_tilt(xz ? Axis::y : Axis::x, check.date);
    return {{fmt::format("spindle's tilt in {}Z", letter(check.across)), true, tilt, tilt}};
}

} // namespace holdable
