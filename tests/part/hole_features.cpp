// SPDX-License-Identifier: MIT
// Places and directions of holes on machines whose errors are set by hand, against the plane
// geometry of each case worked by hand (its numbers stand beside it). The formulas use no sampling
// and no kinematic chain. Tolerance 1e-4 relative: the numbers are typed with four digits or more.
#include "holdable/base/error.hpp"
#include "part/known_part.hpp"

#include <cmath>

using namespace holdable;
using namespace holdable::tests;
namespace tt = boost::test_tools;

BOOST_AUTO_TEST_SUITE(hole_features)

BOOST_AUTO_TEST_CASE(squareness_shortens_or_lengthens_a_diagonal) {
    // C0Y = 50 µrad, from (50, 20) to (300, 150) mm: -C0Y Δx Δy / L = -5.7669 µm with L = 281.78 mm
    // (the exact distance of the two displaced places gives -5.76689).
    auto state = still();
    set(state, "C0Y", 50e-6);
    auto job =
        job_of({callout(Requirement::distance, Holes{hole_at(0.05, 0.02), hole_at(0.3, 0.15)})});
    BOOST_TEST(value(state, job) * 1e6 == -5.76689, tt::tolerance(1e-5));
    // along an axis squareness is nothing
    job.callouts[0].feature = Holes{hole_at(0.05, 0.1), hole_at(0.3, 0.1)};
    BOOST_TEST(std::abs(value(state, job)) < 1e-12);
}

BOOST_AUTO_TEST_CASE(a_distance_approached_one_way_knows_no_lost_motion) {
    auto process = silent();
    process.reversal = Allowance{3e-6, Evidence::measured, ""};
    auto job = job_of({callout(Requirement::distance, Holes{hole_at(0.1, 0.1), hole_at(0.3, 0.1)})},
                      process);
    BOOST_TEST(effect(question(still(), job), "lost motion of X") == 2.0);
    job.callouts[0].one_way = true;
    BOOST_TEST(effect(question(still(), job), "lost motion of X") == 0.0);
}

BOOST_AUTO_TEST_CASE(a_pattern_that_floats_keeps_half_of_the_shear) {
    // Four holes on a square of 100 mm, C0Y = 50 µrad: ux = -C y. Turning the pattern by C/2 leaves
    // (-C y/2, -C x/2), of length C r/2 at the corners, r = 70.711 mm: zone C r = 3.5355 µm. From
    // edges at the corner (0, 0) it is 2 C 100 mm = 10 µm.
    auto state = still();
    set(state, "C0Y", 50e-6);
    const Holes square{hole_at(0.2, 0.1, 0.15, 0.001),
                       hole_at(0.3, 0.1, 0.15, 0.001),
                       hole_at(0.3, 0.2, 0.15, 0.001),
                       hole_at(0.2, 0.2, 0.15, 0.001)};
    auto job = job_of({callout(Requirement::position, square, EachOther{"B"})});
    BOOST_TEST(value(state, job) * 1e6 == 3.53553, tt::tolerance(1e-4));
    job.callouts[0].datum = EdgeDatum{EdgeDatum::Kind::picked_up, "A|B|C", 0.2, 0.1, 0.15, 0.15};
    BOOST_TEST(value(state, job) * 1e6 == 10.0, tt::tolerance(1e-4));
}

