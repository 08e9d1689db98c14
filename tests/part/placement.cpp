// SPDX-License-Identifier: MIT
// A part put elsewhere, against a job file with every coordinate turned and shifted by hand: the
// two agree in all that the machine's errors make of them, to 1e-9 relative (roundings of sums of
// some hundred terms). The machine has a wave of its own in each of its 18 motions, so that a
// forgotten coordinate, side or axis shows. Four quarter turns, and a way there and back, are
// nothing: 1e-12 m, some roundings of a coordinate.
#include "holdable/part/placement.hpp"

#include "files/job_text.hpp"
#include "part/known_part.hpp"

#include <cmath>
#include <string>
#include <vector>

using namespace holdable;
using namespace holdable::tests;
namespace tt = boost::test_tools;

namespace {

/// A part 120 × 100 mm with a feature and a datum of every kind, as the job has it.
const std::string here = R"({
  "holdable": "job/1", "name": "N", "material": "steel", "quantity": 5,
  "part": {"x": ["200 mm", "320 mm"], "y": ["150 mm", "250 mm"]},
  "process": "typical",
  "callouts": [
    {"id": "1", "perpendicularity": "0.02 mm",
     "hole": {"place": ["240 mm", "170 mm"], "top": "160 mm", "depth": "40 mm",
              "gauge_length": "150 mm", "made_by": "boring"},
     "datum": {"name": "A", "kind": "face", "x": ["210 mm", "320 mm"], "y": ["160 mm", "240 mm"],
               "height": "160 mm", "gauge_length": "120 mm"}},
    {"id": "2", "position": "0.05 mm",
     "holes": {"places": [["220 mm", "160 mm"], ["300 mm", "230 mm"]], "top": "160 mm",
               "depth": "20 mm", "gauge_length": "150 mm", "made_by": "drilling"},
     "datum": {"name": "A|B|C", "kind": "picked up", "x": "200 mm", "y": "150 mm",
               "height": "155 mm", "gauge_length": "120 mm"}},
    {"id": "3", "flatness": "0.02 mm",
     "face": {"x": ["210 mm", "320 mm"], "y": ["160 mm", "230 mm"], "height": "160 mm",
              "gauge_length": "120 mm",
              "cutter": {"diameter": "50 mm", "step_over": "35 mm", "feed": "X"}}},
    {"id": "4", "straightness": "0.02 mm", "along": "X",
     "face": {"height": "160 mm", "gauge_length": "120 mm",
              "cutter": {"diameter": "50 mm", "step_over": "35 mm", "feed": "Y"}}},
    {"id": "5", "profile": "0.05 mm",
     "wall": {"facing": "+X", "at": "320 mm", "from": "160 mm", "to": "240 mm", "top": "160 mm",
              "depth": "30 mm", "gauge_length": "120 mm", "cut": "full depth",
              "tool": {"diameter": "16 mm", "reach": "45 mm"}},
     "datum": {"name": "B", "kind": "picked up", "x": "200 mm", "y": "150 mm",
               "height": "155 mm", "gauge_length": "120 mm"}},
    {"id": "6", "angularity": "0.05 mm",
     "wall": {"facing": "+X", "between": [["310 mm", "160 mm"], ["300 mm", "220 mm"]],
              "top": "160 mm", "depth": "20 mm", "gauge_length": "120 mm", "cut": "in steps",
              "tool": {"diameter": "16 mm", "reach": "45 mm"}},
     "datum": {"name": "B", "kind": "wall", "facing": "-Y", "at": "150 mm", "from": "210 mm",
               "to": "310 mm", "top": "160 mm", "depth": "20 mm", "gauge_length": "120 mm",
               "cut": "full depth", "tool": {"diameter": "16 mm", "reach": "45 mm"}}},
    {"id": "7", "width": "20 ±0.05 mm",
     "slot": {"across": "X", "middle": "260 mm", "from": "170 mm", "to": "230 mm",
              "top": "160 mm", "depth": "10 mm", "gauge_length": "120 mm", "cut": "full depth",
              "tool": {"diameter": "12 mm", "reach": "40 mm"}}},
    {"id": "8", "coaxiality": "0.05 mm",
     "hole": {"place": ["230 mm", "200 mm"], "top": "160 mm", "depth": "25 mm",
              "gauge_length": "150 mm", "made_by": "boring"},
     "datum": {"name": "D", "kind": "bore",
               "hole": {"place": ["230 mm", "200 mm"], "top": "158 mm", "depth": "30 mm",
                        "gauge_length": "150 mm", "made_by": "boring"},
               "turned_over": {"about": "X", "thickness": "60 mm", "found_by": "the bore",
                               "found_at": "110 mm"}}},
    {"id": "9", "height": "10 ±0.05 mm",
     "face": {"x": ["250 mm", "300 mm"], "y": ["170 mm", "220 mm"], "height": "150 mm",
              "gauge_length": "120 mm"},
     "datum": {"name": "T", "kind": "touched", "x": ["190 mm", "200 mm"], "y": ["170 mm", "180 mm"],
               "height": "140 mm", "gauge_length": "130 mm"}},
    {"id": "10", "run_out": "0.05 mm",
     "hole": {"place": ["280 mm", "200 mm"], "top": "160 mm", "depth": "20 mm", "diameter": "40 mm",
              "feed": "500 mm/min", "gauge_length": "150 mm", "made_by": "interpolating",
              "tool": {"diameter": "16 mm", "reach": "45 mm"}},
     "datum": {"name": "E", "kind": "bore",
               "hole": {"place": ["282 mm", "204 mm"], "top": "155 mm", "depth": "30 mm",
                        "gauge_length": "150 mm", "made_by": "boring"}}},
    {"id": "11", "position": "0.05 mm",
     "holes": {"places": [["220 mm", "160 mm"], ["300 mm", "230 mm"]], "top": "160 mm",
               "depth": "20 mm", "gauge_length": "150 mm", "made_by": "drilling"},
     "datum": {"name": "F", "kind": "each other"}},
    {"id": "12", "parallelism": "0.05 mm",
     "face": {"x": ["210 mm", "320 mm"], "y": ["160 mm", "230 mm"], "height": "160 mm",
              "gauge_length": "120 mm",
              "cutter": {"diameter": "50 mm", "step_over": "35 mm", "feed": "X"}},
     "datum": {"name": "S", "kind": "seat"}}
  ]
})";

