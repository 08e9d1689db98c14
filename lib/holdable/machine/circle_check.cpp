// SPDX-License-Identifier: MIT
#include "holdable/machine/circle_check.hpp"

#include "holdable/machine/observation.hpp"
#include "holdable/machine/scale_unknowns.hpp"
#include "holdable/machine/typical.hpp"

#include <Eigen/QR>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace holdable {
namespace {

constexpr double full_turn = 2 * std::numbers::pi;
constexpr double degree = std::numbers::pi / 180;

// What a check leaves open unless it says otherwise: common practice, no source.
constexpr double typical_pivot = 0.5e-6;      // two lobes of a link's ball or bearing (m)
constexpr double typical_chuck = 1e-6;        // two lobes of chuck and turning table (m)
constexpr double typical_spring_back = 2e-6;  // two lobes of a disc let go (m)
constexpr double typical_surface = 1e-6;      // roughness and chatter, peak to valley (m)
constexpr double slowest = 0.06;              // lag of an axis: a gain of 1 m/min/mm (s)
constexpr double turning_margin = 1 * degree; // beside the angle in which lost motion is taken up
constexpr double least_arc = full_turn / 4 - 1e-6;
constexpr double same_turn = 1e-4; // of a disc in its chuck (rad)

/// How far an angle lies counterclockwise of another, 0 … one turn (rad).
double beyond(double angle, double from) {
    const double rest = std::fmod(angle - from, full_turn);
    return rest < -1e-12 ? rest + full_turn : std::abs(rest);
}

void require_fit(const CircleCheck& check) {
    const auto count = check.stations.size();
    require_shape(count >= circle_stations, check.name, "a circle needs eight angles or more");
    require_shape(circle_arc(check.stations) >= least_arc,
                  check.name,
                  "the angles cover less than a quarter of a turn");
    require_shape(check.radius > 0, check.name, "the radius is not given");
    require_shape(!check.runs.empty(), check.name, "there is no run");
    const bool disc = check.trace == CircleTrace::disc;
    for (const auto& run : check.runs) {
        require_shape(run.readings.size() == count,
                      check.name,
                      fmt::format("{} readings for {} angles", run.readings.size(), count));
        require_shape(disc || run.turned == 0, check.name, "a link is not turned in a chuck");
    }
    require_shape(!disc || !(check.closing || check.radius_doubt),
                  check.name,
                  "a disc has neither a closing reading nor a known radius");
}

/// Runs of one direction, of a disc turned in its chuck by one angle: their mean is a row an angle.
struct Trace {
    bool counterclockwise = true;
    double turned = 0;
    std::vector<std::size_t> runs;
    std::vector<double> mean; ///< at each station (m)
};

std::vector<Trace> traces_of(const CircleCheck& check) {
    std::vector<Trace> traces;
    for (std::size_t k = 0; k < check.runs.size(); ++k) {
        const auto& run = check.runs[k];
        auto at = std::find_if(traces.begin(), traces.end(), [&](const Trace& trace) {
            return trace.counterclockwise == run.counterclockwise &&
                   std::abs(std::remainder(trace.turned - run.turned, full_turn)) < same_turn;
        });
        if (at == traces.end())
            at = traces.insert(at, Trace{run.counterclockwise, run.turned, {}, {}});
        at->runs.push_back(k);
    }
    for (auto& trace : traces) {
        trace.mean.assign(check.stations.size(), 0);
        for (const auto k : trace.runs)
            for (std::size_t i = 0; i < trace.mean.size(); ++i)
                trace.mean[i] += check.runs[k].readings[i] / static_cast<double>(trace.runs.size());
    }
    return traces;
}

/// How runs of one trace differ; degrees of freedom 0: no trace has two runs.
RunScatter scatter(const CircleCheck& check, const std::vector<Trace>& traces) {
    const bool disc = check.trace == CircleTrace::disc;
    const auto count = static_cast<double>(check.stations.size());
    double sum = 0;
    RunScatter result;
    for (const auto& trace : traces) {
        if (trace.runs.size() < 2)
            continue;
        for (const auto k : trace.runs) {
            std::vector<double> off(trace.mean.size());
            for (std::size_t i = 0; i < off.size(); ++i)
                off[i] = check.runs[k].readings[i] - trace.mean[i];
            const Eigen::Vector3d circle = disc ? circle_through(check.stations, off)
                                                : Eigen::Vector3d(Eigen::Vector3d::Zero());
            for (std::size_t i = 0; i < off.size(); ++i) {
                const double theta = check.stations[i];
                const double left =
                    off[i] - circle[0] - circle[1] * std::cos(theta) - circle[2] * std::sin(theta);
                sum += left * left;
            }
        }
        result.degrees_of_freedom +=
            (static_cast<double>(trace.runs.size()) - 1) * (count - (disc ? 3 : 0));
    }
    if (result.degrees_of_freedom > 0)
        result.standard = std::sqrt(sum / result.degrees_of_freedom);
    return result;
}

class CircleRows {
  public:
    CircleRows(MachineModel& model, const CircleCheck& check)
        : model_(model), check_(check), traces_(traces_of(check)),
          scatter_(check.planned ? RunScatter{} : scatter(check, traces_)),
          indicator_(
              find_instrument(model.shop().indicators, check.indicator, "indicator", check.name)) {
        declare();
    }

