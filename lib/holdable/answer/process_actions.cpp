// SPDX-License-Identifier: MIT
// How it is cut: what is known of the process, and other ways of cutting.
#include "holdable/answer/action_families.ipp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <set>
#include <utility>

namespace holdable {
namespace {

// Common practice, no source.
constexpr double came_to = 0.5;       // of what is usually taken, once it is measured
constexpr int cuts = 5;               // test cuts, or times that an allowance is measured
constexpr double measured_warmth = 1; // of a temperature (K)
constexpr double measured_fahrenheit = 10.0 / 9; // the same in a shop that reads °F: 2 °F (K)
constexpr double warm_up = 3600;                 // (s)
constexpr double shorter = 0.8;                  // of a tool's length
constexpr double beyond_cut = 0.030; // of a tool that must stay, beside what it cuts (m)
constexpr double fresh = 0.25;       // of the usual wear, on a fresh edge

constexpr const char* half_as_usual = "it comes to half of what is usually taken";

bool is_guess_or_open(const Job& job, const auto& field) {
    return field ? field->evidence >= Evidence::typical : job.process_typical;
}

/// Holes of the job, those of datums not among them.
void for_each_hole(Job& job, auto f) {
    for (auto& callout : job.callouts)
        if (auto* holes = std::get_if<Holes>(&callout.feature))
            for (auto& hole : *holes)
                f(hole);
}

void for_each_wall(Job& job, auto f) {
    for (auto& callout : job.callouts) {
        if (auto* wall = std::get_if<Wall>(&callout.feature))
            f(*wall);
        else if (auto* walls = std::get_if<Walls>(&callout.feature))
            for (auto& one : walls->wall)
                f(one);
    }
}

std::set<HoleMaking> makings(const Job& job) {
    std::set<HoleMaking> found;
    auto copy = job;
    for_each_hole(copy, [&](const Hole& hole) { found.insert(hole.making); });
    return found;
}

/// What the process of the job is taken to be.
Process taken(const Facts& facts) {
    const auto all = makings(facts.job);
    return typical_process(facts.job.process,
                           all.empty() ? HoleMaking::bored : *all.begin(),
                           class_of(facts.shop).name);
}

Action process_action(
    std::string name, std::string what, double minutes, std::string rests_on, auto change) {
    Action action;
    action.name = std::move(name);
    action.what = std::move(what);
    action.kind = ActionKind::process;
    action.minutes = minutes;
    action.rests_on = std::move(rests_on);
    action.carry_out = [change](Shop&, Job& job) { change(job); };
    return action;
}

Allowance measured(const Allowance& usual) {
    return {came_to * usual.half_width, Evidence::measured, "measured"};
}

/// As narrow as half of what is usual, about the same middle.
Span measured(const Span& usual) {
    const double middle = (usual.low + usual.high) / 2;
    const double half = came_to * (usual.high - usual.low) / 2;
    return {middle - half, middle + half, Evidence::measured, "measured"};
}

Scatter measured(const Scatter& usual) {
    return {came_to * usual.standard_deviation,
            cuts - 1,
            0,
            cuts,
            Evidence::measured,
            "measured on five"};
}

/// One thing of the process that can be measured by itself.
template <class T>
void add_measured(const Facts& facts,
                  std::vector<Action>& all,
                  std::optional<T> Process::*field,
                  const char* key,
                  const char* what,
                  const char* work = "measure the process") {
    const auto& now = facts.job.process.*field;
    const auto usual = taken(facts).*field;
    if (!usual || !is_guess_or_open(facts.job, now))
        return;
    all.push_back(process_action(
        std::string("measure-") + kebab(key),
        what,
        facts.minutes_of(work),
        half_as_usual,
        [field, value = measured(*usual)](Job& job) { job.process.*field = value; }));
}

void add_allowances(const Facts& facts, std::vector<Action>& all) {
    using P = Process;
    add_measured(facts, all, &P::work_zero, "work_zero", "measure how well the edges are found");
    add_measured(
        facts, all, &P::location, "location", "measure how well parts come to the same place");
    add_measured(facts, all, &P::line_up, "line_up", "measure how well the part is lined up");
    add_measured(facts, all, &P::pick_up, "pick_up", "measure how well a bore is indicated in");
    add_measured(facts, all, &P::axis_repeat, "axis_repeat", "measure how the axes repeat");
    add_measured(facts, all, &P::reversal, "reversal", "measure the lost motion left");
    add_measured(facts, all, &P::short_wave, "short_wave", "measure the short wave of the screws");
    add_measured(facts, all, &P::drift, "drift", "measure the drift within a job");
    add_measured(facts, all, &P::seat, "seat", "measure how level a part sits, by a level");
    add_measured(
        facts, all, &P::tool_size, "tool_size", "measure the tool's diameter", "calibrate a tool");
    add_measured(facts,
                 all,
                 &P::tool_length,
                 "tool_length",
                 "measure the tool's length",
                 "calibrate a tool");
    add_measured(facts,
                 all,
                 &P::tool_run_out,
                 "tool_run_out",
                 "indicate the run-out of the tool's edge",
                 "calibrate a tool");
    add_measured(facts, all, &P::lobes, "lobes", "measure how round a bored hole is");
    add_measured(facts, all, &P::side_force, "side_force", "measure the side force of the tool");
    add_measured(facts, all, &P::distortion, "distortion", "measure how parts spring when let go");
    add_measured(facts, all, &P::wear, "wear", "measure how the edge wears over a batch");
}

/// Five parts cut and measured: they show how the tool goes. Of holes made in several ways each
/// has figures of its own, for which a job has no room.
void add_test_cuts(const Facts& facts, std::vector<Action>& all) {
    const auto ways = makings(facts.job);
    const auto& p = facts.job.process;
    if (ways.size() != 1 ||
        !(is_guess_or_open(facts.job, p.hole_direction) ||
          is_guess_or_open(facts.job, p.hole_place) || is_guess_or_open(facts.job, p.hole_size) ||
          is_guess_or_open(facts.job, p.size_repeat)))
        return;
    const auto usual = taken(facts);
    all.push_back(process_action("test-cuts",
                                 "cut five and measure them: direction, place and size of holes",
                                 facts.minutes_of("test cuts"),
                                 "they scatter half as much as is usual, about its middle",
                                 [usual, typical = facts.job](Job& job) {
                                     auto& q = job.process;
                                     const auto set = [&](auto& field, const auto& value) {
                                         if (value && is_guess_or_open(typical, field))
                                             field = measured(*value);
                                     };
                                     set(q.hole_direction, usual.hole_direction);
                                     set(q.hole_place, usual.hole_place);
                                     set(q.hole_size, usual.hole_size);
                                     set(q.size_repeat, usual.size_repeat);
                                 }));
}

/// Sizes are set by the first piece: what stays is how well it was measured and its own scatter.
void add_first_piece(const Facts& facts, std::vector<Action>& all) {
    const auto& job = facts.job;
    if (job.quantity < 2 || job.several_setups ||
        std::none_of(job.callouts.begin(), job.callouts.end(), [](const Callout& c) {
            return is_size(c.kind) && c.kind != Requirement::distance;
        }))
        return;
    const auto usual = taken(facts);
    const auto half = [&](double own) {
        return std::sqrt(std::pow(usual.first_piece->half_width, 2) + 3 * own * own);
    };
    const double size = half(usual.size_repeat->standard_deviation);
    const double length = half(usual.axis_repeat->standard_deviation);
    all.push_back(
        process_action("first-piece",
                       "measure the first piece and offset the program by it",
                       facts.minutes_of("first piece"),
                       "tool and zero stay as they are over the batch",
                       [size, length](Job& j) {
                           const std::string basis = "offset by the first piece";
                           j.process.hole_size = Span{-size, size, Evidence::measured, basis};
                           j.process.tool_size = Allowance{size, Evidence::measured, basis};
                           j.process.tool_length = Allowance{length, Evidence::measured, basis};
                           j.process.work_zero = Allowance{length, Evidence::measured, basis};
                       }));
}

void add_temperatures(const Facts& facts, std::vector<Action>& all) {
    const auto& now = facts.job.temperatures;
    const double doubt = facts.job.inch ? measured_fahrenheit : measured_warmth;
    if (now.doubt > doubt * (1 + 1e-9))
        all.push_back(process_action(
            "measure-temperatures",
            facts.job.inch ? "measure the temperature of part and screws while cutting, to 2 °F"
                           : "measure the temperature of part and screws while cutting, to 1 K",
            facts.minutes_of("measure temperatures"),
            now.stated ? "they are what the job says" : "both are at 20 °C",
            [doubt](Job& job) {
                job.temperatures.stated = true;
                job.temperatures.doubt = doubt;
                job.temperatures.evidence = Evidence::measured;
            }));
    if (std::any_of(facts.shop.thermal_logs.begin(),
                    facts.shop.thermal_logs.end(),
                    [](const auto& log) { return log.spindle_runs; }))
        all.push_back(process_action("warm-up",
                                     "let the spindle run an hour longer before the zero is set",
                                     facts.minutes_of("warm up"),
                                     "it warms as in its log",
                                     [](Job& job) { job.warmed_up += warm_up; }));
}

// ---- other ways of cutting

void add_bored(const Facts& facts, std::vector<Action>& all) {
    if (!facts.job.process_typical)
        return;
    for (std::size_t i = 0; i < facts.job.callouts.size(); ++i) {
        const auto& callout = facts.job.callouts[i];
        const auto* holes = std::get_if<Holes>(&callout.feature);
        if (holes == nullptr || holes->front().outside ||
            holes->front().making == HoleMaking::bored ||
            holes->front().making == HoleMaking::tapped)
            continue;
        all.push_back(process_action("bore-" + kebab(callout.name),
                                     fmt::format("bore \"{}\" with a single point instead of {}",
                                                 callout.name,
                                                 word(holes->front().making)),
                                     facts.minutes_of("bore the hole"),
                                     "the boring head is as long as the tool now is",
                                     [i](Job& job) {
                                         for (auto& hole :
                                              std::get<Holes>(job.callouts[i].feature)) {
                                             hole.making = HoleMaking::bored;
                                             hole.tool_reach.reset();
                                         }
                                     }));
    }
}

void add_walls(const Facts& facts, std::vector<Action>& all) {
    bool flank = false;
    auto copy = facts.job;
    for_each_wall(copy, [&](const Wall& wall) { flank = flank || wall.flank; });
    if (flank)
        all.push_back(process_action(
            "wall-in-steps",
            "finish walls in steps of Z, not in one pass of full depth",
            facts.minutes_of("wall in steps"),
            "steps leave no mark that counts",
            [](Job& job) { for_each_wall(job, [](Wall& wall) { wall.flank = false; }); }));
}

void add_tools(const Facts& facts, std::vector<Action>& all) {
    const auto cut_short = [](double& length, double cut) {
        length = std::max(shorter * length, std::min(length, cut + beyond_cut));
    };
    const auto shorten = [cut_short](Job& job) {
        for_each_hole(job, [&](Hole& hole) {
            cut_short(hole.tool_length, hole.depth);
            if (hole.tool_reach)
                cut_short(*hole.tool_reach, hole.depth);
        });
        for_each_wall(job, [&](Wall& wall) {
            cut_short(wall.tool_length, wall.depth);
            if (wall.tool_reach > 0)
                cut_short(wall.tool_reach, wall.depth);
        });
    };
    all.push_back(process_action("shorter-tool",
                                 "use tools a fifth shorter",
                                 facts.minutes_of("shorter tool"),
                                 "holder and travel allow it",
                                 shorten));
    const auto usual = taken(facts);
    if (usual.wear && is_guess_or_open(facts.job, facts.job.process.wear))
        all.push_back(process_action("fresh-edge",
                                     "finish with a fresh edge, changed within the batch",
                                     facts.minutes_of("fresh edge"),
                                     "it wears a quarter of what is usual",
                                     [usual](Job& job) {
                                         job.process.wear = Span{fresh * usual.wear->low,
                                                                 fresh * usual.wear->high,
                                                                 Evidence::typical,
                                                                 "a fresh edge"};
                                     }));
}

} // namespace

void add_process(const Facts& facts, std::vector<Action>& all) {
    add_temperatures(facts, all);
    add_first_piece(facts, all);
    add_test_cuts(facts, all);
    add_allowances(facts, all);
    add_bored(facts, all);
    add_walls(facts, all);
    add_tools(facts, all);
}

} // namespace holdable
