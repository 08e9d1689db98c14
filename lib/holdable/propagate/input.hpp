// SPDX-License-Identifier: MIT
/// The elementary input: one thing that is not known exactly, under one name from the reading to
/// the verdict.
#pragma once

#include "holdable/stats/distribution.hpp"

#include <string>
#include <string_view>

namespace holdable {

/// What the knowledge of an input rests on, from the best to the weakest.
enum class Evidence {
    measured,      ///< read here, on this machine
    certificate,   ///< stated with its uncertainty by whoever calibrated it
    specification, ///< a maker's limit or a grade of a standard
    typical,       ///< a documented default of the trade
    assumed        ///< the declared class of machine, for what nobody measured
};

/// The word for it, as in files and reports: "measured", "certificate", …
std::string_view word(Evidence evidence);

/// How far one draw of an input reaches.
enum class Sharing {
    job,   ///< one unknown value behind every part of the job
    setup, ///< one for each set-up
    tool,  ///< one for each tool put in
    part   ///< drawn anew for each part
};

/// The word for it, as in files and reports: "job", "setup", "tool", "part".
std::string_view word(Sharing sharing);

/// One named thing that is not known exactly.
struct Input {
    std::string name;        ///< full and unique; its draws depend on it and the seed alone
    std::string group;       ///< inputs of one group are one line of a report; empty = the name
    std::string meaning;     ///< what it is, in the words of the shop
    stats::Distribution law; ///< what is known of it (SI units)
    Evidence evidence = Evidence::measured;
    Sharing sharing = Sharing::job;

    /// A standard deviation known from few readings is itself doubtful: inputs with the same
    /// `scale` are multiplied by one common knowledge draw of √(ν/χ²_ν), ν = `scale_dof`.
    /// Empty = their laws are known.
    std::string scale;
    double scale_dof = 0; ///< degrees of freedom of that standard deviation, > 0 where it is used
};

/// Zero mean, standard uncertainty `sigma`.
stats::Distribution normal_law(double sigma);

/// Zero mean, ± `half_width`.
stats::Distribution rectangular_law(double half_width);

/// An input behind every part of the job. @param group empty = a line of its own in reports
Input job_input(std::string name,
                std::string group,
                std::string meaning,
                stats::Distribution law,
                Evidence evidence);

/// Square of the standard uncertainty of the input's law (its unit, squared).
double variance(const Input& input);

} // namespace holdable
