// SPDX-License-Identifier: MIT
#include "holdable/machine/notebook_line.hpp"

#include "holdable/machine/observation.hpp"
#include "holdable/machine/typical.hpp"
#include "holdable/standards/reference_gear.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace holdable {
namespace {

// What a line leaves open: common practice, no source.
constexpr double base_part = 0.7;       // base of a square, of its edge
constexpr double gauge_length = 0.1;    // of the indicator (m)
constexpr double clear_of_table = 0.02; // the lowest station (m)
constexpr int stations = 5;

/// Coordinates from `low` on over a length, kept inside the travel.
std::vector<double> run(const Travel& travel, double low, double length) {
    const double reach = std::min(length, travel.high - travel.low);
    const double from = std::clamp(low, travel.low, travel.high - reach);
    std::vector<double> at;
    for (int i = 0; i < stations; ++i)
        at.push_back(from + reach * i / (stations - 1));
    return at;
}

/// The lean as a form, with the axes at a place of the table.
class Lean {
  public:
    Lean(const MachineModel& model, const NotebookLine& line) : model_(model), line_(line) {}

    Eigen::RowVectorXd at(const Eigen::Vector2d& place) const {
        const auto& travel = model_.shop().travel;
        const double lowest = clear_of_table + gauge_length - model_.shop().nose_to_table;
        const Eigen::Vector3d start(
            place.x(), place.y(), std::clamp(lowest, travel[2].low, travel[2].high));
        const int u = static_cast<int>(line_.across);
        const int w = static_cast<int>(line_.along);
        const auto first = [&](int axis) {
            return axis == 2 ? start[axis] : start[axis] - line_.length / 2;
        };
        auto form = slope(start, w, first(w), u);
        // The leg: along X for a square that lies; of one that stands, where it was swept.
        if (line_.along == Axis::y || line_.leg_swept)
            form += slope(start, u, first(u), w);
        return form;
    }

    Eigen::Vector2d middle() const {
        const auto& travel = model_.shop().travel;
        return {(travel[0].low + travel[0].high) / 2, (travel[1].low + travel[1].high) / 2};
    }

  private:
    /// Slope of the tool point's error along one axis over the coordinate of another.
    Eigen::RowVectorXd slope(Eigen::Vector3d position, int moving, double from, int error) const {
        const auto& travel = model_.shop().travel[static_cast<std::size_t>(moving)];
        const auto at = run(travel, from, line_.length);
        const double mean = (at.front() + at.back()) / 2;
        double spread = 0;
        Eigen::RowVectorXd sum = model_.zero();
        for (const double q : at) {
            position[moving] = q;
            sum += (q - mean) *
                   model_.point_error(position, {0, 0, -gauge_length}, line_.date).row(error);
            spread += (q - mean) * (q - mean);
        }
        return sum / spread;
    }

    const MachineModel& model_;
    const NotebookLine& line_;
};

/// By how much the lean in the middle tells that somewhere on the table (rad).
double place_doubt(const MachineModel& model, const Lean& lean) {
    const auto& travel = model.shop().travel;
    const auto middle = lean.at(lean.middle());
    double sum = 0;
    for (const double u : {0.0, 0.5, 1.0})
        for (const double v : {0.0, 0.5, 1.0}) {
            const Eigen::RowVectorXd differs =
                lean.at({travel[0].low + u * (travel[0].high - travel[0].low),
                         travel[1].low + v * (travel[1].high - travel[1].low)}) -
                middle;
            sum += model.prior_variance(differs) / 9;
        }
    return std::sqrt(sum);
}

/// What is not known of the square where it was not reversed.
Input square_input(const MachineModel& model, const NotebookLine& line) {
    if (line.square.empty())
        return job_input(
            line.name + ", square",
            {},
            "a square that the line does not name",
            rectangular_law(square_grade_limit("1", std::clamp(line.length, 0.01, 1.0)) /
                            line.length),
            Evidence::assumed);
    const auto& square = find_instrument(model.shop().squares, line.square, "square", line.name);
    const double u = square.standard > 0 ? square.standard : square.limit / std::sqrt(3.0);
    return job_input(
        line.name + ", square",
        {},
        fmt::format("error of the square \"{}\", its leg to a side that is not told", square.name),
        normal_law(std::hypot(square.lean, u)),
        square.evidence);
}

} // namespace

void observe(MachineModel& model,
             const NotebookLine& line,
             std::vector<Observation>& observations) {
    require_shape(line.length > 0 && line.last_digit > 0 && line.along != line.across &&
                      line.across != Axis::z && line.along != Axis::x,
                  line.name,
                  "the line needs its plane, its length and its last digit");
    const Lean lean(model, line);
    Row row(lean.at(line.place.value_or(lean.middle())));
    const bool stands = line.along == Axis::z;
    const auto add = [&](const std::string& what,
                         const std::string& meaning,
                         stats::Distribution law,
                         Evidence evidence,
                         double weight = 1) {
        row.add(
            model.add(job_input(line.name + ", " + what, {}, meaning, std::move(law), evidence)),
            weight);
    };
    const auto settings = line.reversed ? 2 : 1;
    if (!line.reversed)
        row.add(model.add(square_input(model, line)), 1);
    if (stands && !line.leg_swept) {
        row.add(model.shared(model.table_against_motion(line.across)), -1);
        const double base = base_part * line.length;
        const double local =
            model.assumed_class().table_flatness.high * std::min(1.0, base / 0.400);
        for (int i = 1; i <= settings; ++i)
            add(fmt::format("low spot, setting {}", i),
                "low spot of the table under the square",
                rectangular_law(2 * local / base),
                Evidence::assumed,
                1.0 / settings);
    }
    for (int i = 1; i <= settings; ++i)
        add(fmt::format("bend by warmth, setting {}", i),
            "square bent by warmth",
            rectangular_law(square_bend),
            Evidence::typical,
            1.0 / settings);
    if (stands)
        add("approach",
            "clearance of the ways of Z, read in one direction",
            rectangular_law(typical_way_clearance),
            Evidence::typical);
    if (!line.place)
        add("place",
            "where on the table it was read, which the line does not say",
            normal_law(place_doubt(model, lean)),
            Evidence::assumed);
    const double digit = line.last_digit / line.length;
    const auto group = line.name + ", reading noise";
    const auto meaning = "reading noise of the check " + line.name;
    observations.push_back(
        {line.name,
         line.name + ", the number written",
         row.take(),
         line.lean / line.length,
         {job_input(line.name + ", last digit",
                    group,
                    meaning,
                    rectangular_law(digit / 2),
                    Evidence::measured),
          job_input(
              line.name + ", reading", group, meaning, rectangular_law(digit), Evidence::typical)},
         0,
         true});
}

std::vector<Measurand> measured_by(const MachineModel& model, const NotebookLine& line) {
    const Lean lean(model, line);
    const int index = line.along == Axis::y    ? c0y_index
                      : line.across == Axis::x ? b0z_index
                                               : a0z_index;
    return {{fmt::format("{} square to {} there", letter(line.along), letter(line.across)),
             true,
             lean.at(line.place.value_or(lean.middle())),
             model.parameter(index, 0, line.date)}};
}

} // namespace holdable