    void add_to(std::vector<Observation>& observations) {
        if (disc())
            for (const auto& trace : traces_)
                add_cut(trace, observations);
        else
            add_link(observations);
    }

  private:
    /// A centre and a radius of its own, and how they move in time.
    struct Setting {
        std::array<int, 2> centre;
        std::array<int, 2> drift;
        int radius;
    };

    bool disc() const { return check_.trace == CircleTrace::disc; }

    std::string title(const Trace& trace) const {
        auto text = fmt::format(
            "{}, {}", check_.name, trace.counterclockwise ? "counterclockwise" : "clockwise");
        if (trace.turned != 0)
            text += fmt::format(" turned by {:.6g}°", trace.turned / degree);
        return text;
    }

    /// Readings taken before that of a station in its run.
    double order(bool counterclockwise, std::size_t station) const {
        const double here = beyond(check_.stations[station], check_.stations[0]);
        return static_cast<double>(
            std::count_if(check_.stations.begin(), check_.stations.end(), [&](double other) {
                const double there = beyond(other, check_.stations[0]);
                return counterclockwise ? there < here : there > here;
            }));
    }

    /// The station read first of all.
    std::size_t first() const {
        for (std::size_t i = 0; i < check_.stations.size(); ++i)
            if (order(check_.runs[0].counterclockwise, i) == 0)
                return i;
        return 0;
    }

    Setting declare_setting(const std::string& stem) {
        Setting setting{};
        for (std::size_t a = 0; a < 2; ++a) {
            const char axis = "XY"[a];
            setting.centre[a] =
                model_.add(offset_input(fmt::format("{}, centre in {}", stem, axis), free_offset));
            setting.drift[a] = model_.add(job_input(fmt::format("{}, drift in {}", stem, axis),
                                                    stem + ", drift",
                                                    "drift while reading " + stem,
                                                    rectangular_law(typical_drift),
                                                    Evidence::typical));
        }
        setting.radius = check_.radius_doubt
                             ? model_.add(job_input(stem + ", radius",
                                                    {},
                                                    "length of the link",
                                                    rectangular_law(*check_.radius_doubt),
                                                    Evidence::measured))
                             : model_.add(offset_input(stem + ", radius", free_offset));
        return setting;
    }

