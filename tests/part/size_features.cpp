// SPDX-License-Identifier: MIT
// Widths, lengths and heights: each contributor's sign and factor against the shop's own rules,
// worked by hand. Exact arithmetic: 1e-6 relative.
#include "holdable/part/kinds.hpp"
#include "part/known_part.hpp"

#include <cmath>

using namespace holdable;
using namespace holdable::tests;
namespace tt = boost::test_tools;

namespace {

Callout between(const Wall& first, const Wall& second) {
    Walls walls;
    walls.wall = {first, second};
    return callout(Requirement::length, walls);
}

/// Tool 4 µm too small, run-out 3 µm, lost motion 6 µm, each wall pushes the tool off by 2 µm.
double with_the_four_errors(const Callout& c) {
    const auto& wall = std::get<Walls>(c.feature).wall[0];
    const double give = bending(wall.tool_diameter,
                                wall.tool_reach,
                                wall.tool_modulus,
                                Eigen::VectorXd::Constant(1, wall.depth / 2))[0];
    auto process = silent();
    process.tool_run_out = Span{3e-6, 3e-6, Evidence::measured, ""};
    process.side_force = Span{2e-6 / give, 2e-6 / give, Evidence::measured, ""};
    process.tool_size = Allowance{1e-6, Evidence::measured, ""};
    process.reversal = Allowance{1e-6, Evidence::measured, ""};
    const auto q = question(still(), job_of({c}, process));
    return q.model.characteristics[0].known[0] +
           -4e-6 * effect(q, "size of the milling tool of 120 mm gauge length") +
           3e-6 * effect(q, "lost motion of X"); // half of 6 µm
}

Face face_at(double height, double tool) {
    Face face;
    face.extent = Extent{0.25, 0.35, 0.15, 0.25};
    face.height = height;
    face.tool_length = tool;
    return face;
}

} // namespace

BOOST_AUTO_TEST_SUITE(size_features)

BOOST_AUTO_TEST_CASE(a_slot_and_a_rib_are_mirror_images) {
    // -4 + 3 - 6 - 2·2 = -11 µm, and +11 for the rib (simulated centres of the tool with lost
    // motion).
    const auto slot = between(wall_at(Axis::x, 1, 0.29), wall_at(Axis::x, -1, 0.31));
    const auto rib = between(wall_at(Axis::x, -1, 0.29), wall_at(Axis::x, 1, 0.31));
    BOOST_TEST(with_the_four_errors(slot) * 1e6 == -11.0, tt::tolerance(1e-6));
    BOOST_TEST(with_the_four_errors(rib) * 1e6 == 11.0, tt::tolerance(1e-6));
    // in whichever order the walls are named
    const auto turned = between(wall_at(Axis::x, -1, 0.31), wall_at(Axis::x, 1, 0.29));
    BOOST_TEST(with_the_four_errors(turned) * 1e6 == -11.0, tt::tolerance(1e-6));
}

BOOST_AUTO_TEST_CASE(faces_of_one_side_do_not_know_the_tool) {
    const auto same = between(wall_at(Axis::x, 1, 0.2), wall_at(Axis::x, 1, 0.4));
    BOOST_TEST(std::abs(with_the_four_errors(same)) < 1e-12);
    auto state = still();
    set(state, "EXX scale", 50e-6); // 200 mm: 10 µm
    BOOST_TEST(value(state, job_of({same})) * 1e6 == 10.0, tt::tolerance(1e-6));
    // aluminium, part 26 °C, screws 24 °C: -19.12 µm on 200 mm (ISO/TR 16015, by hand)
    auto job = job_of({same});
    job.material = "aluminium 6061";
    job.temperatures = {299.15, 297.15, 0, Evidence::measured, true};
    BOOST_TEST(value(still(), job) * 1e6 == -19.12, tt::tolerance(1e-6));
    // the same length over opposed faces: the path is 16 mm longer, the part is not
    job.callouts = {between(wall_at(Axis::x, -1, 0.2), wall_at(Axis::x, 1, 0.4))};
    BOOST_TEST(value(still(), job) * 1e6 == -19.12, tt::tolerance(1e-6));
}

BOOST_AUTO_TEST_CASE(a_plunged_slot_is_as_wide_as_the_tool_runs) {
    auto c = between(wall_at(Axis::x, 1, 0.292), wall_at(Axis::x, -1, 0.308));
    std::get<Walls>(c.feature).plunged = true;
    auto process = silent();
    process.tool_run_out = Span{3e-6, 3e-6, Evidence::measured, ""};
    process.tool_size = Allowance{1e-6, Evidence::measured, ""};
    const auto q = question(still(), job_of({c}, process));
    BOOST_TEST(q.model.characteristics[0].known[0] * 1e6 == 3.0, tt::tolerance(1e-9));
    BOOST_TEST(effect(q, "size of the slotting tool") == 1.0);
}

