// SPDX-License-Identifier: MIT
#include "holdable/machine/checks.hpp"

#include "holdable/base/error.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace holdable {
namespace {

// What a check leaves open unless it says otherwise: common practice, no source.
constexpr double typical_drift = 2e-6;       // over one setting, half-width (m)
constexpr double typical_level_drift = 5e-6; // over one run, half-width (rad)
constexpr double drift_curvature = 0.12; // of the drift, left by a straight line (warm-up, T = τ)
constexpr double typical_way_clearance = 5e-6; // reading upwards only, half-width (rad)
constexpr double square_wear = 1e-6;   // a year in the shop, standard uncertainty over its edge (m)
constexpr double square_bend = 2.9e-6; // steel, 0.1 K across a beam of a fifth of its length (rad)

// A free offset or drift: so wide that any reading decides it.
constexpr double free_offset = 1e-3;     // (m)
constexpr double free_level_zero = 1e-2; // (rad)

stats::Distribution normal(double sigma) {
    return stats::Normal{0, sigma, std::nullopt};
}

stats::Distribution rectangular(double half_width) {
    return stats::Rectangular{0, half_width, std::nullopt};
}

template <class Instrument>
const Instrument& find(const std::vector<Instrument>& all,
                       const std::string& name,
                       const std::string& kind,
                       const std::string& check) {
    for (const auto& instrument : all)
        if (instrument.name == name)
            return instrument;
    throw InputError(
        "instrument-unknown",
        fmt::format("check \"{}\" names the {} \"{}\", which is not among the instruments",
                    check,
                    kind,
                    name));
}

void require_shape(bool holds, const std::string& check, const std::string& what) {
    if (!holds)
        throw InputError("check-shape", fmt::format("check \"{}\": {}", check, what));
}

Input job_input(std::string name,
                std::string group,
                std::string meaning,
                stats::Distribution law,
                Evidence evidence) {
    return {std::move(name),
            std::move(group),
            std::move(meaning),
            std::move(law),
            evidence,
            Sharing::job,
            {},
            0};
}

/// An observation under construction: coefficients by unknown, so that unknowns may still be added.
class Row {
  public:
    explicit Row(Eigen::RowVectorXd start) : row_(std::move(start)) {}

    void add(int unknown, double coefficient) {
        if (unknown >= row_.size()) {
            const auto old = row_.size();
            row_.conservativeResize(unknown + 1);
            row_.tail(unknown + 1 - old).setZero();
        }
        row_[unknown] += coefficient;
    }

    Eigen::RowVectorXd take() { return std::move(row_); }

  private:
    Eigen::RowVectorXd row_;
};

/// By how much a run failed to close, if it was closed.
std::optional<double> moved(const std::optional<double>& closing,
                            const std::vector<double>& readings) {
    return closing ? std::optional(*closing - readings.front()) : std::nullopt;
}

/// Drift over one run of readings: linear in time, and bent where only a straight line was closed.
class Drift {
  public:
    Drift(MachineModel& model,
          const std::string& stem,
          double typical,
          double free_size,
          std::optional<double> closing)
        : closed_(closing.has_value()) {
        linear_ = model.add(job_input(stem + ", drift",
                                      stem + ", drift",
                                      "drift while reading " + stem,
                                      closed_ ? normal(free_size / 10) : rectangular(typical),
                                      closed_ ? Evidence::measured : Evidence::typical));
        if (closed_)
            bend_ = model.add(job_input(stem + ", bend of the drift",
                                        stem + ", drift",
                                        "drift while reading " + stem,
                                        rectangular(drift_curvature * std::abs(*closing)),
                                        Evidence::typical));
    }

    /// Whether the drift is as free as an offset: the closing reading decides it.
    bool closed() const { return closed_; }

    /// @param time 0 at the first reading, 1 at the last
    void apply(Row& row, double time) const {
        row.add(linear_, time);
        if (closed_)
            row.add(bend_, 4 * time * (1 - time));
    }

