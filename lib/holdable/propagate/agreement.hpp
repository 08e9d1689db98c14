// SPDX-License-Identifier: MIT
/// Whether the GUM's interval may be used: compared with Monte Carlo's (JCGM 101:2008, clause 8).
#pragma once

#include "holdable/propagate/gum.hpp"
#include "holdable/propagate/monte_carlo.hpp"

namespace holdable::propagate {

/// δ of a standard uncertainty u ≥ 0: half a unit of its last digit when it is written with
/// `digits` ≥ 1 significant digits (JCGM 101 7.9.2); 0 for u = 0. In the unit of u.
double numerical_tolerance(double u, int digits);

/// The comparison for one output; numbers in the unit of the output.
struct Agreement {
    int digits = 2;       ///< of the standard uncertainty that matter
    double tolerance = 0; ///< δ
    stats::Interval
        difference;         ///< |ends of the GUM's less those of Monte Carlo's|, d_low and d_high
    bool gum_valid = false; ///< both are at most δ
    /// The verdict would stand if each end of Monte Carlo's moved by two standard errors.
    bool certain = false;
};

/// Compares value ± U with the symmetric interval of Monte Carlo. Where the GUM does not apply it
/// is not valid, with a difference of 0 and certainly so.
Agreement agreement(const GumOutput& gum, const MonteCarloOutput& monte_carlo, int digits = 2);

} // namespace holdable::propagate
