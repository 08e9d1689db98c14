// SPDX-License-Identifier: MIT
// Checks of the machine: those that nobody made yet, and those worth making again.
#include "holdable/answer/action_families.ipp"
#include "holdable/machine/plan_check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <type_traits>

namespace holdable {
namespace {

constexpr int more_repeats = 4; // readings of which each is the mean
constexpr double hour = 3600;

template <class Check>
std::vector<Check>& list_of_kind(Shop& shop) {
    if constexpr (std::is_same_v<Check, SquareCheck>)
        return shop.square_checks;
    else if constexpr (std::is_same_v<Check, FlatSquareCheck>)
        return shop.flat_square_checks;
    else if constexpr (std::is_same_v<Check, StraightnessCheck>)
        return shop.straightness_checks;
    else if constexpr (std::is_same_v<Check, LevelCheck>)
        return shop.level_checks;
    else if constexpr (std::is_same_v<Check, TramCheck>)
        return shop.tram_checks;
    else if constexpr (std::is_same_v<Check, TestBarCheck>)
        return shop.test_bar_checks;
    else if constexpr (std::is_same_v<Check, RunOutCheck>)
        return shop.run_out_checks;
    else if constexpr (std::is_same_v<Check, TableCheck>)
        return shop.table_checks;
    else if constexpr (std::is_same_v<Check, PositioningCheck>)
        return shop.positioning_checks;
    else
        return shop.circle_checks;
}

template <class Check>
constexpr std::string_view work_of() {
    if constexpr (std::is_same_v<Check, SquareCheck>)
        return "square check";
    else if constexpr (std::is_same_v<Check, FlatSquareCheck>)
        return "flat square check";
    else if constexpr (std::is_same_v<Check, StraightnessCheck>)
        return "straightness check";
    else if constexpr (std::is_same_v<Check, LevelCheck>)
        return "level check";
    else if constexpr (std::is_same_v<Check, TramCheck>)
        return "tram check";
    else if constexpr (std::is_same_v<Check, TestBarCheck>)
        return "test bar check";
    else if constexpr (std::is_same_v<Check, RunOutCheck>)
        return "run-out check";
    else if constexpr (std::is_same_v<Check, TableCheck>)
        return "table check";
    else if constexpr (std::is_same_v<Check, PositioningCheck>)
        return "positioning check";
    else
        return "circle check";
}

constexpr const char* as_expected = "it reads as the present estimate predicts";

/// A check, made on the day, that reads what is expected.
template <class Check>
Action check_action(const Facts& facts,
                    std::string name,
                    std::string what,
                    std::string_view work,
                    std::string rests_on,
                    Check plan,
                    bool with_usual_gear) {
    Action action;
    action.name = std::move(name);
    action.what = std::move(what);
    action.kind = ActionKind::check;
    action.minutes = facts.minutes_of(work);
    action.rests_on = std::move(rests_on);
    plan.date = facts.day;
    plan.name = action.name;
    action.carry_out = [plan, day = facts.day, with_usual_gear](Shop& shop, Job& job) {
        auto check = plan;
        check.name = free_name(shop, plan.name);
        if (with_usual_gear)
            add_usual_gear(shop);
        foretell(state_for(shop, job, day), check);
        list_of_kind<Check>(shop).push_back(std::move(check));
    };
    return action;
}

// ---- not made yet

struct NewChecks {
    const Facts& facts;
    Shop geared;
    std::vector<Action>& all;

