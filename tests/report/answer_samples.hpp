// SPDX-License-Identifier: MIT
/// Answers made by hand, one for each verdict; the numbers are invented.
#pragma once

#include "holdable/answer/answer.hpp"

#include <chrono>

namespace holdable::samples {

inline constexpr double inch = 0.0254;

inline Callout bore(const std::string& name = "bore 2") {
    Callout c;
    c.kind = Requirement::perpendicularity;
    c.name = name;
    c.tolerance = 0.001 * inch;
    c.written = "0.001 in";
    c.hole().x = 6 * inch;
    c.hole().y = 4 * inch;
    c.hole().top = 3.5 * inch;
    c.hole().depth = 3 * inch;
    c.hole().tool_length = 6 * inch;
    c.plane().kind = PlaneDatum::Kind::seat;
    c.plane().name = "A";
    return c;
}

inline Callout hole(const std::string& name = "dowel hole") {
    Callout c = bore(name);
    c.kind = Requirement::position;
    c.tolerance = 0.010 * inch;
    c.written = "0.010 in";
    c.hole().depth = 0.75 * inch;
    c.hole().making = HoleMaking::drilled;
    c.edges().kind = EdgeDatum::Kind::picked_up;
    c.edges().name = "A|B|C";
    return c;
}

inline Promise promise_of(double smallest) {
    Promise p;
    p.name = "bore 2";
    p.smallest = smallest;
    p.smallest_error = 0.004 * smallest;
    p.smallest_9973 = 1.26 * smallest;
    p.smallest_9973_error = 0.01 * smallest;
    p.next_part = 0.9917;
    p.assured_yield = 0.9626;
    p.gamma = 0.962;
    p.gamma_error = 0.003;
    p.gamma_without_guesses = 0.962;
    p.gamma_without_guesses_error = 0.003;
    p.next_part_limit = 0.84 * smallest;
    p.first_order_limit = 0.82 * smallest;
    p.known_value = 0.24 * smallest;
    p.standard_uncertainty = 0.31 * smallest;
    p.shares = {
        {"seat",
         "tilt of the seat on the parallels",
         0.38,
         Evidence::typical,
         false,
         Sharing::setup},
        {"known: B0Z", "Z square to X", 0.24, Evidence::measured, true, Sharing::job},
        {"square", "lean of the granite square", 0.17, Evidence::certificate, false, Sharing::job},
        {"direction",
         "direction of the hole from part to part",
         0.13,
         Evidence::measured,
         false,
         Sharing::part},
        {"A0Z", "Z square to Y", 0.06, Evidence::assumed, false, Sharing::job},
        {"gain",
         "gain of the lever indicator",
         0.012,
         Evidence::specification,
         false,
         Sharing::job},
        {"form", "form of the square's edge", 0.003, Evidence::typical, false, Sharing::job}};
    return p;
}

/// A gauge that costs 12.5 % of Ø.001 in, 25.4 µm: g u = 1.65 · 1.5 µm, a known error of 0.7 µm.
inline Proof proof() {
    Proof p;
    p.verdict = Verdict::yes;
    p.reason = "proving with \"plate and square\" costs 13 % of the tolerance, most by who measures";
    p.gauge = "plate and square";
    p.judged = true;
    p.standard = 1.5e-6;
    p.k = 2;
    p.expanded = 3e-6;
    p.known_error = -0.7e-6;
    p.tolerance = 25.4e-6;
    p.ratio = 25.4 / 3;
    p.cost.guard = 1.65;
    p.cost.lost = 0.125;
    p.acceptance = {0, 22.225e-6};
    p.sources = {{"who measures", 1.2e-6, 0.64, Evidence::typical},
                 {"error of the square \"black\"", 0.9e-6, 0.36, Evidence::certificate}};
    MeasuredParts parts;
    parts.bad = 0.0083;
    parts.accepted = 0.95;
    parts.accepted_bad = 0.00041;
    parts.accepted_bad_error = 0.0001;
    parts.refused_good = 0.0312;
    parts.refused_good_error = 0.001;
    parts.worlds = 500;
    parts.parts_in_world = 8000;
    p.parts = parts;
    p.offered = 0.00094 * inch;
    p.must_be_true = {"read at three places"};
    p.notes = {"the calibration of \"plate and square\" ran out on 2026-11-01"};
    return p;
}

inline Answer answer_of(CalloutAnswer callout) {
    using namespace std::chrono;
    if (callout.proof.reason.empty()) {
        callout.proof.reason = "no gauge is named to prove it (\"gauge\")";
        callout.proof.wanted = 0.298 * callout.callout.tolerance; // 1.96 · 0.25/1.645
    }
    Answer a;
    a.shop = "Harbor Tool";
    a.machine = "the white mill";
    a.job = "bearing plate";
    a.day = sys_days(year(2026) / 11 / 20);
    a.valid_until = sys_days(year(2027) / 3 / 12);
    a.valid_until_is_limit = false;
    a.quantity = 25;
    a.inch = true;
    a.seed = 7;
    a.whole.whole_part = callout.promise.next_part;
    a.whole.whole_part_assured = callout.promise.assured_yield;
    a.whole.all_good = 0.81;
    a.whole.expected_out = 25 * (1 - callout.promise.next_part);
    a.whole.out_at_most = 2;
    a.whole.worlds = 4000;
    a.whole.parts_in_world = 1000;
    callout.promise.worlds = 4000;
    callout.promise.parts_in_world = 1000;
    if (callout.computed)
        a.whole.promises = {callout.promise};
    callout.left_out = {"bending of tool and part under cut", "tool wear over the batch"};
    a.not_included = callout.left_out;
    a.callouts = {std::move(callout)};
    a.notes = {"the check ZX disagrees with the others and the class: its doubt was multiplied by "
               "1.9"};
    return a;
}

inline Answer yes() {
    CalloutAnswer c;
    c.callout = bore();
    c.verdict = Verdict::yes;
    c.reason = "limited by tilt of the seat on the parallels";
    c.promise = promise_of(0.000823 * inch);
    c.proof = proof();
    c.must_be_true = {"seat clean, part flat where it sits", "fed by Z"};
    auto a = answer_of(c);
    a.notes.clear();
    return a;
}

inline Answer marginal() {
    CalloutAnswer c;
    c.callout = hole();
    c.verdict = Verdict::marginal;
    c.reason = "limited by tilt of the seat on the parallels";
    c.promise = promise_of(0.01142 * inch);
    c.promise.next_part = 0.971;
    c.promise.assured_yield = 0.9237;
    c.promise.gamma = 0.887;
    c.promise.gamma_without_guesses = 0.93;
    c.promise.first_order_applies = false;
    c.to_fix = {{"correct the known errors, first: Z square to X", 0.00868 * inch, Verdict::yes},
                {"measure it, now only typical: tilt of the seat on the parallels", {}, {}}};
    c.must_be_true = {"part lined up with X, A|B|C picked up once"};
    c.notes = {"no temperatures are given: 20 ± 3 °C is taken as typical"};
    return answer_of(c);
}

inline Answer no() {
    CalloutAnswer c;
    c.callout = bore();
    c.callout.tolerance = 0.01e-3;
    c.callout.written = "0.010 mm";
    c.verdict = Verdict::no;
    c.reason = "even with every guess at its middle; limited by Z square to X";
    c.promise = promise_of(0.0212e-3);
    c.promise.next_part = 0.0312;
    c.promise.assured_yield = 0;
    c.promise.gamma = 0.0004;
    c.promise.gamma_without_guesses = 0.012;
    c.to_fix = {{"correct the known errors, first: Z square to X", 0.0161e-3, Verdict::no}};
    auto a = answer_of(c);
    a.inch = false;
    a.whole.out_at_most = 25;
    a.whole.all_good = 0;
    return a;
}

inline Answer cant_say() {
    CalloutAnswer c;
    c.callout = bore();
    c.verdict = Verdict::cant_say;
    c.reason = "not known: the direction of a bored hole";
    c.computed = false;
    c.to_fix = {{"state the direction of a bored hole (\"process\": \"typical\")", {}, {}}};
    auto a = answer_of(c);
    a.valid_until = a.day;
    return a;
}

/// Four callouts with the four verdicts.
inline Answer many() {
    auto a = yes();
    auto second = marginal().callouts[0];
    auto third = no().callouts[0];
    third.callout.name = "bore 3";
    auto fourth = cant_say().callouts[0];
    fourth.callout.name = "a bore whose name is much too long for its column";
    a.callouts.insert(a.callouts.end(), {second, third, fourth});
    a.whole.whole_part = 0.0301;
    a.whole.whole_part_assured = 0.0007;
    a.whole.expected_out = 24.3;
    a.whole.out_at_most = 25;
    a.whole.all_good = 1e-9;
    a.whole.promises = {a.callouts[0].promise, second.promise, third.promise};
    return a;
}

} // namespace holdable::samples
