// SPDX-License-Identifier: MIT
#include "holdable/machine/positioning_check.hpp"

#include "holdable/machine/observation.hpp"
#include "holdable/machine/scale_unknowns.hpp"
#include "holdable/machine/typical.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace holdable {
namespace {

// What a check leaves open unless it says otherwise: common practice, no source.
constexpr double typical_standard_doubt = 0.5; // it has lain beside the table (K)
constexpr double typical_skew = 1e-3;          // at most (rad)
constexpr double whole = 0.02;                 // of a lead

void require_fit(const PositioningCheck& check, const LengthStandard& standard) {
    const auto count = check.targets.size();
    require_shape(count >= 2, check.name, "positioning needs two targets or more");
    require_shape(!check.runs.empty(), check.name, "there is no run");
    for (const auto& run : check.runs)
        require_shape(run.readings.size() == count,
                      check.name,
                      fmt::format("{} readings for {} targets", run.readings.size(), count));
    const bool reads = standard.kind == LengthKind::displacement;
    require_shape(reads == check.lengths.empty() && (reads || check.lengths.size() == count),
                  check.name,
                  "each target has its length, unless the standard reads by itself");
    require_shape(reads == check.indicator.empty(),
                  check.name,
                  "an indicator is named unless the standard reads by itself");
    const auto [low, high] = std::minmax_element(check.targets.begin(), check.targets.end());
    require_shape(*high > *low, check.name, "all targets are at one place");
}

/// Index of a length of the standard.
std::size_t length_index(const LengthStandard& standard, double length, const std::string& check) {
    const auto at = std::find_if(standard.lengths.begin(),
                                 standard.lengths.end(),
                                 [length](double one) { return std::abs(one - length) < 1e-6; });
    require_shape(at != standard.lengths.end() || length == 0,
                  check,
                  fmt::format("the standard has no length of {:.6g} mm", length * 1e3));
    return static_cast<std::size_t>(at - standard.lengths.begin());
}

/// What is known of a check before any doubt: distances, and what a reading is as a deviation.
class Geometry {
  public:
    Geometry(const PositioningCheck& check, const LengthStandard& standard)
        : check_(check), standard_(standard) {
        require_fit(check, standard);
        if (check.lengths.empty())
            return;
        sign_ = length_sign(check.targets, check.lengths);
        for (std::size_t i = 0; i < check.targets.size(); ++i)
            require_shape(std::abs(sign_ * (check.lengths[i] - check.lengths[0]) - reach(i)) <
                              nearest_length,
                          check.name,
                          fmt::format("target {} is not where its length ends", i + 1));
    }

    double sign() const { return sign_; }

    /// Distance from the first target (m).
    double reach(std::size_t i) const { return check_.targets[i] - check_.targets[0]; }

    /// Most that the skew can take off, as a part of the length.
    double cosine() const { return std::pow(check_.skew.value_or(typical_skew), 2) / 2; }

    /// Index of the length at a target; past the end for the zero face.
    std::size_t length(std::size_t i) const {
        return length_index(standard_, check_.lengths[i], check_.name);
    }

    /// Actual less target position, reduced to 20 °C, the skew at the middle of its range (m).
    double deviation(std::size_t i, double reading) const {
        const double r = reach(i);
        const double warm = check_.scale_expansion * check_.scale_warmer -
                            standard_.expansion * check_.standard_warmer;
        double x = reading;
        if (!check_.lengths.empty()) {
            const auto at = length(i);
            const double known = at < standard_.deviations.size() ? standard_.deviations[at] : 0;
            x = sign_ * (check_.lengths[i] - check_.lengths[0] + known) - r - reading;
        }
        return x - warm * r + cosine() / 2 * r;
    }