/// The same by hand: turned a quarter counterclockwise about (260, 200), which takes (x, y) to
/// (460 - y, x - 60), then shifted by (+20, -10, +5): to (480 - y, x - 70), heights + 5.
const std::string there = R"({
  "holdable": "job/1", "name": "N", "material": "steel", "quantity": 5,
  "part": {"x": ["230 mm", "330 mm"], "y": ["130 mm", "250 mm"]},
  "process": "typical",
  "callouts": [
    {"id": "1", "perpendicularity": "0.02 mm",
     "hole": {"place": ["310 mm", "170 mm"], "top": "165 mm", "depth": "40 mm",
              "gauge_length": "150 mm", "made_by": "boring"},
     "datum": {"name": "A", "kind": "face", "x": ["240 mm", "320 mm"], "y": ["140 mm", "250 mm"],
               "height": "165 mm", "gauge_length": "120 mm"}},
    {"id": "2", "position": "0.05 mm",
     "holes": {"places": [["320 mm", "150 mm"], ["250 mm", "230 mm"]], "top": "165 mm",
               "depth": "20 mm", "gauge_length": "150 mm", "made_by": "drilling"},
     "datum": {"name": "A|B|C", "kind": "picked up", "x": "330 mm", "y": "130 mm",
               "height": "160 mm", "gauge_length": "120 mm"}},
    {"id": "3", "flatness": "0.02 mm",
     "face": {"x": ["250 mm", "320 mm"], "y": ["140 mm", "250 mm"], "height": "165 mm",
              "gauge_length": "120 mm",
              "cutter": {"diameter": "50 mm", "step_over": "35 mm", "feed": "Y"}}},
    {"id": "4", "straightness": "0.02 mm", "along": "Y",
     "face": {"height": "165 mm", "gauge_length": "120 mm",
              "cutter": {"diameter": "50 mm", "step_over": "35 mm", "feed": "X"}}},
    {"id": "5", "profile": "0.05 mm",
     "wall": {"facing": "+Y", "at": "250 mm", "from": "240 mm", "to": "320 mm", "top": "165 mm",
              "depth": "30 mm", "gauge_length": "120 mm", "cut": "full depth",
              "tool": {"diameter": "16 mm", "reach": "45 mm"}},
     "datum": {"name": "B", "kind": "picked up", "x": "330 mm", "y": "130 mm",
               "height": "160 mm", "gauge_length": "120 mm"}},
    {"id": "6", "angularity": "0.05 mm",
     "wall": {"facing": "+Y", "between": [["320 mm", "240 mm"], ["260 mm", "230 mm"]],
              "top": "165 mm", "depth": "20 mm", "gauge_length": "120 mm", "cut": "in steps",
              "tool": {"diameter": "16 mm", "reach": "45 mm"}},
     "datum": {"name": "B", "kind": "wall", "facing": "+X", "at": "330 mm", "from": "140 mm",
               "to": "240 mm", "top": "165 mm", "depth": "20 mm", "gauge_length": "120 mm",
               "cut": "full depth", "tool": {"diameter": "16 mm", "reach": "45 mm"}}},
    {"id": "7", "width": "20 ±0.05 mm",
     "slot": {"across": "Y", "middle": "190 mm", "from": "250 mm", "to": "310 mm",
              "top": "165 mm", "depth": "10 mm", "gauge_length": "120 mm", "cut": "full depth",
              "tool": {"diameter": "12 mm", "reach": "40 mm"}}},
    {"id": "8", "coaxiality": "0.05 mm",
     "hole": {"place": ["280 mm", "160 mm"], "top": "165 mm", "depth": "25 mm",
              "gauge_length": "150 mm", "made_by": "boring"},
     "datum": {"name": "D", "kind": "bore",
               "hole": {"place": ["280 mm", "160 mm"], "top": "163 mm", "depth": "30 mm",
                        "gauge_length": "150 mm", "made_by": "boring"},
               "turned_over": {"about": "Y", "thickness": "60 mm", "found_by": "the bore",
                               "found_at": "115 mm"}}},
    {"id": "9", "height": "10 ±0.05 mm",
     "face": {"x": ["260 mm", "310 mm"], "y": ["180 mm", "230 mm"], "height": "155 mm",
              "gauge_length": "120 mm"},
     "datum": {"name": "T", "kind": "touched", "x": ["300 mm", "310 mm"], "y": ["120 mm", "130 mm"],
               "height": "145 mm", "gauge_length": "130 mm"}},
    {"id": "10", "run_out": "0.05 mm",
     "hole": {"place": ["280 mm", "210 mm"], "top": "165 mm", "depth": "20 mm", "diameter": "40 mm",
              "feed": "500 mm/min", "gauge_length": "150 mm", "made_by": "interpolating",
              "tool": {"diameter": "16 mm", "reach": "45 mm"}},
     "datum": {"name": "E", "kind": "bore",
               "hole": {"place": ["276 mm", "212 mm"], "top": "160 mm", "depth": "30 mm",
                        "gauge_length": "150 mm", "made_by": "boring"}}},
    {"id": "11", "position": "0.05 mm",
     "holes": {"places": [["320 mm", "150 mm"], ["250 mm", "230 mm"]], "top": "165 mm",
               "depth": "20 mm", "gauge_length": "150 mm", "made_by": "drilling"},
     "datum": {"name": "F", "kind": "each other"}},
    {"id": "12", "parallelism": "0.05 mm",
     "face": {"x": ["250 mm", "320 mm"], "y": ["140 mm", "250 mm"], "height": "165 mm",
              "gauge_length": "120 mm",
              "cutter": {"diameter": "50 mm", "step_over": "35 mm", "feed": "Y"}},
     "datum": {"name": "S", "kind": "seat"}}
  ]
})";

