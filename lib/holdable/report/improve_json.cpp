// SPDX-License-Identifier: MIT
#include "holdable/report/improve_json.hpp"

#include "holdable/report/json.ipp"

namespace holdable {
namespace {

Json outlook_json(const Callout& callout, const Outlook& seen) {
    return {{"id", callout.name},
            {"verdict", word(seen.verdict)},
            {"computed", seen.computed},
            {"smallest", seen.computed ? finite(seen.smallest, "smallest") : Json(nullptr)},
            {"gamma", seen.computed ? finite(seen.gamma, "gamma") : Json(nullptr)},
            {"prove", seen.prove ? Json(word(*seen.prove)) : Json(nullptr)},
            {"lost", seen.prove ? finite(seen.lost, "lost") : Json(nullptr)}};
}

Json outlooks_json(const Improvement& of, const std::vector<Outlook>& seen) {
    Json all = Json::array();
    for (std::size_t i = 0; i < seen.size(); ++i)
        all.push_back(outlook_json(of.callouts[i], seen[i]));
    return all;
}

Json action_json(const Improvement& of, const Improved& one) {
    Json after = outlooks_json(of, one.after);
    for (std::size_t i = 0; i < after.size(); ++i)
        after[i]["chance_of_yes"] = i < one.chance.size() && one.chance[i]
                                        ? finite(*one.chance[i], "chance_of_yes")
                                        : Json(nullptr);
    return {{"name", one.action.name},
            {"what", one.action.what},
            {"kind", word(one.action.kind)},
            {"minutes", finite(one.action.minutes, "minutes")},
            {"rests_on", one.action.rests_on},
            {"won", one.won},
            {"after", std::move(after)}};
}

Json least_json(const Improvement& of) {
    Json names = Json::array();
    for (const auto a : of.least.actions)
        names.push_back(of.actions[a].action.name);
    Json beyond = Json::array();
    for (const auto i : of.least.out_of_reach)
        beyond.push_back(outlook_json(of.callouts[i], of.least.best[i]));
    return {{"actions", std::move(names)},
            {"minutes", finite(of.least.minutes, "minutes")},
            {"reaches", of.least.reaches},
            {"exact", of.least.exact},
            {"after", outlooks_json(of, of.least.after)},
            {"out_of_reach", std::move(beyond)}};
}

} // namespace

std::string improve_json(const Improvement& of, const Origin& origin) {
    Json callouts = Json::array();
    for (std::size_t i = 0; i < of.callouts.size(); ++i) {
        callouts.push_back(outlook_json(of.callouts[i], of.now[i]));
        callouts.back()["tolerance"] = finite(of.callouts[i].tolerance, "tolerance");
    }
    Json actions = Json::array();
    for (const auto& one : of.actions)
        actions.push_back(action_json(of, one));
    Json shrinks = Json::array();
    for (const auto& shrink : of.shrinks)
        shrinks.push_back(
            {{"meaning", shrink.what},
             {"evidence", shrink.several ? Json(nullptr) : Json(word(shrink.evidence))},
             {"several", shrink.several},
             {"factor", shrink.factor ? finite(*shrink.factor, "factor") : Json(nullptr)},
             {"at_zero", finite(shrink.at_zero, "at_zero")}});
    const Json json = {{"holdable", "improve-result/1"},
                       {"shop", of.shop},
                       {"machine", of.machine},
                       {"job", of.job},
                       {"day", to_string(of.day)},
                       {"parts", of.parts},
                       {"confidence", of.confidence},
                       {"seed", of.seed},
                       {"callouts", std::move(callouts)},
                       {"actions", std::move(actions)},
                       {"least", least_json(of)},
                       {"worst", of.worst ? Json(of.callouts[*of.worst].name) : Json(nullptr)},
                       {"shrink", std::move(shrinks)},
                       {"inch", of.inch},
                       {"notes", of.notes}};
    return document_text(json, origin);
}

} // namespace holdable
