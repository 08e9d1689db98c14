// SPDX-License-Identifier: MIT
// Faces and walls on machines whose errors are set by hand, against the plane geometry of each case
// worked by hand (its numbers stand beside it). Tolerance 1e-4 relative: numbers typed with four
// digits or more.
#include "part/known_part.hpp"

#include <cmath>

using namespace holdable;
using namespace holdable::tests;
namespace tt = boost::test_tools;

namespace {

Face face_of(Extent extent, double cutter, double step_over, Axis feed = Axis::x) {
    Face face;
    face.extent = extent;
    face.height = 0.15;
    face.tool_length = 0.12;
    face.cutter = FaceCutter{cutter, step_over, feed};
    return face;
}

double flatness(const MachineState& state, const Face& face) {
    return value(state, job_of({callout(Requirement::flatness, face)}));
}

} // namespace

BOOST_AUTO_TEST_SUITE(surface_features)

BOOST_AUTO_TEST_CASE(a_tilt_along_the_feed_hollows_the_face) {
    // θ (D/2)(1 - √(1 - (w/D)²)): D 50, w 40, 100 µrad: 1.000 µm; w = D = 80, 50: 2.000; D 63, w
    // 50, 60: 0.740 (swept rim points of a tilted cutter: 0.9998). Whichever way it leans.
    for (const double sign : {1.0, -1.0}) {
        auto state = still();
        set(state, "B0C", sign * 100e-6);
        BOOST_TEST(flatness(state, face_of({0.2, 0.4, 0.1, 0.14}, 0.05, 0.04)) * 1e6 == 1.0,
                   tt::tolerance(1e-4));
        set(state, "B0C", sign * 50e-6);
        BOOST_TEST(flatness(state, face_of({0.2, 0.4, 0.1, 0.18}, 0.08, 0.08)) * 1e6 == 2.0,
                   tt::tolerance(1e-4));
        set(state, "B0C", sign * 60e-6);
        BOOST_TEST(flatness(state, face_of({0.2, 0.4, 0.1, 0.15}, 0.063, 0.05)) * 1e6 == 0.740,
                   tt::tolerance(1e-3));
    }
    // fed along Y it is the tilt about X that hollows
    auto state = still();
    set(state, "A0C", 100e-6);
    BOOST_TEST(flatness(state, face_of({0.2, 0.24, 0.1, 0.3}, 0.05, 0.04, Axis::y)) * 1e6 == 1.0,
               tt::tolerance(1e-4));
}

BOOST_AUTO_TEST_CASE(a_tilt_across_the_feed_leaves_steps) {
    // 100 µrad × 40 mm: 4.000 µm at each edge of a pass.
    auto state = still();
    set(state, "A0C", 100e-6);
    BOOST_TEST(flatness(state, face_of({0.2, 0.4, 0.1, 0.3}, 0.05, 0.04)) * 1e6 == 4.0,
               tt::tolerance(1e-4));
    // a single pass leans as a whole: no flatness
    BOOST_TEST(std::abs(flatness(state, face_of({0.2, 0.4, 0.1, 0.14}, 0.05, 0.04))) < 1e-12);
}

BOOST_AUTO_TEST_CASE(a_roll_that_changes_twists_the_face) {
    // EAX changes by 30 µrad over 400 mm, the face is 200 mm wide: κ a b/2 = 3.000 µm.
    auto state = still();
    set_curve(state, motion_index(3, Axis::x), [](double x) { return 30e-6 * (x - 0.3) / 0.4; });
    BOOST_TEST(flatness(state, face_of({0.1, 0.5, 0.1, 0.3}, 0.08, 0.05)) * 1e6 == 3.0,
               tt::tolerance(1e-3));
    // by least squares more, and for this saddle the same at its corners: the plane is level
    auto job = job_of({callout(Requirement::flatness, face_of({0.1, 0.5, 0.1, 0.3}, 0.08, 0.05))});
    job.callouts[0].evaluation = Evaluation::least_squares;
    BOOST_TEST(value(state, job) * 1e6 >= 3.0 * (1 - 1e-3));
}

