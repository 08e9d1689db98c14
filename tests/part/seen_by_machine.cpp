// SPDX-License-Identifier: MIT
// The machine that cut a part measures it: its errors stand in part and reading alike. Against what
// must then come out: with a probe as long as the tool nothing of the machine is left in d(part) −
// d(machine), with another one what turns with the length is; what the process adds is not touched.
// Exact but for rounding.
#include "holdable/part/features.hpp"
#include "part/known_part.hpp"

#include <boost/test/unit_test.hpp>

#include <cmath>

using namespace holdable;
using namespace holdable::tests;

namespace {

/// A machine that errs in many ways at once.
MachineState crooked() {
    auto state = still();
    set_curve(state, motion_index(4, Axis::x), [](double q) { return 30e-6 * std::sin(5 * q); });
    set_curve(state, motion_index(1, Axis::x), [](double q) { return 4e-6 * std::cos(9 * q); });
    set_curve(state, motion_index(5, Axis::y), [](double q) { return 20e-6 * q; });
    set_curve(state, motion_index(0, Axis::z), [](double q) { return 50e-6 * q; });
    set_curve(state, motion_index(2, Axis::z), [](double q) { return 9e-6 * std::sin(20 * q); });
    return state;
}

const PlaneDatum face{PlaneDatum::Kind::face, "A", {Extent{0.25, 0.55, 0.1, 0.3}, 0.15, 0.15, {}}};
const EdgeDatum edges{EdgeDatum::Kind::cut, "B|C", 0.25, 0.1, 0.14, 0.15};

Callout position() {
    return callout(Requirement::position, Holes{hole_at(0.4513, 0.2521)}, edges);
}

Callout lean() {
    return callout(Requirement::perpendicularity, Holes{hole_at(0.45, 0.25)}, face);
}

Callout depth() {
    Face floor = face.face;
    floor.height = 0.12;
    return callout(Requirement::height, floor, face);
}

/// What is left of what is known.
Eigen::VectorXd left(const MachineState& state, const Callout& c, double probe) {
    const auto job = job_of({c});
    return question(state, job).model.characteristics[0].known -
           seen_by_machine(state, job, probe).model.characteristics[0].known;
}

bool has(const PartModel& part, std::string_view words) {
    return std::any_of(part.inputs.begin(), part.inputs.end(), [&](const Input& input) {
        return input.name.find(words) != std::string::npos;
    });
}

} // namespace

BOOST_AUTO_TEST_SUITE(seen_by_the_machine)

BOOST_AUTO_TEST_CASE(a_probe_as_long_as_the_tool_sees_nothing_of_the_machine) {
    const auto state = crooked();
    for (const auto& c : {position(), lean(), depth()}) {
        const auto known = question(state, job_of({c})).model.characteristics[0].known;
        BOOST_TEST(known.cwiseAbs().maxCoeff() > 0.3e-6, word(c.kind));
        BOOST_TEST(left(state, c, 0.15).cwiseAbs().maxCoeff() < 1e-12, word(c.kind));
    }
}

BOOST_AUTO_TEST_CASE(a_longer_probe_sees_how_the_machine_turns) {
    // Z nods about Y by E(Z): a tip L lower is carried E L further along X. The hole begins 10 mm
    // over the edges, a probe is longer by 50 mm: the difference of the two nods times that.
    auto state = still();
    set_curve(state, motion_index(4, Axis::z), [](double q) { return 1e-2 * q; });
    const auto seen = left(state, position(), 0.20);
    BOOST_TEST(std::abs(seen[0]) == 1e-2 * 0.01 * 0.05, boost::test_tools::tolerance(1e-6));
    BOOST_TEST(std::abs(seen[1]) < 1e-12);
}

BOOST_AUTO_TEST_CASE(the_process_is_not_in_what_the_machine_sees) {
    auto c = position();
    c.edges().kind = EdgeDatum::Kind::picked_up;
    Job job = job_of({c});
    job.process = {};
    job.process_typical = true;
    const auto state = still();
    const auto cut = question(state, job);
    const auto seen = seen_by_machine(state, job, 0.15);
    for (const char* what :
         {"work zero", "lost motion", "drift", "start of the hole", "location"}) {
        BOOST_TEST(has(cut.model, what), what);
        BOOST_TEST(!has(seen.model, what), what);
    }
    BOOST_TEST(has(seen.model, "screw of X")); // where it was cut it is touched
}

BOOST_AUTO_TEST_CASE(warmth_is_not_seen_where_it_was_cut) {
    Job job = job_of({position()});
    job.temperatures = {298.15, 293.15, 2, Evidence::measured, true};
    const auto state = still();
    const auto cut = question(state, job).model.characteristics[0].known;
    BOOST_TEST(cut.cwiseAbs().maxCoeff() > 5e-6); // 0.2 m of steel, 5 K
    const auto seen = seen_by_machine(state, job, 0.15).model.characteristics[0].known;
    BOOST_TEST((cut - seen).cwiseAbs().maxCoeff() < 1e-12);
}

BOOST_AUTO_TEST_CASE(the_tilt_of_a_seat_shows) {
    auto c = lean();
    c.datum = PlaneDatum{PlaneDatum::Kind::seat, "A", {}};
    const auto state = still();
    const auto cut = question(state, job_of({c}));
    const auto seen = seen_by_machine(state, job_of({c}), 0.15);
    BOOST_TEST(has(cut.model, "table against"));
    BOOST_TEST(!has(seen.model, "table against"));
}

BOOST_AUTO_TEST_CASE(a_square_turns_the_lean_by_its_own_error) {
    const auto state = still();
    const auto of_hole = against_a_square(state, job_of({lean()}), lean());
    BOOST_REQUIRE(of_hole.size() == 2);
    BOOST_TEST(of_hole[0] == 0.04); // the depth
    const auto wall = callout(Requirement::perpendicularity, wall_at(Axis::x, 1, 0.3), face);
    const auto of_wall = against_a_square(state, job_of({wall}), wall);
    BOOST_TEST(of_wall.size() ==
               question(state, job_of({wall})).model.characteristics[0].known.size());
    BOOST_TEST(of_wall.maxCoeff() == 0.05); // its height
    BOOST_TEST(of_wall.minCoeff() == 0.0);
    BOOST_TEST(against_a_square(state, job_of({position()}), position()).size() == 0);
}

BOOST_AUTO_TEST_SUITE_END()
