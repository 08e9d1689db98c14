// SPDX-License-Identifier: MIT
// A sketch of the machine from the front, and beside its errors how much of the doubt that the
// class leaves the readings removed: a bar as long as that share, dashed where there is none.
#include "holdable/report/picture.ipp"

#include <algorithm>
#include <array>
#include <cmath>

namespace holdable {
namespace {

constexpr double bar_length = 62, bar_height = 12;

/// One error with what readings say of it.
struct Known {
    std::string name;   ///< in full
    std::string prefix; ///< before its number in a table, "in Y"
    double learnt = 0;  ///< part of the class's variance that the readings removed, 0 … 1
    bool by_class = true;
};

Known known_of(const MotionSummary& m, std::string prefix = {}) {
    return {m.meaning, std::move(prefix), m.learnt, m.assumed_only};
}

/// All that is told: what stands beside the sketch, and a table of three axes.
struct Errors {
    std::vector<Known> beside;
    std::vector<std::pair<std::string, std::array<Known, 3>>> by_axis;

    template <class F>
    void each(F f) const {
        for (const auto& k : beside)
            f(k);
        for (const auto& [row, axes] : by_axis)
            for (const auto& k : axes)
                f(k);
    }
};

Errors errors_of(const MachineSummary& s) {
    Errors e;
    const auto motion = [&](int direction, int axis) -> const MotionSummary& {
        return s.motions[static_cast<std::size_t>(motion_index(direction, Axis(axis)))];
    };
    for (const int i : {c0y_index, b0z_index, a0z_index})
        e.beside.push_back(known_of(s.motions[static_cast<std::size_t>(i)]));
    for (const auto& tilt : s.tilts)
        e.beside.push_back(known_of(tilt));
    Known run_out{"run-out of the spindle", {}, 0, true};
    for (const auto& r : s.run_out)
        if (r.learnt > run_out.learnt) {
            run_out.learnt = r.learnt;
            run_out.by_class = r.assumed_only;
        }
    e.beside.push_back(run_out);
    Known table{"form of the table", {}, 0, true};
    if (s.table && s.table->standard_by_class > 0) {
        table.learnt =
            std::max(0.0, 1 - std::pow(s.table->standard / s.table->standard_by_class, 2));
        table.by_class = table.learnt < 0.01;
    }
    e.beside.push_back(table);

    constexpr int across[3][2] = {{1, 2}, {0, 2}, {0, 1}};
    constexpr int tilts[3][3] = {{3, 4, 5}, {4, 3, 5}, {5, 3, 4}}; // roll, pitch, yaw
    const auto row = [&](std::string name, auto cell) {
        e.by_axis.emplace_back(std::move(name), std::array<Known, 3>{cell(0), cell(1), cell(2)});
    };
    row("positioning", [&](int a) { return known_of(motion(a, a)); });
    for (const std::size_t way : {0U, 1U})
        row(way == 0 ? "straightness" : "", [&](int a) {
            const int to = across[a][way];
            return known_of(motion(to, a), fmt::format("in {} ", "XYZ"[to]));
        });
    row("roll", [&](int a) { return known_of(motion(tilts[a][0], a)); });
    row("pitch; of Z, nod in YZ", [&](int a) { return known_of(motion(tilts[a][1], a)); });
    row("yaw; of Z, nod in XZ", [&](int a) { return known_of(motion(tilts[a][2], a)); });
    row("lost motion", [&](int a) {
        const auto at = static_cast<std::size_t>(a);
        return at < s.axes.size() ? known_of(s.axes[at].lost_motion) : Known{};
    });
    return e;
}

std::string number_of(const Known& k) {
    return k.by_class ? "class only" : to_place(100 * k.learnt, 0, Rounding::down) + " %";
}

void bar(Sheet& sheet, double x, double y, const Known& k) {
    if (!k.by_class)
        sheet.rectangle(x, y, bar_length * k.learnt, bar_height, ink);
    sheet.rectangle(x,
                    y,
                    bar_length,
                    bar_height,
                    "none",
                    {1.2, k.by_class ? grey : ink, k.by_class ? "4 3" : ""});
    const auto number = k.by_class && !k.prefix.empty() ? "class" : number_of(k);
    sheet.text(x + bar_length + 8,
               y + bar_height - 0.5,
               k.prefix + number,
               {14, Anchor::start, k.by_class ? grey : black});
}

/// A line with a head at both ends.
void arrow(Sheet& sheet, double x1, double y1, double x2, double y2) {
    const Pen pen{1.6, ink, {}};
    sheet.line(x1, y1, x2, y2, pen);
    const double length = std::hypot(x2 - x1, y2 - y1);
    const double ux = (x2 - x1) / length, uy = (y2 - y1) / length;
    for (const double end : {1.0, -1.0}) {
        const double x = end > 0 ? x2 : x1, y = end > 0 ? y2 : y1;
        const double bx = x - end * 9 * ux, by = y - end * 9 * uy;
        sheet.polyline({{x, y}, {bx - 4 * uy, by + 4 * ux}, {bx + 4 * uy, by - 4 * ux}},
                       {0, "none", {}},
                       ink,
                       true);
    }
}

/// A mill with its column behind the table, 270 wide, 290 high.
void sketch(Sheet& sheet) {
    const Pen pen{1.6, black, {}};
    sheet.rectangle(98, 6, 84, 226, pale, pen);    // column
    sheet.rectangle(84, 34, 112, 74, "#fff", pen); // head
    sheet.rectangle(122, 108, 36, 22, pale, pen);  // spindle
    sheet.polyline({{130, 130}, {150, 130}, {146, 142}, {134, 142}}, pen, "#fff", true);
    sheet.rectangle(136, 142, 8, 22, "#fff", pen);  // tool
    sheet.rectangle(20, 188, 240, 20, "#fff", pen); // table
    for (const double x : {70.0, 140.0, 210.0})
        sheet.path(fmt::format("M{} 188v6h-4v5h14v-5h-4v-6", x - 3), pale, {1.2, black, {}});
    sheet.rectangle(72, 208, 136, 24, "#fff", pen); // saddle
    sheet.rectangle(40, 232, 200, 44, pale, pen);   // base
    arrow(sheet, 34, 172, 110, 172);
    sheet.text(72, 163, "X", {16, Anchor::middle, ink, true});
    arrow(sheet, 222, 30, 222, 112);
    sheet.text(234, 77, "Z", {16, Anchor::start, ink, true});
    arrow(sheet, 170, 268, 218, 240);
    sheet.text(158, 268, "Y", {16, Anchor::end, ink, true});
}

std::string checks_words(const MachineSummary& s) {
    if (s.checks.empty())
        return "No check is in.";
    std::string words = "Checks: ";
    for (std::size_t i = 0; i < s.checks.size(); ++i) {
        const auto& c = s.checks[i];
        words += fmt::format("{}{} ({} {}{})",
                             i == 0 ? "" : ", ",
                             c.name,
                             c.readings,
                             c.readings == 1 ? "reading" : "readings",
                             c.noise_factor > 1 ? ", disagrees" : "");
    }
    return words + ".";
}

} // namespace

Picture checks_picture(const MachineSummary& s, std::string_view id) {
    const auto own = id.empty() ? std::string("checks") : std::string(id);
    const auto title = fmt::format("What is known of {}", s.machine);
    const auto errors = errors_of(s);
    Sheet sheet(own, sheet_width);
    sketch(sheet);
    double y = 18;
    for (const auto& k : errors.beside) {
        sheet.text(300, y + 12, k.name);
        bar(sheet, 484, y + 1, k);
        y += 38;
    }
    y = 312;
    constexpr std::array columns{196.0, 346.0, 496.0};
    for (std::size_t a = 0; a < columns.size(); ++a)
        sheet.text(columns[a], y, std::string(1, "XYZ"[a]), {16, Anchor::start, ink, true});
    sheet.line(0, y + 8, sheet_width, y + 8, {1, line_grey, {}});
    y += 20;
    for (const auto& [name, axes] : errors.by_axis) {
        sheet.text(0, y + 12, name);
        for (std::size_t a = 0; a < columns.size(); ++a)
            bar(sheet, columns[a], y + 1, axes[a]);
        y += 29;
    }
    y += 22;
    y = sheet.paragraph(
        0,
        y,
        sheet_width,
        "A bar is as long as the part of the class's doubt that the readings removed (of its "
        "variance). Dashed: no reading says anything of it.",
        {14, Anchor::start, grey});
    y = sheet.paragraph(0, y + 6, sheet_width, checks_words(s), {14, Anchor::start, grey});

    std::size_t all = 0, read = 0;
    std::string text;
    errors.each([&](const Known& k) {
        ++all;
        read += k.by_class ? 0 : 1;
        text += fmt::format("{:<30} {}\n", k.name, number_of(k));
    });
    auto caption = fmt::format(
        "Readings say something of {} of {} errors; the other {} are by the class \"{}\" alone.",
        read,
        all,
        all - read,
        s.machine_class);
    if (!s.next.empty())
        caption += fmt::format(" Next would teach most: {}.", s.next.front().what);
    return {"checks",
            title,
            caption,
            blanked(caption) + "\n" + text + blanked(checks_words(s)) + "\n",
            sheet.finished(y, title, caption)};
}

} // namespace holdable
