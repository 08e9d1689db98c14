// SPDX-License-Identifier: MIT
// The tolerance over the table, by the place of the part's middle: a number in every cell, darker
// where more is needed.
#include "holdable/report/picture.ipp"
#include "holdable/report/where_cells.hpp"
#include "holdable/report/where_text.hpp"

#include <algorithm>
#include <cmath>

namespace holdable {
namespace {

constexpr double left = 68, top = 26, right_edge = sheet_width - 10;
constexpr double most_high = 64; // of a cell

/// From white to a grey that still bears black numbers. @param share 0 … 1
std::string shade(double share) {
    const auto level = [&](double light, double dark) {
        return static_cast<int>(std::lround(light + std::clamp(share, 0.0, 1.0) * (dark - light)));
    };
    return fmt::format("#{:02x}{:02x}{:02x}", level(252, 158), level(252, 167), level(253, 176));
}

/// The range of the numbers.
std::pair<double, double> range_of(const Where& w, const WhereCells& cells) {
    double low = 0, high = 0;
    bool first = true;
    for (const auto& look : w.map.places)
        if (look.obstacle == Obstacle::none) {
            const double v = cells.value(look);
            low = first ? v : std::min(low, v);
            high = first ? v : std::max(high, v);
            first = false;
        }
    return {low, high};
}

/// Where a cell stands.
struct Lattice {
    std::size_t columns, rows;
    double wide, high;

    explicit Lattice(const PlaceMap& map)
        : columns(map.x.size()), rows(map.y.size()),
          wide((right_edge - left) / static_cast<double>(columns)), high(std::min(wide, most_high)) {
    }

    double x(std::size_t column) const { return left + wide * static_cast<double>(column); }

    double y(std::size_t row) const { // the back of the machine at the top
        return top + high * static_cast<double>(rows - 1 - row);
    }

    double foot() const { return top + high * static_cast<double>(rows); }
};

void draw_cells(Sheet& sheet, const Where& w, const WhereCells& cells, const Lattice& at) {
    const auto [low, high] = range_of(w, cells);
    double size = 16; // the widest number fits
    for (const auto& look : w.map.places)
        while (size > 9 && text_width(cells.text(look), size) > at.wide - 10)
            --size;
    for (std::size_t row = 0; row < at.rows; ++row)
        for (std::size_t column = 0; column < at.columns; ++column) {
            const auto& look = w.map.at(column, row);
            const bool blocked = look.obstacle != Obstacle::none;
            const double share =
                blocked || high <= low ? 0 : (cells.value(look) - low) / (high - low);
            sheet.rectangle(at.x(column),
                            at.y(row),
                            at.wide,
                            at.high,
                            blocked ? sheet.fill(Hatch::crossed) : shade(share),
                            {1, "#fff", {}});
            if (!blocked)
                sheet.text(at.x(column) + at.wide / 2,
                           at.y(row) + at.high / 2 + size * 0.36,
                           cells.text(look),
                           {size, Anchor::middle});
        }
}

void frame(Sheet& sheet, const Lattice& at, const Cell& cell, double inset, const Pen& pen) {
    sheet.rectangle(at.x(cell.first) + inset,
                    at.y(cell.second) + inset,
                    at.wide - 2 * inset,
                    at.high - 2 * inset,
                    "none",
                    pen);
}

/// The decimal place that all of these need, at most three behind the point. @param list (m)
int place_needed(const std::vector<double>& list, const ShopUnit& unit) {
    int place = 0;
    for (const double si : list)
        while (place > -3) {
            const double step = std::pow(10.0, place);
            const double count = si / unit.size / step;
            if (std::abs(count - std::round(count)) < 1e-6)
                break;
            --place;
        }
    return place;
}

constexpr Pen asked_pen{2.4, black, "6 4"};
constexpr Pen best_pen{3, ink, {}};

/// Where a list of even steps has a value, in steps.
double steps_to(const std::vector<double>& list, double value) {
    return list.size() < 2 ? 0 : (value - list[0]) / (list[1] - list[0]);
}

/// The best place: its cell, where it is one of the map; else a mark at the place itself.
class BestPlace {
  public:
    BestPlace(const Where& w, const Lattice& at, const Cell& cell) : at_(at), cell_(cell) {
        const double column =
            steps_to(w.map.x, (w.outline.x_low + w.outline.x_high) / 2 + w.best.x);
        const double row = steps_to(w.map.y, (w.outline.y_low + w.outline.y_high) / 2 + w.best.y);
        x_ = at.x(0) + (column + 0.5) * at.wide;
        y_ = at.y(0) + (0.5 - row) * at.high;
        on_cell_ = std::abs(column - static_cast<double>(cell.first)) < 0.15 &&
                   std::abs(row - static_cast<double>(cell.second)) < 0.15;
    }

