// SPDX-License-Identifier: MIT
/// The next part's value behind the numbers of an answer, for pictures.
#pragma once

#include "holdable/answer/answer.hpp"
#include "holdable/propagate/distribution.hpp"

#include <cstddef>
#include <optional>
#include <vector>

namespace holdable {

/// Draws the distributions of callouts, on the draws of their promises: the machine is solved once.
/// @param callouts from 0 @return one a callout asked for, none where it cannot be computed
/// @throws as `answer`
std::vector<std::optional<PartDistribution>>
distributions(const Shop& shop,
              const Job& job,
              const AnswerOptions& options,
              const std::vector<std::size_t>& callouts);

} // namespace holdable
