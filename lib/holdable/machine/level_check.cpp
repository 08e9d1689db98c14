// SPDX-License-Identifier: MIT
#include "holdable/machine/level_check.hpp"

#include "holdable/machine/observation.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace holdable {
namespace {

/// One level of the check, with all that it read.
struct OneLevel {
    const Level* level;
    const std::vector<double>* readings;
    const std::optional<double>* closing;
    const std::vector<int>* repeats;
    IndicatorNoise noise;
    int gain;
    double counts; // +1, or -1 for what is taken away
};

OneLevel reader_of(MachineModel& model, const LevelCheck& check, bool head, double counts) {
    const auto& name = head ? check.head_level : check.level;
    const auto& readings = head ? check.head_readings : check.readings;
    const auto& spread = head ? check.head_spread : check.spread;
    const auto& repeats = head ? check.head_repeats : check.repeats;
    const auto& level = find_instrument(model.shop().levels, name, "level", check.name);
    require_shape(
        readings.size() == check.stations.size(),
        check.name,
        fmt::format("{} readings for {} stations", readings.size(), check.stations.size()));
    require_repeats(check.name, readings.size(), spread, repeats);
    OneLevel reader{&level,
                    &readings,
                    head ? &check.head_closing : &check.closing,
                    &repeats,
                    IndicatorNoise(check.name, level),
                    shared_gain(model, level, "level"),
                    counts};
    reader.noise.pool(spread, repeats);
    return reader;
}

std::vector<OneLevel> readers_of(MachineModel& model, const LevelCheck& check) {
    std::vector<OneLevel> readers;
    if (check.rides != LevelRides::both) {
        readers.push_back(reader_of(model, check, false, 1));
        return readers;
    }
    require_shape(check.level != check.head_level, check.name, "one level lies in one place");
    require_shape(check.closing.has_value() == check.head_closing.has_value(),
                  check.name,
                  "of two levels read together both are closed, or neither");
    require_shape(!check.turned, check.name, "of two levels read together none is turned");
    readers.push_back(reader_of(model, check, true, 1));
    readers.push_back(reader_of(model, check, false, -1));
    return readers;
}

} // namespace

std::string level_stands_still(const Shop& shop, Axis axis, LevelRides rides) {
    if (rides == LevelRides::both ||
        moves_over_floor(shop.order,
                         shop.ground.value_or(usual_ground(shop.order)),
                         axis,
                         rides == LevelRides::table))
        return {};
    return fmt::format("the {} stands still as {} moves, so a level on it sees nothing of {}",
                       rides == LevelRides::table ? "table" : "head",
                       letter(axis),
                       letter(axis));
}

void observe(MachineModel& model, const LevelCheck& check, std::vector<Observation>& observations) {
    require_shape(check.points != Axis::z, check.name, "a level points along X or Y");
    require_shape(check.stations.size() >= 3, check.name, "a run needs three stations or more");
    const auto still = level_stands_still(model.shop(), check.axis, check.rides);
    require_shape(still.empty(), check.name, still);
    const auto readers = readers_of(model, check);
    const bool both = readers.size() == 2;
    const auto total = [&](const auto& of) {
        double sum = 0;
        for (const auto& reader : readers)
            sum += reader.counts * of(reader);
        return sum;
    };
    const auto axis = static_cast<std::size_t>(check.axis);
    const int zero = model.add(offset_input(check.name + ", zero", free_level_zero));
    const int stand =
        check.turned ? model.add(offset_input(check.name + ", stand", free_level_zero)) : -1;
    const int rocking =
        both ? -1
             : model.shared(job_input(fmt::format("rocking as {} moves, seen along {}",
                                                  letter(check.axis),
                                                  letter(check.points)),
                                      {},
                                      "the whole machine rocking on its mounts",
                                      rectangular_law(model.assumed_class().rocking.high),
                                      Evidence::assumed));
    const bool closes = readers[0].closing->has_value();
    std::optional<double> came_back;
    if (closes)
        came_back = total([](const OneLevel& r) { return **r.closing - r.readings->front(); });
    const Drift drift(model, check.name, typical_level_drift, free_level_zero, came_back);

    // A level along X sees the rotation about Y, one along Y that about X; what rides on the table
    // turns against the tool-side body whose error is meant.
    const int about = check.points == Axis::x ? 4 : 3;
    const double sign =
        (check.points == Axis::x ? 1 : -1) * (check.rides == LevelRides::table ? 1 : -1);
    const int parameter = motion_index(about, check.axis);
    const auto& travel = model.shop().travel[axis];
    const auto count = check.stations.size();
    const double last = static_cast<double>(closes ? count : count - 1);

    /// @param way -1 for a level turned end for end
    const auto add_reading = [&](double q,
                                 const std::vector<double>& read,
                                 const std::vector<int>& repeats,
                                 double time,
                                 double way,
                                 const std::string& what) {
        Row row(way * sign * model.parameter(parameter, q, check.date));
        row.add(zero, 1);
        if (stand >= 0)
            row.add(stand, way);
        if (rocking >= 0)
            row.add(rocking, way * (q - travel.reference) / (travel.high - travel.low));
        drift.apply(row, time);
        Observation o{check.name, what, {}, 0, {}};
        o.angle = true;
        for (std::size_t k = 0; k < readers.size(); ++k) {
            row.add(readers[k].gain, -readers[k].counts * read[k]);
            o.value += readers[k].counts * read[k];
            const auto whose = both ? what + (k == 0 ? ", head" : ", table") : what;
            for (auto& part : readers[k].noise(whose, repeats[k]))
                o.noise.push_back(std::move(part));
        }
        o.row = row.take();
        observations.push_back(std::move(o));
    };
    for (std::size_t i = 0; i < count; ++i) {
        std::vector<double> read;
        std::vector<int> repeats;
        for (const auto& reader : readers) {
            read.push_back((*reader.readings)[i]);
            repeats.push_back(reader.repeats->empty() ? 1 : (*reader.repeats)[i]);
        }
        add_reading(check.stations[i],
                    read,
                    repeats,
                    static_cast<double>(i) / last,
                    1,
                    fmt::format("{}, reading {}", check.name, i + 1));
    }
    if (closes) {
        std::vector<double> read;
        for (const auto& reader : readers)
            read.push_back(**reader.closing);
        add_reading(check.stations[0],
                    read,
                    std::vector<int>(readers.size(), 1),
                    1,
                    1,
                    check.name + ", closing reading");
    }
    if (check.turned) {
        const auto at =
            std::find_if(check.stations.begin(), check.stations.end(), [&](double station) {
                return std::abs(station - check.turned->at) < 1e-6;
            });
        require_shape(
            at != check.stations.end(), check.name, "a level is turned at one of its stations");
        add_reading(check.turned->at,
                    {check.turned->reading},
                    {1},
                    static_cast<double>(at - check.stations.begin()) / last,
                    -1,
                    check.name + ", turned");
    }
    observations.back().offsets = 1 + (drift.closed() ? 1 : 0) + (check.turned.has_value() ? 1 : 0);
    observations.back().closure = came_back;
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
