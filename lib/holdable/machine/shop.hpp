// SPDX-License-Identifier: MIT
/// What a shop writes down of its machine: travel, instruments, checks with raw readings.
///
/// Plain facts, in SI units and in the machine's own coordinates; nothing here is computed.
#pragma once

#include "holdable/base/date.hpp"
#include "holdable/decide/part_gauge.hpp"
#include "holdable/machine/circle_check.hpp"
#include "holdable/machine/curves.hpp"
#include "holdable/machine/flat_square_check.hpp"
#include "holdable/machine/instruments.hpp"
#include "holdable/machine/kinematics.hpp"
#include "holdable/machine/level_check.hpp"
#include "holdable/machine/notebook_line.hpp"
#include "holdable/machine/positioning_check.hpp"
#include "holdable/machine/run_out_check.hpp"
#include "holdable/machine/shop_card.hpp"
#include "holdable/machine/square_check.hpp"
#include "holdable/machine/straightness_check.hpp"
#include "holdable/machine/table_check.hpp"
#include "holdable/machine/test_bar_check.hpp"
#include "holdable/machine/test_cut.hpp"
#include "holdable/machine/thermal.hpp"
#include "holdable/machine/tram_check.hpp"
#include "holdable/standards/machine_class.hpp"

#include <array>
#include <cstddef>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace holdable {

/// Something that happened to the machine and ends what was known before.
enum class EventKind { crash, move, relevel, adjustment, spindle_work };

struct Event {
    EventKind kind = EventKind::crash;
    Date date;
    std::optional<Axis> axis; ///< for an adjustment: the axis adjusted
    std::string note;
};

/// A known error that the shop has removed since (trim, pitch table).
struct Correction {
    int parameter = c0y_index; ///< c0y_index, b0z_index or a0z_index
    double applied = 0;        ///< added to the parameter, with its sign (rad)
    Date date;
};

/// A shop's machine.
struct Shop {
    std::string name;    ///< the shop
    std::string machine; ///< its own name for the machine
    AxisOrder order = {Axis::x, Axis::y, Axis::z};
    std::optional<int> ground; ///< axes between the work and what stands on the floor, 0 … 3; none:
                               ///< `usual_ground`
    std::array<Travel, 3> travel;
    double nose_to_table = 0;  ///< spindle gauge point to the table with Z at coordinate 0 (m)
    std::string machine_class; ///< empty = none declared
    std::vector<Indicator> indicators;
    std::vector<Square> squares;
    std::vector<Straightedge> straightedges;
    std::vector<Level> levels;
    std::vector<LengthStandard> length_standards;
    std::vector<decide::PartGauge> gauges; ///< for parts
    std::vector<SquareCheck> square_checks;
    std::vector<FlatSquareCheck> flat_square_checks;
    std::vector<StraightnessCheck> straightness_checks;
    std::vector<LevelCheck> level_checks;
    std::vector<TramCheck> tram_checks;
    std::vector<TestBarCheck> test_bar_checks;
    std::vector<RunOutCheck> run_out_checks;
    std::vector<TableCheck> table_checks;
    std::vector<PositioningCheck> positioning_checks;
    std::vector<CircleCheck> circle_checks;
    std::vector<NotebookLine> notebook_lines;
    std::vector<TestCut> test_cuts;
    std::vector<ThermalLog> thermal_logs; ///< no readings of the 21 errors: not in `for_each_check`
    std::map<std::string, double> room_temperatures; ///< by name of the check, where stated (K)
    std::vector<Event> events;
    std::vector<Correction> corrections;
    ShopCard card;
    bool inch = false;              ///< the shop's units, for reports
    std::vector<std::string> notes; ///< what looks odd in its file, each with the place
};

/// The class that holds for what nobody measured: the declared one, the coarsest where none is (its
/// answers say that none was). @throws InputError [class-unknown]
inline const MachineClass& class_of(const Shop& shop) {
    return shop.machine_class.empty() ? machine_classes().front()
                                      : machine_class(shop.machine_class);
}

/// Calls `f` with each check of the shop, kind by kind; every kind has a name and a date.
template <class F>
void for_each_check(const Shop& shop, F f) {
    for (const auto& check : shop.square_checks)
        f(check);
    for (const auto& check : shop.flat_square_checks)
        f(check);
    for (const auto& check : shop.straightness_checks)
        f(check);
    for (const auto& check : shop.level_checks)
        f(check);
    for (const auto& check : shop.tram_checks)
        f(check);
    for (const auto& check : shop.test_bar_checks)
        f(check);
    for (const auto& check : shop.run_out_checks)
        f(check);
    for (const auto& check : shop.table_checks)
        f(check);
    for (const auto& check : shop.positioning_checks)
        f(check);
    for (const auto& check : shop.circle_checks)
        f(check);
    for (const auto& line : shop.notebook_lines)
        f(line);
    for (const auto& cut : shop.test_cuts)
        f(cut);
}

/// How many checks the shop made, its logs among them.
inline std::size_t count_checks(const Shop& shop) {
    auto count = shop.thermal_logs.size();
    for_each_check(shop, [&](const auto&) { ++count; });
    return count;
}

} // namespace holdable
