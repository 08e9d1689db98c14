// SPDX-License-Identifier: MIT
#include "holdable/machine/run_out_check.hpp"

#include "holdable/machine/observation.hpp"
#include "holdable/machine/typical.hpp"

#include <Eigen/QR>
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <complex>
#include <numbers>

namespace holdable {
namespace {

// What a check leaves open unless it says otherwise: common practice, no source.
constexpr double typical_shift = 0.6e-6;                        // of a seat, each component (m)
constexpr double typical_tilt = 5.4e-6;                         // of a seat, each component (rad)
constexpr double typical_bar = 2e-6;                            // run-out of the bar, total (m)
constexpr double typical_angle = 15 * std::numbers::pi / 180.0; // half-width (rad)

std::complex<double> vector_of(const RunOutReading& reading) {
    return std::polar(reading.total / 2, reading.high_at);
}

bool bar_was_turned(const RunOutCheck& check) {
    return std::any_of(check.seats.begin(), check.seats.end(), [&](const RunOutSeat& seat) {
        return std::abs(std::polar(1.0, seat.bar_turned) -
                        std::polar(1.0, check.seats.front().bar_turned)) > 1e-6;
    });
}

/// Standard deviation of a component of the vectors about what the spindle and the bar explain.
double spread(const RunOutCheck& check, const Eigen::VectorXcd& vectors, bool turned, double dof) {
    const auto n = vectors.size();
    Eigen::MatrixXcd design = Eigen::MatrixXcd::Ones(n, turned ? 2 : 1);
    for (Eigen::Index i = 0; turned && i < n; ++i)
        design(i, 1) = std::polar(1.0, check.seats[static_cast<std::size_t>(i)].bar_turned);
    const Eigen::VectorXcd left = vectors - design * design.colPivHouseholderQr().solve(vectors);
    return std::sqrt(left.squaredNorm() / dof);
}

void require_seats(const RunOutCheck& check) {
    require_shape(!check.seats.empty(), check.name, "the bar was not seated");
    const bool far = check.seats.front().at_length.has_value();
    for (const auto& seat : check.seats)
        require_shape(seat.at_length.has_value() == far,
                      check.name,
                      "every seat is read at the length, or none");
    require_shape(!far || check.length > 0, check.name, "the length is not given");
}

class RunOutRows {
  public:
    RunOutRows(MachineModel& model, const RunOutCheck& check)
        : model_(model), check_(check),
          indicator_(
              find_instrument(model.shop().indicators, check.indicator, "indicator", check.name)),
          scatter_(seat_scatter(check)) {
        gain_ = shared_gain(model, indicator_, "indicator");
        declare_bar("at the nose", bar_[0]);
        if (check.seats.front().at_length)
            declare_bar("at the length", bar_[1]);
    }

    void add_to(std::vector<Observation>& observations) {
        for (std::size_t i = 0; i < check_.seats.size(); ++i) {
            const auto& seat = check_.seats[i];
            const auto stem = fmt::format("{}, seat {}", check_.name, i + 1);
            const auto shift = declare_seat(stem + ", shift", "shift", scatter_.shift);
            add_place(seat, seat.nose, 0, bar_[0], shift, {}, stem + ", nose", observations);
            if (seat.at_length) {
                const auto tilt = declare_seat(stem + ", tilt", "tilt", scatter_.tilt);
                add_place(seat,
                          *seat.at_length,
                          check_.length,
                          bar_[1],
                          shift,
                          tilt,
                          stem + ", length",
                          observations);
            }
        }
    }

  private:
    using Components = std::array<int, 2>;

    bool measured() const { return scatter_.degrees_of_freedom > 0; }

    void declare_bar(const std::string& where, Components& components) {
        for (std::size_t k = 0; k < 2; ++k)
            components[k] = model_.add(
                job_input(fmt::format("{}, bar {}, {}", check_.name, where, k + 1),
                          check_.name + ", bar",
                          "run-out of the test bar itself",
                          normal_law(check_.bar_total.value_or(typical_bar) / 2 / magnitude_point),
                          check_.bar_total ? Evidence::specification : Evidence::typical));
    }

    Components declare_seat(const std::string& stem, const std::string& how, double sigma) {
        Components components{};
        for (std::size_t k = 0; k < 2; ++k) {
            auto input = job_input(fmt::format("{}, {}", stem, k + 1),
                                   check_.name + ", seat",
                                   "seating of the test bar",
                                   normal_law(sigma),
                                   measured() ? Evidence::measured : Evidence::typical);
            if (measured()) {
                input.scale = fmt::format("{}, {} of the seats", check_.name, how);
                input.scale_dof = scatter_.degrees_of_freedom;
            }
            components[k] = model_.add(std::move(input));
        }
        return components;
    }

