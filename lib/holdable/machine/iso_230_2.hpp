// SPDX-License-Identifier: MIT
/// The figures of ISO 230-2 from the deviations of an axis at its targets.
///
/// x_ij is actual less target position at the target i in the run j, ↑ approached towards +, ↓
/// towards -. With means x̄ and standard deviations s (n - 1) over the runs of one direction:
///
///     B_i = x̄_i↑ - x̄_i↓,  B = max |B_i|,  B̄ = mean B_i,  x̄_i = (x̄_i↑ + x̄_i↓)/2
///     R_i↑ = 4 s_i↑,  R_i = max(2 s_i↑ + 2 s_i↓ + |B_i|, R_i↑, R_i↓),  R = max R_i
///     E = max of all x̄_i↑, x̄_i↓ - min of them,  M = max x̄_i - min x̄_i
///     A = max of all x̄_i↑ + 2 s_i↑, x̄_i↓ + 2 s_i↓ - min of all x̄_i↑ - 2 s_i↑, x̄_i↓ - 2 s_i↓
///
/// and R↑, E↑, A↑ the same of one direction. They describe an axis and let two be compared. They
/// are no input of a budget: A holds reversal and repeatability already, and "4 s" of five runs is
/// no 95 % statement, since a standard deviation of five readings may be short by more than half.
///
/// Source: ISO 230-2:2014, formulas from memory; tests by hand.
#pragma once

#include <optional>
#include <vector>

namespace holdable {

/// Deviations of one axis, runs × targets, actual less target (m). A direction may be empty.
struct PositioningRuns {
    std::vector<std::vector<double>> up;   ///< approached towards +
    std::vector<std::vector<double>> down; ///< approached towards -
};

/// The figures of one direction of approach.
struct Iso230Direction {
    std::vector<double> mean;            ///< at each target (m)
    std::vector<double> spread;          ///< standard deviation at each target; empty: one run (m)
    double systematic = 0;               ///< E↑ or E↓ (m)
    std::optional<double> repeatability; ///< R↑ or R↓; none of one run (m)
    std::optional<double> accuracy;      ///< A↑ or A↓; none of one run (m)
};

/// The figures of both directions together.
struct Iso230Both {
    std::vector<double> reversals;       ///< B_i (m)
    double reversal = 0;                 ///< B, ≥ 0 (m)
    double mean_reversal = 0;            ///< B̄, with its sign (m)
    double systematic = 0;               ///< E (m)
    double mean_range = 0;               ///< M (m)
    std::optional<double> repeatability; ///< R; none where a direction has one run (m)
    std::optional<double> accuracy;      ///< A; none where a direction has one run (m)
};

/// All figures of one axis.
struct Iso230 {
    std::optional<Iso230Direction> up;   ///< none where it was not approached towards +
    std::optional<Iso230Direction> down; ///< none where it was not approached towards -
    std::optional<Iso230Both> both;      ///< none where it was approached in one direction only
};

/// The figures. @throws InputError [check-shape] where runs differ in targets, or have none
Iso230 iso_230_2(const PositioningRuns& runs);

} // namespace holdable
