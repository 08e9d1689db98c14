// SPDX-License-Identifier: MIT
#include "honesty/trial.hpp"

#include "holdable/answer/verdicts.hpp"
#include "holdable/base/error.hpp"
#include "holdable/files/document.hpp"
#include "holdable/files/read_job.hpp"
#include "holdable/files/read_machine.hpp"
#include "holdable/machine/state.hpp"
#include "holdable/part/features.hpp"
#include "holdable/propagate/promise.hpp"
#include "honesty/true_parts.hpp"

#include <algorithm>
#include <cmath>

namespace holdable::tests {
namespace {

constexpr int parts = 1000;

constexpr Care once{false, false};
constexpr Care not_swept{true, false};

Unlike unlike(auto change) {
    Unlike u;
    change(u);
    return u;
}

const std::array<Scenario, 10> all_scenarios = {{
    {"as assumed", "all that the program takes for granted is so", true, {}, true, {}},
    {"as assumed, few checks",
     "the square put down once, its leg not swept; no level, no tram",
     true,
     once,
     false,
     {}},
    {"class three times too kind",
     "all geometric errors three times those of the class declared",
     false,
     {},
     true,
     unlike([](Unlike& u) { u.times = 3; })},
    {"class too kind, few checks",
     "the same, the square put down once, no level, no tram",
     false,
     once,
     false,
     unlike([](Unlike& u) { u.times = 3; })},
    {"pushed after its checks",
     "squarenesses and tram move by as much as the class has of them, and nobody notices",
     false,
     {},
     true,
     unlike([](Unlike& u) { u.pushed = true; })},
    {"steps, waves, bumps",
     "no smooth random curves: sharp steps, waves of 3 to 6 periods, bumps to one side",
     false,
     {},
     true,
     unlike([](Unlike& u) { u.odd_curves = true; })},
    {"angles from one source",
     "roll, pitch and yaw of an axis are one curve, the three squarenesses one number",
     false,
     {},
     true,
     unlike([](Unlike& u) { u.one_source = true; })},
    {"dents in the table",
     "low spots under the square three times as deep as the class has them, its leg not swept",
     false,
     not_swept,
     true,
     unlike([](Unlike& u) { u.dents = 3; })},
    {"square out of its grade",
     "by three times its limit, put down once",
     false,
     once,
     true,
     unlike([](Unlike& u) { u.square_times = 3; })},
    {"two bad readings",
     "in one list the smallest reading but for zeros ten times too large, in another the largest "
     "with its sign swapped",
     false,
     {},
     true,
     unlike([](Unlike& u) { u.bad_readings = true; })},
}};

Shop shop_from(const std::string& checks) {
    return read_machine(parse_document(machine_file(checks), "machine.json"), "machine.json");
}

/// What the shop reads on a machine, as the checks of its file.
std::string checks_of(const TrueMachine& truth, const Scenario& s, Luck& luck) {
    std::vector<double> form(5);
    for (auto& f : form)
        f = luck.within(truth.shop.squares[0].edge_form / 2);
    Clerk clerk;
    if (s.unlike.bad_readings) {
        const int of_a_square = (s.care.turned ? 2 : 1) * (s.care.swept ? 2 : 1);
        clerk = Clerk(2 * of_a_square + (s.level_and_tram ? 2 : 0), luck);
    }
    auto checks = square_check(truth, Axis::x, form, s.care, s.unlike.dents, clerk, luck) + ",\n" +
                  square_check(truth, Axis::y, form, s.care, s.unlike.dents, clerk, luck);
    if (s.level_and_tram)
        checks += ",\n" + level_check(truth, clerk, luck) + ",\n" + tram_check(truth, clerk, luck);
    return checks;
}

/// What a customer asks, who knows nothing of the machine: from a third to three times the usual.
std::array<double, kinds> asked_tolerances(Luck& luck) {
    std::array<double, kinds> tolerances{};
    for (std::size_t k = 0; k < kinds; ++k)
        tolerances[k] = kinds_of_callouts[k].usual * std::pow(3, luck.within(1));
    return tolerances;
}

/// One machine from the drawing to the cutting.
void one_machine(
    const Scenario& s, const Shop& empty, Luck luck, std::uint64_t seed, bool slow, Outcome& out) {
    TrueMachine truth(empty, s.unlike, luck);
    ++out.machines;
    Shop shop;
    try {
        shop = shop_from(checks_of(truth, s, luck));
    } catch (const InputError&) {
        if (s.as_assumed)
            throw;
        ++out.refused;
        return;
    }
    const auto text = job_file(asked_tolerances(luck));
    const auto job = read_job(parse_document(text, "job.json"), "job.json");
    const auto state = solve(shop, *job.date);
    const auto asked = question(state, job);
    if (s.unlike.pushed)
        truth.push(luck);
    const auto cut = cut_parts(truth, job, parts, luck);
    out.disagreeing += state.disagreement;
    out.named += std::any_of(state.checks.begin(), state.checks.end(), [](const auto& check) {
        return !check.outliers.empty();
    });
    out.too_kind += std::any_of(state.notes.begin(), state.notes.end(), [](const auto& note) {
        return note.find("exceeds the declared class") != std::string::npos;
    });
    PromiseOptions options;
    options.worlds = options.most_worlds = 1000; // half of what a user has, and never more
    options.parts_in_world = 500;
    options.seed = seed;
    options.threads = 1;
    for (std::size_t k = 0; k < kinds; ++k) {
        if (kinds_of_callouts[k].slow && !slow)
            continue;
        const auto promised = promise(only(asked.model, k), options).promises[0];
        const auto verdict = rule(promised, {}, state.disagreement).verdict;
        auto& t = out.tallies[k];
        const double limit = quantile(cut[k], 0.95);
        const bool good = limit <= job.callouts[k].tolerance;
        ++t.machines;
        t.kept += limit <= promised.smallest;
        t.next += share_within(cut[k], promised.next_part_limit);
        t.next_kept += cut[k].front() <= promised.next_part_limit;
        t.yes += verdict == Verdict::yes;
        t.yes_wrong += verdict == Verdict::yes && !good;
        t.no += verdict == Verdict::no;
        t.no_cautious += verdict == Verdict::no && good;
        t.good += good;
        t.width.push_back(promised.smallest / limit);
    }
}

} // namespace

std::span<const Scenario> scenarios() {
    return all_scenarios;
}

Outcome run(const Scenario& scenario, int machines, std::uint64_t seed, int slow_every) {
    const auto empty = shop_from("");
    Outcome outcome;
    for (int i = 0; i < machines; ++i) {
        const auto own = seed * 1'000'000 + static_cast<std::uint64_t>(i);
        one_machine(scenario, empty, Luck(own), own, i % slow_every == 0, outcome);
    }
    return outcome;
}

} // namespace holdable::tests
