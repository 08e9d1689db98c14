// SPDX-License-Identifier: MIT
// Where a job holds best. Against the same job moved by hand: a cell of the map is what the part
// comes to whose every coordinate was typed anew, on the same draws, and the best place answers as
// `answer` does for the part put there; to 1e-9 relative (roundings of the coordinates). Against
// plane geometry: a machine whose only error is a nod that grows in a straight line along X, so
// that a bore leans by k |x - x₀| and the best place, the turn and every cell are known beforehand;
// its doubts are made a thousandth of the usual, hence 1 %. Limits are exact.
#include "holdable/answer/where.hpp"

#include "files/job_text.hpp"
#include "holdable/answer/verdicts.hpp"
#include "holdable/base/error.hpp"
#include "part/known_part.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string>

using namespace holdable;
using namespace holdable::tests;
namespace tt = boost::test_tools;

namespace {

/// A bore and a hole, everything shifted by whole millimetres.
Job shifted_job(int dx, int dy) {
    return job_texts::read(fmt::format(
        R"({{
  "holdable": "job/1", "name": "N", "material": "steel", "quantity": 5, "date": "2026-11-25",
  "part": {{"x": ["{} mm", "{} mm"], "y": ["{} mm", "{} mm"]}},
  "process": "typical",
  "callouts": [
    {{"id": "bore", "perpendicularity": "0.02 mm",
     "hole": {{"place": ["{} mm", "{} mm"], "top": "160 mm", "depth": "40 mm",
              "gauge_length": "150 mm", "made_by": "boring"}},
     "datum": {{"name": "A", "kind": "face", "height": "160 mm", "gauge_length": "120 mm"}}}},
    {{"id": "hole", "position": "0.05 mm",
     "hole": {{"place": ["{} mm", "{} mm"], "top": "160 mm", "depth": "20 mm",
              "gauge_length": "150 mm", "made_by": "reaming"}},
     "datum": {{"name": "A|B|C", "kind": "picked up", "x": "{} mm", "y": "{} mm",
               "height": "155 mm", "gauge_length": "120 mm"}}}}
  ]
}})",
        100 + dx,
        220 + dx,
        50 + dy,
        150 + dy,
        150 + dx,
        100 + dy,
        200 + dx,
        130 + dy,
        100 + dx,
        50 + dy));
}

WhereOptions quickly() {
    WhereOptions options;
    options.answer.trials = 400;
    return options;
}

constexpr double nod = 1e-3; // per metre of X (rad/m)
constexpr double home = 0.3; // where it is nothing (m)

/// A machine that does nothing wrong but nod along X.
MachineState nodding() {
    auto state = still();
    set_curve(state, motion_index(4, Axis::x), [](double x) { return nod * (x - home); });
    state.error_map *= 1e-3;
    return state;
}

/// A part 200 × 150 mm with one bore off its middle by (50, 35) mm.
Job one_bore() {
    Face top;
    top.height = 0.15;
    top.tool_length = 0.12;
    auto bore = callout(Requirement::perpendicularity,
                        Holes{hole_at(0.25, 0.21)},
                        PlaneDatum{PlaneDatum::Kind::face, "A", top});
    bore.tolerance = 10e-6;
    auto job = job_of({bore});
    job.part = Extent{0.1, 0.3, 0.1, 0.25};
    job.process.hole_direction = Scatter{1e-9, 0, 0, 0, Evidence::measured, ""};
    job.may_turn = false;
    return job;
}

/// What a bore 40 mm deep at x comes to (m).
double lean_at(double x) {
    return 0.04 * nod * std::abs(x - home);
}

const Stop* stop_to(const Where& w, const std::string& direction) {
    const auto at = std::find_if(
        w.stops.begin(), w.stops.end(), [&](const Stop& s) { return s.direction == direction; });
    return at == w.stops.end() ? nullptr : &*at;
}

} // namespace

BOOST_AUTO_TEST_SUITE(places)

BOOST_AUTO_TEST_CASE(a_cell_is_the_job_moved_by_hand) {
    const auto w = where(workshop(), shifted_job(0, 0), quickly());
    BOOST_REQUIRE(!w.map.places.empty());
    const auto state = solve(workshop(), cutting_day);
    int compared = 0;
    for (const auto& cell : w.map.places) {
        const double dx = std::round(cell.placement.x * 1e3);
        const double dy = std::round(cell.placement.y * 1e3);
        // one turned cannot be typed so simply: tests/part/placement.cpp has those
        if (cell.obstacle != Obstacle::none || cell.placement.quarter_turns != 0 ||
            std::abs(dx) > 120 || std::abs(dy) > 60)
            continue;
        const auto job = shifted_job(static_cast<int>(dx), static_cast<int>(dy));
        auto options = promise_options(job, quickly().answer);
        options.worlds = w.worlds;
        options.parts_in_world = w.parts_in_world;
        const auto seen = first_look(computable(question(state, job), job).model, options, true);
        BOOST_REQUIRE(seen.size() == 2U);
        for (std::size_t i = 0; i < 2; ++i)
            BOOST_TEST(cell.smallest[i] == seen[i].smallest, tt::tolerance(1e-9));
        const double used = std::max(seen[0].smallest / 20e-6, seen[1].smallest / 50e-6);
        BOOST_TEST(cell.used == used, tt::tolerance(1e-9));
        ++compared;
    }
    BOOST_TEST((compared >= 3 || w.map.quarter_turns != 0));
}