const Placement elsewhere{0.02, -0.01, 0.005, 1};

/// A machine with a wave in every motion, and its spindle leaning.
MachineState wavy() {
    auto state = still();
    for (int index = 0; index < 18; ++index) {
        const double size = index % 6 < 3 ? 3e-6 : 15e-6;
        const double home = workshop().travel[static_cast<std::size_t>(index / 6)].reference;
        set_curve(state, index, [&](double q) {
            return size * (std::sin(9 * q + index) - std::sin(9 * home + index));
        });
    }
    set(state, "B0C", 60e-6);
    set(state, "A0C", -40e-6);
    set(state, "C0Y", 50e-6);
    return state;
}

void add(std::vector<double>& all, const Hole& h) {
    all.insert(all.end(), {h.x, h.y, h.top, h.depth, h.tool_length, h.diameter});
}

void add(std::vector<double>& all, const Face& f) {
    if (f.extent)
        all.insert(all.end(),
                   {f.extent->x_low, f.extent->x_high, f.extent->y_low, f.extent->y_high});
    all.insert(all.end(), {f.height, f.tool_length});
    if (f.cutter)
        all.push_back(static_cast<double>(f.cutter->feed));
}

void add(std::vector<double>& all, const Wall& w) {
    all.insert(all.end(),
               {w.from.x(), w.from.y(), w.to.x(), w.to.y(), w.normal.x(), w.normal.y(), w.top});
}