    /// What the last digit hides of half a total reading; a repeat where the seats do not hold it.
    std::vector<Input> noise(const std::string& what, double seats) const {
        const auto group = check_.name + ", reading noise";
        const auto meaning = "reading noise of the check " + check_.name;
        std::vector<Input> parts;
        if (!measured())
            parts.push_back(job_input(what + ", repeat",
                                      group,
                                      meaning,
                                      normal_law(indicator_.repeatability / std::numbers::sqrt2),
                                      indicator_.repeatability_evidence));
        if (!measured() || seats < indicator_.resolution / 4)
            for (const auto* end : {"high", "low"})
                parts.push_back(job_input(fmt::format("{}, last digit, {}", what, end),
                                          group,
                                          meaning,
                                          rectangular_law(indicator_.resolution / 4),
                                          Evidence::measured));
        return parts;
    }

    void add_place(const RunOutSeat& seat,
                   const RunOutReading& read,
                   double length,
                   const Components& bar,
                   const Components& shift,
                   const std::optional<Components>& tilt,
                   const std::string& stem,
                   std::vector<Observation>& observations) {
        const auto spindle = model_.run_out(length, check_.date);
        const double seats = std::hypot(scatter_.shift, length * scatter_.tilt);
        const double c = std::cos(seat.bar_turned);
        const double s = std::sin(seat.bar_turned);
        for (const bool across : {false, true}) {
            const double angle = read.high_at + (across ? std::numbers::pi / 2 : 0);
            const double x = std::cos(angle);
            const double y = std::sin(angle);
            Row row(x * spindle.row(0) + y * spindle.row(1));
            row.add(bar[0], x * c + y * s); // R(θ) b
            row.add(bar[1], y * c - x * s);
            row.add(shift[0], x);
            row.add(shift[1], y);
            if (tilt) {
                row.add((*tilt)[0], length * x);
                row.add((*tilt)[1], length * y);
            }
            const double value = across ? 0 : read.total / 2;
            row.add(gain_, -value);
            const auto what = stem + (across ? ", across the high spot" : ", along the high spot");
            auto parts = noise(what, seats);
            if (across && !measured() && read.total > 0)
                parts.push_back(job_input(
                    what + ", angle",
                    check_.name + ", angle of the high spot",
                    "angle of the high spot",
                    rectangular_law(check_.angle_doubt.value_or(typical_angle) * read.total / 2),
                    check_.angle_doubt ? Evidence::measured : Evidence::typical));
            observations.push_back({check_.name, what, row.take(), value, std::move(parts), 0});
        }
    }

    MachineModel& model_;
    const RunOutCheck& check_;
    const Indicator& indicator_;
    SeatScatter scatter_;
    int gain_ = 0;
    std::array<Components, 2> bar_{};
};

} // namespace

SeatScatter typical_seat_scatter() {
    return {typical_shift, typical_tilt, 0};
}

SeatScatter seat_scatter(const RunOutCheck& check) {
    require_seats(check);
    const bool turned = bar_was_turned(check);
    const auto n = static_cast<Eigen::Index>(check.seats.size());
    const double dof = 2.0 * (static_cast<double>(n) - (turned ? 2 : 1));
    if (dof <= 0 || check.planned)
        return typical_seat_scatter();
    Eigen::VectorXcd nose(n);
    Eigen::VectorXcd tilt = Eigen::VectorXcd::Zero(n);
    for (Eigen::Index i = 0; i < n; ++i) {
        const auto& seat = check.seats[static_cast<std::size_t>(i)];
        nose[i] = vector_of(seat.nose);
        if (seat.at_length)
            tilt[i] = (vector_of(*seat.at_length) - nose[i]) / check.length;
    }
    return {spread(check, nose, turned, dof),
            check.seats.front().at_length ? spread(check, tilt, turned, dof) : typical_tilt,
            dof};
}

void observe(MachineModel& model,
             const RunOutCheck& check,
             std::vector<Observation>& observations) {
    RunOutRows(model, check).add_to(observations);
}

std::vector<Measurand> measured_by(const MachineModel& model, const RunOutCheck& check) {
    const auto along_mean = [&](const std::string& where, double length, const auto& read) {
        std::complex<double> sum = 0;
        for (const auto& seat : check.seats)
            sum += vector_of(read(seat));
        const Eigen::RowVector2d towards(std::cos(std::arg(sum)), std::sin(std::arg(sum)));
        const Eigen::RowVectorXd total = 2 * towards * model.run_out(length, check.date);
        return Measurand{"run-out " + where, false, total, total, true};
    };
    std::vector<Measurand> all = {
        along_mean("at the nose", 0, [](const auto& seat) { return seat.nose; })};
    if (check.seats.front().at_length)
        all.push_back(along_mean(
            "at the length", check.length, [](const auto& seat) { return *seat.at_length; }));
    return all;
}

} // namespace holdable
