// SPDX-License-Identifier: MIT
/// What stands on pages for customers: key "statement" of a machine file.
#pragma once

#include "holdable/files/reader.hpp"
#include "holdable/machine/shop.hpp"

namespace holdable {

/// Reads it; a line of its sheet names one of the `sheet_features` [word-unknown], and a gauge of
/// the shop [gauge-unknown]. @param shop with its gauges
ShopCard read_shop_card(const Reader& field, const Shop& shop);

} // namespace holdable
