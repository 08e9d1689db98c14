// SPDX-License-Identifier: MIT
/// The cells of a map of places, as the page and the picture print them.
#pragma once

#include "holdable/answer/where.hpp"

#include <cstddef>
#include <string>
#include <utility>
#include <vector>

namespace holdable {

/// A shift that is none (m).
inline constexpr double no_shift = 5e-7;

/// Which callouts decide somewhere on the map, in their order.
std::vector<std::size_t> deciding_on(const PlaceMap& map);

/// "turned a quarter counterclockwise"; empty for none.
std::string turn_words(int quarter_turns);

/// How the part lies on the map, against how it was asked for: ", the part turned half round, 1.000
/// in higher"; empty where it lies alike.
std::string lies_on(const Where& where);

/// A cell: column and row.
using Cell = std::pair<std::size_t, std::size_t>;

/// The cells nearest to the part's middle as asked, and at the best place. @param where with a map
std::pair<Cell, Cell> asked_and_best(const Where& where);

/// The cells of a map as text, all in one unit to one decimal place.
class WhereCells {
  public:
    /// Refers to it.
    explicit WhereCells(const Where& where);

    /// One callout decides everywhere: its tolerance is shown, else shares.
    bool one() const { return deciding_.size() == 1; }

    /// A number rounded up, where several decide with the letter of the one that does; "·" where
    /// the part cannot lie.
    std::string text(const PlaceLook& look) const;

    /// The number unrounded: ten-thousandths of an inch, micrometres or percent.
    double value(const PlaceLook& look) const;

    /// What the numbers are.
    std::string legend() const;

  private:
    std::string mark(std::size_t callout) const;

    const Where* where_;
    std::vector<std::size_t> deciding_;
    int place_ = 0;
};

} // namespace holdable