BOOST_AUTO_TEST_CASE(straightness_of_a_line_is_that_of_the_motion) {
    // EZX a parabola with 6 µm from its ends to its middle over 300 mm.
    auto state = still();
    set_curve(state, motion_index(2, Axis::x), [](double x) {
        return 6e-6 * std::pow((x - 0.3) / 0.15, 2);
    });
    auto c = callout(Requirement::straightness, face_of({0.15, 0.45, 0.1, 0.2}, 0.12, 0.1));
    BOOST_TEST(value(state, job_of({c})) * 1e6 == 6.0, tt::tolerance(0.01));
    c.along_y = true;
    BOOST_TEST(value(state, job_of({c})) < 1e-9);
}

BOOST_AUTO_TEST_CASE(parallelism_counts_the_slope_and_flatness_does_not) {
    // A face that rises by 50 µrad along X over 200 mm against its seat: 10 µm.
    auto state = still();
    set_curve(state, motion_index(4, Axis::x), [](double) { return 0.0; });
    auto process = silent();
    process.seat = Allowance{50e-6, Evidence::measured, ""};
    auto c = callout(Requirement::parallelism, face_of({0.2, 0.4, 0.1, 0.2}, 0.12, 0.1), seat);
    const auto q = question(state, job_of({c}, process));
    const auto& all = q.model.inputs;
    for (std::size_t j = 0; j < all.size(); ++j)
        if (all[j].name == "seat along X") {
            const auto column = q.model.characteristics[0].effect.col(static_cast<Eigen::Index>(j));
            const auto points = q.model.characteristics[0].folded.rows();
            BOOST_TEST((column.head(points).maxCoeff() - column.head(points).minCoeff()) == 0.2,
                       tt::tolerance(1e-9));
        }
    BOOST_TEST(effect(question(state,
                               job_of({callout(Requirement::flatness,
                                               face_of({0.2, 0.4, 0.1, 0.2}, 0.12, 0.1))},
                                      process)),
                      "seat along X") == 0.0);
}

BOOST_AUTO_TEST_CASE(a_flank_follows_the_spindle_and_steps_follow_z) {
    // 50 mm high, the tool leans by B0C = 80 µrad: 4.000 µm; with EBX 10, EBY 5, EBZ -7: 88 µrad,
    // 4.400 µm (flank points through rotation matrices).
    auto state = still();
    set(state, "B0C", 80e-6);
    auto c = callout(Requirement::perpendicularity, wall_at(Axis::x, 1, 0.4), seat);
    BOOST_TEST(value(state, job_of({c})) * 1e6 == 4.0, tt::tolerance(1e-4));
    set_curve(state, motion_index(4, Axis::x), [](double x) { return 10e-6 * (x - 0.3) / 0.108; });
    set_curve(state, motion_index(4, Axis::y), [](double) { return 0.0; });
    set_curve(state, motion_index(4, Axis::z), [](double z) { return -7e-6 * (z + 0.2) / -0.13; });
    // x = 408 mm with the radius of the tool, Z = 150 + 120 - 600 = -330 mm
    BOOST_TEST(value(state, job_of({c})) * 1e6 == 50e-3 * (80 + 10 - 7), tt::tolerance(1e-3));
    // in steps of Z it is the lean of Z that counts
    state = still();
    set(state, "B0Z", 80e-6);
    BOOST_TEST(std::abs(value(state, job_of({c}))) < 1e-12);
    std::get<Wall>(c.feature).flank = false;
    BOOST_TEST(value(state, job_of({c})) * 1e6 == 4.0, tt::tolerance(1e-4));
    // a wall facing -X leans the other way, which is the same width
    std::get<Wall>(c.feature).normal = {-1, 0};
    BOOST_TEST(value(state, job_of({c})) * 1e6 == 4.0, tt::tolerance(1e-4));
}