BOOST_AUTO_TEST_CASE(a_pattern_floats_by_a_turn_and_not_by_a_shear) {
    // A rectangle, X too long by 80 µm/m and Y by 20, out of square by C0Y = 60 µrad: u = (a x - C y,
    // b y) about the middle, less a turn (-ψ y, ψ x). The least over ψ of twice the longest u at the
    // corners, by search; were a shear free instead, it would be another.
    constexpr double a = 80e-6, b = 20e-6, c = 60e-6, half_x = 0.08, half_y = 0.03;
    auto state = still();
    set(state, "C0Y", c);
    set(state, "EXX scale", a);
    set(state, "EYY scale", b);
    Holes corners;
    for (const double x : {-half_x, half_x})
        for (const double y : {-half_y, half_y})
            corners.push_back(hole_at(0.3 + x, 0.2 + y, 0.15, 0.001));
    const auto least = [&](double sign) {
        double found = 1;
        for (double turn = -100e-6; turn <= 100e-6; turn += 0.01e-6) {
            double longest = 0;
            for (const double y : {-half_y, half_y}) // the other corners are opposite, as long
                longest = std::max(longest,
                                   std::hypot(a * half_x - c * y + turn * y,
                                              b * y - sign * turn * half_x));
            found = std::min(found, 2 * longest);
        }
        return found;
    };
    BOOST_REQUIRE(std::abs(least(-1) / least(1) - 1) > 0.01);
    const auto job = job_of({callout(Requirement::position, corners, EachOther{"B"})});
    BOOST_TEST(value(state, job) == least(1), tt::tolerance(1e-4));
}

BOOST_AUTO_TEST_CASE(a_bolt_circle_turns_about_its_bore_and_stays_with_it) {
    // The same square about a bore in its middle, C0Y = 50 µrad: the turn by C/2 is free, the
    // shear's other half stays: 3.5355 µm. With the bore 30 mm further in Y, ux = -C (y - y_bore)
    // has a part that no turn about the bore takes off: by the pairs (0, ±50) + 30 … found by
    // search below.
    auto state = still();
    set(state, "C0Y", 50e-6);
    const Holes square{hole_at(0.2, 0.1, 0.15, 0.001),
                       hole_at(0.3, 0.1, 0.15, 0.001),
                       hole_at(0.3, 0.2, 0.15, 0.001),
                       hole_at(0.2, 0.2, 0.15, 0.001)};
    BoreDatum bore;
    bore.name = "B";
    bore.hole = hole_at(0.25, 0.15);
    auto job = job_of({callout(Requirement::position, square, bore)});
    BOOST_TEST(value(state, job) * 1e6 == 3.53553, tt::tolerance(1e-4));
    std::get<BoreDatum>(job.callouts[0].datum).hole.y = 0.18;
    double least = 1;
    for (int i = 0; i <= 100000; ++i) { // turns from 0 to C
        const double turn = 50e-6 * i / 100000;
        double worst = 0;
        for (const auto& hole : square) {
            const double x = hole.x - 0.25, y = hole.y - 0.18;
            worst = std::max(worst, std::hypot(-50e-6 * y + turn * y, -turn * x));
        }
        least = std::min(least, 2 * worst);
    }
    BOOST_TEST(value(state, job) == least, tt::tolerance(1e-4));
}

BOOST_AUTO_TEST_CASE(the_pattern_floats_off_what_moves_it_as_a_whole) {
    auto process = silent();
    process.work_zero = Allowance{10e-6, Evidence::measured, ""};
    process.line_up = Allowance{100e-6, Evidence::measured, ""};
    auto job = job_of({callout(Requirement::position,
                               Holes{hole_at(0.2, 0.1), hole_at(0.3, 0.1), hole_at(0.3, 0.2)},
                               EachOther{"B"})},
                      process);
    const auto q = question(still(), job);
    BOOST_TEST(effect(q, "work zero in X") == 0.0);
    BOOST_TEST(effect(q, "lining up") == 0.0);
    job.callouts[0].datum = EdgeDatum{EdgeDatum::Kind::picked_up, "A|B|C", 0.2, 0.1, 0.15, 0.15};
    const auto from_edges = question(still(), job);
    BOOST_TEST(effect(from_edges, "work zero in X", 4) == 1.0); // second hole, X
    // on a part askew by ψ about its corner they are off by (ψ y, -ψ x), here 100 mm of each
    BOOST_TEST(effect(from_edges, "lining up", 8) == 0.1, tt::tolerance(1e-9));
    BOOST_TEST(effect(from_edges, "lining up", 9) == -0.1, tt::tolerance(1e-9));
}

