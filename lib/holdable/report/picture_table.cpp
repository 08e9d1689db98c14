// SPDX-License-Identifier: MIT
// The form of the table, darker where it is lower, seen from above with the back of the machine at
// the top.
#include "holdable/machine/square_seat.hpp"
#include "holdable/machine/table_field.hpp"
#include "holdable/report/picture.ipp"

#include <algorithm>
#include <cmath>
#include <vector>

namespace holdable {
namespace {

constexpr int cells = 44; // along the longer side
constexpr std::size_t most_levels = 8;

/// The grey of a band, from the highest, 0, to the lowest of so many.
std::string shade(std::size_t band, std::size_t bands) {
    const double t = bands < 2 ? 0 : static_cast<double>(band) / static_cast<double>(bands - 1);
    const auto level = [&](double light, double dark) {
        return static_cast<int>(std::lround(light + t * (dark - light)));
    };
    return fmt::format("#{:02x}{:02x}{:02x}", level(250, 140), level(250, 148), level(251, 156));
}

using Point = std::pair<double, double>;

/// A drawing from above: metres to the sheet.
struct Plan {
    Scale x, y;

    Point operator()(double at_x, double at_y) const { return {x(at_x), y(at_y)}; }
};

/// @param width,height that it may take
Plan plan_of(const TableArea& area, double left, double top, double width, double height) {
    const double wide = std::max(area.x_high - area.x_low, 1e-9);
    const double deep = std::max(area.y_high - area.y_low, 1e-9);
    const double scale = std::min(width / wide, height / deep);
    return {{area.x_low, area.x_high, left, left + scale * wide},
            {area.y_low, area.y_high, top + scale * deep, top}};
}

/// Heights over a lattice.
struct Field {
    TableArea area;
    int columns = 0, rows = 0; ///< of cells
    std::vector<double> height;

    double at(int i, int j) const {
        return height[static_cast<std::size_t>(j * (columns + 1) + i)];
    }

    double x(int i) const { return area.x_low + (area.x_high - area.x_low) * i / columns; }

