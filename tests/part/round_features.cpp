// SPDX-License-Identifier: MIT
// Size and roundness of bores, against sums and ellipses worked by hand: an interpolated circle of
// a machine with scales a, b and squareness C is an ellipse. Tolerance where points are sampled
// round a circle: 1 %, the cosine of half their spacing squared; else 1e-4.
#include "holdable/part/kinds.hpp"
#include "holdable/stats/random.hpp"
#include "part/known_part.hpp"

#include <cmath>
#include <numbers>

using namespace holdable;
using namespace holdable::tests;
namespace tt = boost::test_tools;

namespace {

Hole path(double diameter, double feed = 0) {
    Hole hole = hole_at(0.3, 0.2);
    hole.making = HoleMaking::interpolated;
    hole.diameter = diameter;
    hole.feed = feed;
    return hole;
}

Callout sized(Hole hole) {
    auto c = callout(Requirement::diameter, Holes{hole});
    c.size = {hole.diameter, -20e-6, 20e-6, {}, ""};
    return c;
}

} // namespace

BOOST_AUTO_TEST_SUITE(round_features)

BOOST_AUTO_TEST_CASE(an_interpolated_bore_follows_scales_and_tool) {
    // D = 60 mm, scales 100 and 40 ppm: D (a + b)/2 = 4.2 µm; run-out 4 µm opens the hole; axes
    // that lag by 2 ms at 500 mm/min make it smaller by F²τ²/R = 0.009 µm; the mean of 0 … 4 ms is
    // twice that. A tool smaller by 6 µm makes it smaller by 6.
    auto state = still();
    set(state, "EXX scale", 100e-6);
    set(state, "EYY scale", 40e-6);
    auto process = silent();
    process.tool_run_out = Span{4e-6, 4e-6, Evidence::measured, ""};
    process.tool_size = Allowance{1e-6, Evidence::measured, ""};
    process.wear = Span{2e-6, 2e-6, Evidence::measured, ""};
    auto job = job_of({sized(path(0.06, 0.5 / 60))}, process);
    const double lag = std::pow(0.5 / 60 * 4e-3, 2) / 0.03 / 2;
    BOOST_TEST(value(state, job) * 1e6 == 4.2 + 4 - 4 - lag * 1e6, tt::tolerance(1e-4));
    BOOST_TEST(lag * 1e6 == 2 * 0.009, tt::tolerance(0.05));
    BOOST_TEST(effect(question(state, job), "size of the milling tool") == 1.0);
    // about a boss all of the tool turns round
    job.callouts[0].hole().outside = true;
    BOOST_TEST(value(state, job) * 1e6 == 4.2 - 4 + 4 - lag * 1e6, tt::tolerance(1e-4));
    BOOST_TEST(effect(question(state, job), "size of the milling tool") == -1.0);
}

BOOST_AUTO_TEST_CASE(a_bored_diameter_is_that_of_the_head) {
    auto state = still();
    set(state, "EXX scale", 100e-6);
    set(state, "C0Y", 100e-6);
    auto process = silent();
    process.hole_size = Span{-3e-6, 5e-6, Evidence::measured, ""};
    process.wear = Span{0, 4e-6, Evidence::measured, ""};
    auto hole = hole_at(0.3, 0.2);
    auto job = job_of({sized(hole)}, process);
    BOOST_TEST(value(state, job) * 1e6 == 1.0 - 2 * 2.0, tt::tolerance(1e-9));
    // 5 K warm on a part of steel (11.7) cut by a head as warm (11.5): 60 mm × 5 K × 0.2 µm/m/K
    job.temperatures = {298.15, 298.15, 0, Evidence::measured, true};
    BOOST_TEST(value(state, job) * 1e6 == -3.0 - 0.06 * 5 * 0.2, tt::tolerance(1e-6));
    job.callouts[0].size.aim = 0.06 + 7e-6;
    BOOST_TEST(value(state, job) * 1e6 == 7.0 - 3.0 - 0.06 * 5 * 0.2, tt::tolerance(1e-6));
}

BOOST_AUTO_TEST_CASE(squareness_makes_an_ellipse_of_a_path_and_nothing_of_a_bore) {
    // D = 100 mm, C0Y = 40 µrad: radial peak to valley C D/2 = 2.000 µm.
    auto state = still();
    set(state, "C0Y", 40e-6);
    auto job = job_of({callout(Requirement::roundness, Holes{path(0.1, 0.01)})});
    BOOST_TEST(value(state, job) * 1e6 == 2.0, tt::tolerance(1e-4)); // points at 45°
    job.callouts[0].feature = Holes{hole_at(0.3, 0.2)};
    BOOST_TEST(std::abs(value(state, job)) < 1e-12);
    // with scales a = 100, b = 40 ppm: D/2 √(C² + (a - b)²) = 3.6056 µm
    set(state, "EXX scale", 100e-6);
    set(state, "EYY scale", 40e-6);
    job.callouts[0].feature = Holes{path(0.1, 0.01)};
    BOOST_TEST(value(state, job) * 1e6 == 3.6056, tt::tolerance(0.01));
}

