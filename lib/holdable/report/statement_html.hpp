// SPDX-License-Identifier: MIT
/// A statement as one HTML page that needs nothing from outside, and prints to one sheet.
#pragma once

#include "holdable/report/statement_page.hpp"

#include <string>
#include <vector>

namespace holdable {

/// The sheet it is printed on.
enum class Paper { letter, a4 };

/// A picture that stands on the page.
struct PagePicture {
    std::string title, caption;
    std::string text; ///< the same in words, lines ended by a line feed
    std::string svg;  ///< a whole element
};

/// What the page holds beside its words.
struct HtmlParts {
    Paper paper = Paper::letter;
    std::vector<PagePicture> pictures; ///< after the first sheet
    std::string try_a_change;          ///< section of a shop's copy (report/try_change.hpp)
};

/// The page; words from files stay words. @throws NumericError as `statement_page`
std::string statement_html(const StatementPage& page, const HtmlParts& parts);

} // namespace holdable
