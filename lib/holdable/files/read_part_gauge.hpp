// SPDX-License-Identifier: MIT
/// Reads a gauge for parts, an entry of "gauges" in a machine file.
#pragma once

#include "holdable/decide/part_gauge.hpp"
#include "holdable/files/reader.hpp"
#include "holdable/machine/shop.hpp"

#include <string>

namespace holdable {

/// @param name its id @param shop whose instruments it may name [instrument-unknown]
decide::PartGauge read_part_gauge(const Reader& item, std::string name, const Shop& shop);

} // namespace holdable
