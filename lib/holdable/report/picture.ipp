// SPDX-License-Identifier: MIT
// What pictures have in common; for .cpp files of this folder only.
#pragma once

#include "holdable/base/printable.hpp"
#include "holdable/report/pictures.hpp"
#include "holdable/report/svg.hpp"
#include "holdable/report/wording.hpp"

#include <fmt/format.h>

#include <string>
#include <string_view>
#include <utility>

namespace holdable {

inline constexpr double sheet_width = 640;

/// The ids inside: as given, else by the picture's name and the callout's number.
inline std::string picture_id(std::string_view id, std::string_view name, std::size_t callout) {
    return id.empty() ? fmt::format("{}-{}", name, callout + 1) : std::string(id);
}

/// A picture of which there is nothing to draw: it says so.
inline Picture nothing_drawn(std::string_view name,
                             std::string title,
                             const std::string& why,
                             const std::string& id) {
    Sheet sheet(id, sheet_width);
    sheet.rectangle(0.5, 0.5, sheet_width - 1, 79, "none", {1, line_grey, "6 5"});
    double y = 34;
    for (const auto& line : text_lines(why, sheet_width - 40, 15, 2)) {
        sheet.text(20, y, line, {15, Anchor::start, grey});
        y += 21;
    }
    return {std::string(name), title, why, blanked(why) + "\n", sheet.finished(80, title, why)};
}

/// A name beside a line at x, within the sheet: to its right, or to its left where that has more
/// room.
inline void beside(Sheet& sheet, double x, double y, std::string_view text, const Lettering& how) {
    const double wide = text_width(text, how.size, how.bold) + 8;
    const bool right = x + wide <= sheet.width() || x < sheet.width() / 2;
    auto set = how;
    set.anchor = right ? Anchor::start : Anchor::end;
    const double room = right ? sheet.width() - x - 8 : x - 8;
    sheet.text(right ? x + 6 : x - 6, y, shortened(text, room, how.size, how.bold), set);
}

/// Percent of a share, to a whole one; "< 1 %" where it is less, of either sign.
inline std::string share_text(double share) {
    const double percent = 100 * share;
    if (percent > -0.5 && percent < 0.5)
        return "< 1 %";
    return to_place(percent, 0) + " %";
}

/// A number with its unit, as a shop writes it. @param place decimal place of it
inline std::string in_unit(const ShopUnit& unit, double si, int place) {
    return fmt::format("{} {}", number_in(unit, si, place), unit.spelling);
}

} // namespace holdable
