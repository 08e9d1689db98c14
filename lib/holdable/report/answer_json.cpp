// SPDX-License-Identifier: MIT
#include "holdable/report/answer_json.hpp"

#include "holdable/report/answer_text.hpp"
#include "holdable/report/json.ipp"
#include "holdable/report/wording.hpp"

namespace holdable {
namespace {

std::string_view word(Callout::Kind kind) {
    return kind == Callout::Kind::position ? "position" : "perpendicularity";
}

std::string_view word(HoleMaking making) {
    switch (making) {
    case HoleMaking::bored:
        return "bored";
    case HoleMaking::reamed:
        return "reamed";
    case HoleMaking::drilled:
        return "drilled";
    }
    return {};
}

Json extent_json(const std::optional<Extent>& extent) {
    if (!extent)
        return nullptr;
    return {{"x_low", finite(extent->x_low, "x_low")},
            {"x_high", finite(extent->x_high, "x_high")},
            {"y_low", finite(extent->y_low, "y_low")},
            {"y_high", finite(extent->y_high, "y_high")}};
}

Json datum_json(const Callout& c) {
    if (c.kind == Callout::Kind::perpendicularity)
        return {{"kind", c.orientation.kind == OrientationDatum::Kind::face ? "face" : "seat"},
                {"name", c.orientation.name},
                {"extent", extent_json(c.orientation.extent)},
                {"height", finite(c.orientation.height, "height")},
                {"tool_length", finite(c.orientation.tool_length, "tool_length")}};
    return {{"kind", c.position.kind == PositionDatum::Kind::cut ? "cut" : "picked up"},
            {"name", c.position.names},
            {"x", finite(c.position.x, "x")},
            {"y", finite(c.position.y, "y")},
            {"height", finite(c.position.height, "height")},
            {"tool_length", finite(c.position.tool_length, "tool_length")}};
}

Json callout_json(const Callout& c, Habit h) {
    return {
        {"name", c.name},
        {"kind", word(c.kind)},
        {"tolerance", {{"value", finite(c.tolerance, "tolerance")}, {"text", zone_asked(c, h)}}},
        {"written", c.written},
        {"x", finite(c.x, "x")},
        {"y", finite(c.y, "y")},
        {"top", finite(c.top, "top")},
        {"depth", finite(c.depth, "depth")},
        {"tool_length", finite(c.tool_length, "tool_length")},
        {"making", word(c.making)},
        {"datum", datum_json(c)},
        {"text", requirement(c, h)}};
}

/// A zone, with its standard error where the simulation gave one.
Json zone_json(double m, const Callout& c, Habit h, std::string_view what) {
    return {{"value", finite(m, what)}, {"text", zone_promised_in_both(m, c, h)}};
}

Json zone_json(double m, double error, const Callout& c, Habit h, std::string_view what) {
    auto json = zone_json(m, c, h, what);
    json["standard_error"] = finite(error, what);
    return json;
}

Json probability_json(double p, std::string_view what) {
    return {{"value", finite(p, what)}, {"text", percent_down(p)}};
}

Json probability_json(double p, double error, std::string_view what) {
    auto json = probability_json(p, what);
    json["standard_error"] = finite(error, what);
    return json;
}

Json share_json(const Share& s, double smallest) {
    return {{"name", s.name},
            {"meaning", s.meaning},
            {"known_error", s.known},
            {"share", finite(s.share, "share")},
            {"amount", finite(s.share * smallest, "amount")},
            {"evidence", word(s.evidence)},
            {"sharing", word(s.sharing)}};
}

Json promise_json(const Promise& p, const Callout& c, Habit h) {
    Json shares = Json::array();
    for (const auto& s : p.shares)
        shares.push_back(share_json(s, p.smallest));
    return {
        {"name", p.name},
        {"smallest", zone_json(p.smallest, p.smallest_error, c, h, "smallest")},
        {"smallest_9973", zone_json(p.smallest_9973, p.smallest_9973_error, c, h, "smallest_9973")},
        {"next_part", probability_json(p.next_part, "next_part")},
        {"assured_yield", probability_json(p.assured_yield, "assured_yield")},
        {"gamma", probability_json(p.gamma, p.gamma_error, "gamma")},
        {"gamma_without_guesses",
         probability_json(
             p.gamma_without_guesses, p.gamma_without_guesses_error, "gamma_without_guesses")},
        {"next_part_limit", zone_json(p.next_part_limit, c, h, "next_part_limit")},
        {"first_order_limit", zone_json(p.first_order_limit, c, h, "first_order_limit")},
        {"first_order_applies", p.first_order_applies},
        {"known_value", finite(p.known_value, "known_value")},
        {"standard_uncertainty", finite(p.standard_uncertainty, "standard_uncertainty")},
        {"worlds", p.worlds},
        {"parts_in_world", p.parts_in_world},
        {"shares", std::move(shares)}};
}

Json fixes_json(const CalloutAnswer& c, Habit h) {
    Json fixes = Json::array();
    for (const auto& fix : c.to_fix)
        fixes.push_back(
            {{"action", fix.action},
             {"smallest_after",
              fix.smallest_after ? zone_json(*fix.smallest_after, c.callout, h, "smallest_after")
                                 : Json(nullptr)},
             {"verdict_after",
              fix.verdict_after ? Json(word(*fix.verdict_after)) : Json(nullptr)}});
    return fixes;
}

Json whole_json(const Answer& a) {
    const auto& w = a.whole;
    return {{"whole_part", probability_json(w.whole_part, "whole_part")},
            {"whole_part_assured", probability_json(w.whole_part_assured, "whole_part_assured")},
            {"all_good", probability_json(w.all_good, "all_good")},
            {"expected_out", finite(w.expected_out, "expected_out")},
            {"out_at_most", w.out_at_most},
            {"text", batch_sentence(a)},
            {"worlds", w.worlds},
            {"parts_in_world", w.parts_in_world},
            {"notes", w.notes}};
}

} // namespace

std::string answer_json(const Answer& answer) {
    const auto& a = answer;
    const auto h = habit(a.inch);
    Json callouts = Json::array();
    bool some = false;
    for (const auto& c : a.callouts) {
        some = some || c.computed;
        callouts.push_back(
            {{"callout", callout_json(c.callout, h)},
             {"make", {{"verdict", word(c.verdict)}, {"reason", c.reason}}},
             {"prove", nullptr},
             {"computed", c.computed},
             {"promise", c.computed ? promise_json(c.promise, c.callout, h) : Json(nullptr)},
             {"to_fix", fixes_json(c, h)},
             {"must_be_true", c.must_be_true},
             {"notes", c.notes}});
    }
    return document_text(
        {{"holdable", "answer-result/1"},
         {"shop", a.shop},
         {"machine", a.machine},
         {"job", a.job},
         {"day", to_string(a.day)},
         {"valid_until", to_string(a.valid_until)},
         {"valid_until_is_limit", a.valid_until_is_limit},
         {"validity", validity_sentence(a)},
         {"parts", finite(a.parts, "parts")},
         {"confidence", finite(a.confidence, "confidence")},
         {"quantity", a.quantity},
         {"inch", a.inch},
         {"seed", a.seed},
         {"callouts", std::move(callouts)},
         {"worst", a.callouts.empty() ? Json(nullptr) : Json(worst_callout(a) + 1)},
         {"whole", some ? whole_json(a) : Json(nullptr)},
         {"not_included", a.not_included},
         {"notes", a.notes},
         {"caution", answer_caution()},
         {"say", phone_sentence(a)}});
}

} // namespace holdable