    template <class Check>
    void add(std::string name, std::string what, bool own_gear, const Check& plan) {
        all.push_back(check_action(facts,
                                   std::move(name),
                                   std::move(what),
                                   work_of<Check>(),
                                   own_gear ? std::string(as_expected)
                                            : fmt::format("{}; the gear is borrowed", as_expected),
                                   plan,
                                   !own_gear));
    }
};

template <class Checks, class Same>
bool made(const Checks& checks, Same same) {
    return std::any_of(checks.begin(), checks.end(), same);
}

void add_squares(NewChecks& n) {
    const auto& shop = n.facts.shop;
    const bool own = !shop.squares.empty() && !shop.indicators.empty();
    const auto& square = best_square(n.geared);
    for (const auto across : {Axis::x, Axis::y}) {
        if (made(shop.square_checks, [&](const auto& c) { return c.across == across; }))
            continue;
        n.add(fmt::format("square-z-to-{}", kebab(std::string(1, letter(across)))),
              fmt::format("check Z square to {} by \"{}\", turned round, its leg swept both times",
                          letter(across),
                          square.name),
              own,
              plan_square(n.geared, across, square, n.facts.day));
    }
    if (shop.flat_square_checks.empty())
        n.add("square-y-to-x",
              fmt::format("check Y square to X by \"{}\" lying flat, turned over", square.name),
              own,
              plan_flat_square(n.geared, square, n.facts.day));
}

void add_straightness(NewChecks& n) {
    const auto& shop = n.facts.shop;
    const bool own = !shop.straightedges.empty() && !shop.indicators.empty();
    const auto& edge = best_straightedge(n.geared);
    for (const auto axis : {Axis::x, Axis::y, Axis::z})
        for (const auto direction : {Axis::x, Axis::y, Axis::z}) {
            if (axis == direction || made(shop.straightness_checks, [&](const auto& c) {
                    return c.axis == axis && c.direction == direction;
                }))
                continue;
            n.add(kebab(fmt::format("straightness of {} in {}", letter(axis), letter(direction))),
                  fmt::format("check how straight {} goes in {} by \"{}\"{}",
                              letter(axis),
                              letter(direction),
                              edge.name,
                              direction == Axis::z ? ", on two supports 2/9 from its ends"
                                                   : ", turned over"),
                  own,
                  plan_straightness(n.geared, axis, direction, edge, n.facts.day));
        }
}

void add_levels(NewChecks& n) {
    const auto& shop = n.facts.shop;
    const auto& level = best_level(n.geared);
    for (const auto axis : {Axis::x, Axis::y})
        for (const auto points : {Axis::x, Axis::y}) {
            const auto plan = plan_level(n.geared, axis, points, level, n.facts.day);
            if (!level_stands_still(n.geared, axis, plan.rides).empty() ||
                made(shop.level_checks,
                     [&](const auto& c) { return c.axis == axis && c.points == points; }))
                continue;
            const auto* what = axis == points ? "pitch" : "roll";
            n.add(kebab(fmt::format("{} of {}", what, letter(axis))),
                  fmt::format("check the {} of {} by \"{}\" on the {}",
                              what,
                              letter(axis),
                              level.name,
                              plan.rides == LevelRides::table ? "table" : "head"),
                  !shop.levels.empty(),
                  plan);
        }
    if (shop.table_checks.empty())
        n.add("table-by-level",
              fmt::format("map the table by \"{}\", foot to foot", level.name),
              !shop.levels.empty(),
              plan_table(n.geared, level, n.facts.day));
}

void add_positioning(NewChecks& n) {
    const auto& shop = n.facts.shop;
    const auto& standard = best_standard(n.geared);
    for (const auto axis : {Axis::x, Axis::y, Axis::z}) {
        if (made(shop.positioning_checks, [&](const auto& c) { return c.axis == axis; }))
            continue;
        const double scatter = class_of(shop).repeatability.high;
        if (const auto plan = plan_positioning(n.geared, axis, standard, scatter, n.facts.day))
            n.add(kebab(fmt::format("positioning of {}", letter(axis))),
                  fmt::format("check the positioning of {} along \"{}\", five runs each way",
                              letter(axis),
                              standard.name),
                  !shop.length_standards.empty() && !shop.indicators.empty(),
                  *plan);
    }
}

void add_spindle_checks(NewChecks& n) {
    const auto& shop = n.facts.shop;
    const bool own = !shop.indicators.empty();
    if (shop.tram_checks.empty())
        n.add("tram",
              "sweep the spindle round on a block, both ways",
              own,
              plan_tram(n.geared, n.facts.day));
    for (const auto across : {Axis::x, Axis::y})
        if (!made(shop.test_bar_checks, [&](const auto& c) { return c.across == across; }))
            n.add(kebab(fmt::format("bar in {}z", letter(across))),
                  fmt::format("read a test bar in the spindle in {}Z, turned half round",
                              letter(across)),
                  own,
                  plan_test_bar(n.geared, across, n.facts.day));
    if (shop.run_out_checks.empty())
        n.add("run-out",
              "read the run-out of a test bar, seated five times",
              own,
              plan_run_out(n.geared, n.facts.day));
    if (shop.circle_checks.empty())
        n.add("circle",
              "go round a circle with an indicator in a link, twice each way",
              own,
              plan_circle(n.geared, n.facts.day));
}

/// A log of a shift, as is in the middle of what the class may show.
void add_drift_log(const Facts& facts, const Shop& geared, std::vector<Action>& all) {
    if (std::any_of(facts.shop.thermal_logs.begin(),
                    facts.shop.thermal_logs.end(),
                    [](const auto& log) { return !log.spindle_runs; }))
        return;
    const auto& drift = class_of(facts.shop).drift_8_h;
    const double middle = (drift.low + drift.high) / 2;
    Action action;
    action.name = "drift-log";
    action.what = "log how the tool drifts against the table over a shift, in X, Y and Z";
    action.kind = ActionKind::check;
    action.minutes = facts.minutes_of("thermal log");
    action.rests_on = "it drifts by the middle figure of its class";
    ThermalLog log;
    log.name = action.name;
    log.date = facts.day;
    for (int i = 0; i <= 16; ++i)
        log.times.push_back(i * hour / 2);
    for (const auto axis : {Axis::x, Axis::y, Axis::z}) {
        LogTrace trace;
        trace.axis = axis;
        trace.indicator = geared.indicators.front().name;
        for (const double t : log.times)
            trace.readings.push_back(middle * t / log.times.back());
        log.traces.push_back(std::move(trace));
    }
    action.carry_out = [log](Shop& shop, Job&) {
        add_usual_gear(shop);
        auto one = log;
        one.name = free_name(shop, log.name);
        shop.thermal_logs.push_back(std::move(one));
    };
    all.push_back(std::move(action));
}

// ---- made before

/// What one reading of an instrument scatters by (m or rad).
double scatter_of(const Shop& shop, const std::string& indicator) {
    for (const auto& one : shop.indicators)
        if (one.name == indicator)
            return one.repeatability;
    return 0;
}

/// Each reading the mean of several, which scatter as the instrument does.
void repeat(const std::vector<double>& readings,
            std::vector<int>& repeats,
            std::vector<double>& spread,
            double scatter) {
    if (scatter <= 0)
        return;
    repeats.assign(readings.size(), more_repeats);
    spread.assign(readings.size(), scatter);
}

void more(const Shop& shop, SquareCheck& c) {
    for (auto& s : c.settings)
        repeat(s.edge_readings, s.edge_repeats, s.edge_spread, scatter_of(shop, c.indicator));
}

void more(const Shop& shop, FlatSquareCheck& c) {
    for (auto& s : c.settings)
        for (auto* run : {&s.leg, &s.edge})
            repeat(run->readings, run->repeats, run->spread, scatter_of(shop, c.indicator));
}

void more(const Shop& shop, StraightnessCheck& c) {
    for (auto& s : c.settings)
        repeat(s.readings, s.repeats, s.spread, scatter_of(shop, c.indicator));
}

void more(const Shop& shop, TestBarCheck& c) {
    for (auto& s : c.settings)
        repeat(s.readings, s.repeats, s.spread, scatter_of(shop, c.indicator));
}

void more(const Shop& shop, TramCheck& c) {
    repeat(c.readings, c.repeats, c.spread, scatter_of(shop, c.indicator));
}

void more(const Shop& shop, LevelCheck& c) {
    for (const auto& level : shop.levels)
        if (level.name == c.level && c.rides != LevelRides::both)
            repeat(c.readings, c.repeats, c.spread, level.division * level.read_to);
}

/// Nothing that its own scatter does not hold already.
template <class Check>
void more(const Shop&, Check&) {}

template <class Check>
constexpr bool by_indicator_runs =
    std::is_same_v<Check, SquareCheck> || std::is_same_v<Check, FlatSquareCheck> ||
    std::is_same_v<Check, StraightnessCheck> || std::is_same_v<Check, TestBarCheck> ||
    std::is_same_v<Check, TramCheck> || std::is_same_v<Check, LevelCheck>;

bool all_one_way(const SquareCheck& check) {
    return std::all_of(check.settings.begin(), check.settings.end(), [&](const auto& s) {
        return s.leg_towards_plus == check.settings.front().leg_towards_plus;
    });
}

void sweep_legs(const Shop& shop, SquareCheck& check) {
    for (auto& s : check.settings)
        if (s.leg_stations.empty()) {
            s.leg_stations = along_leg(shop, check, s);
            s.leg_readings.assign(s.leg_stations.size(), 0);
        }
}

bool leg_left_out(const Shop& shop, const SquareCheck& check) {
    return std::any_of(check.settings.begin(), check.settings.end(), [&](const auto& s) {
        return s.leg_stations.empty() && !along_leg(shop, check, s).empty();
    });
}

void add_square_again(const Facts& facts, const SquareCheck& check, std::vector<Action>& all) {
    auto next = check;
    const auto group = "again-" + kebab(check.name);
    const auto add = [&](std::string_view name, const std::string& how, double minutes) {
        auto action = check_action(facts,
                                   fmt::format("{}-{}", name, kebab(check.name)),
                                   fmt::format("make the check \"{}\" again, {}", check.name, how),
                                   "turn the square",
                                   as_expected,
                                   next,
                                   false);
        action.minutes = minutes;
        action.instead = group;
        all.push_back(std::move(action));
    };
    double minutes = facts.minutes_of("turn the square");
    const bool turns = all_one_way(check);
    if (turns) {
        next.settings.push_back(turned_round(facts.shop, check));
        add("turn-the-square", "the square turned round, its leg to the other side", minutes);
    } else {
        minutes = facts.minutes_of("square check");
    }
    if (leg_left_out(facts.shop, next)) {
        sweep_legs(facts.shop, next);
        add("sweep-the-leg",
            turns ? "the square turned round and its leg swept each time"
                  : "its leg swept each time",
            minutes + facts.minutes_of("sweep the leg"));
    }
}

} // namespace

void add_new_checks(const Facts& facts, std::vector<Action>& all) {
    Shop geared = facts.shop;
    add_usual_gear(geared);
    NewChecks n{facts, geared, all};
    add_squares(n);
    add_straightness(n);
    add_levels(n);
    add_positioning(n);
    add_spindle_checks(n);
    add_drift_log(facts, geared, all);
}

void add_repeated_checks(const Facts& facts, std::vector<Action>& all) {
    for_each_check(facts.shop, [&](const auto& check) {
        using Check = std::remove_cvref_t<decltype(check)>;
        if constexpr (requires(Check c, const MachineState& s) { foretell(s, c); }) {
            if (check.date > facts.day)
                return;
            if constexpr (std::is_same_v<Check, SquareCheck>)
                add_square_again(facts, check, all);
            auto again = check;
            more(facts.shop, again);
            auto action = check_action(
                facts,
                "again-" + kebab(check.name),
                fmt::format("make the check \"{}\" again{}",
                            check.name,
                            by_indicator_runs<Check> ? ", each reading the mean of four" : ""),
                work_of<Check>(),
                as_expected,
                again,
                false);
            action.instead = action.name;
            all.push_back(std::move(action));
        }
    });
}

} // namespace holdable
