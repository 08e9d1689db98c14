// SPDX-License-Identifier: MIT
/// The files that the shop of a simulated machine writes: what it reads on that machine with
/// square, indicator and level, and the job it is asked for: a callout of each of seven kinds.
#pragma once

#include "honesty/true_machine.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <numbers>
#include <string>
#include <string_view>
#include <vector>

namespace holdable::tests {

/// The machine file around its checks, which are a JSON list's inside.
inline std::string machine_file(const std::string& checks) {
    return R"({
  "holdable": "machine/1", "shop": "simulated", "machine": "drawn from its class",
  "units": "metric", "axes": "XYZ",
  "travel": {"X": {"from": "0 mm", "to": "600 mm"}, "Y": {"from": "0 mm", "to": "400 mm"},
             "Z": {"from": "-400 mm", "to": "0 mm"}},
  "nose_to_table": "600 mm", "class": "entry vmc",
  "instruments": [
    {"id": "lever", "kind": "indicator", "resolution": "1 µm", "repeatability": "0.5 µm", "gain": "1 %"},
    {"id": "black", "kind": "square", "length": "250 mm", "grade": "0", "edge_form": "1 µm"},
    {"id": "long", "kind": "level", "division": "20 µm/m", "read_to": 0.2, "gain": "5 %"}],
  "checks": [)" +
           checks + "]}";
}

/// Who writes the readings down, as whole multiples of a step; now and then wrongly.
class Clerk {
  public:
    Clerk() = default;

    /// Of so many lists that there will be, one gets its smallest reading but for zeros ten times
    /// too large, another one its largest with the sign swapped.
    Clerk(int lists, Luck& luck) {
        const auto any = [&](int below) {
            return std::min(static_cast<int>((luck.within(0.5) + 0.5) * below), below - 1);
        };
        typo_ = any(lists);
        swap_ = any(lists - 1);
        swap_ += swap_ >= typo_;
    }

    std::string list(const std::vector<double>& values, double step) {
        std::vector<long> whole;
        for (const double v : values)
            whole.push_back(std::lround(v / step));
        const auto nearer_zero = [](long a, long b) { return std::abs(a) < std::abs(b); };
        const auto largest = std::max_element(whole.begin(), whole.end(), nearer_zero);
        if (written_ == typo_) // of the largest the program would see that no such machine is
            *std::min_element(whole.begin(), whole.end(), [&](long a, long b) {
                return a != 0 && (b == 0 || nearer_zero(a, b));
            }) *= 10;
        if (written_ == swap_)
            *largest = -*largest;
        ++written_;
        return fmt::format("[{}]", fmt::join(whole, ", "));
    }

  private:
    int written_ = 0;
    int typo_ = -1, swap_ = -1;
};

/// How carefully the square is used.
struct Care {
    bool turned = true; ///< both ways round
    bool swept = true;  ///< its leg too
};

/// Z against X or Y with the square. @param form of its edge, one a height (m)
/// @param dents low spots of the table, times what the class says
inline std::string square_check(const TrueMachine& m,
                                Axis across,
                                const std::vector<double>& form,
                                Care care,
                                double dents,
                                Clerk& clerk,
                                Luck& luck) {
    constexpr double gauge = 0.1; // m
    constexpr double leg_height = 0.15;
    constexpr double base = 0.1;
    constexpr double heights[] = {0.16, 0.22, 0.28, 0.34, 0.40};
    const auto& c = machine_class(m.shop.machine_class);
    const auto& lever = m.shop.indicators[0];
    const int u = static_cast<int>(across);
    const char letter = "XY"[u];
    const Eigen::Vector3d tool(0, 0, -gauge);
    const Eigen::Vector3d place(0.3, 0.2, leg_height + gauge - m.shop.nose_to_table);
    const double clearance = luck.within(5e-6);
    const auto shown = [&](double truth) {
        return read(truth, m.gain, lever.repeatability, lever.resolution, luck);
    };
    std::string settings;
    for (const bool plus : {true, false}) {
        if (!plus && !care.turned)
            break;
        // A low spot of the table under the base: as deep as the table is flat, either way.
        const double low_spot = dents * luck.within(2 * c.table_flatness.high / 0.4);
        const double tilt = m.table[u] + low_spot;
        const double bend = luck.within(2.9e-6);
        const double drift = luck.within(2e-6);
        const double leg_drift = luck.within(2e-6);
        std::vector<double> edge;
        std::vector<double> leg;
        for (std::size_t i = 0; i < form.size(); ++i) {
            const double h = heights[i] - leg_height;
            Eigen::Vector3d at = place;
            at.z() += h;
            const double surface = (plus ? 1 : -1) * (m.square * h + form[i]) + tilt * h;
            edge.push_back(shown(surface - m.error(at, tool)[u] + (bend + clearance) * h +
                                 drift * static_cast<double>(i) / 4));
        }
        for (int i = 0; i < 5; ++i) {
            const double along = (plus ? 0.02 : -0.02) * (i + 1);
            Eigen::Vector3d at = place;
            at[u] += along;
            leg.push_back(shown(-tilt * along - m.error(at, tool).z() + leg_drift * i / 4));
        }
        // The face that looks away from the leg; pressed there the needle goes the other way.
        settings += fmt::format(
            R"({}{{"leg_points": "{}{}",
  "edge": {{"touches": "{}{} face", "pressed_reads": "{}", "unit": "1 µm", "readings": {}}})",
            plus ? "" : ",\n",
            plus ? '+' : '-',
            letter,
            plus ? '-' : '+',
            letter,
            plus ? "minus" : "plus",
            clerk.list(edge, 1e-6));
        if (care.swept)
            settings += fmt::format(
                R"(,
  "leg": {{"from_edge": ["20 mm", "40 mm", "60 mm", "80 mm", "100 mm"],
          "pressed_reads": "plus", "unit": "1 µm", "readings": {}}})",
                clerk.list(leg, 1e-6));
        settings += "}";
    }
    return fmt::format(
        R"({{"id": "Z{0}", "kind": "square", "plane": "Z{0}", "date": "2025-03-08",
 "square": "black", "indicator": "lever", "place": ["300 mm", "200 mm"], "gauge_length": "100 mm",
 "base": "{1} mm", "leg_height": "150 mm",
 "heights": ["160 mm", "220 mm", "280 mm", "340 mm", "400 mm"], "settings": [{2}]}})",
        letter,
        base * 1000,
        settings);
}

