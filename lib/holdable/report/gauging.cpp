// SPDX-License-Identifier: MIT
#include "holdable/report/gauging.hpp"

#include "holdable/report/json.ipp"
#include "holdable/report/page.hpp"
#include "holdable/report/shop_units.hpp"
#include "holdable/report/wording.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace holdable {
namespace {

using propagate::Contribution;

constexpr std::size_t margin = 12;
constexpr double least_share = 0.005; // of a line of its own

std::string percent(double share) {
    return fmt::format("{} %", to_place(100 * share, 0));
}

/// A reading at which parts are still accepted, a place finer than print dimensions.
std::string limit_text(double m, Habit h, Rounding rounding) {
    return h == Habit::inch ? number_in(length_unit(h, 0.01), m, -5, rounding) + " in"
                            : number_in(length_unit(h, 0.01), m, -4, rounding) + " mm";
}

std::vector<Contribution> ranked(const GaugingAnswer& answer) {
    auto lines = answer.worth.error.contributions;
    std::stable_sort(lines.begin(), lines.end(), [](const auto& a, const auto& b) {
        return a.contribution > b.contribution;
    });
    return lines;
}

const std::string& meaning_of(const GaugingAnswer& answer, const std::string& name) {
    const auto& inputs = answer.budget.inputs;
    return std::find_if(inputs.begin(), inputs.end(), [&](const auto& i) { return i.name == name; })
        ->meaning;
}

void measurement(Page& page, const GaugingAnswer& answer, Habit h) {
    const auto& i = answer.inspection;
    const auto& error = answer.worth.error;
    page.fact("Measures",
              "U, 95 %",
              fmt::format("{}, k = {}",
                          length_in_both(error.expanded, h, 2, Rounding::up),
                          to_digits(error.k, 3)));
    page.fact("", "tolerance", length_in_both(i.tolerance(), h));
    page.fact("",
              i.lower ? "tolerance over 2 U" : "tolerance over U",
              to_digits(answer.worth.ratio, 2, Rounding::down) + " to 1");
    if (std::abs(answer.worth.known_error) > 0)
        page.fact("",
                  "known error, not corrected",
                  fmt::format("{}{}, from temperature",
                              answer.worth.known_error > 0 ? "+" : "",
                              length_in_both(answer.worth.known_error, h)));
}

void rule(Page& page, const GaugingAnswer& answer, Habit h) {
    const auto& worth = answer.worth;
    if (!worth.guard) {
        page.beside("Rule",
                    "a part is proved good where its reading leaves at most 5 % chance that it is "
                    "not (ISO 14253-1, from memory): no reading does");
        return;
    }
    page.beside("Rule",
                fmt::format("a part is proved good where its reading leaves at most 5 % chance "
                            "that it is not (ISO 14253-1, from memory): limits {} standard "
                            "uncertainties inward",
                            to_digits(*worth.guard, 3, Rounding::up)));
    if (worth.acceptance.low < worth.acceptance.high)
        page.fact("",
                  "readings that prove",
                  answer.inspection.lower
                      ? fmt::format("{} … {}",
                                    limit_text(worth.acceptance.low, h, Rounding::up),
                                    limit_text(worth.acceptance.high, h, Rounding::down))
                      : "up to " + limit_text(worth.acceptance.high, h, Rounding::down));
    else
        page.fact("", "readings that prove", "none");
    page.fact("", "risk at these limits", "5 %; at the print's own limits 50 %");
    if (worth.risk) {
        page.fact("", "bad parts passed", percent_down(worth.risk->accepted_bad));
        page.fact("", "good parts refused", percent_down(worth.risk->rejected_good));
    }
}

void sources(Page& page, const GaugingAnswer& answer, Habit h) {
    const auto lines = ranked(answer);
    const auto unit = length_unit(h, lines.front().contribution);
    const int place = place_in(unit, lines.front().contribution);
    const auto row = [&](std::string_view what,
                         std::string_view amount,
                         std::string_view share,
                         std::string_view evidence) {
        page.row("  " + fitted(what, 36) + fitted_right(amount, 11) + fitted_right(share, 7) +
                 "  " + std::string(evidence));
    };
    page.gap();
    row("What limits it", fmt::format("u, {}", unit.spelling), "share", "evidence");
    double left = 0;
    for (const auto& line : lines) {
        if (line.share < least_share) {
            left += line.share;
            continue;
        }
        row(meaning_of(answer, line.input),
            number_in(unit, line.contribution, place),
            percent(line.share),
            evidence_words(line.evidence));
    }
    if (left > 0)
        row("all other doubts", "", percent(left), "");
}

void study(Page& page, const decide::GaugeStudy& study, double tolerance, Habit h) {
    const auto amount = [&](const decide::Component& component) {
        return component.variance > 0
                   ? fmt::format("{}, 95 % {} … {}",
                                 length_text(std::sqrt(component.variance), h),
                                 length_text(std::sqrt(component.interval.low), h),
                                 length_text(std::sqrt(component.interval.high), h))
                   : std::string("not seen");
    };
    page.gap();
    page.fact("Study", "one operator, one part", amount(study.repeatability));
    page.fact("", "between operators", amount(study.reproducibility));
    page.fact("", "both together", amount(study.gauge));
    page.fact("", "between parts", amount(study.parts));
    page.fact("",
              "six of both together",
              percent(6 * std::sqrt(study.gauge.variance) / tolerance) + " of the tolerance");
    if (const auto sizes = study.distinct_categories())
        page.fact("", "sizes told apart", fmt::format("{}", *sizes));
}

void levers(Page& page, const GaugingAnswer& answer, Habit h) {
    std::vector<std::string> lines;
    for (const auto& lever : answer.levers)
        lines.push_back(fmt::format("{}: then U = {}, proving costs {} %: {}",
                                    lever.action,
                                    length_text(lever.expanded, h, 2, Rounding::up),
                                    to_place(100 * lever.lost, 0),
                                    word(lever.verdict)));
    if (lines.empty())
        return;
    page.gap();
    page.list("Would help", lines);
}

Json component_json(const decide::Component& component) {
    return {{"variance", finite(component.variance, "variance")},
            {"estimate", finite(component.estimate, "estimate")},
            {"dof", finite(component.dof, "dof")},
            {"interval",
             Json::array({finite(component.interval.low, "interval"),
                          finite(component.interval.high, "interval")})}};
}

Json study_json(const decide::GaugeStudy& study) {
    const auto categories = study.distinct_categories();
    return {{"repeatability", component_json(study.repeatability)},
            {"operators", component_json(study.operators)},
            {"interaction", component_json(study.interaction)},
            {"reproducibility", component_json(study.reproducibility)},
            {"gauge", component_json(study.gauge)},
            {"parts", component_json(study.parts)},
            {"pooled", study.pooled},
            {"interaction_p", finite(study.interaction_p, "interaction_p")},
            {"share_of_spread", finite(study.share_of_spread(), "share_of_spread")},
            {"distinct_categories", categories ? Json(*categories) : Json(nullptr)}};
}

} // namespace

