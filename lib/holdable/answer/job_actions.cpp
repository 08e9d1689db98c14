// SPDX-License-Identifier: MIT
// What the promise covers: set-ups, where datums come from, which way places are approached.
#include "holdable/answer/action_families.ipp"

#include <algorithm>
#include <utility>

namespace holdable {
namespace {

/// An action on the callouts it suits; none where it suits none.
void add(const Facts& facts,
         std::vector<Action>& all,
         std::string name,
         std::string what,
         std::string_view work,
         std::string rests_on,
         bool (*suits)(const Callout&),
         void (*change)(Callout&)) {
    const auto& callouts = facts.job.callouts;
    if (std::none_of(callouts.begin(), callouts.end(), suits))
        return;
    Action action;
    action.name = std::move(name);
    action.what = std::move(what);
    action.kind = ActionKind::job;
    action.minutes = facts.minutes_of(work);
    action.rests_on = std::move(rests_on);
    action.carry_out = [suits, change](Shop&, Job& job) {
        for (auto& callout : job.callouts)
            if (suits(callout))
                change(callout);
    };
    all.push_back(std::move(action));
}

bool edges_picked_up(const Callout& callout) {
    const auto* edges = std::get_if<EdgeDatum>(&callout.datum);
    return edges != nullptr && edges->kind == EdgeDatum::Kind::picked_up;
}

bool face_touched(const Callout& callout) {
    const auto* plane = std::get_if<PlaneDatum>(&callout.datum);
    return plane != nullptr && plane->kind == PlaneDatum::Kind::touched;
}

bool found_by_edges(const Callout& callout) {
    const auto* bore = std::get_if<BoreDatum>(&callout.datum);
    return bore != nullptr && bore->flipped && !bore->indicated;
}

bool from_both_sides(const Callout& callout) {
    const auto* bore = std::get_if<BoreDatum>(&callout.datum);
    return bore != nullptr && bore->flipped;
}

bool approached_anyhow(const Callout& callout) {
    return callout.kind == Requirement::distance && !callout.one_way;
}

} // namespace

void add_job(const Facts& facts, std::vector<Action>& all) {
    if (facts.job.several_setups) {
        Action action;
        action.name = "one-set-up";
        action.what = "cut all parts in one set-up, and promise that one";
        action.kind = ActionKind::job;
        action.minutes = facts.minutes_of("one set-up");
        action.rests_on = "nothing is set anew between the parts";
        action.carry_out = [](Shop&, Job& job) { job.several_setups = false; };
        all.push_back(std::move(action));
    }
    add(facts,
        all,
        "cut-the-edges",
        "cut the datum edges in the same set-up instead of picking them up",
        "cut the datum",
        "the tool of the edges is as long as the finder; the print allows it",
        edges_picked_up,
        [](Callout& c) { c.edges().kind = EdgeDatum::Kind::cut; });
    add(facts,
        all,
        "cut-the-face",
        "mill the datum face in the same set-up instead of touching it",
        "cut the datum",
        "the print allows it",
        face_touched,
        [](Callout& c) { c.plane().kind = PlaneDatum::Kind::face; });
    add(facts,
        all,
        "indicate-the-bore",
        "find the part again by the bore itself, not by its edges",
        "indicate the bore",
        "the bore can be reached in the second set-up",
        found_by_edges,
        [](Callout& c) { std::get<BoreDatum>(c.datum).indicated = true; });
    add(facts,
        all,
        "same-side",
        "bore both from the same side, the part not turned over",
        "one set-up",
        "the tools reach from there",
        from_both_sides,
        [](Callout& c) { std::get<BoreDatum>(c.datum).flipped.reset(); });
    add(facts,
        all,
        "one-way",
        "approach both holes from the same side",
        "approach from one side",
        "the program is changed so",
        approached_anyhow,
        [](Callout& c) { c.one_way = true; });
}

} // namespace holdable
