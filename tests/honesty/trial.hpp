// SPDX-License-Identifier: MIT
/// Many machines, one after the other: drawn, read by their shop, asked by the library, and then
/// the parts cut. What is counted, for each kind of callout, and under what circumstances.
#pragma once

#include "honesty/shop_files.hpp"
#include "honesty/true_machine.hpp"

#include <array>
#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace holdable::tests {

/// Machines of one sort and what their shops do.
struct Scenario {
    std::string_view name;
    std::string_view means;  ///< for the reader of the table
    bool as_assumed = false; ///< all that the program takes for granted is true
    Care care;
    bool level_and_tram = true; ///< the checks beside those by the square
    Unlike unlike;
};

/// All of them; those where the assumptions hold come first.
std::span<const Scenario> scenarios();

/// What became of the callouts of one kind.
struct Tally {
    int machines = 0;
    int kept = 0;      ///< 95 % of the parts were within what was promised of them, 95/95
    double next = 0;   ///< sum of the shares of parts within what was said of 95 % of next parts
    int next_kept = 0; ///< one part of each machine was
    int yes = 0, yes_wrong = 0;  ///< YES, and fewer than 95 % of the parts were good
    int no = 0, no_cautious = 0; ///< NO, and 95 % of the parts or more were good
    int good = 0;                ///< 95 % of the parts or more were good
    std::vector<double> width;   ///< what was promised over what would have done
};

/// What became of one scenario.
struct Outcome {
    std::array<Tally, kinds> tallies;
    int machines = 0;
    int refused = 0;     ///< machines whose file was refused: a reading no such machine can give
    int named = 0;       ///< machines of which the program named a reading that does not fit
    int disagreeing = 0; ///< machines of which the program said that its checks do not agree
    int too_kind = 0;    ///< or that its class is too kind
};

/// Draws so many machines and asks for all callouts of each.
/// @param seed machine i is the same whatever number is asked for
/// @param slow_every of the slow kinds only every so many machines are asked
Outcome run(const Scenario& scenario, int machines, std::uint64_t seed, int slow_every = 1);

} // namespace holdable::tests
