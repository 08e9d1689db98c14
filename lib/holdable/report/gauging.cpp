// SPDX-License-Identifier: MIT
#include "holdable/report/gauging.hpp"

#include "holdable/report/gauging_parts.ipp"

#include <algorithm>
#include <cmath>

namespace holdable {
namespace {


/// A reading at which parts are still accepted, a place finer than print dimensions.
std::string limit_text(double m, Habit h, Rounding rounding) {
    return h == Habit::inch ? number_in(length_unit(h, 0.01), m, -5, rounding) + " in"
                            : number_in(length_unit(h, 0.01), m, -4, rounding) + " mm";
}

/// Over which a change with size is told (m).
double over(Habit h) {
    return h == Habit::inch ? 0.0254 : 0.01;
}

/// What u is made of, largest first.
std::vector<LimitLine> lines_of(const GaugingAnswer& answer) {
    std::vector<LimitLine> lines;
    const auto& inputs = answer.budget.inputs;
    for (const auto& line : answer.worth.error.contributions) {
        const auto input = std::find_if(
            inputs.begin(), inputs.end(), [&](const auto& i) { return i.name == line.input; });
        lines.push_back(
            {line.input, input->meaning, line.contribution, line.share, line.dof, line.evidence});
    }
    std::stable_sort(lines.begin(), lines.end(), [](const auto& a, const auto& b) {
        return a.contribution > b.contribution;
    });
    return lines;
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
    const bool of_gauge = i.found && !i.found->corrected;
    if (std::abs(answer.worth.known_error) > 0)
        page.fact("",
                  "known error, not corrected",
                  fmt::format("{}{}, from {}{}{}",
                              answer.worth.known_error > 0 ? "+" : "",
                              length_in_both(answer.worth.known_error, h),
                              of_gauge ? "the gauge" : "",
                              of_gauge && !i.corrected ? " and " : "",
                              i.corrected ? "" : "temperature"));
}

void rule(Page& page, const GaugingAnswer& answer, Habit h) {
    const auto& worth = answer.worth;
    const auto& own = answer.inspection.rule;
    if (answer.inspection.critical && !own)
        return page.beside("Rule", "that of the customer, which the file does not say: \"rule\"");
    const auto& guard = worth.cost.guard;
    page.beside("Rule",
                rule_sentence(worth.cost,
                              own,
                              "a part is proved good",
                              "reading",
                              guard ? length_text(*guard * worth.error.standard, h, 2, Rounding::up)
                                    : std::string()));
    if (!guard)
        return;
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
    page.fact("",
              "risk at these limits",
              risk_at_limits(worth.cost, worth.error.dof) + "; at the print's own limits 50 %");
    if (worth.risk) {
        page.fact("", "bad parts passed", percent_up(worth.risk->accepted_bad));
        page.fact("", "good parts refused", percent_up(worth.risk->rejected_good));
    }
}

/// What readings of references showed.
void found(Page& page, const decide::FoundError& found, Habit h) {
    page.gap();
    const auto amount = [&](double value, double standard) {
        return fmt::format("{}{}, doubt {}",
                           value > 0 ? "+" : "",
                           length_text(value, h),
                           length_text(standard, h));
    };
    if (const auto& bias = found.bias) {
        page.fact("Bias", "reads too much by", amount(bias->bias, bias->standard));
        page.fact("",
                  "95 % of it",
                  fmt::format("{} … {}",
                              length_text(bias->interval.low, h),
                              length_text(bias->interval.high, h)));
        page.fact("", "as much by chance", percent_down(bias->p));
    }
    if (const auto& line = found.linearity) {
        page.fact("Linearity", "reads too much by", amount(found.value, found.doubt.standard));
        page.fact("",
                  "changes with size",
                  fmt::format("{} over {}",
                              length_text(line->slope * over(h), h),
                              coordinate_text(over(h), h)));
        page.fact("", "as steep by chance", percent_down(line->p));
    }
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
              whole_percent(6 * std::sqrt(study.gauge.variance) / tolerance) + " of the tolerance");
    if (const auto sizes = study.distinct_categories())
        page.fact("", "sizes told apart", fmt::format("{}", *sizes));
}

Json component_json(const decide::Component& component) {
    return {{"variance", finite(component.variance, "variance")},
            {"estimate", finite(component.estimate, "estimate")},
            {"dof", finite(component.dof, "dof")},
            {"interval",
             Json::array({finite(component.interval.low, "interval"),
                          finite(component.interval.high, "interval")})}};
}

Json found_json(const std::optional<decide::FoundError>& found) {
    if (!found)
        return nullptr;
    Json json = {{"value", finite(found->value, "value")},
                 {"standard", finite(found->doubt.standard, "standard")},
                 {"corrected", found->corrected},
                 {"bias", nullptr},
                 {"linearity", nullptr}};
    if (const auto& bias = found->bias)
        json["bias"] = {{"bias", finite(bias->bias, "bias")},
                        {"scatter", finite(bias->scatter, "scatter")},
                        {"dof", finite(bias->dof, "dof")},
                        {"t", finite(bias->t, "t")},
                        {"p", finite(bias->p, "p")},
                        {"interval",
                         Json::array({finite(bias->interval.low, "interval"),
                                      finite(bias->interval.high, "interval")})}};
    if (const auto& line = found->linearity)
        json["linearity"] = {{"intercept", finite(line->intercept, "intercept")},
                             {"slope", finite(line->slope, "slope")},
                             {"slope_standard", finite(line->slope_standard, "slope_standard")},
                             {"scatter", finite(line->scatter, "scatter")},
                             {"dof", finite(line->dof, "dof")},
                             {"t", finite(line->t, "t")},
                             {"p", finite(line->p, "p")}};
    return json;
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
    Page page(usual_margin);
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
    const auto lines = lines_of(answer);
    limits_table(page, lines, length_unit(h, lines.front().contribution));
    if (answer.inspection.found)
        found(page, *answer.inspection.found, h);
    if (answer.inspection.study)
        study(page, *answer.inspection.study, answer.inspection.tolerance(), h);
    levers_list(page, answer.levers, "and still no reading proves anything", [h](double U) {
        return length_text(U, h, 2, Rounding::up);
    });
    page.gap();
    std::vector<std::string> left_out = {"form of the part between the places measured"};
    if (!answer.inspection.found || !answer.inspection.found->linearity)
        left_out.emplace_back("that the gauge may err otherwise from size to size");
    page.list("Left out", left_out);
    page.list("Note", answer.notes);
    return page.text();
}

std::string gauging_json(const GaugingAnswer& answer, const Origin& origin) {
    const auto& worth = answer.worth;
    Json acceptance = nullptr, risk = nullptr;
    if (worth.cost.guard && worth.acceptance.low < worth.acceptance.high)
        acceptance = Json::array({finite(worth.acceptance.low, "acceptance"),
                                  finite(worth.acceptance.high, "acceptance")});
    if (worth.risk)
        risk = {{"bad", finite(worth.risk->bad, "bad")},
                {"accepted", finite(worth.risk->accepted, "accepted")},
                {"accepted_bad", finite(worth.risk->accepted_bad, "accepted_bad")},
                {"rejected_good", finite(worth.risk->rejected_good, "rejected_good")}};
    const Json json = {
        {"holdable", "gauging-result/1"},
        {"subject", "part"},
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
        {"guard", worth.cost.guard ? finite(*worth.cost.guard, "guard") : Json(nullptr)},
        {"rule", rule_json(answer.inspection.rule)},
        {"critical", answer.inspection.critical},
        {"lost", finite(worth.cost.lost, "lost")},
        {"acceptance", std::move(acceptance)},
        {"risk", std::move(risk)},
        {"contributions", lines_json(lines_of(answer))},
        {"gauge_error", found_json(answer.inspection.found)},
        {"study", answer.inspection.study ? study_json(*answer.inspection.study) : Json(nullptr)},
        {"levers", levers_json(answer.levers)},
        {"inch", answer.inspection.inch},
        {"notes", answer.notes}};
    return document_text(json, origin);
}

} // namespace holdable