  private:
    bool closed_;
    int linear_ = 0;
    int bend_ = 0;
};

// ------------------------------------------------------------------ square and indicator

class SquareRows {
  public:
    SquareRows(MachineModel& model, const SquareCheck& check)
        : model_(model), check_(check),
          square_(find(model.shop().squares, check.square, "square", check.name)),
          indicator_(find(model.shop().indicators, check.indicator, "indicator", check.name)) {
        require_shape(check.across != Axis::z, check.name, "the plane is ZX or ZY");
        require_shape(
            check.stations.size() >= 3, check.name, "an edge needs three stations or more");
        require_shape(!check.settings.empty(), check.name, "there is no setting of the square");
        for (const auto& setting : check.settings)
            require_shape((setting.edge_repeats.empty() ||
                           setting.edge_repeats.size() == check.stations.size()) &&
                              setting.edge_spread.size() == setting.edge_repeats.size(),
                          check.name,
                          "repeats and their spread are given for every station or for none");
        pool_repeats();
        declare_instruments();
    }

    void add_to(std::vector<Observation>& observations) {
        for (std::size_t i = 0; i < check_.settings.size(); ++i)
            add_setting(check_.settings[i], i + 1, observations);
    }

  private:
    void declare_instruments() {
        const auto& s = square_;
        const auto stem = fmt::format("square \"{}\"", s.name);
        lean_ = model_.shared(job_input(
            stem,
            {},
            fmt::format("error of the square \"{}\"", s.name),
            s.standard > 0 ? stats::Distribution(stats::Normal{s.lean, s.standard, std::nullopt})
                           : stats::Distribution(stats::Rectangular{s.lean, s.limit, std::nullopt}),
            s.evidence));
        if (s.certificate) {
            years_ = since_calibration(*s.certificate);
            wear_ = model_.shared(
                job_input(stem + ", change in a year",
                          {},
                          fmt::format("wear of the square \"{}\" since its certificate", s.name),
                          normal(square_wear / s.length),
                          Evidence::typical));
        }
        gain_ =
            model_.shared(job_input(fmt::format("indicator \"{}\", gain", indicator_.name),
                                    {},
                                    fmt::format("gain of the indicator \"{}\"", indicator_.name),
                                    rectangular(indicator_.gain_doubt),
                                    indicator_.gain_evidence));
        const auto horizontal = check_.across == Axis::x ? 'X' : 'Y';
        table_ = model_.shared(
            job_input(fmt::format("table against the motion of {}", horizontal),
                      {},
                      fmt::format("table not parallel to the motion of {}", horizontal),
                      normal(model_.assumed_class().squareness.high / 2),
                      Evidence::assumed));
        clearance_ = model_.add(job_input(check_.name + ", approach",
                                          {},
                                          "clearance of the ways of Z, read in one direction",
                                          rectangular(typical_way_clearance),
                                          Evidence::typical));
    }

    /// From the calibration to the check; where its day is not known, a year before it is due, or
    /// a year (years).
    double since_calibration(const Certificate& certificate) const {
        if (certificate.date)
            return std::max(0.0, years_between(*certificate.date, check_.date));
        return certificate.due ? std::max(0.0, 1 - years_between(check_.date, *certificate.due))
                               : 1;
    }

    /// Form of the edge at a height: the same unknown whenever this square is read there.
    int form_at(double height) {
        return model_.shared(
            job_input(fmt::format("square \"{}\", form at {:.1f} mm", square_.name, height * 1e3),
                      fmt::format("square \"{}\", form", square_.name),
                      fmt::format("form of the edge of the square \"{}\"", square_.name),
                      rectangular(square_.edge_form / 2),
                      square_.form_evidence));
    }

    int tilt(const std::string& stem) {
        const auto& c = model_.assumed_class();
        const double local =
            check_.low_spot.value_or(c.table_flatness.high * std::min(1.0, check_.base / 0.400));
        return model_.add(job_input(stem + ", low spot",
                                    {},
                                    "low spot of the table under the square",
                                    rectangular(2 * local / check_.base),
                                    check_.low_spot ? Evidence::measured : Evidence::assumed));
    }

