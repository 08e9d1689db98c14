// SPDX-License-Identifier: MIT
/// Indicators, squares, levels and length standards as a machine file describes them.
///
/// What is not stated is a documented default of the trade (common practice, no source), with that
/// evidence; a certificate always states its U together with its k.
#pragma once

#include "holdable/files/reader.hpp"
#include "holdable/machine/shop.hpp"

#include <string>
#include <vector>

namespace holdable {

/// Reads the keys of an indicator, all but "id" and "kind". Defaults: a repeat of half its
/// resolution; a gain of 3 %, which is 1 % of its own and a lever within 12° of the surface.
/// @param notes gets remarks on odd repeats
Indicator read_indicator(const Reader& item, std::vector<std::string>& notes);

/// Reads the keys of a square; a certificate or a grade must be among them [evidence-missing].
/// Defaults: its edge straight within 2 µm if it is certified, else within half of its grade.
Square read_square(const Reader& item);

/// Reads the keys of a straightedge. Default: a form of 10 µm/m.
Straightedge read_straightedge(const Reader& item);

/// Reads the keys of a level. Defaults: read to a fifth of a division, gain 5 %.
Level read_level(const Reader& item);

/// Reads the keys of a length standard; a certificate or a limit must be among them
/// [evidence-missing]. Default: a gauge block is set within 0.5 µm.
LengthStandard read_length_standard(const Reader& item);

} // namespace holdable
