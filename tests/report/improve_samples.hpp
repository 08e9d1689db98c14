// SPDX-License-Identifier: MIT
/// What would help, made by hand; the numbers are invented.
#pragma once

#include "holdable/answer/improve.hpp"
#include "report/answer_samples.hpp"

namespace holdable::samples {

inline Outlook seen(Verdict verdict, double thou) {
    return {verdict, true, thou * 0.001 * inch, 0.9};
}

inline Improvement improvement() {
    Improvement all;
    all.shop = "Hollow Oak (invented)";
    all.machine = "the mill";
    all.job = "bracket";
    all.day = parse_date("2026-11-20");
    all.inch = true;
    all.callouts = {bore(), hole()};
    all.now = {seen(Verdict::cant_say, 1.2), seen(Verdict::no, 20)};
    Improved level;
    level.action.name = "roll-of-y";
    level.action.what = "check the roll of Y by \"long level\" on the table";
    level.action.minutes = 30;
    level.action.rests_on = "it reads as the present estimate predicts";
    level.after = {seen(Verdict::yes, 0.8), seen(Verdict::no, 20)};
    level.won = 1;
    level.chance = {0.876, std::nullopt};
    Improved warmth = level;
    warmth.action.name = "measure-temperatures";
    warmth.action.what = "measure the temperature of part and screws while cutting, to 2 °F";
    warmth.action.kind = ActionKind::process;
    warmth.action.minutes = 10;
    warmth.after = {seen(Verdict::cant_say, 1.2), seen(Verdict::no, 15)};
    warmth.won = 0;
    warmth.chance.clear();
    all.actions = {level, warmth};
    all.least.actions = {0};
    all.least.minutes = 30;
    all.least.after = level.after;
    all.least.best = {seen(Verdict::yes, 0.8), seen(Verdict::no, 15)};
    all.least.out_of_reach = {1};
    all.least.reaches = true;
    all.worst = 1;
    all.shrinks = {{"finding the edge in X", Evidence::typical, false, false, 0.244, 0.004 * inch},
                   {"warmth", Evidence::assumed, false, false, std::nullopt, 0.018 * inch},
                   {"everything", Evidence::measured, false, true, 0.5, 0}};
    all.notes = {"a remark"};
    return all;
}

} // namespace holdable::samples
