// SPDX-License-Identifier: MIT
#include "holdable/report/where_json.hpp"

#include "holdable/report/json.ipp"
#include "holdable/report/where_text.hpp"
#include "holdable/report/wording.hpp"

namespace holdable {
namespace {

Json placement_json(const Placement& p) {
    return {{"x", finite(p.x, "x")},
            {"y", finite(p.y, "y")},
            {"z", finite(p.z, "z")},
            {"quarter_turns", p.quarter_turns}};
}

/// A glance at a place; the deciding callout is told as a number from 1.
Json look_json(const PlaceLook& look) {
    const bool free = look.obstacle == Obstacle::none;
    Json smallest = Json::array();
    for (const double t : look.smallest)
        smallest.push_back(t > 0 ? finite(t, "smallest") : Json(nullptr));
    return {{"placement", placement_json(look.placement)},
            {"obstacle", free ? Json(nullptr) : Json(word(look.obstacle))},
            {"why", look.why.empty() ? Json(nullptr) : Json(look.why)},
            {"deciding", free ? Json(look.deciding + 1) : Json(nullptr)},
            {"used", free ? finite(look.used, "used") : Json(nullptr)},
            {"smallest", free ? std::move(smallest) : Json(nullptr)}};
}

Json looks_json(const std::vector<PlaceLook>& looks) {
    Json list = Json::array();
    for (const auto& look : looks)
        list.push_back(look_json(look));
    return list;
}

Json numbers_json(const std::vector<double>& numbers, std::string_view what) {
    Json list = Json::array();
    for (const double x : numbers)
        list.push_back(finite(x, what));
    return list;
}

Json map_json(const PlaceMap& map) {
    if (map.places.empty())
        return nullptr;
    return {{"lift", finite(map.lift, "lift")},
            {"quarter_turns", map.quarter_turns},
            {"x", numbers_json(map.x, "x")},
            {"y", numbers_json(map.y, "y")},
            {"places", looks_json(map.places)}};
}

/// A callout at a place, by the full look.
Json answer_json_at(const Promise& p, Verdict verdict, const Callout& c, Habit h) {
    return {{"verdict", word(verdict)},
            {"smallest",
             {{"value", finite(p.smallest, "smallest")},
              {"text", zone_promised_in_both(p.smallest, c, h)},
              {"standard_error", finite(p.smallest_error, "standard_error")}}},
            {"next_part", finite(p.next_part, "next_part")},
            {"assured_yield", finite(p.assured_yield, "assured_yield")},
            {"gamma", finite(p.gamma, "gamma")}};
}

Json callout_json(const PlacedCallout& c, Habit h) {
    return {
        {"name", c.callout.name},
        {"tolerance",
         {{"value", finite(c.callout.tolerance, "tolerance")}, {"text", zone_asked(c.callout, h)}}},
        {"computed", c.computed},
        {"missing", c.missing.empty() ? Json(nullptr) : Json(c.missing)},
        {"depends", c.depends},
        {"as_asked",
         c.computed ? answer_json_at(c.asked, c.verdict_asked, c.callout, h) : Json(nullptr)},
        {"at_best",
         c.computed ? answer_json_at(c.best, c.verdict_best, c.callout, h) : Json(nullptr)}};
}

Json whole_json(const PromiseResult& w) {
    return {{"whole_part", finite(w.whole_part, "whole_part")},
            {"whole_part_assured", finite(w.whole_part_assured, "whole_part_assured")},
            {"all_good", finite(w.all_good, "all_good")},
            {"worlds", w.worlds},
            {"parts_in_world", w.parts_in_world}};
}

} // namespace

std::string where_json(const Where& where, const Origin& origin) {
    const auto& w = where;
    const auto h = habit(w.inch);
    Json callouts = Json::array();
    bool some = false;
    for (const auto& c : w.callouts) {
        callouts.push_back(callout_json(c, h));
        some = some || c.computed;
    }
    Json stops = Json::array();
    for (const auto& stop : w.stops)
        stops.push_back({{"direction", stop.direction},
                         {"obstacle", word(stop.obstacle)},
                         {"why", stop.why.empty() ? Json(nullptr) : Json(stop.why)}});
    return document_text({{"holdable", "where-result/1"},
                          {"shop", w.shop},
                          {"machine", w.machine},
                          {"job", w.job},
                          {"day", to_string(w.day)},
                          {"parts", finite(w.parts, "parts")},
                          {"confidence", finite(w.confidence, "confidence")},
                          {"quantity", w.quantity},
                          {"inch", w.inch},
                          {"seed", w.seed},
                          {"item", w.item ? Json(*w.item + 1) : Json(nullptr)},
                          {"outline",
                           {{"x_low", finite(w.outline.x_low, "x_low")},
                            {"x_high", finite(w.outline.x_high, "x_high")},
                            {"y_low", finite(w.outline.y_low, "y_low")},
                            {"y_high", finite(w.outline.y_high, "y_high")}}},
                          {"may_turn", w.may_turn},
                          {"found", w.found},
                          {"best", placement_json(w.best)},
                          {"deciding_asked", some ? Json(w.deciding_asked + 1) : Json(nullptr)},
                          {"deciding_best", some ? Json(w.deciding_best + 1) : Json(nullptr)},
                          {"used_asked", some ? finite(w.used_asked, "used_asked") : Json(nullptr)},
                          {"used_best", some ? finite(w.used_best, "used_best") : Json(nullptr)},
                          {"callouts", std::move(callouts)},
                          {"whole_asked", some ? whole_json(w.whole_asked) : Json(nullptr)},
                          {"whole_best", some ? whole_json(w.whole_best) : Json(nullptr)},
                          {"map", map_json(w.map)},
                          {"turns", looks_json(w.turns)},
                          {"heights", looks_json(w.heights)},
                          {"higher", w.higher ? look_json(*w.higher) : Json(nullptr)},
                          {"stops", std::move(stops)},
                          {"search",
                           {{"step", finite(w.step, "step")},
                            {"finest", finite(w.finest, "finest")},
                            {"settled", w.settled},
                            {"between", finite(w.between, "between")},
                            {"looks", w.looks},
                            {"worlds", w.worlds},
                            {"parts_in_world", w.parts_in_world}}},
                          {"notes", w.notes},
                          {"caution", where_caution()},
                          {"say", where_sentence(w)}},
                         origin);
}

} // namespace holdable
