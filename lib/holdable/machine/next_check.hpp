// SPDX-License-Identifier: MIT
/// Which check would teach the most about this machine.
///
/// The machine's doubt is that of the tool point over the whole travel: the sum of the variances of
/// its error in X, Y and Z, against the middle of the travel, at the 26 other corners, edges and
/// faces of the box. What the readings leave of it depends on how a check is made and not on what
/// it reads, so checks not made yet can be weighed: each is planned with every square, level,
/// straightedge and length standard of the shop, or with usual gear where it has none.
#pragma once

#include "holdable/machine/shop.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace holdable {

/// A check that could be made.
struct NextCheck {
    std::string what;     ///< in shop words, with the gear
    bool own_gear = true; ///< the shop has the gear
    double left = 1; ///< of the machine's doubt as a standard uncertainty, against now, 0 … 1
};

/// The checks that are worth planning, the one that leaves the least doubt first.
/// @throws as `solve`
std::vector<NextCheck> next_checks(const Shop& shop, Date job);

/// The kind of check that shows an unknown of the machine, with its article: "a level check along
/// X". Empty for what is none, as the readings of a check or the process. @param unknown name of
/// the input, or of its group, as in model.hpp
std::string check_that_shows(std::string_view unknown);

} // namespace holdable
