// SPDX-License-Identifier: MIT
#include "holdable/report/gauging.hpp"
#include "holdable/report/gauging_parts.ipp"

#include <cmath>

namespace holdable {
namespace {


std::vector<LimitLine> lines_of(const PlannedAnswer& answer) {
    std::vector<LimitLine> lines;
    const auto& doubt = answer.worth.doubt;
    for (const auto& source : doubt.sources)
        lines.push_back({source.name,
                         source.meaning,
                         doubt.standard * std::sqrt(source.share),
                         source.share,
                         {},
                         source.evidence});
    return lines;
}

std::string zone_text(const PlannedAnswer& answer, const std::string& size) {
    return answer.worth.doubt.magnitude ? "not above " + size : "within ± " + size;
}

} // namespace

std::string gauging_text(const PlannedAnswer& answer) {
    const auto h = habit(answer.planned.inch);
    const auto& worth = answer.worth;
    const bool angle = worth.doubt.angle;
    const auto in_both = [&](double x, Rounding rounding) {
        return angle ? slope_in_both(x, h, 2, rounding) : length_in_both(x, h, 2, rounding);
    };
    const auto text = [&](double x, Rounding rounding) {
        return angle ? slope_text(x, h, 2, rounding) : length_text(x, h, 2, rounding);
    };
    const auto unit = angle ? slope_unit(h) : length_unit(h, worth.doubt.standard);
    Page page(usual_margin);
    page.full(fmt::format("{}: {} by the check {}, on {}",
                          answer.planned.title,
                          worth.doubt.meaning,
                          answer.name,
                          answer.planned.machine.machine));
    page.gap();
    page.beside(
        "Caution",
        "Before it is set up: lock out the spindle and turn it by hand, put a vertical head "
        "that may sink on a block, and nobody reaches between table, column and spindle "
        "while an axis can move.");
    page.gap();
    page.beside("SHOW", fmt::format("{}: {}", word(answer.verdict), answer.reason));
    page.gap();
    page.fact(
        "Measures",
        "U, 95 %",
        fmt::format("{}, k = {}", in_both(worth.expanded, Rounding::up), to_digits(worth.k, 3)));
    page.fact(
        "", "to be shown", zone_text(answer, in_both(answer.planned.within, Rounding::nearest)));
    page.fact("",
              worth.doubt.magnitude ? "limit over U" : "zone over 2 U",
              to_digits(worth.ratio, 2, Rounding::down) + " to 1");
    page.gap();
    page.beside("Rule",
                rule_sentence(worth.cost,
                              answer.planned.rule,
                              "it is shown",
                              "result",
                              worth.cost.guard
                                  ? text(*worth.cost.guard * worth.doubt.standard, Rounding::up)
                                  : std::string()));
    if (worth.cost.guard) {
        page.fact("",
                  "results that show it",
                  worth.shown_to > 0 ? zone_text(answer, text(worth.shown_to, Rounding::down))
                                     : std::string("none"));
        page.fact("", "risk at these limits", risk_at_limits(worth.cost, worth.doubt.dof));
    }
    limits_table(page, lines_of(answer), unit);
    levers_list(page, answer.levers, "and still no result shows it", [&](double U) {
        return text(U, Rounding::up);
    });
    page.gap();
    page.list("Left out",
              {"what the machine does other than on the day of the check, at another place, or "
               "under cut",
               "the gain of the indicator: one that reads 3 % too much shows 3 % too much"});
    page.list("Note", answer.planned.notes);
    return page.text();
}

std::string gauging_json(const PlannedAnswer& answer, const Origin& origin) {
    const auto& worth = answer.worth;
    const auto& planned = answer.planned;
    Json shown = nullptr;
    if (worth.cost.guard && worth.shown_to > 0)
        shown = Json::array({worth.doubt.magnitude ? Json(0.0) : finite(-worth.shown_to, "shown"),
                             finite(worth.shown_to, "shown")});
    const Json json = {
        {"holdable", "gauging-result/1"},
        {"subject", "machine"},
        {"title", planned.title},
        {"machine", planned.machine.machine},
        {"check", answer.name},
        {"day", to_string(planned.day)},
        {"characteristic", worth.doubt.meaning},
        {"angle", worth.doubt.angle},
        {"magnitude", worth.doubt.magnitude},
        {"within", finite(planned.within, "within")},
        {"verdict", word(answer.verdict)},
        {"reason", answer.reason},
        {"tolerance", finite(worth.tolerance, "tolerance")},
        {"standard", finite(worth.doubt.standard, "standard")},
        {"dof", worth.doubt.dof ? finite(*worth.doubt.dof, "dof") : Json(nullptr)},
        {"k", finite(worth.k, "k")},
        {"expanded", finite(worth.expanded, "expanded")},
        {"ratio", finite(worth.ratio, "ratio")},
        {"conformance", decide::proof},
        {"guard", worth.cost.guard ? finite(*worth.cost.guard, "guard") : Json(nullptr)},
        {"rule", rule_json(planned.rule)},
        {"critical", planned.critical},
        {"lost", finite(worth.cost.lost, "lost")},
        {"acceptance", std::move(shown)},
        {"contributions", lines_json(lines_of(answer))},
        {"levers", levers_json(answer.levers)},
        {"inch", planned.inch},
        {"notes", planned.notes}};
    return document_text(json, origin);
}

} // namespace holdable
