// SPDX-License-Identifier: MIT
/// What a callout contradicts itself in: each key is right, and together they cannot be.
#pragma once

#include "holdable/files/reader.hpp"
#include "holdable/part/callout.hpp"

namespace holdable {

/// Whether the requirement can be asked of this feature against this datum; if not, reports it
/// [callout-shape]. @param item the callout
bool goes_together(const Reader& item, const Callout& callout);

/// Reports a size that is not as large as features are apart or wide (m) [size-places].
void check_apart(const Reader& requirement, double apart, const Callout& callout);

/// Reports places or heights that are not as far apart as the size says [size-places], an aim
/// outside the limits [aim-outside], a tool that does not go in [tool-wide].
/// @param requirement the key of the callout that states the tolerance @param callout all of it
/// read without fault, and going together
void check_callout(const Reader& item, const Reader& requirement, const Callout& callout);

} // namespace holdable