  private:
    const PositioningCheck& check_;
    const LengthStandard& standard_;
    double sign_ = 1;
};

const LengthStandard& standard_of(const Shop& shop, const PositioningCheck& check) {
    return find_instrument(shop.length_standards, check.standard, "length standard", check.name);
}

/// Smallest difference that was read (m).
double
resolution_of(const Shop& shop, const PositioningCheck& check, const LengthStandard& standard) {
    return check.indicator.empty()
               ? standard.resolution
               : find_instrument(shop.indicators, check.indicator, "indicator", check.name)
                     .resolution;
}

/// Scatter of the runs about their means, pooled over targets and directions.
AxisRepeatability scatter(const PositioningCheck& check) {
    double sum = 0;
    AxisRepeatability result;
    for (const bool plus : {true, false})
        for (std::size_t i = 0; i < check.targets.size(); ++i) {
            double count = 0;
            double mean = 0;
            for (const auto& run : check.runs)
                if (run.towards_plus == plus) {
                    const double step = run.readings[i] - mean;
                    mean += step / ++count;
                    sum += step * (run.readings[i] - mean);
                }
            result.degrees_of_freedom += std::max(0.0, count - 1);
        }
    if (result.degrees_of_freedom > 0)
        result.standard = std::sqrt(sum / result.degrees_of_freedom);
    return result;
}

class PositioningRows {
  public:
    PositioningRows(MachineModel& model, const PositioningCheck& check)
        : model_(model), check_(check), standard_(standard_of(model.shop(), check)),
          known_(check, standard_),
          scatter_(check.planned ? repeatability(model.shop(), check.axis, check.date)
                                 : scatter(check)),
          resolution_(resolution_of(model.shop(), check, standard_)) {
        declare();
    }

    void add_to(std::vector<Observation>& observations) {
        const int offset = model_.add(offset_input(check_.name + ", offset", free_offset));
        std::optional<double> closed;
        if (check_.closing)
            closed = (check_.indicator.empty() ? 1 : -1) *
                     (*check_.closing - check_.runs[0].readings[first()]);
        const Drift drift(model_, check_.name, typical_drift, free_offset, closed);
        const auto count = check_.targets.size();
        const double last = static_cast<double>(check_.runs.size() * count) - (closed ? 0 : 1);
        for (const bool plus : {true, false})
            for (std::size_t i = 0; i < count; ++i) {
                const auto runs = static_cast<int>(std::count_if(
                    check_.runs.begin(), check_.runs.end(), [plus](const PositioningRun& run) {
                        return run.towards_plus == plus;
                    }));
                if (runs == 0)
                    continue;
                double reading = 0;
                for (const auto& run : check_.runs)
                    if (run.towards_plus == plus)
                        reading += run.readings[i] / runs;
                auto row = at_target(i, plus, reading);
                row.add(offset, 1);
                for (std::size_t k = 0; k < check_.runs.size(); ++k)
                    if (check_.runs[k].towards_plus == plus)
                        drift.apply(row, time(k, i) / last, 1.0 / runs);
                const auto what =
                    fmt::format("{}, target {} towards {}", check_.name, i + 1, plus ? '+' : '-');
                observations.push_back({check_.name,
                                        what,
                                        row.take(),
                                        known_.deviation(i, reading),
                                        noise(what, runs),
                                        0});
            }
        if (closed) {
            auto row = at_target(first(), check_.runs[0].towards_plus, *check_.closing);
            row.add(offset, 1);
            drift.apply(row, 1);
            const auto what = check_.name + ", closing reading";
            observations.push_back({check_.name,
                                    what,
                                    row.take(),
                                    known_.deviation(first(), *check_.closing),
                                    noise(what, 1),
                                    0});
        }
        observations.back().offsets = closed ? 2 : 1;
        observations.back().closure = closed;
    }

  private:
    /// Readings taken before that of a target in a run.
    double time(std::size_t run, std::size_t target) const {
        const double here = check_.targets[target];
        const bool plus = check_.runs[run].towards_plus;
        const auto before =
            std::count_if(check_.targets.begin(), check_.targets.end(), [&](double other) {
                return plus ? other < here : other > here;
            });
        return static_cast<double>(run * check_.targets.size()) + static_cast<double>(before);
    }

    /// The target read first of all.
    std::size_t first() const {
        const auto [low, high] = std::minmax_element(check_.targets.begin(), check_.targets.end());
        return static_cast<std::size_t>((check_.runs[0].towards_plus ? low : high) -
                                        check_.targets.begin());
    }

    std::string of_standard(std::string_view what) const {
        return fmt::format("length standard \"{}\", {}", standard_.name, what);
    }