    /// One standard deviation of all repeats of the check: that of few readings says little.
    void pool_repeats() {
        double sum = 0;
        for (const auto& setting : check_.settings)
            for (std::size_t i = 0; i < setting.edge_repeats.size(); ++i) {
                const double dof = setting.edge_repeats[i] - 1;
                sum += dof * setting.edge_spread[i] * setting.edge_spread[i];
                spread_dof_ += dof;
            }
        spread_ = spread_dof_ > 0 ? std::sqrt(sum / spread_dof_) : 0;
    }

    std::vector<Input> noise(const std::string& name, int repeats) const {
        const auto group = check_.name + ", reading noise";
        const auto meaning = "reading noise of the check " + check_.name;
        const bool repeated = repeats > 1 && spread_ > 0;
        const double s = repeated ? spread_ : indicator_.repeatability;
        std::vector<Input> parts;
        Input repeat = job_input(name + ", repeat",
                                 group,
                                 meaning,
                                 normal(s / std::sqrt(static_cast<double>(repeats))),
                                 repeated ? Evidence::measured : indicator_.repeatability_evidence);
        if (repeated) {
            repeat.scale = check_.name + ", spread of repeats";
            repeat.scale_dof = spread_dof_;
        } else if (indicator_.repeatability_dof > 0) {
            repeat.scale = fmt::format("indicator \"{}\", repeatability", indicator_.name);
            repeat.scale_dof = indicator_.repeatability_dof;
        }
        parts.push_back(std::move(repeat));
        // Repeats do not average what the last digit hides unless they wander over it.
        if (repeats == 1 || spread_ < indicator_.resolution / 2)
            parts.push_back(job_input(name + ", last digit",
                                      group,
                                      meaning,
                                      rectangular(indicator_.resolution / 2),
                                      Evidence::measured));
        return parts;
    }

    void add_setting(const SquareSetting& setting,
                     std::size_t number,
                     std::vector<Observation>& observations) {
        const auto stem = fmt::format("{}, setting {}", check_.name, number);
        require_shape(setting.edge_readings.size() == check_.stations.size(),
                      check_.name,
                      fmt::format("setting {} has {} readings along the edge for {} stations",
                                  number,
                                  setting.edge_readings.size(),
                                  check_.stations.size()));
        require_shape(setting.leg_readings.size() == setting.leg_stations.size(),
                      check_.name,
                      fmt::format("setting {} has {} readings along the leg for {} stations",
                                  number,
                                  setting.leg_readings.size(),
                                  setting.leg_stations.size()));
        const int tilted = tilt(stem);
        const int bend = model_.add(job_input(stem + ", bend by warmth",
                                              check_.name + ", bend of the square by warmth",
                                              "square bent by warmth",
                                              rectangular(square_bend),
                                              Evidence::typical));
        add_edge(setting, stem, tilted, bend, observations);
        if (!setting.leg_stations.empty())
            add_leg(setting, stem, tilted, observations);
    }

    void add_edge(const SquareSetting& setting,
                  const std::string& stem,
                  int tilted,
                  int bend,
                  std::vector<Observation>& observations) {
        const int offset = model_.add(job_input(
            stem + ", edge offset", "offsets", "offset", normal(free_offset), Evidence::measured));
        const Drift drift(model_,
                          stem + ", edge",
                          typical_drift,
                          free_offset,
                          moved(setting.closing, setting.edge_readings));
        const double turned = setting.leg_towards_plus ? 1 : -1;
        const auto count = check_.stations.size();
        const double last = static_cast<double>(setting.closing ? count : count - 1);
        const auto add_reading =
            [&](double z, double reading, double time, const std::string& what, int repeats) {
                const double height = z - check_.place.z();
                Eigen::Vector3d position = check_.place;
                position.z() = z;
                Row row(-model_.point_error(position, tool(), check_.date)
                             .row(static_cast<int>(check_.across)));
                row.add(lean_, turned * height);
                if (wear_ >= 0)
                    row.add(wear_, turned * height * years_);
                row.add(form_at(height), turned);
                row.add(table_, height);
                row.add(tilted, height);
                row.add(bend, height);
                row.add(clearance_, height);
                row.add(offset, 1);
                drift.apply(row, time);
                row.add(gain_, -reading);
                observations.push_back(
                    {check_.name, what, row.take(), reading, noise(what, repeats), 0});
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
    }

    void add_leg(const SquareSetting& setting,
                 const std::string& stem,
                 int tilted,
                 std::vector<Observation>& observations) {
        const int offset = model_.add(job_input(
            stem + ", leg offset", "offsets", "offset", normal(free_offset), Evidence::measured));
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
                                    noise(what, 1),
                                    i == 0 ? 1 : 0});
        }
    }

    Eigen::Vector3d tool() const { return {0, 0, -check_.gauge_length}; }

    MachineModel& model_;
    const SquareCheck& check_;
    const Square& square_;
    const Indicator& indicator_;
    double spread_ = 0; // of repeats, pooled
    double spread_dof_ = 0;
    int lean_ = 0;
    int wear_ = -1;
    double years_ = 0;
    int gain_ = 0;
    int table_ = 0;
    int clearance_ = 0;
};

