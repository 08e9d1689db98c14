// SPDX-License-Identifier: MIT
/// Where a doubt comes from, and how good each check is by itself.
///
/// The error of a form is a sum over independent inputs (state.hpp), so each input's part of the
/// variance is its share; inputs of one group are told together.
///
/// A check by itself. Each kind of check measures something that can be said in one number, or two
/// of them, its measurands: the lean of Z at that place of the table over the heights read, the
/// roll of an axis between the ends of the run, the two tilts of the spindle. Its doubt is taken
/// from the readings of this check alone: the class says nothing of the measurand, and as always of
/// all else the readings touch (a low spot, the square's error, rocking, how straight X is under
/// the leg). It does not depend on what was read but through the gain of the indicator, so a check
/// that is only planned can be judged.
#pragma once

#include "holdable/machine/state.hpp"

#include <Eigen/Core>

#include <optional>
#include <string>
#include <vector>

namespace holdable {

/// What one group of inputs contributes to a doubt.
struct DoubtSource {
    std::string meaning;                    ///< shop words
    double share = 0;                       ///< of the variance, 0 … 1
    Evidence evidence = Evidence::measured; ///< the weakest in the group
    std::string name = {};                  ///< of the group, as in `Input::group`
};

/// The sources of the doubt about a form, largest first, each 1 % of the variance or more.
/// @param row over the unknowns, shape n
std::vector<DoubtSource> doubt_sources(const MachineState& state, const Eigen::RowVectorXd& row);

/// How good one check is by itself.
struct CheckDoubt {
    std::string check;                ///< its name
    std::string meaning;              ///< its measurand, "Z square to X there"
    bool angle = true;                ///< value in rad, not in m
    double value = 0;                 ///< of the measurand, on the day of the check (m or rad)
    double standard = 0;              ///< its standard uncertainty (m or rad)
    std::vector<DoubtSource> sources; ///< of it, largest first
    std::size_t to_halve = 0; ///< this many of `sources`, the largest, must go for half the doubt
    bool magnitude = false;   ///< of the measurand: never below zero
    std::optional<double> dof = {}; ///< of `standard`, by Welch and Satterthwaite over what is
                                    ///< known from few readings (count); none = infinitely many
};

/// One entry for each measurand of the checks made by the day of the job, in the order of
/// `for_each_check`.
/// @throws as `solve`
std::vector<CheckDoubt> check_doubts(const Shop& shop, Date job);

/// What the checks of `planned` measure, in the order of `planned_doubts`, over the unknowns of a
/// machine without readings.
std::vector<Measurand> planned_measurands(const Shop& shop, const Shop& planned, Date day);

/// The same as `check_doubts` for a check that is yet to come, in a shop with its instruments and
/// the checks made so far, of which maps of the table matter.
/// @param planned a shop of which only the checks are looked at, all made on `day` @param warmth
/// multiplies what warmth does while they are read, drift and bend (pure number)
/// @throws as `solve`
std::vector<CheckDoubt>
planned_doubts(const Shop& shop, const Shop& planned, Date day, double warmth = 1);

} // namespace holdable
