// SPDX-License-Identifier: MIT
/// Reads one callout of a job: requirement, feature, datum.
#pragma once

#include "holdable/files/fields.hpp"
#include "holdable/files/read_size.hpp"
#include "holdable/part/job.hpp"

#include <optional>

namespace holdable {

/// The rectangle of the keys "x" and "y" [extent-empty]. @return none where it is wrong
std::optional<Extent> read_extent(const Reader& item);

/// A callout. @param job its outline is compared with, its notes get what looks odd
Callout read_callout(const Reader& item, Ids& ids, const TitleBlock& block, Job& job);

} // namespace holdable
