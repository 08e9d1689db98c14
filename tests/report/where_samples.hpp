// SPDX-License-Identifier: MIT
/// A result of `where` made by hand; the numbers are invented.
#pragma once

#include "holdable/answer/where.hpp"
#include "report/answer_samples.hpp"

namespace holdable::samples {

/// The part's middle was asked for at X 8 in, Y 6 in and is best at X 6 in, Y 8 in, on a map of
/// three columns and two rows; t is .0004 in there as asked, .0002 in at the best.
inline Where moved() {
    constexpr double ten_thousandth = 2.54e-6;
    Where w;
    w.shop = "Hollow Oak";
    w.machine = "the small mill";
    w.job = "block";
    w.day = parse_date("2026-11-25");
    w.quantity = 5;
    w.inch = true;
    w.outline = {6 * inch, 10 * inch, 4 * inch, 8 * inch};
    for (const auto* name : {"bore", "hole"}) {
        PlacedCallout c;
        c.callout = bore(name);
        c.computed = c.depends = true;
        c.asked = promise_of(4 * ten_thousandth);
        c.best = promise_of(2 * ten_thousandth);
        c.verdict_asked = Verdict::marginal;
        c.verdict_best = Verdict::yes;
        w.callouts.push_back(c);
    }
    w.callouts[1].callout.tolerance = 0.01 * inch;
    w.callouts[1].callout.written = "0.010 in";
    w.found = true;
    w.best = {-2 * inch, 2 * inch, 0, 0};
    w.used_asked = 0.4;
    w.used_best = 0.2;
    w.map.x = {6 * inch, 8 * inch, 10 * inch};
    w.map.y = {6 * inch, 8 * inch};
    const double t[] = {3, 4, 5, 2, 3, 0}; // in ten-thousandths, the front row first
    for (std::size_t i = 0; i < 6; ++i) {
        PlaceLook look;
        look.placement = {w.map.x[i % 3] - 8 * inch, w.map.y[i / 3] - 6 * inch, 0, 0};
        if (t[i] > 0) {
            look.smallest = {t[i] * ten_thousandth, 2 * ten_thousandth};
            look.used = t[i] / 10;
        } else {
            look.obstacle = Obstacle::ends;
        }
        w.map.places.push_back(look);
    }
    w.asked_look = w.map.places[1];
    w.best_look = w.map.places[3];
    w.turns = {w.best_look, w.asked_look};
    w.turns[1].placement.quarter_turns = 1;
    w.higher = w.asked_look;
    w.higher->placement = {-2 * inch, 2 * inch, 2 * inch, 0};
    w.stops = {{"-X", Obstacle::ends, ""}, {"+Y", Obstacle::travel, "\"bore\": too far"}};
    w.step = 2 * inch;
    w.finest = inch;
    w.settled = true;
    w.between = 0.012;
    w.looks = 100;
    w.worlds = w.parts_in_world = 500;
    w.whole_asked.whole_part = 0.9;
    w.whole_asked.whole_part_assured = 0.7;
    w.whole_best.whole_part = 0.99;
    w.whole_best.whole_part_assured = 0.97;
    return w;
}

} // namespace holdable::samples