/// Every number of a job that has to do with where it lies.
std::vector<double> numbers(const Job& job) {
    std::vector<double> all;
    const auto around = outline(job);
    all.insert(all.end(), {around.x_low, around.x_high, around.y_low, around.y_high});
    for (const auto& c : job.callouts) {
        all.push_back(c.along_y ? 1 : 0);
        if (const auto* holes = std::get_if<Holes>(&c.feature))
            for (const auto& hole : *holes)
                add(all, hole);
        if (const auto* face = std::get_if<Face>(&c.feature))
            add(all, *face);
        if (const auto* wall = std::get_if<Wall>(&c.feature))
            add(all, *wall);
        if (const auto* walls = std::get_if<Walls>(&c.feature))
            for (const auto& wall : walls->wall)
                add(all, wall);
        if (const auto* plane = std::get_if<PlaneDatum>(&c.datum))
            add(all, plane->face);
        if (const auto* edges = std::get_if<EdgeDatum>(&c.datum))
            all.insert(all.end(), {edges->x, edges->y, edges->height});
        if (const auto* wall = std::get_if<WallDatum>(&c.datum))
            add(all, wall->wall);
        if (const auto* bore = std::get_if<BoreDatum>(&c.datum)) {
            add(all, bore->hole);
            all.push_back(bore->indicated_at);
            all.push_back(bore->flipped ? static_cast<double>(*bore->flipped) : -1);
        }
    }
    return all;
}

void same_numbers(const Job& a, const Job& b) {
    const auto one = numbers(a);
    const auto other = numbers(b);
    BOOST_REQUIRE(one.size() == other.size());
    for (std::size_t i = 0; i < one.size(); ++i)
        BOOST_TEST(std::abs(one[i] - other[i]) < 1e-12, i << ": " << one[i] << ", " << other[i]);
}

} // namespace

BOOST_AUTO_TEST_SUITE(placements)