    void declare() {
        gain_ = shared_gain(model_, indicator_, "indicator");
        for (std::size_t a = 0; a < 2; ++a) {
            const char axis = "XY"[a];
            temperature_[a] = model_.add(
                job_input(fmt::format("{}, temperature of the scale of {}", check_.name, axis),
                          {},
                          fmt::format("temperature of the scale of {}", axis),
                          rectangular_law(check_.scale_doubt.value_or(typical_scale_doubt)),
                          check_.scale_doubt ? Evidence::measured : Evidence::typical));
            expansion_[a] =
                shared_scale_expansion(model_, static_cast<Axis>(a), check_.scale_expansion_doubt);
            if (check_.lead)
                short_wave_[a] = shared_short_wave(model_, static_cast<Axis>(a));
        }
        thermometer_ =
            model_.add(job_input(check_.name + ", thermometer",
                                 {},
                                 "thermometer",
                                 rectangular_law(check_.thermometer.value_or(typical_thermometer)),
                                 check_.thermometer ? Evidence::measured : Evidence::typical));
        const auto lobes = [&](const std::string& what,
                               const std::string& meaning,
                               const std::optional<double>& stated,
                               double typical) {
            std::array<int, 2> both{};
            for (std::size_t k = 0; k < 2; ++k)
                both[k] = model_.add(job_input(
                    fmt::format("{}, {}, {}", check_.name, what, k == 1 ? "sine" : "cosine"),
                    check_.name + ", " + what,
                    meaning,
                    normal_law(stated.value_or(typical) / magnitude_point),
                    stated ? Evidence::measured : Evidence::typical));
            return both;
        };
        two_lobed_ = lobes("two lobes",
                           disc() ? "two lobes by the chuck and the turning of the disc"
                                  : "two lobes by the pivot of the link",
                           check_.two_lobed,
                           disc() ? typical_chuck : typical_pivot);
        if (disc())
            spring_back_ = lobes("spring-back",
                                 "two lobes of the disc when it was let go",
                                 check_.spring_back,
                                 typical_spring_back);
        if (check_.radius_doubt && check_.feed > 0) {
            // -F²τ²/2R for an unknown lag of both axes, from nothing to that of a slow control
            const double half = std::pow(check_.feed * slowest, 2) / (4 * check_.radius);
            Input input = job_input(check_.name + ", radius lost by lag",
                                    {},
                                    "radius lost by the lag of both axes",
                                    rectangular_law(half),
                                    Evidence::typical);
            input.law = stats::Rectangular{-half, half, std::nullopt};
            lag_radius_ = model_.add(std::move(input));
        }
    }

    void add_link(std::vector<Observation>& observations) {
        const auto setting = declare_setting(check_.name);
        std::optional<double> closed;
        if (check_.closing)
            closed = *check_.closing - check_.runs[0].readings[first()];
        const Drift drift(model_, check_.name, typical_drift, free_offset, closed);
        const auto count = static_cast<double>(check_.stations.size());
        const double last = static_cast<double>(check_.runs.size()) * count - (closed ? 0.0 : 1.0);
        for (const auto& trace : traces_) {
            const auto circle = circle_through(check_.stations, trace.mean);
            for (std::size_t i = 0; i < check_.stations.size(); ++i) {
                std::vector<double> times;
                for (const auto k : trace.runs)
                    times.push_back(
                        (static_cast<double>(k) * count + order(trace.counterclockwise, i)) / last);
                push(trace, i, trace.mean[i], circle, setting, drift, times, observations);
            }
        }
        if (closed) {
            const auto& trace = traces_[0];
            const auto circle = circle_through(check_.stations, trace.mean);
            push(trace, first(), *check_.closing, circle, setting, drift, {1}, observations);
            auto& reading = observations.back();
            reading.what = check_.name + ", closing reading";
            reading.noise = noise(reading.what, first(), 1);
        }
        observations.back().offsets = (check_.radius_doubt ? 2 : 3) + (closed ? 1 : 0);
        observations.back().closure = closed;
    }

    void add_cut(const Trace& trace, std::vector<Observation>& observations) {
        const auto stem = title(trace);
        const auto setting = declare_setting(stem);
        const Drift drift(model_, stem, typical_drift, free_offset, std::nullopt);
        const auto circle = circle_through(check_.stations, trace.mean);
        const double last = static_cast<double>(check_.stations.size()) - 1;
        for (std::size_t i = 0; i < check_.stations.size(); ++i)
            push(trace,
                 i,
                 trace.mean[i],
                 circle,
                 setting,
                 drift,
                 std::vector<double>(trace.runs.size(), order(trace.counterclockwise, i) / last),
                 observations);
        observations.back().offsets = 3;
    }

