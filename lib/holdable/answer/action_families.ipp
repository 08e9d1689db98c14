// SPDX-License-Identifier: MIT
/// The families of actions, each of which adds those that can apply. For .cpp files only.
#pragma once

#include "holdable/answer/action.hpp"
#include "holdable/answer/answer.hpp"
#include "holdable/machine/state.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace holdable {

/// What actions are made for.
struct Facts {
    const Shop& shop;
    const Job& job;
    Date day;
    const Minutes& minutes;

    double minutes_of(std::string_view work) const { return holdable::minutes_of(work, minutes); }
};

void add_adjustments(const Facts& facts, std::vector<Action>& all);
void add_new_checks(const Facts& facts, std::vector<Action>& all);
void add_repeated_checks(const Facts& facts, std::vector<Action>& all);
void add_process(const Facts& facts, std::vector<Action>& all);
void add_job(const Facts& facts, std::vector<Action>& all);
void add_gauges(const Facts& facts, std::vector<Action>& all);

/// The part put where it holds best (where.hpp); none where no other place is better.
/// @throws as `where`
std::optional<Action> move_part(const Facts& facts, const AnswerOptions& options);

/// The state of the machine that an answer to this job rests on.
MachineState state_for(const Shop& shop, const Job& job, Date day);

/// A name for a file or a list: small letters, digits and hyphens.
std::string kebab(std::string_view text);

/// A name that no check of the shop has.
std::string free_name(const Shop& shop, std::string name);

/// The square, straightedge, level or length standard that says most, by what is stated of it.
const Square& best_square(const Shop& shop);
const Straightedge& best_straightedge(const Shop& shop);
const Level& best_level(const Shop& shop);
const LengthStandard& best_standard(const Shop& shop);

} // namespace holdable