BOOST_AUTO_TEST_CASE(a_placed_job_is_the_job_file_moved_by_hand) {
    const auto state = wavy();
    const auto by_placement = placed(job_texts::read(here), elsewhere);
    const auto by_hand = job_texts::read(there);
    const auto a = question(state, by_placement);
    const auto b = question(state, by_hand);
    const auto unmoved = question(state, job_texts::read(here));
    BOOST_REQUIRE(a.model.characteristics.size() == 12U);
    int changed = 0;
    for (std::size_t i = 0; i < a.model.characteristics.size(); ++i)
        BOOST_TEST_CONTEXT("callout " << i + 1) {
            BOOST_TEST(a.readiness[i].missing.empty());
            const auto one = propagate::first_order(a.model, i, 0.95);
            const auto other = propagate::first_order(b.model, i, 0.95);
            BOOST_TEST(one.value == other.value, tt::tolerance(1e-9));
            BOOST_TEST(one.standard_uncertainty == other.standard_uncertainty, tt::tolerance(1e-9));
            const double before = propagate::first_order(unmoved.model, i, 0.95).value;
            changed += std::abs(before - one.value) > 1e-3 * std::abs(one.value) ? 1 : 0;
        }
    BOOST_TEST(changed >= 9); // else the comparison would say little
}

BOOST_AUTO_TEST_CASE(four_quarter_turns_are_none) {
    const auto job = job_texts::read(here);
    auto turned = job;
    for (int k = 0; k < 4; ++k) {
        turned = placed(turned, {0, 0, 0, 1});
        if (k < 3)
            BOOST_TEST(numbers(turned) != numbers(job));
    }
    same_numbers(turned, job);
    same_numbers(placed(job, {0, 0, 0, 4}), job);
    same_numbers(placed(job, {0, 0, 0, -1}), placed(job, {0, 0, 0, 3}));
}

BOOST_AUTO_TEST_CASE(there_and_back_is_nothing) {
    const auto job = job_texts::read(here);
    same_numbers(placed(placed(job, elsewhere), {-0.02, 0.01, -0.005, 3}), job);
    // the middle of the outline turns on the spot
    same_numbers(placed(placed(job, {0, 0, 0, 2}), {0, 0, 0, 2}), job);
}

BOOST_AUTO_TEST_CASE(without_an_outline_it_turns_about_its_features) {
    auto job = job_of({callout(Requirement::distance,
                               Holes{hole_at(0.25, 0.15, 0.15, 0.04), hole_at(0.35, 0.19)})});
    const auto around = outline(job);
    BOOST_TEST(around.x_low == 0.25);
    BOOST_TEST(around.x_high == 0.35);
    BOOST_TEST(around.y_low == 0.15);
    BOOST_TEST(around.y_high == 0.19);
    BOOST_TEST(lowest(job) == 0.11, tt::tolerance(1e-12));
    // about (0.30, 0.17): (0.25, 0.15) goes to (0.32, 0.12)
    const auto turned = placed(job, {0, 0, 0, 1});
    BOOST_TEST(turned.callouts[0].hole().x == 0.32, tt::tolerance(1e-12));
    BOOST_TEST(turned.callouts[0].hole().y == 0.12, tt::tolerance(1e-12));
}

BOOST_AUTO_TEST_CASE(what_belongs_to_the_day_and_the_machine_stays) {
    auto job = job_texts::read(here);
    job.may_lie.x = Band{0, 0.5};
    const auto there_too = placed(job, elsewhere);
    BOOST_TEST(there_too.may_lie.x->high == 0.5);
    BOOST_TEST(there_too.temperatures.part == job.temperatures.part);
    BOOST_TEST(there_too.process_typical);
    BOOST_TEST(there_too.callouts[6].size.upper == job.callouts[6].size.upper);
    BOOST_TEST(there_too.callouts[7].datum.index() == job.callouts[7].datum.index());
}

BOOST_AUTO_TEST_SUITE_END()
