// SPDX-License-Identifier: MIT
#include "holdable/report/statement_json.hpp"

#include "holdable/report/json.ipp"

namespace holdable {
namespace {

Json optional_json(const std::optional<double>& value, std::string_view what) {
    return value ? finite(*value, what) : Json(nullptr);
}

Json audit_json(const Audit& a) {
    Json known = Json::array(), inputs = Json::array();
    for (const auto& one : a.known)
        known.push_back({{"meaning", one.meaning},
                         {"effect", finite(one.effect, "effect")},
                         {"evidence", word(one.evidence)}});
    for (const auto& line : a.lines)
        inputs.push_back({{"name", line.input.name},
                          {"meaning", line.input.meaning},
                          {"evidence", word(line.input.evidence)},
                          {"sharing", word(line.input.sharing)},
                          {"standard", finite(line.standard, "standard")},
                          {"dof", optional_json(line.dof, "dof")},
                          {"sensitivity", finite(line.sensitivity, "sensitivity")},
                          {"contribution", finite(line.contribution, "contribution")},
                          {"share", finite(line.share, "share")}});
    return {{"value", finite(a.value, "value")},
            {"standard", finite(a.standard, "standard")},
            {"dof", a.dof < 1e6 ? finite(a.dof, "dof") : Json(nullptr)},
            {"first_order_limit", finite(a.limit, "limit")},
            {"first_order_applies", a.applies},
            {"simulated_limit", finite(a.simulated_limit, "simulated")},
            {"numerical_tolerance", finite(a.numerical_tolerance, "tolerance")},
            {"gum_valid", a.valid},
            {"known", std::move(known)},
            {"inputs", std::move(inputs)}};
}

Json claim_json(const Claim& claim, const ClaimWords& words, const Statement& statement) {
    const auto& c = statement.answer.callouts.at(claim.callout);
    return {
        {"feature", claim.feature},
        {"kind", word(c.callout.kind)},
        {"detail", words.detail},
        {"range",
         statement.sheet ? Json{{"from", finite(claim.from, "from")},
                                {"to", finite(claim.to, "to")},
                                {"of", claim.size}}
                         : Json(nullptr)},
        {"asked",
         statement.sheet
             ? Json(nullptr)
             : Json{{"value", finite(c.callout.tolerance, "tolerance")}, {"text", words.range}}},
        {"make", statement.sheet ? Json(nullptr) : Json(word(c.verdict))},
        {"prove", statement.sheet ? Json(nullptr) : Json(word(c.proof.verdict))},
        {"capability",
         claim.capability
             ? Json{{"value", finite(*claim.capability, "capability")},
                    {"standard_error", optional_json(claim.capability_error, "capability")},
                    {"text", words.capability}}
             : Json(nullptr)},
        {"inspection",
         claim.expanded ? Json{{"gauge", claim.gauge},
                               {"expanded", finite(*claim.expanded, "expanded")},
                               {"k", finite(claim.k, "k")},
                               {"text", words.inspection}}
                        : Json(nullptr)},
        {"offered",
         claim.offered ? Json{{"value", finite(*claim.offered, "offered")}, {"text", words.offered}}
                       : Json(nullptr)},
        {"not_offered", claim.not_offered.empty() ? Json(nullptr) : Json(claim.not_offered)},
        {"remark", words.remark},
        {"audit", claim.audit ? audit_json(*claim.audit) : Json(nullptr)}};
}

} // namespace

std::string statement_json(const Statement& statement, const Edition& edition) {
    auto full = edition;
    full.audit = true;
    full.shop_copy = true;
    const auto page = statement_page(statement, full);
    Json claims = Json::array(), files = Json::array(), blocks = Json::array(),
         checks = Json::array(), head = Json::array();
    for (std::size_t i = 0; i < statement.claims.size(); ++i)
        claims.push_back(claim_json(statement.claims[i], page.claims[i], statement));
    for (const auto& [name, digest] : edition.digests)
        files.push_back({{"name", name}, {"sha256", digest}});
    for (const auto& block : page.blocks)
        blocks.push_back({{"label", block.label}, {"lines", block.lines}});
    for (const auto& [label, text] : page.head)
        head.push_back({{"label", label}, {"text", text}});
    for (const auto& check : statement.checks)
        checks.push_back({{"name", check.name},
                          {"what", check.kind},
                          {"date", to_string(check.date)},
                          {"instruments", check.instruments},
                          {"self_check", check.self_check}});
    Json help = Json::array();
    for (const auto& block : page.to_help)
        help.push_back({{"feature", block.label}, {"lines", block.lines}});
    return document_text({{"holdable", "statement-result/1"},
                          {"version", edition.version},
                          {"number", page.number},
                          {"kind", statement.sheet ? "sheet" : "job"},
                          {"title", page.title},
                          {"subject", page.subtitle},
                          {"head", std::move(head)},
                          {"issued", to_string(statement.issued)},
                          {"valid_until", to_string(statement.valid_until)},
                          {"parts", finite(statement.answer.parts, "parts")},
                          {"confidence", finite(statement.answer.confidence, "confidence")},
                          {"material", statement.material},
                          {"claims", std::move(claims)},
                          {"blocks", std::move(blocks)},
                          {"would_help", std::move(help)},
                          {"checks", std::move(checks)},
                          {"notes", page.remarks},
                          {"responsible", page.responsible},
                          {"caution", page.caution},
                          {"seed", statement.answer.seed},
                          {"files", std::move(files)}});
}

} // namespace holdable