    void push(const Trace& trace,
              std::size_t i,
              double reading,
              const Eigen::Vector3d& circle,
              const Setting& setting,
              const Drift& drift,
              const std::vector<double>& times, // of the runs behind it, 0 … 1
              std::vector<Observation>& observations) {
        auto row = at_station(trace, i, reading);
        const double theta = check_.stations[i];
        const std::array<double, 2> n = {std::cos(theta), std::sin(theta)};
        row.add(setting.radius, 1);
        double value = reading;
        for (std::size_t a = 0; a < 2; ++a) {
            row.add(setting.centre[a], n[a]);
            for (const double time : times)
                row.add(setting.drift[a], n[a] * time / static_cast<double>(times.size()));
            value -= check_.radius * check_.scale_expansion * check_.scale_warmer[a] * n[a] * n[a];
        }
        for (const double time : times)
            drift.apply(row, time, 1 / static_cast<double>(times.size()));
        const double across = circle[2] * n[0] - circle[1] * n[1];
        value -= (disc() ? -1 : 1) * across * across / (2 * check_.radius);
        const auto what = fmt::format("{}, at {:.6g}°", title(trace), theta / degree);
        observations.push_back(
            {check_.name, what, row.take(), value, noise(what, i, static_cast<int>(times.size()))});
    }

    /// Whether an axis is taking up its lost motion there. @param along component of n on the axis
    bool turning_round(double along) const {
        const double most = std::min(1.0, model_.assumed_class().reversal.high / check_.radius);
        return std::acos(std::min(1.0, std::abs(along))) < std::acos(1 - most) + turning_margin;
    }

    std::vector<Input> noise(const std::string& what, std::size_t station, int runs) const {
        auto parts = runs_noise(model_, check_.name, what, scatter_, indicator_.resolution, runs);
        if (disc())
            parts.push_back(job_input(what + ", surface",
                                      check_.name + ", surface",
                                      "roughness and chatter of the disc",
                                      rectangular_law(check_.surface.value_or(typical_surface) / 2),
                                      check_.surface ? Evidence::measured : Evidence::typical));
        const double theta = check_.stations[station];
        for (const auto axis : {Axis::x, Axis::y}) {
            const double along = axis == Axis::x ? std::cos(theta) : std::sin(theta);
            if (turning_round(along))
                parts.push_back(job_input(
                    fmt::format("{}, {} turning round", what, letter(axis)),
                    check_.name + ", turning round",
                    "where an axis stands while it turns round",
                    rectangular_law(std::abs(along) * model_.assumed_class().reversal.high / 2),
                    Evidence::assumed));
        }
        return parts;
    }

    Row at_station(const Trace& trace, std::size_t i, double reading) {
        const double theta = check_.stations[i];
        const double R = check_.radius;
        const double sense = trace.counterclockwise ? 1 : -1;
        const Eigen::Vector3d n(std::cos(theta), std::sin(theta), 0);
        const Eigen::Vector3d way(-sense * n.y(), sense * n.x(), 0);
        const Eigen::Vector3d position = check_.centre + R * n;
        Row row(n.transpose() *
                model_.point_error(position, {0, 0, -check_.gauge_length}, check_.date));
        for (int a = 0; a < 2; ++a) {
            const auto k = static_cast<std::size_t>(a);
            const double part = n[a] * n[a];
            if (!turning_round(n[a]))
                row.add(model_.lost_motion(static_cast<Axis>(a), check_.date),
                        -0.5 * n[a] * (way[a] > 0 ? 1 : -1));
            row.add(expansion_[k], check_.scale_warmer[k] * R * part);
            row.add(temperature_[k], check_.scale_expansion * R * part);
            row.add(thermometer_, check_.scale_expansion * R * part);
            if (check_.lead) {
                const double phase = full_turn * position[a] / *check_.lead;
                row.add(short_wave_[k][0], n[a] * std::cos(phase));
                row.add(short_wave_[k][1], n[a] * std::sin(phase));
            }
        }
        row.add(model_.lag_mismatch(check_.date), sense * check_.feed / 2 * std::sin(2 * theta));
        const double in_chuck = theta + trace.turned;
        row.add(two_lobed_[0], std::cos(2 * in_chuck));
        row.add(two_lobed_[1], std::sin(2 * in_chuck));
        if (disc()) {
            row.add(spring_back_[0], std::cos(2 * theta));
            row.add(spring_back_[1], std::sin(2 * theta));
        }
        if (lag_radius_ >= 0)
            row.add(lag_radius_, 1);
        row.add(gain_, -reading);
        return row;
    }

