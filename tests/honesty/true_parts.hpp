// SPDX-License-Identifier: MIT
/// Parts cut on a machine whose every error is known, and measured without error: by full
/// transforms, points of their own and plain random numbers.
#pragma once

#include "holdable/part/job.hpp"
#include "honesty/true_machine.hpp"

#include <array>
#include <vector>

namespace holdable::tests {

/// Of each callout of `job_file` what every part of one set-up measures: the value of a zone, of a
/// size the distance from its middle (m).
std::vector<std::vector<double>>
cut_parts(const TrueMachine& machine, const Job& job, int parts, Luck& luck);

/// The value that a share of them does not exceed.
double quantile(std::vector<double> values, double share);

/// The share of them that is within a limit.
double share_within(const std::vector<double>& values, double limit);

} // namespace holdable::tests
