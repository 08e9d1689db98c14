// SPDX-License-Identifier: MIT
/// Checks that could be made, and what they would read if the machine is as it is thought to be.
///
/// A planned check is a check like any other, with the gear of the shop, in the middle of the
/// travel; where gear is lacking, usual gear is taken (`add_usual_gear`). `foretell` gives it the
/// readings that the present estimate predicts: each reading y = H ξ̂. Solved with those the
/// estimate stays where it is, whatever they weigh, for it is linear in the readings and their
/// residuals are nothing; what shrinks is the doubt.
#pragma once

#include "holdable/machine/shop.hpp"
#include "holdable/machine/state.hpp"

#include <optional>
#include <string>
#include <vector>

namespace holdable {

/// Adds what a shop without the gear would buy or borrow (common practice, no source).
void add_usual_gear(Shop& shop);

/// Z against X or Y: the square in the middle of the table, turned round, its leg swept.
/// @param day of the check
SquareCheck plan_square(const Shop& shop, Axis across, const Square& square, Date day);

/// Y against X: the square lying in the middle of the table, turned over.
FlatSquareCheck plan_flat_square(const Shop& shop, const Square& square, Date day);

/// Roll or pitch of X or Y by a level, over the whole travel.
LevelCheck plan_level(const Shop& shop, Axis axis, Axis points, const Level& level, Date day);

/// An axis along a standard as far as both reach, five times from either side; nothing where fewer
/// than two lengths fit. @param scatter of its runs, standard deviation (m)
std::optional<PositioningCheck> plan_positioning(
    const Shop& shop, Axis axis, const LengthStandard& standard, double scatter, Date day);

/// How straight an axis goes in another direction; the straightedge turned over where its two faces
/// can be read, and on its best supports where it lies flat.
StraightnessCheck plan_straightness(
    const Shop& shop, Axis axis, Axis direction, const Straightedge& straightedge, Date day);

/// The table by a level, foot to foot, three lines along X and three along Y.
TableCheck plan_table(const Shop& shop, const Level& level, Date day);

/// The spindle swept round on a block, both ways, at four angles.
TramCheck plan_tram(const Shop& shop, Date day);

/// A bar of 300 mm in the spindle, read on both its sides as Z moves.
TestBarCheck plan_test_bar(const Shop& shop, Axis across, Date day);

/// A bar seated five times, read at the nose and at 250 mm.
RunOutCheck plan_run_out(const Shop& shop, Date day);

/// A link of 100 mm, twice each way round.
CircleCheck plan_circle(const Shop& shop, Date day);

/// The setting of a square with its leg to the other side of the same edge, where the travel allows
/// with its leg swept. @param check with one setting or more
SquareSetting turned_round(const Shop& shop, const SquareCheck& check);

/// Five places along the leg where an indicator can go (m); none where it cannot.
std::vector<double>
along_leg(const Shop& shop, const SquareCheck& check, const SquareSetting& setting);

/// Gives a check the readings that a state predicts. A run that is closed drifts as is typical.
/// @param state solved without this check, for its day or a later one
/// @throws as `observe`
void foretell(const MachineState& state, SquareCheck& check);
void foretell(const MachineState& state, FlatSquareCheck& check);
void foretell(const MachineState& state, StraightnessCheck& check);
void foretell(const MachineState& state, LevelCheck& check);
void foretell(const MachineState& state, TramCheck& check);
void foretell(const MachineState& state, TestBarCheck& check);
void foretell(const MachineState& state, RunOutCheck& check);
void foretell(const MachineState& state, TableCheck& check);
void foretell(const MachineState& state, PositioningCheck& check);
void foretell(const MachineState& state, CircleCheck& check);

} // namespace holdable