BOOST_AUTO_TEST_CASE(both_ends_answer_as_answer_does) {
    const auto job = shifted_job(0, 0);
    const auto options = quickly();
    const auto w = where(workshop(), job, options);
    const auto before = answer(workshop(), job, options.answer);
    const auto after = answer(workshop(), placed(job, w.best), options.answer);
    for (std::size_t i = 0; i < job.callouts.size(); ++i) {
        BOOST_TEST(w.callouts[i].asked.smallest == before.callouts[i].promise.smallest);
        BOOST_TEST(w.callouts[i].best.smallest == after.callouts[i].promise.smallest);
        BOOST_TEST((w.callouts[i].verdict_best == after.callouts[i].verdict));
    }
    BOOST_TEST(w.whole_best.whole_part == after.whole.whole_part);
    BOOST_TEST(w.used_best <= w.used_asked);
}

BOOST_AUTO_TEST_CASE(a_known_nod_is_avoided) {
    const auto w = where_on(nodding(), one_bore(), quickly());
    BOOST_TEST(w.found);
    BOOST_TEST(w.settled);
    BOOST_TEST(w.callouts[0].depends);
    BOOST_TEST(w.callouts[0].asked.smallest == lean_at(0.25), tt::tolerance(0.01));
    BOOST_TEST(std::abs(w.best.x - 0.05) < w.step / 16 + 1e-9); // the bore at x₀
    BOOST_TEST(w.callouts[0].best.smallest < lean_at(home + w.step / 8));
    BOOST_TEST(w.best.quarter_turns == 0);
    std::size_t compared = 0;
    for (const auto& cell : w.map.places) {
        const double expected = lean_at(0.25 + cell.placement.x);
        if (cell.obstacle != Obstacle::none || expected < 1e-6)
            continue;
        BOOST_TEST(cell.smallest[0] == expected, tt::tolerance(0.01));
        BOOST_TEST(cell.used == expected / 10e-6, tt::tolerance(0.01));
        ++compared;
    }
    BOOST_TEST(compared > 10U);
    // a straight line is the mean of its neighbours, but for the kink at x₀: half a step there
    BOOST_TEST(w.between <= lean_at(home + w.step / 2) / 10e-6 * 1.02);
}

BOOST_AUTO_TEST_CASE(the_area_ends_the_move) {
    auto job = one_bore();
    job.may_lie.x = Band{0.05, 0.32}; // the outline, 200 mm wide: 20 mm are left to the right
    const auto w = where_on(nodding(), job, quickly());
    BOOST_TEST(w.found);
    BOOST_TEST(w.best.x == 0.02, tt::tolerance(1e-9));
    BOOST_TEST(w.callouts[0].best.smallest == lean_at(0.27), tt::tolerance(0.01));
    BOOST_REQUIRE(stop_to(w, "+X") != nullptr);
    BOOST_TEST((stop_to(w, "+X")->obstacle == Obstacle::area));
    BOOST_TEST(stop_to(w, "-X") == nullptr);
    for (const double x : w.map.x) {
        BOOST_TEST(x >= 0.15 - 1e-9);
        BOOST_TEST(x <= 0.22 + 1e-9);
    }
}

BOOST_AUTO_TEST_CASE(a_turn_brings_the_bore_nearer) {
    // Turned a quarter clockwise the part is 150 mm wide, its bore 35 mm right of its middle, which
    // may go to 0.32 - 0.075: the bore comes to 0.28. As asked it comes to 0.27, turned otherwise
    // less far.
    auto job = one_bore();
    job.may_lie.x = Band{0.05, 0.32};
    job.may_turn = true;
    const auto w = where_on(nodding(), job, quickly());
    BOOST_TEST(w.best.quarter_turns == 3);
    BOOST_TEST(w.best.x == 0.045, tt::tolerance(1e-9));
    BOOST_TEST(w.callouts[0].best.smallest == lean_at(0.28), tt::tolerance(0.01));
    BOOST_REQUIRE(w.turns.size() == 4U);
    BOOST_TEST(w.turns[0].smallest[0] == lean_at(0.27), tt::tolerance(0.01));
    BOOST_TEST(w.map.quarter_turns == 3);
}

