// SPDX-License-Identifier: MIT
#include "holdable/machine/level_check.hpp"

#include "holdable/machine/observation.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace holdable {
namespace {

constexpr double typical_level_drift =
    5e-6; // over one run, half-width (rad); common practice, no source

} // namespace

void observe(MachineModel& model, const LevelCheck& check, std::vector<Observation>& observations) {
    const auto& level = find_instrument(model.shop().levels, check.level, "level", check.name);
    require_shape(check.points != Axis::z, check.name, "a level points along X or Y");
    require_shape(check.stations.size() >= 3, check.name, "a run needs three stations or more");
    require_shape(
        check.readings.size() == check.stations.size(),
        check.name,
        fmt::format("{} readings for {} stations", check.readings.size(), check.stations.size()));
    const int gain = shared_gain(model, level, "level");
    const int zero = model.add(offset_input(check.name + ", zero", free_level_zero));
    const auto axis = static_cast<std::size_t>(check.axis);
    const int rocking = model.shared(job_input(
        fmt::format("rocking as {} moves, seen along {}", letter(check.axis), letter(check.points)),
        {},
        "the whole machine rocking on its mounts",
        rectangular_law(model.assumed_class().rocking.high),
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
                                           normal_law(level.read_to * level.division),
                                           Evidence::typical)},
                                0,
                                true});
    };
    for (std::size_t i = 0; i < count; ++i)
        add_reading(check.stations[i],
                    check.readings[i],
                    static_cast<double>(i) / last,
                    fmt::format("{}, reading {}", check.name, i + 1));
    if (check.closing)
        add_reading(check.stations[0], *check.closing, 1, check.name + ", closing reading");
    observations.back().offsets = drift.closed() ? 2 : 1;
    observations.back().closure = moved(check.closing, check.readings);
}

std::vector<Measurand> measured_by(const MachineModel& model, const LevelCheck& check) {
    const auto [low, high] = std::minmax_element(check.stations.begin(), check.stations.end());
    const int parameter = motion_index(check.points == Axis::x ? 4 : 3, check.axis);
    const Eigen::RowVectorXd row = model.parameter(parameter, *high, check.date) -
                                   model.parameter(parameter, *low, check.date);
    return {{fmt::format("{} from end to end of the run", parameter_meaning(parameter)),
             true,
             row,
             row}};
}

} // namespace holdable
