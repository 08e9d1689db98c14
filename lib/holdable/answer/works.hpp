// SPDX-License-Identifier: MIT
/// Pieces of work in a shop, and the minutes each takes.
///
/// The minutes are of the hands that do it, clearing the table included, with gear that lies ready;
/// what a log records by itself overnight counts only as far as someone stands by. They are common
/// practice, no source; a shop states its own in its machine file, under "minutes".
#pragma once

#include <map>
#include <string>
#include <string_view>
#include <vector>

namespace holdable {

/// A piece of work.
struct Work {
    std::string_view name; ///< as in a machine file: "square check"
    double minutes = 0;    ///< usual (min)
};

/// All that is known, in the order of the page docs/files.md.
const std::vector<Work>& works();

/// Minutes that a shop states, by the names of `works` (min).
using Minutes = std::map<std::string, double>;

/// What a piece of work takes (min). @param name one of `works` @param stated instead of the usual
double minutes_of(std::string_view name, const Minutes& stated);

} // namespace holdable