BOOST_AUTO_TEST_CASE(where_nothing_is_better_it_stays) {
    auto job = one_bore();
    job.part = Extent{0.15, 0.35, 0.1, 0.25};
    job.callouts[0].hole().x = 0.29;
    job.may_lie.x = Band{0.15, 0.351}; // 1 mm: 10 % nearer
    const auto some = where_on(nodding(), job, quickly());
    BOOST_TEST(some.found);
    job.may_lie.x = Band{0.15, 0.35005}; // 0.05 mm: less than 1 %
    const auto none = where_on(nodding(), job, quickly());
    BOOST_TEST(!none.found);
    BOOST_TEST(none.best.x == 0.0);
    BOOST_TEST(none.best.y == 0.0);
    BOOST_TEST(none.used_best == none.used_asked);
}

BOOST_AUTO_TEST_CASE(what_is_the_same_everywhere_hides_nothing) {
    auto job = one_bore();
    auto size = callout(Requirement::diameter, Holes{hole_at(0.25, 0.21)});
    size.name = "size";
    size.tolerance = 0.1e-6; // hopeless, wherever the part lies
    size.size = {0.06, -0.1e-6, 0.1e-6, {}, ""};
    job.callouts.push_back(size);
    job.process.size_repeat = Scatter{2e-6, 0, 0, 0, Evidence::measured, ""};
    const auto w = where_on(nodding(), job, quickly());
    BOOST_TEST(w.callouts[0].depends);
    BOOST_TEST(!w.callouts[1].depends);
    BOOST_TEST(w.found);
    BOOST_TEST(std::abs(w.best.x - 0.05) < w.step / 16 + 1e-9);
    BOOST_TEST((w.callouts[1].verdict_best == Verdict::no));
    for (const auto& cell : w.map.places)
        BOOST_TEST(cell.deciding == 0U);

    auto options = quickly();
    options.item = 1; // asked for that one: there is no place to find
    const auto alone = where_on(nodding(), job, options);
    BOOST_TEST(!alone.found);
    BOOST_TEST(alone.map.places.empty());
}

BOOST_AUTO_TEST_CASE(heights_end_where_the_travel_does) {
    auto job = one_bore();
    job.may_lie.lift = Band{-0.05, 0.39};
    const auto w = where_on(nodding(), job, quickly());
    // Z = 0.15 + lift + 0.15 - 0.6 is at its end with a lift of 0.3
    BOOST_TEST(w.heights.size() >= 3U);
    for (const auto& height : w.heights)
        BOOST_TEST(height.placement.z <= 0.3 + 1e-9);
    BOOST_TEST(!w.higher.has_value());

    job.may_lie.lift.reset();
    job.callouts[0].hole().top = 0.44;
    const auto high = where_on(nodding(), job, quickly());
    BOOST_REQUIRE(high.higher.has_value());
    BOOST_TEST((high.higher->obstacle == Obstacle::travel));
    BOOST_TEST(high.higher->why.find("beyond its travel") != std::string::npos);
}

BOOST_AUTO_TEST_CASE(nothing_lies_below_the_table) {
    auto job = one_bore(); // its bore ends 110 mm above the table
    job.may_lie.lift = Band{-0.2, 0};
    const auto w = where_on(nodding(), job, quickly());
    for (const auto& height : w.heights)
        BOOST_TEST(height.placement.z >= -0.11 - 1e-9);
}

BOOST_AUTO_TEST_CASE(threads_change_nothing) {
    auto options = quickly();
    auto job = one_bore();
    job.may_turn = true;
    options.answer.threads = 1;
    const auto one = where_on(nodding(), job, options);
    options.answer.threads = 3;
    const auto three = where_on(nodding(), job, options);
    BOOST_TEST(one.best.x == three.best.x);
    BOOST_TEST(one.best.y == three.best.y);
    BOOST_TEST(one.best.quarter_turns == three.best.quarter_turns);
    BOOST_TEST(one.looks == three.looks);
    BOOST_REQUIRE(one.map.places.size() == three.map.places.size());
    for (std::size_t i = 0; i < one.map.places.size(); ++i)
        BOOST_TEST(one.map.places[i].used == three.map.places[i].used);
    BOOST_TEST(one.callouts[0].best.smallest == three.callouts[0].best.smallest);
}

BOOST_AUTO_TEST_CASE(what_cannot_be_said) {
    auto job = one_bore();
    job.critical = true;
    const auto w = where_on(nodding(), job, quickly());
    BOOST_TEST(!w.found);
    BOOST_TEST(w.map.places.empty());
    BOOST_TEST(!w.callouts[0].computed);
    BOOST_TEST((w.callouts[0].verdict_best == Verdict::cant_say));

    auto options = quickly();
    options.item = 1;
    BOOST_CHECK_EXCEPTION(
        where_on(nodding(), one_bore(), options), InputError, [](const InputError& e) {
            return e.diagnostics().front().id == "item-unknown";
        });
    // a tool beyond the travel where the part is asked for is said as by `answer`
    job = one_bore();
    job.callouts[0].hole().top = 0.5;
    BOOST_CHECK_EXCEPTION(where_on(nodding(), job, quickly()), InputError, [](const InputError& e) {
        return e.diagnostics().front().id == "feature-outside";
    });
}

BOOST_AUTO_TEST_SUITE_END()
