// SPDX-License-Identifier: MIT
/// The pictures of a shop's copy: of the machine, and of each claim.
#pragma once

#include "holdable/answer/statement.hpp"
#include "holdable/propagate/distribution.hpp"
#include "holdable/report/pictures.hpp"

#include <optional>
#include <vector>

namespace holdable {

/// What was checked, the table where it was mapped, then of each claim what limits it, the next
/// part, and yield against tolerance.
/// @param drawn of each claim its distribution (answer/distributions.hpp), none where there is none
std::vector<Picture> pictures_of(const Statement& statement,
                                 const std::vector<std::optional<PartDistribution>>& drawn);

} // namespace holdable
