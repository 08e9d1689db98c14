// SPDX-License-Identifier: MIT
/// What a shop says of itself on a page for customers, and over what its capability sheet goes.
#pragma once

#include <optional>
#include <string>
#include <vector>

namespace holdable {

/// One line of a capability sheet: a kind of feature over a range of sizes.
struct SheetLine {
    std::string feature;            ///< name of one of the `sheet_features` (answer/sheet.hpp)
    std::optional<double> from, to; ///< sizes, from < to; none: what is usual of it (m)
    std::string gauge;              ///< of the shop; empty: the best that suits
};

/// The shop's card.
struct ShopCard {
    std::string address, contact;
    std::string responsible, role; ///< who answers for a statement, and as what
    std::string material;          ///< of the sheet's part; empty: carbon steel
    std::string holding;           ///< how parts are held, in words
    std::optional<double> height;  ///< of the sheet's part above the table; none: 100 mm (m)
    std::vector<SheetLine> sheet;  ///< empty: all features there are, over their usual sizes
};

} // namespace holdable