    double y(int j) const { return area.y_low + (area.y_high - area.y_low) * j / rows; }
};

Field field_of(const MachineState& state, const TableSummary& table) {
    Field f;
    f.area = {table.x_low, table.x_high, table.y_low, table.y_high};
    const double ratio = (table.y_high - table.y_low) / (table.x_high - table.x_low);
    f.columns = ratio > 1 ? std::max(4, static_cast<int>(cells / ratio)) : cells;
    f.rows = ratio > 1 ? cells : std::max(4, static_cast<int>(cells * ratio));
    for (int j = 0; j <= f.rows; ++j)
        for (int i = 0; i <= f.columns; ++i) {
            const auto row = state.model.table_form(f.x(i), f.y(j));
            f.height.push_back(row.dot(state.estimate.head(row.size())));
        }
    return f;
}

/// What lies below a level, cell by cell, as data of one path.
std::string below(const Field& f, const Plan& plan, double level) {
    std::string data;
    const auto add = [&](const std::vector<Point>& corners) {
        for (std::size_t k = 0; k < corners.size(); ++k)
            data += fmt::format("{}{} {}",
                                k == 0 ? 'M' : 'L',
                                svg_number(corners[k].first),
                                svg_number(corners[k].second));
        data += 'Z';
    };
    for (int j = 0; j < f.rows; ++j)
        for (int i = 0; i < f.columns; ++i) {
            int end = i; // whole cells in a row are one
            const auto whole = [&](int c) {
                return f.at(c, j) < level && f.at(c + 1, j) < level && f.at(c, j + 1) < level &&
                       f.at(c + 1, j + 1) < level;
            };
            while (end < f.columns && whole(end))
                ++end;
            if (end > i) {
                add({plan(f.x(i), f.y(j)),
                     plan(f.x(end), f.y(j)),
                     plan(f.x(end), f.y(j + 1)),
                     plan(f.x(i), f.y(j + 1))});
                i = end - 1;
                continue;
            }
            const int at[][2] = {{i, j}, {i + 1, j}, {i + 1, j + 1}, {i, j + 1}};
            std::vector<Point> corners;
            for (int k = 0; k < 4; ++k) {
                const auto& a = at[k];
                const auto& b = at[(k + 1) % 4];
                const double ha = f.at(a[0], a[1]), hb = f.at(b[0], b[1]);
                if (ha < level)
                    corners.push_back(plan(f.x(a[0]), f.y(a[1])));
                if ((ha < level) != (hb < level)) {
                    const double t = (level - ha) / (hb - ha);
                    corners.push_back(plan(f.x(a[0]) + t * (f.x(b[0]) - f.x(a[0])),
                                           f.y(a[1]) + t * (f.y(b[1]) - f.y(a[1]))));
                }
            }
            if (corners.size() > 2)
                add(corners);
        }
    return data;
}

/// Where one square stood.
struct Standing {
    std::string name;
    std::vector<Point> outline; ///< X and Y of its footprint's corners (m)
    Point edge_from, edge_to;   ///< the side below its edge (m)
};

Standing standing_of(const SquareCheck& check, const SquareSetting& setting, std::size_t number) {
    const double along = (setting.leg_towards_plus ? 1 : -1) * check.base;
    const double half = check.base_width.value_or(check.base / 5) / 2;
    const bool x = check.across == Axis::x;
    const auto corner = [&](double a, double b) {
        return x ? Point{check.place.x() + a, check.place.y() + b}
                 : Point{check.place.x() + b, check.place.y() + a};
    };
    return {setting_name(check, number),
            {corner(0, -half), corner(along, -half), corner(along, half), corner(0, half)},
            corner(0, -half),
            corner(0, half)};
}

std::vector<Standing> standing_on(const MachineState& state) {
    std::vector<Standing> all;
    for (const auto& check : state.model.shop().square_checks)
        for (std::size_t i = 0; i < check.settings.size() && check.date <= state.model.job(); ++i)
            all.push_back(standing_of(check, check.settings[i], i + 1));
    return all;
}

void draw_readings(Sheet& sheet, const MachineState& state, const Plan& plan) {
    const Pen walked{1, grey, "1.5 4"};
    for (const auto& check : state.model.shop().table_checks) {
        if (check.date > state.model.job())
            continue;
        for (const auto& line : check.lines) {
            const double length = check.foot * static_cast<double>(line.readings.size());
            const bool x = line.along == Axis::x;
            const auto from = plan(line.from.x(), line.from.y());
            const auto to =
                plan(line.from.x() + (x ? length : 0), line.from.y() + (x ? 0 : length));
            sheet.line(from.first, from.second, to.first, to.second, walked);
            for (std::size_t k = 0; k <= line.readings.size(); ++k) {
                const double d = check.foot * static_cast<double>(k);
                const auto foot = plan(line.from.x() + (x ? d : 0), line.from.y() + (x ? 0 : d));
                sheet.circle(foot.first, foot.second, 2.6, grey, {0, "none", {}});
            }
        }
        for (const double y : check.y)
            for (const double x : check.x) {
                const auto at = plan(x, y);
                sheet.circle(at.first, at.second, 2.6, grey, {0, "none", {}});
            }
    }
}

void draw_squares(Sheet& sheet, const std::vector<Standing>& all, const Plan& plan) {
    for (std::size_t k = 0; k < all.size(); ++k) {
        std::vector<Point> corners;
        double x = 0, y = 0;
        for (const auto& [at_x, at_y] : all[k].outline) {
            corners.push_back(plan(at_x, at_y));
            x += corners.back().first / 4;
            y += corners.back().second / 4;
        }
        sheet.polyline(corners, {1.6, ink, "7 4"}, "none", true);
        const auto from = plan(all[k].edge_from.first, all[k].edge_from.second);
        const auto to = plan(all[k].edge_to.first, all[k].edge_to.second);
        sheet.line(from.first, from.second, to.first, to.second, {4.5, ink, {}});
        sheet.circle(x, y, 12, "#fff", {1.6, ink, {}});
        sheet.text(x, y + 5, std::to_string(k + 1), {15, Anchor::middle, ink, true});
    }
}

/// The scale of shades. @return y of what follows
double draw_shades(
    Sheet& sheet, const std::vector<double>& levels, const ShopUnit& unit, double left, double y) {
    const int place = tick_place(levels);
    constexpr double wide = 72, high = 16;
    for (std::size_t k = 0; k <= levels.size(); ++k) {
        const auto fill = shade(levels.size() - k, levels.size() + 1);
        sheet.rectangle(left + wide * static_cast<double>(k), y, wide, high, fill, {1, grey, {}});
        if (k < levels.size())
            sheet.text(left + wide * static_cast<double>(k + 1),
                       y + high + 18,
                       tick_text(levels[k], place, unit),
                       {14, Anchor::middle, grey});
    }
    sheet.text(left,
               y - 8,
               fmt::format("height over its own plane, {}: darker is lower", unit.spelling),
               {14, Anchor::start, grey});
    return y + high + 34;
}

/// Between which the shades change, in the unit.
std::vector<double> levels_of(const Field& f, const ShopUnit& unit) {
    const auto [low, high] = std::minmax_element(f.height.begin(), f.height.end());
    if (!(*high - *low > 1e-12))
        return {};
    for (int about = 6;; --about) {
        auto levels = nice_ticks(*low / unit.size, *high / unit.size, about);
        if (levels.size() < most_levels || about == 1)
            return levels;
    }
}

std::string place_text(double x, double y, Habit h) {
    return fmt::format("X {}, Y {}", coordinate_text(x, h), coordinate_text(y, h));
}

} // namespace

Picture
table_picture(const MachineState& state, const MachineSummary& machine, std::string_view id) {
    const auto own = id.empty() ? std::string("table") : std::string(id);
    const std::string title = "The table, and where squares stood";
    const auto& shop = state.model.shop();
    const auto h = habit(shop.inch);
    const auto& table = machine.table;
    const auto squares = standing_on(state);
    auto view = travel_area(shop.travel[0], shop.travel[1]);
    if (table)
        view.include({table->x_low, table->x_high, table->y_low, table->y_high});
    for (const auto& s : squares)
        for (const auto& [x, y] : s.outline)
            view.include({x, x, y, y});

    Sheet sheet(own, sheet_width);
    const double left = 62;
    const auto plan = plan_of(view, left, 30, sheet_width - left - 14, 560);
    sheet.rectangle(plan.x.from,
                    plan.y.to,
                    plan.x.to - plan.x.from,
                    plan.y.from - plan.y.to,
                    "none",
                    {1.2, line_grey, {}});
    std::string text;
    double y = plan.y.from;
    const auto length = length_unit(h, 1);
    std::vector<double> levels;
    ShopUnit unit = length;
    if (table) {
        const auto field = field_of(state, *table);
        const auto [low, high] = std::minmax_element(field.height.begin(), field.height.end());
        unit = length_unit(h, std::max(*high, -*low));
        levels = levels_of(field, unit);
        const auto from = plan(table->x_low, table->y_high), to = plan(table->x_high, table->y_low);
        sheet.rectangle(from.first,
                        from.second,
                        to.first - from.first,
                        to.second - from.second,
                        shade(0, 1),
                        {1.2, grey, {}});
        for (std::size_t k = levels.size(); k-- > 0;)
            if (const auto data = below(field, plan, levels[k] * unit.size); !data.empty())
                sheet.path(data, shade(levels.size() - k, levels.size() + 1));
        draw_readings(sheet, state, plan);
    }
    draw_squares(sheet, squares, plan);
    if (table)
        for (const auto& low : table->low_spots) {
            const auto [at_x, at_y] = plan(low.x, low.y);
            sheet.circle(at_x, at_y, 9, sheet.fill(Hatch::rising), {1.6, ink, {}});
            const auto words = fmt::format("{} low", length_text(low.depth, h));
            const double half = text_width(words, 15, true) / 2;
            sheet.text(std::clamp(at_x, half, sheet_width - half),
                       std::max(at_y - 18, plan.y.to + 16),
                       words,
                       {15, Anchor::middle, black, true, true});
        }
    sheet.text(plan.x.from, 14, "back of the machine", {14, Anchor::start, grey});
    // scales along the edges
    const auto y_ticks = nice_ticks(view.y_low / length.size, view.y_high / length.size, 5);
    for (const double at : y_ticks) {
        sheet.line(
            left - 5, plan.y(at * length.size), left, plan.y(at * length.size), {1, grey, {}});
        sheet.text(left - 9,
                   plan.y(at * length.size) + 5,
                   tick_text(at, tick_place(y_ticks), length),
                   {14, Anchor::end, grey});
    }
    sheet.text(left - 9, 14, fmt::format("Y, {}", length.spelling), {14, Anchor::end, grey});
    sheet.scale_below({view.x_low / length.size, view.x_high / length.size, plan.x.from, plan.x.to},
                      y,
                      length,
                      fmt::format("X, {}", length.spelling));
    y += 84;
    if (!levels.empty())
        y = draw_shades(sheet, levels, unit, left, y) + 6;
    for (std::size_t k = 0; k < squares.size(); ++k) {
        sheet.circle(left + 12, y, 11, "#fff", {1.6, ink, {}});
        sheet.text(left + 12, y + 5, std::to_string(k + 1), {14, Anchor::middle, ink, true});
        sheet.text(left + 32,
                   y + 5,
                   shortened(squares[k].name + (k == 0 ? "; its edge is the thick side" : ""),
                             sheet_width - left - 40,
                             15));
        y += 27;
    }

    std::string caption;
    if (table) {
        const auto flat = printed_in(length_unit(h, std::max(table->flatness, table->standard)),
                                     table->flatness,
                                     table->standard);
        caption = fmt::format("Flat within {} {}, doubt {}.",
                              flat.value,
                              length_unit(h, std::max(table->flatness, table->standard)).spelling,
                              flat.uncertainty);
        if (table->low_spots.empty())
            caption += " No spot is surely low.";
        else
            caption += fmt::format(" Lowest at {}: {} below its plane.",
                                   place_text(table->low_spots[0].x, table->low_spots[0].y, h),
                                   length_text(table->low_spots[0].depth, h));
        text += fmt::format("mapped: {} to {}\n",
                            place_text(table->x_low, table->y_low, h),
                            place_text(table->x_high, table->y_high, h));
        for (const auto& low : table->low_spots)
            text += fmt::format("low spot at {}: {}, doubt {}\n",
                                place_text(low.x, low.y, h),
                                length_text(low.depth, h),
                                length_text(low.standard, h));
        for (int j = 4; j >= 0; --j) {
            const double at_y = table->y_low + (table->y_high - table->y_low) * j / 4;
            text += fmt::format("height at Y {}:", coordinate_text(at_y, h));
            for (int i = 0; i < 5; ++i) {
                const double at_x = table->x_low + (table->x_high - table->x_low) * i / 4;
                const auto row = state.model.table_form(at_x, at_y);
                const double height = row.dot(state.estimate.head(row.size()));
                text += fmt::format("{} {}",
                                    i == 0 ? "" : ",",
                                    number_in(unit, height, place_in(unit, table->standard)));
            }
            text += fmt::format(" {}\n", unit.spelling);
        }
    } else {
        caption = "No check maps the table: how a square stands on it is a guess by the class.";
    }
    for (std::size_t k = 0; k < squares.size(); ++k)
        text +=
            fmt::format("square {}: {}, edge at {}\n",
                        k + 1,
                        blanked(squares[k].name),
                        place_text((squares[k].edge_from.first + squares[k].edge_to.first) / 2,
                                   (squares[k].edge_from.second + squares[k].edge_to.second) / 2,
                                   h));
    return {"table",
            title,
            caption,
            blanked(caption) + "\n" + text,
            sheet.finished(y - 4, title, caption)};
}

} // namespace holdable
