// SPDX-License-Identifier: MIT
#include "holdable/report/answer_json.hpp"

#include "holdable/report/answer_text.hpp"
#include "holdable/report/json.ipp"
#include "holdable/report/proof_parts.ipp"
#include "holdable/report/wording.hpp"

namespace holdable {
namespace {

Json extent_json(const std::optional<Extent>& extent) {
    if (!extent)
        return nullptr;
    return {{"x_low", finite(extent->x_low, "x_low")},
            {"x_high", finite(extent->x_high, "x_high")},
            {"y_low", finite(extent->y_low, "y_low")},
            {"y_high", finite(extent->y_high, "y_high")}};
}

Json hole_json(const Hole& hole) {
    return {
        {"x", finite(hole.x, "x")},
        {"y", finite(hole.y, "y")},
        {"top", finite(hole.top, "top")},
        {"depth", finite(hole.depth, "depth")},
        {"tool_length", finite(hole.tool_length, "tool_length")},
        {"making", word(hole.making)},
        {"diameter", hole.diameter > 0 ? Json(finite(hole.diameter, "diameter")) : Json(nullptr)},
        {"outside", hole.outside}};
}

Json face_json(const Face& face) {
    Json cutter = nullptr;
    if (face.cutter)
        cutter = {{"diameter", finite(face.cutter->diameter, "diameter")},
                  {"step_over", finite(face.cutter->step_over, "step_over")},
                  {"feed", std::string(1, letter(face.cutter->feed))}};
    return {{"extent", extent_json(face.extent)},
            {"height", finite(face.height, "height")},
            {"tool_length", finite(face.tool_length, "tool_length")},
            {"cutter", std::move(cutter)}};
}

Json place_json(const Eigen::Vector2d& place) {
    return {finite(place.x(), "x"), finite(place.y(), "y")};
}

Json wall_json(const Wall& wall) {
    return {{"from", place_json(wall.from)},
            {"to", place_json(wall.to)},
            {"normal", place_json(wall.normal)},
            {"top", finite(wall.top, "top")},
            {"depth", finite(wall.depth, "depth")},
            {"tool_length", finite(wall.tool_length, "tool_length")},
            {"full_depth", wall.flank},
            {"tool_diameter", finite(wall.tool_diameter, "tool_diameter")},
            {"tool_reach", finite(wall.tool_reach, "tool_reach")}};
}

/// The feature, under the name of its kind.
Json feature_json(const Feature& feature) {
    if (const auto* holes = std::get_if<Holes>(&feature)) {
        Json list = Json::array();
        for (const auto& hole : *holes)
            list.push_back(hole_json(hole));
        return {{"holes", std::move(list)}};
    }
    if (const auto* face = std::get_if<Face>(&feature))
        return {{"face", face_json(*face)}};
    if (const auto* wall = std::get_if<Wall>(&feature))
        return {{"walls", {wall_json(*wall)}}};
    const auto& both = std::get<Walls>(feature).wall;
    return {{"walls", {wall_json(both[0]), wall_json(both[1])}}};
}

Json datum_json(const Datum& datum) {
    if (const auto* plane = std::get_if<PlaneDatum>(&datum)) {
        const bool seat = plane->kind == PlaneDatum::Kind::seat;
        return {{"kind",
                 seat                                       ? "seat"
                 : plane->kind == PlaneDatum::Kind::touched ? "touched"
                                                            : "face"},
                {"name", plane->name},
                {"face", seat ? Json(nullptr) : face_json(plane->face)}};
    }
    if (const auto* edges = std::get_if<EdgeDatum>(&datum))
        return {{"kind", edges->kind == EdgeDatum::Kind::cut ? "cut" : "picked up"},
                {"name", edges->name},
                {"x", finite(edges->x, "x")},
                {"y", finite(edges->y, "y")},
                {"height", finite(edges->height, "height")},
                {"tool_length", finite(edges->tool_length, "tool_length")}};
    if (const auto* wall = std::get_if<WallDatum>(&datum))
        return {{"kind", "wall"}, {"name", wall->name}, {"wall", wall_json(wall->wall)}};
    if (const auto* bore = std::get_if<BoreDatum>(&datum))
        return {{"kind", "bore"},
                {"name", bore->name},
                {"hole", hole_json(bore->hole)},
                {"turned_over",
                 bore->flipped ? Json(std::string(1, letter(*bore->flipped))) : Json(nullptr)}};
    if (const auto* other = std::get_if<EachOther>(&datum))
        return {{"kind", "each other"}, {"name", other->name}};
    return nullptr;
}

Json size_json(const Callout& c) {
    if (!is_size(c.kind))
        return nullptr;
    return {{"nominal", finite(c.size.nominal, "nominal")},
            {"lower", finite(c.size.nominal + c.size.lower, "lower")},
            {"upper", finite(c.size.nominal + c.size.upper, "upper")},
            {"aim", c.size.aim ? Json(finite(*c.size.aim, "aim")) : Json(nullptr)},
            {"source", c.size.source}};
}

Json callout_json(const Callout& c, Habit h) {
    return {
        {"name", c.name},
        {"kind", word(c.kind)},
        {"tolerance", {{"value", finite(c.tolerance, "tolerance")}, {"text", zone_asked(c, h)}}},
        {"written", c.written},
        {"size", size_json(c)},
        {"feature", feature_json(c.feature)},
        {"datum", datum_json(c.datum)},
        {"maximum_material", c.bonus_from.empty() ? Json(nullptr) : Json(c.bonus_from)},
        {"evaluated", c.evaluation == Evaluation::minimum_zone ? "minimum zone" : "least squares"},
        {"setup", c.setup},
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

std::string answer_json(const Answer& answer, const Origin& origin) {
    const auto& a = answer;
    const auto h = habit(a.inch);
    Json callouts = Json::array();
    bool some = false;
    for (const auto& c : a.callouts) {
        some = some || c.computed;
        callouts.push_back(
            {{"callout", callout_json(c.callout, h)},
             {"make", {{"verdict", word(c.verdict)}, {"reason", c.reason}}},
             {"prove", proof_json(c, h)},
             {"computed", c.computed},
             {"promise", c.computed ? promise_json(c.promise, c.callout, h) : Json(nullptr)},
             {"to_fix", fixes_json(c, h)},
             {"after_first_piece",
              c.after_first_piece
                  ? zone_json(*c.after_first_piece, c.callout, h, "after_first_piece")
                  : Json(nullptr)},
             {"index",
              c.index ? Json{{"expected", finite(c.index->expected, "expected")},
                             {"assured", finite(c.index->assured, "assured")},
                             {"at_least", c.index->at_least},
                             {"text", index_text(c.index->assured)}}
                      : Json(nullptr)},
             {"grade", c.grade ? Json(*c.grade) : Json(nullptr)},
             {"must_be_true", c.must_be_true},
             {"left_out", c.left_out},
             {"notes", c.notes}});
    }
    return document_text(
        {{"holdable", "answer-result/1"},
         {"shop", a.shop},
         {"machine", a.machine},
         {"job", a.job},
         {"asked", a.asked.empty() ? Json(nullptr) : Json(a.asked)},
         {"assumed", a.assumed},
         {"day", to_string(a.day)},
         {"valid_until", to_string(a.valid_until)},
         {"valid_until_is_limit", a.valid_until_is_limit},
         {"gauge_that_ends_it",
          a.gauge_that_ends_it.empty() ? Json(nullptr) : Json(a.gauge_that_ends_it)},
         {"validity", validity_sentence(a)},
         {"parts", finite(a.parts, "parts")},
         {"confidence", finite(a.confidence, "confidence")},
         {"quantity", a.quantity},
         {"inch", a.inch},
         {"seed", a.seed},
         {"critical", a.critical},
         {"rule", rule_json(a.rule)},
         {"callouts", std::move(callouts)},
         {"worst", a.callouts.empty() ? Json(nullptr) : Json(worst_callout(a) + 1)},
         {"whole", some ? whole_json(a) : Json(nullptr)},
         {"not_included", a.not_included},
         {"notes", a.notes},
         {"caution", answer_caution()},
         {"say", phone_sentence(a)}},
        origin);
}

} // namespace holdable