/// Roll of X by a level on the table.
inline std::string level_check(const TrueMachine& m, Clerk& clerk, Luck& luck) {
    const auto& level = m.shop.levels[0];
    const auto& travel = m.shop.travel[0];
    const double step = level.read_to * level.division;
    const double drift = luck.within(5e-6);
    std::vector<double> readings;
    for (int i = 0; i < 7; ++i) {
        const double q = 0.1 * i;
        const double slope = -m.curve(3, 0, q) +
                             m.rocking * (q - travel.reference) / (travel.high - travel.low) +
                             drift * i / 6;
        readings.push_back(read(slope, m.level_gain, 0.5e-6, step, luck));
    }
    return fmt::format(
        R"({{"id": "roll of X", "kind": "level", "date": "2025-03-08", "level": "long",
 "axis": "X", "rides": "table", "points": "Y", "plus_when_high": "+Y end",
 "stations": ["0 mm", "100 mm", "200 mm", "300 mm", "400 mm", "500 mm", "600 mm"],
 "unit": "4 µm/m", "readings": {}}})",
        clerk.list(readings, step));
}

/// The spindle against X and Y, by a sweep over one block.
inline std::string tram_check(const TrueMachine& m, Clerk& clerk, Luck& luck) {
    constexpr double gauge = 0.2; // m
    constexpr double height = 0.05;
    const auto& lever = m.shop.indicators[0];
    const double radius = 0.1 + luck.within(1e-3); // as it is, not as it was measured
    const double drift = luck.within(2e-6);
    std::vector<double> readings;
    for (int i = 0; i < 4; ++i) {
        const double angle = i * std::numbers::pi / 2;
        const Eigen::Vector2d arm(radius * std::cos(angle), radius * std::sin(angle));
        const double lifted = m.tip_error(0.3 - arm.x(), 0.2 - arm.y(), height, gauge, arm).z();
        const double face = luck.within(0.25e-6);
        const double axial = m.axial[0] * std::cos(angle) + m.axial[1] * std::sin(angle);
        readings.push_back(read(face + axial - lifted + drift * i / 3,
                                m.gain,
                                lever.repeatability,
                                lever.resolution,
                                luck));
    }
    return fmt::format(
        R"({{"id": "tram", "kind": "tram", "date": "2025-03-08", "indicator": "lever",
 "against": "block", "place": ["300 mm", "200 mm"], "height": "50 mm", "gauge_length": "200 mm",
 "sweep_diameter": "200 mm", "swept": "both ways", "angles": ["0°", "90°", "180°", "270°"],
 "unit": "1 µm", "pressed_reads": "plus", "readings": {}}})",
        clerk.list(readings, 1e-6));
}

inline constexpr std::size_t kinds = 7;

/// Of each callout: what it is called, a tolerance of the order that such a machine holds, the
/// diameter or the width of its zone, of a size the ± (µm), and whether it has so many points that
/// simulating it takes most of the time.
struct Kind {
    std::string_view name;
    double usual;
    bool slow;
};