    void draw(Sheet& sheet) const {
        if (on_cell_)
            frame(sheet, at_, cell_, 1.5, best_pen);
        else
            mark(sheet, x_, y_);
    }

    void draw_key(Sheet& sheet, double y) const {
        if (on_cell_)
            sheet.rectangle(left + 2, y, 26, 18, "none", best_pen);
        else
            mark(sheet, left + 15, y + 9);
    }

  private:
    static void mark(Sheet& sheet, double x, double y) {
        constexpr double r = 10;
        sheet.polyline(
            {{x, y - r}, {x + r, y}, {x, y + r}, {x - r, y}}, {2.5, "#fff", {}}, ink, true);
    }

    Lattice at_;
    Cell cell_;
    double x_ = 0, y_ = 0;
    bool on_cell_ = true;
};

void draw_scales(Sheet& sheet, const Where& w, const Lattice& at) {
    const auto unit = length_unit(habit(w.inch), 1);
    const int y_place = place_needed(w.map.y, unit), x_place = place_needed(w.map.x, unit);
    for (std::size_t row = 0; row < at.rows; ++row)
        sheet.text(left - 8,
                   at.y(row) + at.high / 2 + 5,
                   number_in(unit, w.map.y[row], y_place),
                   {14, Anchor::end, grey});
    for (std::size_t column = 0; column < at.columns; ++column)
        sheet.text(at.x(column) + at.wide / 2,
                   at.foot() + 20,
                   number_in(unit, w.map.x[column], x_place),
                   {at.wide < 50 ? 12.0 : 14.0, Anchor::middle, grey});
    sheet.text(left - 8, 14, fmt::format("Y, {}", unit.spelling), {14, Anchor::end, grey});
    sheet.text(left, 14, "back of the machine", {14, Anchor::start, grey});
    sheet.text((left + right_edge) / 2,
               at.foot() + 42,
               fmt::format("X, {}; where the part's middle lies", unit.spelling),
               {14, Anchor::middle, grey});
}

/// What frames and hatches mean. @return y of what follows
double draw_key(Sheet& sheet, const Where& w, const BestPlace& best, double y) {
    const auto entry = [&](const std::string& fill, const Pen& pen, std::string_view words) {
        sheet.rectangle(left + 2, y, 26, 18, fill, pen);
        sheet.text(left + 40, y + 14, words);
        y += 28;
    };
    entry("none", asked_pen, "as asked");
    if (w.found) {
        best.draw_key(sheet, y);
        sheet.text(left + 40, y + 14, "the best place");
        y += 28;
    }
    if (std::any_of(w.map.places.begin(), w.map.places.end(), [](const PlaceLook& l) {
            return l.obstacle != Obstacle::none;
        }))
        entry(sheet.fill(Hatch::crossed), {1, grey, {}}, "the part cannot lie there");
    return y;
}

std::string text_of(const Where& w, const WhereCells& cells) {
    const auto unit = length_unit(habit(w.inch), 1);
    const int place = w.inch ? -3 : -1;
    auto text = blanked(cells.legend() + lies_on(w)) + "\n" + fmt::format("{:>9}", "Y \\ X");
    for (const double x : w.map.x)
        text += fmt::format("  {:>8}", number_in(unit, x, place));
    text += "\n";
    for (std::size_t row = w.map.y.size(); row-- > 0;) {
        text += fmt::format("{:>9}", number_in(unit, w.map.y[row], place));
        for (std::size_t column = 0; column < w.map.x.size(); ++column)
            text += fmt::format("  {:>8}", cells.text(w.map.at(column, row)));
        text += "\n";
    }
    return text;
}

} // namespace

Picture place_picture(const Where& w, std::string_view id) {
    const auto own = id.empty() ? std::string("place") : std::string(id);
    const auto title = fmt::format("Where {} holds best", w.job);
    const auto caption = where_sentence(w);
    if (w.map.places.empty() || deciding_on(w.map).empty())
        return nothing_drawn("place", title, caption, own);
    const WhereCells cells(w);
    const Lattice at(w.map);
    const auto [asked, best_cell] = asked_and_best(w);
    const BestPlace best(w, at, best_cell);
    Sheet sheet(own, sheet_width);
    draw_cells(sheet, w, cells, at);
    frame(sheet, at, asked, 5, asked_pen);
    if (w.found)
        best.draw(sheet);
    draw_scales(sheet, w, at);
    double y = draw_key(sheet, w, best, at.foot() + 62);
    y = sheet.paragraph(left,
                        y + 12,
                        right_edge - left,
                        cells.legend() + lies_on(w) + "; darker needs more",
                        {14, Anchor::start, grey});
    return {"place",
            title,
            caption,
            blanked(caption) + "\n" + text_of(w, cells),
            sheet.finished(y, title, caption)};
}

} // namespace holdable
