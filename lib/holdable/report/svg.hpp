// SPDX-License-Identifier: MIT
/// A sheet to draw on, which becomes one <svg> element.
///
/// Coordinates are in units of the sheet, x to the right, y down. Attributes stand with each shape:
/// no style sheet, no script, nothing from outside. Widths of text are estimated, on the wide side,
/// for no font is known.
#pragma once

#include "holdable/report/shop_units.hpp"

#include <array>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace holdable {

/// Text for an XML document: markup escaped, control characters and what turns the direction of
/// writing as blanks, wrong UTF-8 as U+FFFD.
std::string xml_escaped(std::string_view text);

/// Estimated width of a line of text. @param size of the font
double text_width(std::string_view text, double size, bool bold = false);

/// The text, or as much of its beginning as fits, with "…".
std::string shortened(std::string_view text, double width, double size, bool bold = false);

/// Lines that fit, broken at blanks; the last of `most` is shortened.
std::vector<std::string>
text_lines(std::string_view text, double width, double size, std::size_t most = 99);

/// Round numbers that cut a range into about so many steps, all within it; 1, 2 or 5 times a power
/// of ten apart. @param low,high finite, low < high
std::vector<double> nice_ticks(double low, double high, int about);

/// The decimal place of the distance of such ticks.
int tick_place(const std::vector<double>& ticks);

/// A linear scale: `low` stands at `from`, `high` at `to`.
struct Scale {
    double low = 0, high = 1;
    double from = 0, to = 1;

    double operator()(double value) const {
        return from + (value - low) / (high - low) * (to - from);
    }
};

inline constexpr std::string_view ink = "#16405b";   ///< the one colour; dark in grey too
inline constexpr std::string_view black = "#1c1c1c"; ///< text
inline constexpr std::string_view grey = "#5d5d5d";  ///< text of less weight
inline constexpr std::string_view line_grey = "#a8a8a8";
inline constexpr std::string_view pale = "#e6e8ea";

/// How an area is filled.
enum class Hatch { solid, rising, falling, dots, open, crossed };

enum class Anchor { start, middle, end };

/// How text is set.
struct Lettering {
    double size = 15;
    Anchor anchor = Anchor::start;
    std::string_view colour = black;
    bool bold = false;
    bool halo = false; ///< white around it, on a drawing
};

/// How a line is drawn.
struct Pen {
    double width = 1;
    std::string_view colour = black;
    std::string_view dashes = {}; ///< as in SVG, "6 4"; empty: whole
};

/// The sheet; grows downwards.
class Sheet {
  public:
    /// @param id begins the ids inside
    Sheet(std::string id, double width);

    double width() const { return width_; }

    void text(double x, double y, std::string_view text, const Lettering& lettering = {});

    /// Lines below each other. @return the y of the next
    double
    paragraph(double x, double y, double width, std::string_view text, const Lettering& how = {});

    void line(double x1, double y1, double x2, double y2, const Pen& pen = {});

    void rectangle(double x,
                   double y,
                   double width,
                   double height,
                   std::string_view fill,
                   const Pen& pen = {0, "none", {}});

    void circle(double x, double y, double r, std::string_view fill, const Pen& pen = {});

    /// Through all points. @param fill "none" for a line
    void polyline(const std::vector<std::pair<double, double>>& points,
                  const Pen& pen,
                  std::string_view fill = "none",
                  bool closed = false);

    /// Of SVG's own path data.
    void path(std::string_view data, std::string_view fill, const Pen& pen = {0, "none", {}});

    /// A mark of a reading. @param kind 0 … 3: circle, square, triangle, diamond; then again
    void mark(double x, double y, int kind);

    /// What fills an area so: `fill` of a shape.
    std::string fill(Hatch hatch);

    /// A scale below a drawing: ticks, numbers, and words under its middle.
    void scale_below(const Scale& x, double y, const ShopUnit& unit, std::string_view words);

    /// A scale to the left of a drawing, with lines across it. @param right end of the lines
    void scale_left(const Scale& y, double x, double right, const ShopUnit& unit);

    /// The element. @param title,description for who cannot see it
    std::string finished(double height, std::string_view title, std::string_view description);

  private:
    std::string id_;
    double width_;
    std::string body_;
    std::array<bool, 6> hatches_{};
};

/// A number of a scale in a unit: 0 is "0". @param value in that unit
std::string tick_text(double value, int place, const ShopUnit& unit);

/// A coordinate of the sheet as text.
std::string svg_number(double x);

} // namespace holdable