BOOST_AUTO_TEST_CASE(turned_over_a_lean_doubles_or_sets_off) {
    // A0Z = 30 µrad, 100 mm thick, bores 40 mm deep from both sides, each set-up counted from its
    // own top. About Y: the axes part by 0.6 to 3.0 µm along the second bore, about X by 3.0 µm all
    // along. Value 6.000 µm in both (line points mapped by the matrix of the turn).
    auto state = still();
    set(state, "A0Z", 30e-6);
    BoreDatum first;
    first.name = "B";
    first.hole = hole_at(0.3, 0.2);
    first.flipped = Axis::y;
    first.indicated = false;
    first.thickness = 0.1;
    auto job = job_of({callout(Requirement::coaxiality, Holes{hole_at(0.3, 0.2)}, first)});
    auto q = question(state, job);
    const auto& about_y = q.model.characteristics[0].known;
    BOOST_TEST(std::abs(about_y[1]) * 1e6 == 3.0, tt::tolerance(1e-4));
    BOOST_TEST(std::abs(about_y[3]) * 1e6 == 0.6, tt::tolerance(1e-4));
    BOOST_TEST(value(state, job) * 1e6 == 6.0, tt::tolerance(1e-4));
    std::get<BoreDatum>(job.callouts[0].datum).flipped = Axis::x;
    q = question(state, job);
    const auto& about_x = q.model.characteristics[0].known;
    BOOST_TEST(std::abs(about_x[1]) * 1e6 == 3.0, tt::tolerance(1e-4));
    BOOST_TEST(std::abs(about_x[3]) * 1e6 == 3.0, tt::tolerance(1e-4));
    BOOST_TEST(value(state, job) * 1e6 == 6.0, tt::tolerance(1e-4));
    // indicated at the far side of the first bore's own depth, nearer to the second
    std::get<BoreDatum>(job.callouts[0].datum).indicated = true;
    std::get<BoreDatum>(job.callouts[0].datum).indicated_at = 0.15;
    BOOST_TEST(value(state, job) < 6e-6);
}

BOOST_AUTO_TEST_CASE(in_one_setup_a_common_lean_is_no_coaxiality) {
    auto state = still();
    set(state, "A0Z", 30e-6);
    set(state, "B0Z", -50e-6);
    BoreDatum first;
    first.name = "B";
    first.hole = hole_at(0.3, 0.2, 0.2);
    auto job = job_of({callout(Requirement::coaxiality, Holes{hole_at(0.3, 0.2, 0.12)}, first)});
    BOOST_TEST(std::abs(value(state, job)) < 1e-11);
}

BOOST_AUTO_TEST_CASE(run_out_shows_an_eccentricity_twice) {
    // C0Y = 50 µrad, bores 100 mm apart in Y: 5 µm off, 10 µm of run-out.
    auto state = still();
    set(state, "C0Y", 50e-6);
    BoreDatum datum;
    datum.name = "B";
    datum.hole = hole_at(0.3, 0.1);
    auto job = job_of({callout(Requirement::run_out, Holes{hole_at(0.3, 0.2)}, datum)});
    BOOST_TEST(value(state, job) * 1e6 == 10.0, tt::tolerance(1e-4));
}

BOOST_AUTO_TEST_CASE(two_bores_share_the_lean_of_z) {
    auto state = still();
    set(state, "B0Z", 100e-6);
    BoreDatum datum;
    datum.name = "B";
    datum.hole = hole_at(0.2, 0.2);
    auto job = job_of({callout(Requirement::parallelism, Holes{hole_at(0.3, 0.2)}, datum)});
    BOOST_TEST(std::abs(value(state, job)) < 1e-12);
    // a pitch of X that grows by 80 µrad from one to the other: 40 mm × 80 µrad
    set_curve(state, motion_index(4, Axis::x), [](double x) { return 800e-6 * (x - 0.3); });
    BOOST_TEST(value(state, job) * 1e6 == 3.2, tt::tolerance(1e-3));
}

