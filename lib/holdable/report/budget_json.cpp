// SPDX-License-Identifier: MIT
#include "holdable/report/budget_json.hpp"

#include "holdable/report/json.ipp"

namespace holdable {
namespace {

using namespace propagate;

Json number_or_null(const std::optional<double>& x, std::string_view what) {
    return x ? finite(*x, what) : Json(nullptr);
}

Json interval_json(const stats::Interval& interval, std::string_view what) {
    return Json::array({finite(interval.low, what), finite(interval.high, what)});
}

Json gum_json(const GumOutput& out) {
    if (!out.applies)
        return {{"standard", nullptr},
                {"second_order_standard", nullptr},
                {"dof", nullptr},
                {"k", nullptr},
                {"expanded", nullptr},
                {"interval", nullptr}};
    return {{"standard", finite(out.standard, "standard")},
            {"second_order_standard",
             number_or_null(out.second_order_standard, "second_order_standard")},
            {"dof", number_or_null(out.dof, "dof")},
            {"k", finite(out.k, "k")},
            {"expanded", finite(out.expanded, "expanded")},
            {"interval", interval_json(out.interval, "interval")}};
}

Json monte_carlo_json(const MonteCarloOutput& out) {
    Json json{{"value", finite(out.value, "value")},
            {"value_error", finite(out.value_error, "value_error")},
            {"standard", number_or_null(out.standard, "standard")},
            {"standard_error", number_or_null(out.standard_error, "standard_error")},
            {"interval", interval_json(out.interval, "interval")},
            {"interval_error", interval_json(out.interval_error, "interval_error")},
            {"shortest", interval_json(out.shortest, "shortest")},
            {"shortest_error", interval_json(out.shortest_error, "shortest_error")},
            {"shortest_raw", interval_json(out.shortest_raw, "shortest_raw")}};
    if (out.interval_width)
        json["interval_width"] = interval_json(*out.interval_width, "interval_width");
    return json;
}

Json agreement_json(const Agreement& agreement, bool applies) {
    return {
        {"digits", agreement.digits},
        {"tolerance", finite(agreement.tolerance, "tolerance")},
        {"difference", applies ? interval_json(agreement.difference, "difference") : Json(nullptr)},
        {"gum_valid", agreement.gum_valid}};
}

Json contribution_json(const Contribution& line) {
    return {{"input", line.input},
            {"sensitivity", finite(line.sensitivity, "sensitivity")},
            {"standard", finite(line.standard, "standard")},
            {"contribution", finite(line.contribution, "contribution")},
            {"share", finite(line.share, "share")},
            {"dof", number_or_null(line.dof, "dof")},
            {"evidence", word(line.evidence)}};
}

Json output_json(const BudgetAnswer& answer, std::size_t k) {
    const auto& gum = answer.gum.outputs[k];
    Json json = {{"unit", gum.unit.unit.spelling},
                 {"value", finite(gum.value, "value")},
                 {"gum", gum_json(gum)}};
    if (answer.monte_carlo) {
        json["monte_carlo"] = monte_carlo_json(answer.monte_carlo->outputs[k]);
        json["agreement"] = agreement_json(answer.agreement[k], gum.applies);
    }
    json["contributions"] = Json::array();
    for (const auto& line : gum.contributions)
        json["contributions"].push_back(contribution_json(line));
    json["correlation_share"] = finite(gum.correlation_share, "correlation_share");
    return json;
}

Json correlation_json(const GumResult& gum) {
    Json names = Json::array(), matrix = Json::array();
    for (std::size_t i = 0; i < gum.outputs.size(); ++i) {
        names.push_back(gum.outputs[i].name);
        Json row = Json::array();
        for (std::size_t j = 0; j < gum.outputs.size(); ++j)
            row.push_back(
                finite(gum.correlation(static_cast<Eigen::Index>(i), static_cast<Eigen::Index>(j)),
                       "correlation"));
        matrix.push_back(std::move(row));
    }
    return {{"names", std::move(names)}, {"matrix", std::move(matrix)}};
}

} // namespace

std::string budget_json(const BudgetAnswer& answer, const Origin& origin) {
    Json outputs = Json::object();
    for (std::size_t k = 0; k < answer.gum.outputs.size(); ++k)
        outputs[answer.gum.outputs[k].name] = output_json(answer, k);
    Json json = {{"holdable", "budget-result/1"},
                 {"title", answer.budget.title},
                 {"coverage", finite(answer.budget.coverage, "coverage")},
                 {"seed", answer.seed},
                 {"trials", answer.monte_carlo ? answer.monte_carlo->trials : 0},
                 {"outputs", std::move(outputs)},
                 {"correlation", correlation_json(answer.gum)}};
    if (answer.monte_carlo && answer.gum.outputs.size() > 1)
        json["joint_factors"] = {
            {"ellipsoid", number_or_null(answer.monte_carlo->ellipsoid_factor, "ellipsoid")},
            {"rectangle", number_or_null(answer.monte_carlo->rectangle_factor, "rectangle")}};
    json["notes"] = answer.notes;
    return document_text(json, origin);
}

} // namespace holdable
