// SPDX-License-Identifier: MIT
/// The tolerance of form or squareness that a title block gives where it names ISO 2768-2.
///
/// Flatness goes by the longer side of the surface, straightness by the length of the line,
/// perpendicularity by the shorter of both legs: a wall 20 mm deep on a long face is that of 20 mm.
/// @source ISO 2768-2:1989 clause 5 (memory)
#pragma once

#include "holdable/files/read_size.hpp"
#include "holdable/part/callout.hpp"

#include <optional>

namespace holdable {

/// Width of the zone (m).
/// @param callout its feature and datum @param part outline, which a face without extent takes
/// @throws InputError [size-none] where the block names no such class, or the extent is not stated;
/// [general-tolerance]
double
general_form(const Callout& callout, const TitleBlock& block, const std::optional<Extent>& part);

} // namespace holdable