BOOST_AUTO_TEST_CASE(a_length_from_an_edge_knows_how_it_was_found) {
    auto process = silent();
    process.work_zero = Allowance{5e-6, Evidence::measured, ""};
    process.tool_size = Allowance{1e-6, Evidence::measured, ""};
    auto c = callout(Requirement::length,
                     wall_at(Axis::x, 1, 0.4),
                     EdgeDatum{EdgeDatum::Kind::picked_up, "B", 0.2, 0.1, 0.15, 0.12});
    auto state = still();
    set(state, "EXX scale", 50e-6);
    auto q = question(state, job_of({c}, process));
    // 200 mm, and the middle of the tool is 8 mm further
    BOOST_TEST(q.model.characteristics[0].known[0] * 1e6 == 0.208 * 50, tt::tolerance(1e-6));
    BOOST_TEST(effect(q, "work zero in X") == 1.0);
    BOOST_TEST(effect(q, "size of the milling tool of 120 mm gauge length") == -0.5);
    // towards the other side all of it turns round
    c.feature = wall_at(Axis::x, -1, 0.05);
    q = question(state, job_of({c}, process));
    BOOST_TEST(effect(q, "work zero in X") == -1.0); // the edge is now on the other side
}

BOOST_AUTO_TEST_CASE(a_step_of_two_tools_hangs_on_their_lengths) {
    auto state = still();
    set(state, "EZZ scale", 100e-6);
    auto process = silent();
    process.tool_length = Allowance{10e-6, Evidence::measured, ""};
    auto c = callout(Requirement::height,
                     face_at(0.2, 0.12),
                     PlaneDatum{PlaneDatum::Kind::face, "A", face_at(0.18, 0.12)});
    // one tool: 20 mm × 100 ppm
    auto q = question(state, job_of({c}, process));
    BOOST_TEST(q.model.characteristics[0].known[0] * 1e6 == 2.0, tt::tolerance(1e-6));
    BOOST_TEST(effect(q, "length of the tool of 120 mm") == 0.0);
    // a second tool 30 mm longer reaches as deep with Z higher: Z differs by 20 - 30 = -10 mm
    c.datum = PlaneDatum{PlaneDatum::Kind::face, "A", face_at(0.18, 0.15)};
    q = question(state, job_of({c}, process));
    BOOST_TEST(q.model.characteristics[0].known[0] * 1e6 == -1.0, tt::tolerance(1e-6));
    BOOST_TEST(effect(q, "length of the tool of 120 mm") == 1.0);
    BOOST_TEST(effect(q, "length of the tool of 150 mm") == -1.0);
    // a depth grows as its floor goes down
    c.feature = face_at(0.18, 0.15);
    c.datum = PlaneDatum{PlaneDatum::Kind::face, "A", face_at(0.2, 0.12)};
    q = question(state, job_of({c}, process));
    BOOST_TEST(effect(q, "length of the tool of 150 mm") == -1.0);
    BOOST_TEST(q.model.characteristics[0].known[0] * 1e6 == -1.0, tt::tolerance(1e-6));
}

BOOST_AUTO_TEST_CASE(a_height_over_the_seat_counts_from_where_z_was_zeroed) {
    // 200 mm over the table by one tool: 100 ppm of the 200 mm between, or of what the tool
    // reaches: with 120 mm Z at its lowest, -400 mm, has the tip at 80 mm.
    auto state = still();
    set(state, "EZZ scale", 100e-6);
    const auto job = job_of({callout(Requirement::height, face_at(0.2, 0.12), seat)});
    BOOST_TEST(value(state, job) * 1e6 == 12.0, tt::tolerance(1e-6));
}

BOOST_AUTO_TEST_CASE(a_height_over_the_seat_hangs_on_zero_and_place) {
    auto process = silent();
    process.work_zero = Allowance{5e-6, Evidence::measured, ""};
    process.location = Allowance{8e-6, Evidence::measured, ""};
    const auto c = callout(Requirement::height, face_at(0.2, 0.12), seat);
    const auto q = question(still(), job_of({c}, process));
    BOOST_TEST(effect(q, "work zero in Z") == 1.0);
    BOOST_TEST(effect(q, "location in Z") == 1.0);
    BOOST_TEST(effect(q, "length of the tool of 120 mm") == 1.0);
}

BOOST_AUTO_TEST_SUITE_END()