inline constexpr std::array<Kind, kinds> kinds_of_callouts = {{{"bore square to a face", 8, false},
                                                               {"hole from edges", 30, false},
                                                               {"distance of holes", 12, false},
                                                               {"flatness", 10, true},
                                                               {"wall square to a face", 6, true},
                                                               {"roundness", 8, true},
                                                               {"step", 6, false}}};

/// The job. @param tolerances one a callout, as `Kind::usual` (µm)
inline std::string job_file(const std::array<double, kinds>& tolerances) {
    static constexpr std::string_view process = R"({
  "holdable": "job/1", "name": "honest job", "material": "steel", "quantity": 20,
  "date": "2025-03-08", "duration": "1 h", "part": {"x": ["300 mm", "500 mm"], "y": ["120 mm", "280 mm"]},
  "temperatures": {"part": "20 °C", "scale": "20 °C", "doubt": "1 K"},
  "process": {
    "hole_direction": {"standard_deviation": "10 µrad", "evidence": "measured"},
    "hole_place": {"standard_deviation": "1 µm", "evidence": "measured"},
    "axis_repeat": {"standard_deviation": "1 µm", "evidence": "measured"},
    "work_zero": {"plus_minus": "4 µm", "evidence": "measured"},
    "location": {"plus_minus": "5 µm", "evidence": "measured"},
    "reversal": {"plus_minus": "2 µm", "evidence": "measured"},
    "line_up": {"plus_minus": "15 µrad", "evidence": "measured"},
    "short_wave": {"plus_minus": "0 µm", "evidence": "measured", "basis": "scales of glass"},
    "drift": {"plus_minus": "3 µm", "evidence": "measured"},
    "distortion": {"plus_minus": "1 µm", "evidence": "measured"},
    "side_force": {"from": "20 N", "to": "60 N", "evidence": "measured"}},)";
    return std::string(process) + fmt::format(R"(
  "callouts": [
    {{"id": "bore", "perpendicularity": "Ø{:.2f} µm",
     "hole": {{"place": ["420 mm", "220 mm"], "top": "160 mm", "depth": "80 mm",
              "gauge_length": "150 mm", "made_by": "boring"}},
     "datum": {{"name": "A", "kind": "face", "height": "160 mm", "gauge_length": "100 mm"}}}},
    {{"id": "hole", "position": "Ø{:.2f} µm",
     "hole": {{"place": ["420 mm", "220 mm"], "top": "160 mm", "depth": "80 mm",
              "gauge_length": "150 mm", "made_by": "boring"}},
     "datum": {{"name": "A|B|C", "kind": "picked up", "x": "300 mm", "y": "120 mm",
               "height": "150 mm", "gauge_length": "120 mm"}}}},
    {{"id": "centres", "distance": "130 mm ±{:.5f}", "one_way": true,
     "holes": {{"places": [["340 mm", "150 mm"], ["460 mm", "200 mm"]], "top": "160 mm", "depth": "30 mm",
               "gauge_length": "140 mm", "made_by": "boring"}}}},
    {{"id": "top", "flatness": "{:.2f} µm", "evaluated": "least squares",
     "face": {{"height": "160 mm", "gauge_length": "100 mm",
              "cutter": {{"diameter": "63 mm", "step_over": "45 mm", "feed": "X"}}}}}},
    {{"id": "side", "perpendicularity": "{:.2f} µm",
     "wall": {{"facing": "+X", "at": "500 mm", "from": "120 mm", "to": "280 mm", "top": "160 mm",
              "depth": "40 mm", "gauge_length": "140 mm", "cut": "full depth",
              "tool": {{"diameter": "16 mm", "reach": "50 mm"}}}},
     "datum": {{"name": "A", "kind": "face", "height": "160 mm", "gauge_length": "100 mm"}}}},
    {{"id": "round", "roundness": "{:.2f} µm", "evaluated": "least squares",
     "hole": {{"place": ["400 mm", "200 mm"], "top": "160 mm", "depth": "20 mm",
              "gauge_length": "120 mm", "made_by": "interpolating", "diameter": "90 mm",
              "feed": "600 mm/min"}}}},
    {{"id": "step", "height": "40 mm ±{:.5f}",
     "face": {{"x": ["300 mm", "400 mm"], "y": ["120 mm", "280 mm"], "height": "160 mm",
              "gauge_length": "120 mm"}},
     "datum": {{"name": "D", "kind": "face", "x": ["400 mm", "500 mm"], "y": ["120 mm", "280 mm"],
               "height": "120 mm", "gauge_length": "120 mm"}}}}]}})",
                                              tolerances[0],
                                              tolerances[1],
                                              tolerances[2] / 1000,
                                              tolerances[3],
                                              tolerances[4],
                                              tolerances[5],
                                              tolerances[6] / 1000);
}

} // namespace holdable::tests