    void declare() {
        const auto own = [&](const std::string& what,
                             const std::string& meaning,
                             const std::optional<double>& stated,
                             double typical) {
            return model_.add(job_input(check_.name + ", " + what,
                                        {},
                                        meaning,
                                        rectangular_law(stated.value_or(typical)),
                                        stated ? Evidence::measured : Evidence::typical));
        };
        const char axis = letter(check_.axis);
        scale_temperature_ = own("temperature of the scale",
                                 fmt::format("temperature of the scale of {}", axis),
                                 check_.scale_doubt,
                                 typical_scale_doubt);
        standard_temperature_ = own("temperature of the standard",
                                    "temperature of the length standard",
                                    check_.standard_doubt,
                                    typical_standard_doubt);
        thermometer_ = own("thermometer", "thermometer", check_.thermometer, typical_thermometer);
        skew_ = model_.add(job_input(check_.name + ", skew",
                                     {},
                                     "length standard skew to the axis",
                                     rectangular_law(known_.cosine() / 2),
                                     check_.skew ? Evidence::measured : Evidence::typical));
        scale_expansion_ =
            shared_scale_expansion(model_, check_.axis, check_.scale_expansion_doubt);
        standard_expansion_ =
            model_.shared(job_input(of_standard("expansion"),
                                    {},
                                    "expansion of the length standard \"" + standard_.name + "\"",
                                    rectangular_law(standard_.expansion_doubt),
                                    Evidence::typical));
        common_ = model_.shared(
            job_input(of_standard("all lengths"),
                      of_standard("lengths"),
                      "lengths of the length standard \"" + standard_.name + "\"",
                      standard_.scale_standard > 0 ? normal_law(standard_.scale_standard)
                                                   : rectangular_law(standard_.scale_limit),
                      standard_.evidence));
        if (!check_.indicator.empty())
            gain_ = shared_gain(
                model_,
                find_instrument(
                    model_.shop().indicators, check_.indicator, "indicator", check_.name),
                "indicator");
        for (std::size_t i = 0; i < check_.lengths.size(); ++i) {
            lengths_.push_back(-1);
            settings_.push_back(-1);
            if (check_.lengths[i] == 0)
                continue;
            const double mm = check_.lengths[i] * 1e3;
            lengths_.back() =
                model_.shared(job_input(of_standard(fmt::format("{:.6g} mm", mm)),
                                        of_standard("lengths"),
                                        "lengths of the length standard \"" + standard_.name + "\"",
                                        standard_.standard > 0 ? normal_law(standard_.standard)
                                                               : rectangular_law(standard_.limit),
                                        standard_.evidence));
            if (standard_.setting > 0)
                settings_.back() = model_.add(
                    job_input(fmt::format("{}, setting at target {}", check_.name, i + 1),
                              check_.name + ", settings",
                              "setting of the gauge blocks",
                              rectangular_law(standard_.setting),
                              standard_.setting_evidence));
        }
        if (check_.lead)
            short_wave_ = shared_short_wave(model_, check_.axis);
    }

    std::vector<Input> noise(const std::string& what, int runs) const {
        return runs_noise(model_,
                          check_.name,
                          what,
                          {scatter_.standard, scatter_.degrees_of_freedom},
                          resolution_,
                          runs);
    }

    Row at_target(std::size_t i, bool plus, double reading) {
        Eigen::Vector3d position = check_.place;
        position[static_cast<int>(check_.axis)] = check_.targets[i];
        const Eigen::Vector3d tool(0, 0, -check_.gauge_length);
        Row row(model_.point_error(position, tool, check_.date).row(static_cast<int>(check_.axis)) -
                (plus ? 0.5 : -0.5) * model_.lost_motion(check_.axis, check_.date));
        const double r = known_.reach(i);
        row.add(scale_expansion_, check_.scale_warmer * r);
        row.add(scale_temperature_, check_.scale_expansion * r);
        row.add(standard_expansion_, -check_.standard_warmer * r);
        row.add(standard_temperature_, -standard_.expansion * r);
        row.add(thermometer_, (check_.scale_expansion - standard_.expansion) * r);
        row.add(skew_, -r);
        row.add(common_, -r);
        if (!check_.lengths.empty()) {
            row.add(gain_, reading);
            if (lengths_[i] >= 0)
                row.add(lengths_[i], -known_.sign());
            if (settings_[i] >= 0)
                row.add(settings_[i], -known_.sign());
        }
        if (check_.lead) {
            const double phase = 2 * std::numbers::pi * check_.targets[i] / *check_.lead;
            row.add(short_wave_[0], std::cos(phase));
            row.add(short_wave_[1], std::sin(phase));
        }
        return row;
    }