    MachineModel& model_;
    const CircleCheck& check_;
    std::vector<Trace> traces_;
    RunScatter scatter_;
    const Indicator& indicator_;
    int gain_ = 0;
    int thermometer_ = 0;
    int lag_radius_ = -1;
    std::array<int, 2> temperature_{};
    std::array<int, 2> expansion_{};
    std::array<int, 2> two_lobed_{};
    std::array<int, 2> spring_back_{};
    std::array<std::array<int, 2>, 2> short_wave_{};
};

} // namespace

double circle_arc(const std::vector<double>& stations) {
    std::vector<double> sorted;
    for (const double station : stations)
        sorted.push_back(beyond(station, 0));
    std::sort(sorted.begin(), sorted.end());
    if (sorted.empty())
        return 0;
    double gap = sorted.front() + full_turn - sorted.back();
    for (std::size_t i = 1; i < sorted.size(); ++i)
        gap = std::max(gap, sorted[i] - sorted[i - 1]);
    return full_turn - gap;
}

Eigen::Vector3d circle_through(const std::vector<double>& stations,
                               const std::vector<double>& readings) {
    const auto count = static_cast<Eigen::Index>(stations.size());
    Eigen::MatrixXd design(count, 3);
    for (Eigen::Index i = 0; i < count; ++i) {
        const double theta = stations[static_cast<std::size_t>(i)];
        design.row(i) << 1, std::cos(theta), std::sin(theta);
    }
    return design.colPivHouseholderQr().solve(
        Eigen::Map<const Eigen::VectorXd>(readings.data(), count));
}

void observe(MachineModel& model,
             const CircleCheck& check,
             std::vector<Observation>& observations) {
    require_fit(check);
    CircleRows(model, check).add_to(observations);
}

std::vector<Measurand> measured_by(const MachineModel& model, const CircleCheck& check) {
    const auto count = static_cast<Eigen::Index>(check.stations.size());
    const double R = check.radius;
    Eigen::MatrixXd signatures(count, 5); // radius, centre, squareness, scale of X over that of Y
    Eigen::MatrixXd deviations(count, model.zero().size());
    for (Eigen::Index i = 0; i < count; ++i) {
        const double theta = check.stations[static_cast<std::size_t>(i)];
        const Eigen::Vector3d n(std::cos(theta), std::sin(theta), 0);
        signatures.row(i) << R, n.x(), n.y(), -R / 2 * std::sin(2 * theta),
            R / 2 * std::cos(2 * theta);
        deviations.row(i) =
            n.transpose() *
            model.point_error(check.centre + R * n, {0, 0, -check.gauge_length}, check.date);
    }
    const Eigen::MatrixXd fitted = signatures.colPivHouseholderQr().solve(deviations);
    const auto scale = [&](int a) {
        const int index = motion_index(a, static_cast<Axis>(a));
        return Eigen::RowVectorXd((model.parameter(index, check.centre[a] + R, check.date) -
                                   model.parameter(index, check.centre[a] - R, check.date)) /
                                  (2 * R));
    };
    std::vector<Measurand> all = {
        {"Y square to X there", true, fitted.row(3), model.parameter(c0y_index, 0, check.date)},
        {"scale of X over that of Y there, at 20 °C", true, fitted.row(4), scale(0) - scale(1)}};
    if (check.radius_doubt)
        all.push_back({"mean scale of X and Y there, at 20 °C",
                       true,
                       fitted.row(0),
                       (scale(0) + scale(1)) / 2});
    const auto counterclockwise = [](const CircleRun& run) { return run.counterclockwise; };
    if (std::any_of(check.runs.begin(), check.runs.end(), counterclockwise) &&
        !std::all_of(check.runs.begin(), check.runs.end(), counterclockwise)) {
        for (const auto axis : {Axis::x, Axis::y}) {
            const auto lost = model.lost_motion(axis, check.date);
            all.push_back({fmt::format("lost motion of {}", letter(axis)), false, lost, lost});
        }
        if (check.feed > 0) {
            const Eigen::RowVectorXd lag = check.feed * model.lag_mismatch(check.date);
            all.push_back({"X behind Y by lag at that feed", false, lag, lag});
        }
    }
    return all;
}

} // namespace holdable