BOOST_AUTO_TEST_CASE(lost_motion_leaves_steps_where_the_path_turns) {
    // X short by h = 3 µm each way: +h cos θ on one side, -h cos θ on the other, a step of 2 h at
    // the ends of Y … of X nothing at θ = 90°: n_x changes sign with the velocity. Against the mean
    // circle: -h |cos θ| sign … worked by sampling 3600 points of -h n_x sign(v_x).
    auto process = silent();
    process.reversal = Allowance{1e-6, Evidence::measured, ""};
    const auto q = question(
        still(), job_of({callout(Requirement::roundness, Holes{path(0.1, 0.01)})}, process));
    const auto& all = q.model.characteristics[0].effect;
    for (Eigen::Index j = 0; j < all.cols(); ++j)
        if (q.model.inputs[static_cast<std::size_t>(j)].name == "lost motion of X")
            for (Eigen::Index k = 0; k < all.rows(); ++k) {
                // counterclockwise: above the centre X moves towards -, so it stays on the + side
                const double angle = 2 * std::numbers::pi * double(k) / double(all.rows());
                const double off = std::sin(angle) > 1e-9    ? std::cos(angle)
                                   : std::sin(angle) < -1e-9 ? -std::cos(angle)
                                                             : 0;
                BOOST_TEST(std::abs(all(k, j) - off) < 1e-9);
            }
}

BOOST_AUTO_TEST_CASE(a_lag_that_differs_leans_an_ellipse_to_45_degrees) {
    // X lags 1 ms more than Y at 600 mm/min = 10 mm/s: 10 µm; r(θ) = F m/2 sin 2θ: 10 µm p-v.
    auto state = still();
    set(state, "lag of X behind Y", 1e-3);
    const auto job = job_of({callout(Requirement::roundness, Holes{path(0.1, 0.01)})});
    BOOST_TEST(value(state, job) * 1e6 == 10.0, tt::tolerance(1e-4));
}

BOOST_AUTO_TEST_CASE(a_lean_is_no_cylindricity_and_a_bend_is) {
    auto state = still();
    set(state, "B0Z", 200e-6);
    auto job = job_of({callout(Requirement::cylindricity, Holes{hole_at(0.3, 0.2)})});
    BOOST_TEST(std::abs(value(state, job)) < 1e-11);
    // the axis bends by a sagitta of 2 µm over 40 mm: radial peak to valley of the same size
    set_curve(
        state, motion_index(0, Axis::z), [](double z) { return 10e-3 * (z + 0.2) * (z + 0.2); });
    job.callouts[0].hole().top = 0.27;
    BOOST_TEST(value(state, job) * 1e6 > 1.5);
    BOOST_TEST(value(state, job) * 1e6 < 4.1);
}

BOOST_AUTO_TEST_CASE(a_tool_bends_as_a_beam) {
    // 50 N at the end of 40 mm, 10 mm thick, 600 GPa: 3.622 µm (numeric integration of M/EI); a
    // fluted tool of 12.5 mm bends like a rod of 0.8 of that. At half its length 5/16 of it.
    Eigen::VectorXd above(3);
    above << 0, 0.02, 0.04;
    const Eigen::VectorXd give = bending(0.0125, 0.04, 600e9, above);
    const double holder = give[2]; // at the holder only that gives
    BOOST_TEST((give[0] - holder) * 50e6 == 3.622, tt::tolerance(2e-4));
    BOOST_TEST((give[1] - holder) / (give[0] - holder) == 5.0 / 16, tt::tolerance(1e-9));
    // steel, of the tool's own 10 mm: 8.842 µm at 600 GPa with 0.8 of it
    BOOST_TEST((bending(0.01, 0.04, 600e9, above)[0] - holder) * 50e6 == 8.842,
               tt::tolerance(2e-4));
}

BOOST_AUTO_TEST_CASE(lobes_are_half_of_their_peak_to_valley_in_95_of_100) {
    auto process = silent();
    process.lobes = Allowance{1e-6, Evidence::measured, ""};
    const auto q = question(
        still(), job_of({callout(Requirement::roundness, Holes{hole_at(0.3, 0.2)})}, process));
    const auto& c = q.model.characteristics[0];
    // the four amplitudes drawn by themselves; 20 000 draws know the share to 0.0016
    constexpr int draws = 20000;
    int within = 0;
    std::array<std::vector<double>, 4> u;
    for (std::size_t k = 0; k < 4; ++k) {
        u[k].resize(draws);
        stats::fill_uniform(7, k + 1, 0, u[k]);
    }
    std::vector<Eigen::Index> columns;
    for (std::size_t j = 0; j < q.model.inputs.size(); ++j)
        if (q.model.inputs[j].group == "lobes")
            columns.push_back(static_cast<Eigen::Index>(j));
    BOOST_REQUIRE(columns.size() == 4U);
    for (int t = 0; t < draws; ++t) {
        Eigen::VectorXd d = Eigen::VectorXd::Zero(c.effect.rows());
        for (std::size_t k = 0; k < 4; ++k) {
            const auto& law = q.model.inputs[static_cast<std::size_t>(columns[k])].law;
            d += stats::quantile(law, u[k][static_cast<std::size_t>(t)]) * c.effect.col(columns[k]);
        }
        within += (d.maxCoeff() - d.minCoeff()) / 2 <= 1e-6 ? 1 : 0;
    }
    BOOST_TEST(double(within) / draws > 0.945);
    BOOST_TEST(double(within) / draws < 0.955);
}

BOOST_AUTO_TEST_SUITE_END()