    MachineModel& model_;
    const PositioningCheck& check_;
    const LengthStandard& standard_;
    Geometry known_;
    AxisRepeatability scatter_;
    double resolution_;
    int scale_temperature_ = 0;
    int standard_temperature_ = 0;
    int thermometer_ = 0;
    int skew_ = 0;
    int scale_expansion_ = 0;
    int standard_expansion_ = 0;
    int common_ = 0;
    int gain_ = 0;
    std::vector<int> lengths_;
    std::vector<int> settings_;
    std::array<int, 2> short_wave_{};
};

} // namespace

bool whole_leads_apart(const std::vector<double>& targets, double lead) {
    return std::all_of(targets.begin(), targets.end(), [&](double target) {
        return std::abs(std::remainder(target - targets.front(), lead)) < whole * lead;
    });
}

double length_sign(const std::vector<double>& targets, const std::vector<double>& lengths) {
    const auto [low, high] = std::minmax_element(targets.begin(), targets.end());
    const auto length_at = [&](auto target) {
        return lengths[static_cast<std::size_t>(target - targets.begin())];
    };
    return length_at(high) < length_at(low) ? -1 : 1;
}

PositioningRuns deviations(const Shop& shop, const PositioningCheck& check) {
    const Geometry known(check, standard_of(shop, check));
    PositioningRuns runs;
    for (const auto& run : check.runs) {
        auto& all = run.towards_plus ? runs.up : runs.down;
        all.emplace_back();
        for (std::size_t i = 0; i < run.readings.size(); ++i)
            all.back().push_back(known.deviation(i, run.readings[i]));
    }
    return runs;
}

AxisRepeatability repeatability(const Shop& shop, Axis axis, Date day) {
    const auto voided = [&](Date made) {
        return std::any_of(shop.events.begin(), shop.events.end(), [&](const Event& event) {
            return event.date > made && event.date <= day &&
                   (event.kind == EventKind::crash ||
                    (event.kind == EventKind::adjustment && event.axis.value_or(axis) == axis));
        });
    };
    double sum = 0;
    double dof = 0;
    for (const auto& check : shop.positioning_checks) {
        if (check.axis != axis || check.date > day || voided(check.date))
            continue;
        // What the last digit hides is not taken as zero.
        const double hidden =
            resolution_of(shop, check, standard_of(shop, check)) / std::sqrt(12.0);
        const auto one = scatter(check);
        sum += one.degrees_of_freedom * std::pow(std::max(one.standard, hidden), 2);
        dof += one.degrees_of_freedom;
    }
    return dof > 0 ? AxisRepeatability{std::sqrt(sum / dof), dof}
                   : AxisRepeatability{class_of(shop).repeatability.high, 0};
}

void observe(MachineModel& model,
             const PositioningCheck& check,
             std::vector<Observation>& observations) {
    PositioningRows(model, check).add_to(observations);
}

std::vector<Measurand> measured_by(const MachineModel& model, const PositioningCheck& check) {
    const auto [low, high] = std::minmax_element(check.targets.begin(), check.targets.end());
    const int index = motion_index(static_cast<int>(check.axis), check.axis);
    const Eigen::RowVectorXd scale =
        (model.parameter(index, *high, check.date) - model.parameter(index, *low, check.date)) /
        (*high - *low);
    std::vector<Measurand> all = {
        {fmt::format("scale of {} at 20 °C", letter(check.axis)), true, scale, scale}};
    const auto towards_plus = [](const PositioningRun& run) { return run.towards_plus; };
    if (std::any_of(check.runs.begin(), check.runs.end(), towards_plus) &&
        !std::all_of(check.runs.begin(), check.runs.end(), towards_plus)) {
        const auto lost = model.lost_motion(check.axis, check.date);
        all.push_back({fmt::format("lost motion of {}", letter(check.axis)), false, lost, lost});
    }
    return all;
}

} // namespace holdable
