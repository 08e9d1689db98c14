// SPDX-License-Identifier: MIT
/// Plain text of 80 columns: labelled paragraphs and tables.
///
/// A column is a code point of UTF-8. What may not be printed becomes a blank.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace holdable {

inline constexpr std::size_t page_width = 80; ///< columns

/// Columns that a UTF-8 text takes.
std::size_t columns(std::string_view text);

/// Filled with blanks to a width, or cut with "…" where it is longer.
std::string fitted(std::string_view text, std::size_t width);

/// The same, against the right.
std::string fitted_right(std::string_view text, std::size_t width);

/// Lines of at most `width` columns, broken at blanks; a word longer than a line is cut into
/// pieces.
std::vector<std::string> wrapped(std::string_view text, std::size_t width);

/// A page that grows downwards. Its labels stand in a left margin.
class Page {
  public:
    /// @param margin columns of the left margin, label and gap
    explicit Page(std::size_t margin) : margin_(margin) {}

    /// A paragraph over the full width.
    void full(std::string_view text);

    /// A paragraph beside a label; continued with an empty label.
    void beside(std::string_view label, std::string_view text);

    /// A fact beside a label: what it is, then its text in a column of its own.
    void fact(std::string_view label, std::string_view what, std::string_view text);

    /// Paragraphs beside one label, each begun by "- " if there are several. None: nothing.
    void list(std::string_view label, const std::vector<std::string>& items);

    /// A line as it stands, as of a table; blanks at its end are dropped, and it is cut at 80
    /// columns.
    void row(std::string_view text);

    /// A blank line.
    void gap() { text_ += '\n'; }

    /// Columns right of the margin.
    std::size_t width() const { return page_width - margin_; }

    /// All lines so far, each ended.
    const std::string& text() const { return text_; }

  private:
    void line(std::string_view label, std::string_view text);

    std::size_t margin_;
    std::string text_;
};

} // namespace holdable