BOOST_AUTO_TEST_CASE(a_bent_travel_of_z_bends_the_axis) {
    // EXZ = k ((z + 0.2)² …) over a stroke h: the sagitta of a parabola over 80 mm, k h²/8 with
    // k = 2 · 5e-3/m gives 8 µm from chord to middle; the narrowest cylinder is as wide as that.
    auto state = still();
    set_curve(
        state, motion_index(0, Axis::z), [](double z) { return 5e-3 * (z + 0.2) * (z + 0.2); });
    auto job = job_of({callout(Requirement::straightness, Holes{hole_at(0.3, 0.2, 0.29, 0.08)})});
    BOOST_TEST(value(state, job) * 1e6 == 8.0, tt::tolerance(0.02)); // the knots are 10 mm apart
}

BOOST_AUTO_TEST_CASE(a_bonus_is_room_for_the_place) {
    auto state = still();
    set(state, "C0Y", 50e-6);
    Callout size = callout(Requirement::diameter, Holes{hole_at(0.3, 0.2)});
    size.name = "hole size";
    size.size = {0.01, 0, 50e-6, {}, ""}; // aimed at the middle: 25 µm over maximum material
    Callout place = callout(Requirement::position,
                            Holes{hole_at(0.3, 0.2, 0.15, 0.001)},
                            EdgeDatum{EdgeDatum::Kind::picked_up, "A|B|C", 0.3, 0.1, 0.15, 0.15});
    place.bonus_from = "hole size";
    auto job = job_of({place, size});
    // 5 µm off: 10 µm, less 25
    BOOST_TEST(value(state, job) * 1e6 == -15.0, tt::tolerance(1e-4));
    job.callouts[0].bonus_from = "no such";
    BOOST_CHECK_EXCEPTION(question(state, job), InputError, [](const InputError& e) {
        return e.diagnostics().at(0).id == "bonus-unknown";
    });
}

BOOST_AUTO_TEST_CASE(a_longer_tool_carries_the_lean_of_the_spindle) {
    // B0C = 80 µrad, edges found with 60 mm, hole made with 150 mm: -(150 - 60) mm × 80 µrad = -7.2
    // µm in X (rotation of (0, 0, -L)).
    auto state = still();
    set(state, "B0C", 80e-6);
    const auto job =
        job_of({callout(Requirement::position,
                        Holes{hole_at(0.3, 0.2)},
                        EdgeDatum{EdgeDatum::Kind::picked_up, "B", 0.3, 0.2, 0.15, 0.06})});
    BOOST_TEST(question(state, job).model.characteristics[0].known[0] * 1e6 == -7.2,
               tt::tolerance(1e-6));
}

BOOST_AUTO_TEST_CASE(a_drilled_datum_wanders_as_drills_do) {
    BoreDatum datum;
    datum.name = "B";
    datum.hole = hole_at(0.2, 0.2);
    datum.hole.making = HoleMaking::drilled;
    auto job = job_of({callout(Requirement::parallelism, Holes{hole_at(0.3, 0.2)}, datum)}, {});
    job.process_typical = true;
    const auto q = question(still(), job);
    for (const auto& input : q.model.inputs)
        if (input.name == "B, direction of the hole in X")
            BOOST_TEST(std::sqrt(variance(input)) == 500e-6, tt::tolerance(1e-9));
        else if (input.name == "asked, direction of the hole in X")
            BOOST_TEST(std::sqrt(variance(input)) == 10e-6, tt::tolerance(1e-9));
}

BOOST_AUTO_TEST_CASE(what_does_not_suit_is_refused) {
    BoreDatum turned;
    turned.flipped = Axis::x;
    for (const auto& c : {callout(Requirement::roundness, Face{}),
                          callout(Requirement::run_out, Holes{hole_at(0.3, 0.2)}, turned),
                          callout(Requirement::angularity,
                                  wall_at(Axis::x, 1, 0.4),
                                  EdgeDatum{EdgeDatum::Kind::cut, "B", 0.3, 0.2, 0.15, 0.06})})
        BOOST_CHECK_EXCEPTION(question(still(), job_of({c})), InputError, [](const InputError& e) {
            return e.diagnostics().at(0).id == "callout-shape";
        });
}

BOOST_AUTO_TEST_SUITE_END()