// ------------------------------------------------------------------ level

void add_level(MachineModel& model,
               const LevelCheck& check,
               std::vector<Observation>& observations) {
    const auto& level = find(model.shop().levels, check.level, "level", check.name);
    require_shape(check.points != Axis::z, check.name, "a level points along X or Y");
    require_shape(check.stations.size() >= 3, check.name, "a run needs three stations or more");
    require_shape(
        check.readings.size() == check.stations.size(),
        check.name,
        fmt::format("{} readings for {} stations", check.readings.size(), check.stations.size()));
    const int gain = model.shared(job_input(fmt::format("level \"{}\", gain", level.name),
                                            {},
                                            fmt::format("gain of the level \"{}\"", level.name),
                                            rectangular(level.gain_doubt),
                                            level.gain_evidence));
    const int zero = model.add(job_input(
        check.name + ", zero", "offsets", "offset", normal(free_level_zero), Evidence::measured));
    const auto axis = static_cast<std::size_t>(check.axis);
    const int rocking = model.shared(job_input(fmt::format("rocking as {} moves, seen along {}",
                                                           "XYZ"[axis],
                                                           check.points == Axis::x ? 'X' : 'Y'),
                                               {},
                                               "the whole machine rocking on its mounts",
                                               rectangular(model.assumed_class().rocking.high),
                                               Evidence::assumed));
    const Drift drift(model,
                      check.name,
                      typical_level_drift,
                      free_level_zero,
                      moved(check.closing, check.readings));

    // A level along X sees the rotation about Y, one along Y that about X; what rides on the table
    // turns against the tool-side body whose error is meant.
    const int about = check.points == Axis::x ? 4 : 3;
    const double sign =
        (check.points == Axis::x ? 1 : -1) * (check.rides == LevelRides::table ? 1 : -1);
    const int parameter = motion_index(about, check.axis);
    const auto& travel = model.shop().travel[axis];
    const auto count = check.stations.size();
    const double last = static_cast<double>(check.closing ? count : count - 1);
    const auto add_reading = [&](double q, double reading, double time, const std::string& what) {
        Row row(sign * model.parameter(parameter, q, check.date));
        row.add(zero, 1);
        row.add(rocking, (q - travel.reference) / (travel.high - travel.low));
        drift.apply(row, time);
        row.add(gain, -reading);
        observations.push_back({check.name,
                                what,
                                row.take(),
                                reading,
                                {job_input(what,
                                           check.name + ", reading noise",
                                           "reading noise of the check " + check.name,
                                           normal(level.read_to * level.division),
                                           Evidence::typical)},
                                0});
    };
    for (std::size_t i = 0; i < count; ++i)
        add_reading(check.stations[i],
                    check.readings[i],
                    static_cast<double>(i) / last,
                    fmt::format("{}, reading {}", check.name, i + 1));
    if (check.closing)
        add_reading(check.stations[0], *check.closing, 1, check.name + ", closing reading");
    observations.back().offsets = drift.closed() ? 2 : 1;
}

} // namespace

std::vector<Observation> observe(MachineModel& model) {
    std::vector<Observation> observations;
    for (const auto& check : model.shop().square_checks)
        if (check.date <= model.job())
            SquareRows(model, check).add_to(observations);
    for (const auto& check : model.shop().level_checks)
        if (check.date <= model.job())
            add_level(model, check, observations);
    return observations;
}

} // namespace holdable
