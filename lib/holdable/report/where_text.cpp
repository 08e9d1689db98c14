// SPDX-License-Identifier: MIT
#include "holdable/report/where_text.hpp"

#include "holdable/report/answer_text.hpp"
#include "holdable/report/page.hpp"
#include "holdable/report/where_cells.hpp"
#include "holdable/report/wording.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <optional>
#include <utility>

namespace holdable {
namespace {

constexpr std::size_t label_width = 9; // of a row of the map
constexpr std::size_t cell_width = 7;

std::string list_of(const std::vector<std::string>& words) {
    std::string text;
    for (std::size_t i = 0; i < words.size(); ++i)
        text += (i == 0 ? "" : i + 1 == words.size() ? " and " : ", ") + words[i];
    return text;
}

/// The move as the machine's coordinates have it: "X -2.000 in, Y +0.500 in".
std::string move_coordinates(const Placement& move, Habit h) {
    std::vector<std::string> all;
    for (const auto& [letter, by] : {std::pair{'X', move.x}, {'Y', move.y}, {'Z', move.z}})
        if (std::abs(by) > no_shift)
            all.push_back(
                fmt::format("{} {}{}", letter, by > 0 ? "+" : "", coordinate_text(by, h)));
    return fmt::format("{}", fmt::join(all, ", "));
}

/// A share of a tolerance in percent, rounded up.
std::string used_text(double used) {
    return to_place(100 * used, 0, Rounding::up) + " %";
}

/// t(P, C) of the deciding callout of a glance, with its name.
std::string deciding_text(const Where& w, const PlaceLook& look) {
    const auto& callout = w.callouts[look.deciding].callout;
    return fmt::format("{}, {}",
                       zone_promised(look.smallest[look.deciding], callout, habit(w.inch)),
                       callout.name);
}

/// Where the middle of the part comes to lie.
std::string middle_text(const Where& w, const Placement& place) {
    const auto h = habit(w.inch);
    return fmt::format("X {}, Y {}",
                       coordinate_text((w.outline.x_low + w.outline.x_high) / 2 + place.x, h),
                       coordinate_text((w.outline.y_low + w.outline.y_high) / 2 + place.y, h));
}

void draw_map(Page& page, const Where& w) {
    const auto& map = w.map;
    if (map.places.empty() || deciding_on(map).empty())
        return;
    const WhereCells cells(w);
    const auto [asked, best] = asked_and_best(w);
    const bool blocked = std::any_of(map.places.begin(), map.places.end(), [](const auto& look) {
        return look.obstacle != Obstacle::none;
    });
    page.beside("Map", cells.legend());
    page.beside("",
                fmt::format("by the place of the part's middle{}; [ ] as asked{}{}",
                            lies_on(w),
                            w.found ? ", > < nearest the best" : "",
                            blocked ? ", · not allowed" : ""));
    page.gap();
    const double unit = w.inch ? 25.4e-3 : 1e-3;
    const int place = w.inch ? -3 : -1;
    page.row(fitted_right(w.inch ? "Y, in" : "Y, mm", label_width - 1) + "   back");
    for (std::size_t row = map.y.size(); row-- > 0;) {
        auto line = fitted_right(to_place(map.y[row] / unit, place), label_width);
        for (std::size_t column = 0; column < map.x.size(); ++column) {
            const Cell here(column, row);
            auto cell = cells.text(map.at(column, row));
            // the sign after a number stands in the gap, so that numbers stay in their columns
            const bool is_best = w.found && here == best;
            if (is_best)
                cell = ">" + cell + "<";
            else if (here == asked)
                cell = "[" + cell + "]";
            else
                cell += " ";
            line += fitted_right(cell, cell_width);
        }
        page.row(line);
    }
    auto line = fitted_right(w.inch ? "X, in" : "X, mm", label_width);
    for (const double x : map.x)
        line += fitted_right(to_place(x / unit, place) + " ", cell_width);
    page.row(line);
    page.row(std::string(label_width + 2, ' ') + "front");
    if (w.found && best == asked)
        page.beside("", "The best place lies so near that both are one on the map.");
    page.gap();
}

void table_of_callouts(Page& page, const Where& w) {
    const auto h = habit(w.inch);
    const auto line = [&](const std::string& number,
                          const std::string& name,
                          const std::string& asked,
                          const std::string& here,
                          const std::string& best,
                          const std::string& verdict) {
        page.row(fitted_right(number, 2) + "  " + fitted(name, 17) + fitted_right(asked, 14) +
                 fitted_right(here, 12) + fitted_right(best, 12) + " " + verdict);
    };
    line("", "callout", "asked", "as asked", w.found ? "best place" : "", "MAKE");
    int number = 0;
    for (const auto& c : w.callouts) {
        const auto before = std::string(word(c.verdict_asked));
        const auto after = std::string(word(c.verdict_best));
        line(std::to_string(++number),
             c.callout.name,
             zone_asked(c.callout, h),
             c.computed ? zone_promised(c.asked.smallest, c.callout, h) : "-",
             !w.found      ? ""
             : !c.computed ? "-"
                           : zone_promised(c.best.smallest, c.callout, h),
             before == after ? before : before + " → " + after);
    }
}

void whole_part(Page& page, const Where& w) {
    const auto both = [&](double before, double after) {
        return w.found
                   ? fmt::format("{} as asked, {} there", percent_down(before), percent_down(after))
                   : percent_down(before);
    };
    const auto computed = std::count_if(
        w.callouts.begin(), w.callouts.end(), [](const auto& c) { return c.computed; });
    page.fact("Whole part",
              computed == std::ssize(w.callouts)
                  ? "next part all good"
                  : fmt::format("next part good in {} of {}", computed, w.callouts.size()),
              both(w.whole_asked.whole_part, w.whole_best.whole_part));
    page.fact("",
              "yield assured",
              fmt::format("{}, with {} confidence",
                          both(w.whole_asked.whole_part_assured, w.whole_best.whole_part_assured),
                          chosen_percent(w.confidence)));
}

/// Other ways round and other heights: the best place of each.
void other_ways(Page& page, const Where& w) {
    const auto h = habit(w.inch);
    if (w.turns.size() > 1) {
        std::string_view label = "Turns";
        for (const auto& look : w.turns) {
            const auto turned = turn_words(look.placement.quarter_turns);
            page.fact(
                label,
                turned.empty() ? "as asked" : turned.substr(7),
                fmt::format("{}, at {}", deciding_text(w, look), middle_text(w, look.placement)));
            label = "";
        }
    }
    std::string_view label = "Heights";
    for (const auto& look : w.heights) {
        const double z = look.placement.z;
        page.fact(
            label,
            std::abs(z) <= no_shift
                ? "as asked"
                : fmt::format("{} {}", coordinate_text(std::abs(z), h), z > 0 ? "higher" : "lower"),
            fmt::format("{}, at {}", deciding_text(w, look), middle_text(w, look.placement)));
        label = "";
    }
    if (w.higher) {
        const auto& up = *w.higher;
        const auto lifted = coordinate_text(up.placement.z - w.best.z, h);
        page.beside("Height",
                    up.obstacle == Obstacle::none
                        ? fmt::format("{} higher, on parallels or in a taller vise: {}; here {}",
                                      lifted,
                                      deciding_text(w, up),
                                      deciding_text(w, w.best_look))
                        : fmt::format("{} higher: not allowed, {}",
                                      lifted,
                                      up.why.empty() ? word(up.obstacle) : up.why));
    }
}

void limits(Page& page, const Where& w) {
    std::vector<std::string> lines;
    const auto way = [](const std::string& direction) {
        return direction == "-X"   ? "left"
               : direction == "+X" ? "right"
               : direction == "-Y" ? "front"
                                   : "back";
    };
    for (const auto& stop : w.stops)
        lines.push_back(fmt::format("no further to the {}: {}{}",
                                    way(stop.direction),
                                    word(stop.obstacle),
                                    stop.why.empty() ? "" : ": " + stop.why));
    if (lines.empty())
        lines.push_back(fmt::format("neither travel nor fixture: {} can be moved any way",
                                    w.found ? "from there it" : "it"));
    if (!w.may_turn)
        lines.emplace_back("the job does not let it be turned");
    page.list("Limits", lines);
}

void how_looked(Page& page, const Where& w) {
    const auto h = habit(w.inch);
    page.beside(
        "Looked",
        fmt::format("at {} places by a glance of {} × {} parts, the same draws at each: map, "
                    "turns and heights are of it, and may be off by some percent; {}",
                    w.looks,
                    w.worlds,
                    w.parts_in_world,
                    w.found ? "the place asked and the best by the full simulation"
                            : "the place asked by the full simulation"));
    if (w.map.places.empty())
        return;
    const auto deciding = deciding_on(w.map);
    const auto off =
        deciding.size() == 1
            ? length_text(w.between * w.callouts[deciding[0]].callout.tolerance, h, 1, Rounding::up)
            : used_text(w.between) + " of the tolerance";
    page.beside("",
                w.settled
                    ? fmt::format("Places {} apart give the same best tolerance; those between "
                                  "two cells of the map are off their mean by at most {}.",
                                  coordinate_text(w.finest, h),
                                  off)
                    : fmt::format("Even at {} from place to place halving that still changed "
                                  "the best tolerance: a finer place may be better.",
                                  coordinate_text(w.finest, h)));
}

} // namespace

std::string move_words(const Placement& move, Habit h) {
    std::vector<std::string> all;
    if (std::abs(move.x) > no_shift)
        all.push_back(fmt::format(
            "{} to the {}", coordinate_text(std::abs(move.x), h), move.x > 0 ? "right" : "left"));
    if (std::abs(move.y) > no_shift)
        all.push_back(fmt::format(
            "{} to the {}", coordinate_text(std::abs(move.y), h), move.y > 0 ? "back" : "front"));
    if (std::abs(move.z) > no_shift)
        all.push_back(fmt::format(
            "{} {}", coordinate_text(std::abs(move.z), h), move.z > 0 ? "higher" : "lower"));
    auto text = list_of(all);
    const auto turned = turn_words(move.quarter_turns);
    if (!turned.empty())
        text += (text.empty() ? "" : ", ") + turned;
    return text;
}

std::string where_sentence(const Where& w) {
    const auto h = habit(w.inch);
    const auto computed =
        std::any_of(w.callouts.begin(), w.callouts.end(), [](const auto& c) { return c.computed; });
    if (!computed)
        return "No callout can be computed, so no place can be told from another.";
    if (w.map.places.empty())
        return w.item ? "That callout is the same everywhere it can be cut."
                      : "Every callout is the same everywhere the part can lie.";
    const auto& decides = w.callouts[w.deciding_best];
    if (!w.found)
        return "Leave it where it is: no other place is better by more than the 1 % that the "
               "simulation may be off.";
    const auto& before = w.callouts[w.deciding_asked];
    const bool one = w.deciding_asked == w.deciding_best;
    const auto moved = move_words(w.best, h);
    const bool only_turned = moved.starts_with("turned");
    return fmt::format(
        "{} the part {}: {}",
        only_turned ? "Put" : "Move",
        moved,
        one ? fmt::format("{} from {} to {}, {} less.",
                          decides.callout.name,
                          zone_promised(decides.asked.smallest, decides.callout, h),
                          zone_promised(decides.best.smallest, decides.callout, h),
                          to_place(100 * (1 - w.used_best / w.used_asked), 0, Rounding::down) +
                              " %")
            : fmt::format("the callout that needs most of its tolerance, {}, needs {} of it; "
                          "as asked {} needs {}.",
                          decides.callout.name,
                          used_text(w.used_best),
                          before.callout.name,
                          used_text(w.used_asked)));
}

std::string where_caution() {
    return "Another place is another set-up: lock out, and block a vertical head, before "
           "reaching between table, column and spindle. " +
           std::string(answer_caution());
}

std::string where_text(const Where& w) {
    Page page(usual_margin);
    const auto h = habit(w.inch);
    page.full(fmt::format(
        "{}: {} off, on {} of {}, for {}", w.job, w.quantity, w.machine, w.shop, to_string(w.day)));
    page.gap();
    page.beside("Best", where_sentence(w));
    if (w.found)
        page.beside("",
                    fmt::format("{}{}middle of the part then at {}",
                                move_coordinates(w.best, h),
                                move_coordinates(w.best, h).empty() ? "" : "; ",
                                middle_text(w, w.best)));
    page.gap();
    table_of_callouts(page, w);
    page.gap();
    const bool some =
        std::any_of(w.callouts.begin(), w.callouts.end(), [](const auto& c) { return c.computed; });
    if (some) {
        whole_part(page, w);
        page.gap();
    }
    draw_map(page, w);
    if (!w.map.places.empty()) {
        other_ways(page, w);
        limits(page, w);
    }
    if (some)
        how_looked(page, w);
    std::vector<std::string> same, left;
    for (const auto& c : w.callouts)
        if (!c.computed)
            left.push_back(fmt::format("{}: not known: {}", c.callout.name, c.missing));
        else if (!c.depends)
            same.push_back(c.callout.name);
    if (!same.empty() && !w.map.places.empty())
        page.beside("Same",
                    fmt::format("everywhere, so that it decides nothing: {}", list_of(same)));
    page.list("Left out", left);
    page.list("Note", w.notes);
    page.beside("Caution", where_caution());
    return page.text();
}

} // namespace holdable
