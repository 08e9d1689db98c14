// SPDX-License-Identifier: MIT
/// A size with its limits, as a print writes it.
///
///     "10.000 ±.0005 in"   "1.000 in +/-.002"   ".250 +.001/-0 in"   "Ø.3750 +.0005/-.0000 in"
///     "25 -0.007/-0.020 mm"   "25 0/-0.2 mm" (only 0 goes without a sign)
///     "1.0005/1.0000 in"   "1.000-1.005 in" (both limits)
///     "25 H7" (millimetres, ISO 286-1)   "120 mm ISO 2768-m"
///     "3.50 in" (what the title block says for its two places)
///
/// The unit stands once, anywhere behind a number, or at each number; a fit is in millimetres
/// unless its size says otherwise.
#pragma once

#include "holdable/part/callout.hpp"
#include "holdable/standards/general_tolerances.hpp"

#include <map>
#include <optional>
#include <string_view>

namespace holdable {

/// What a title block says of dimensions without limits of their own.
struct TitleBlock {
    std::map<int, double> by_places;     ///< ± for so many decimals (m)
    std::optional<GeneralClass> general; ///< a class of ISO 2768 in its place
    bool wrong = false; ///< it could not be read: sizes get a stand-in of its limits
};

/// "ISO 2768-mK" or "ISO 2768-m". @throws InputError [general-tolerance]
GeneralClass parse_general(std::string_view text);

/// Reads a size.
/// @param hole a fit's letter stands for a hole, else a shaft @param block of the print
/// @throws InputError [size-syntax, size-limits, size-none, fit-unknown, general-tolerance] and as
/// `parse_unit`
SizeLimits parse_size(std::string_view text, bool hole, const TitleBlock& block);

} // namespace holdable