BOOST_AUTO_TEST_CASE(a_bending_tool_leaves_the_foot_of_the_wall) {
    auto process = silent();
    process.side_force = Span{50, 50, Evidence::measured, ""};
    auto c = callout(Requirement::perpendicularity, wall_at(Axis::x, 1, 0.4), seat);
    const auto& wall = std::get<Wall>(c.feature);
    // F L³/(3 E I) (1 - s(h)) between the tip and 50 mm above it, of 60 mm out of the holder
    const double inertia = std::acos(-1.0) / 64 * std::pow(0.8 * wall.tool_diameter, 4);
    const double tip = 50 * std::pow(0.06, 3) / (3 * 600e9 * inertia);
    const double x = 0.05 / 0.06;
    BOOST_TEST(value(still(), job_of({c}, process)) == tip * (1.5 * x - 0.5 * x * x * x),
               tt::tolerance(1e-9));
    std::get<Wall>(c.feature).flank = false;
    BOOST_TEST(std::abs(value(still(), job_of({c}, process))) < 1e-12);
}

BOOST_AUTO_TEST_CASE(walls_in_plan_are_as_square_as_the_axes) {
    // C0Y = 50 µrad over 100 mm: 5 µm; at 30° to the datum sin² of it: 1.25 µm; with scales a = 100
    // and b = 40 ppm also (b - a) sin cos: -2.598 µm, so -1.348.
    auto state = still();
    set(state, "C0Y", 50e-6);
    const WallDatum datum{"B", wall_at(Axis::y, -1, 0.1)};
    auto c = callout(Requirement::perpendicularity, wall_at(Axis::x, 1, 0.4), datum);
    BOOST_TEST(value(state, job_of({c})) * 1e6 == 5.0, tt::tolerance(1e-4));
    c.kind = Requirement::angularity;
    auto& wall = std::get<Wall>(c.feature);
    wall.to = wall.from + 0.1 * Eigen::Vector2d(std::sqrt(0.75), 0.5);
    wall.normal = {0.5, -std::sqrt(0.75)};
    BOOST_TEST(value(state, job_of({c})) * 1e6 == 1.25, tt::tolerance(1e-4));
    set(state, "EXX scale", 100e-6);
    set(state, "EYY scale", 40e-6);
    BOOST_TEST(value(state, job_of({c})) * 1e6 == 1.348, tt::tolerance(1e-3));
}

BOOST_AUTO_TEST_CASE(parallel_walls_share_what_the_axes_do) {
    auto state = still();
    set(state, "C0Y", 50e-6);
    set(state, "B0C", 80e-6);
    const WallDatum datum{"B", wall_at(Axis::x, -1, 0.2)};
    const auto c = callout(Requirement::parallelism, wall_at(Axis::x, 1, 0.4), datum);
    BOOST_TEST(std::abs(value(state, job_of({c}))) < 1e-11);
    // an edge lined up with X is not
    auto process = silent();
    process.line_up = Allowance{20e-6, Evidence::measured, ""};
    auto edge = c;
    edge.datum = EdgeDatum{EdgeDatum::Kind::picked_up, "B", 0.2, 0.1, 0.15, 0.12};
    const auto q = question(state, job_of({edge}, process));
    BOOST_TEST(std::abs(effect(q, "lining up", 6) - effect(q, "lining up", 0)) == 0.1,
               tt::tolerance(1e-9));
    BOOST_TEST(value(state, job_of({edge}, process)) * 1e6 == 5.0, tt::tolerance(1e-4));
}

BOOST_AUTO_TEST_CASE(a_profile_holds_all_that_moves_the_wall) {
    // 200 mm from the edge with a scale of 50 ppm: 10 µm out, and a worn edge of 3 µm leaves more,
    // run-out of 4 µm takes 2: 2 · 11 µm.
    auto state = still();
    set(state, "EXX scale", 50e-6);
    auto process = silent();
    process.wear = Span{3e-6, 3e-6, Evidence::measured, ""};
    process.tool_run_out = Span{4e-6, 4e-6, Evidence::measured, ""};
    auto wall = wall_at(Axis::x, 1, 0.392);
    const auto c = callout(Requirement::profile,
                           wall,
                           EdgeDatum{EdgeDatum::Kind::picked_up, "A|B", 0.2, 0.15, 0.15, 0.12});
    BOOST_TEST(value(state, job_of({c}, process)) * 1e6 == 22.0, tt::tolerance(1e-4));
}

BOOST_AUTO_TEST_SUITE_END()
