// SPDX-License-Identifier: MIT
/// A statement as one HTML page that needs nothing from outside, and prints to one sheet.
#pragma once

#include "holdable/report/pictures.hpp"
#include "holdable/report/statement_page.hpp"

#include <string>
#include <vector>

namespace holdable {

/// The sheet it is printed on.
enum class Paper { letter, a4 };

/// What the page holds beside its words.
struct HtmlParts {
    Paper paper = Paper::letter;
    std::vector<Picture> pictures; ///< after the first sheet
    std::string try_a_change;      ///< section of a shop's copy (report/try_change.hpp)
};

/// The page; words from files stay words. @throws NumericError as `statement_page`
std::string statement_html(const StatementPage& page, const HtmlParts& parts);

} // namespace holdable