std::string gauging_text(const GaugingAnswer& answer) {
    const auto h = habit(answer.inspection.inch);
    Page page(margin);
    page.full(fmt::format("{}: {} by {}",
                          answer.inspection.title,
                          answer.inspection.characteristic,
                          answer.inspection.instrument));
    page.gap();
    page.beside("PROVE", fmt::format("{}: {}", word(answer.verdict), answer.reason));
    page.gap();
    measurement(page, answer, h);
    page.gap();
    rule(page, answer, h);
    sources(page, answer, h);
    if (answer.inspection.study)
        study(page, *answer.inspection.study, answer.inspection.tolerance(), h);
    levers(page, answer, h);
    page.gap();
    page.list("Left out",
              {"form of the part between the places measured",
               "that the gauge may err otherwise from size to size"});
    page.list("Note", answer.notes);
    return page.text();
}

std::string gauging_json(const GaugingAnswer& answer) {
    const auto& worth = answer.worth;
    Json contributions = Json::array(), helpful = Json::array();
    for (const auto& line : ranked(answer))
        contributions.push_back({{"input", line.input},
                                 {"meaning", meaning_of(answer, line.input)},
                                 {"contribution", finite(line.contribution, "contribution")},
                                 {"share", finite(line.share, "share")},
                                 {"dof", line.dof ? finite(*line.dof, "dof") : Json(nullptr)},
                                 {"evidence", word(line.evidence)}});
    for (const auto& lever : answer.levers)
        helpful.push_back({{"action", lever.action},
                           {"expanded", finite(lever.expanded, "expanded")},
                           {"lost", finite(lever.lost, "lost")},
                           {"verdict", word(lever.verdict)}});
    Json acceptance = nullptr, risk = nullptr;
    if (worth.guard && worth.acceptance.low < worth.acceptance.high)
        acceptance = Json::array({finite(worth.acceptance.low, "acceptance"),
                                  finite(worth.acceptance.high, "acceptance")});
    if (worth.risk)
        risk = {{"bad", finite(worth.risk->bad, "bad")},
                {"accepted", finite(worth.risk->accepted, "accepted")},
                {"accepted_bad", finite(worth.risk->accepted_bad, "accepted_bad")},
                {"rejected_good", finite(worth.risk->rejected_good, "rejected_good")}};
    const Json json = {
        {"holdable", "gauging-result/1"},
        {"title", answer.inspection.title},
        {"characteristic", answer.inspection.characteristic},
        {"verdict", word(answer.verdict)},
        {"reason", answer.reason},
        {"tolerance", finite(answer.inspection.tolerance(), "tolerance")},
        {"standard", finite(worth.error.standard, "standard")},
        {"dof", worth.error.dof ? finite(*worth.error.dof, "dof") : Json(nullptr)},
        {"k", finite(worth.error.k, "k")},
        {"expanded", finite(worth.error.expanded, "expanded")},
        {"known_error", finite(worth.known_error, "known_error")},
        {"ratio", finite(worth.ratio, "ratio")},
        {"conformance", decide::proof},
        {"guard", worth.guard ? finite(*worth.guard, "guard") : Json(nullptr)},
        {"lost", finite(worth.lost, "lost")},
        {"acceptance", std::move(acceptance)},
        {"risk", std::move(risk)},
        {"contributions", std::move(contributions)},
        {"study", answer.inspection.study ? study_json(*answer.inspection.study) : Json(nullptr)},
        {"levers", std::move(helpful)},
        {"inch", answer.inspection.inch},
        {"notes", answer.notes}};
    return document_text(json);
}

} // namespace holdable
