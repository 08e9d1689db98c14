// SPDX-License-Identifier: MIT
// Features by sampling, against the flat formulas of the same geometry, worked by hand for machines
// whose errors are known exactly: perpendicularity L √(θx² + θy²), position 2 √(ux² + uy²), thermal
// length -L (α_p θ_p - α_s θ_s). The formulas use no sampling. Tolerance 1e-6 relative; where
// points are sampled on a curve, as said beside.
#include "holdable/part/features.hpp"

#include "holdable/base/error.hpp"
#include "holdable/stats/distribution.hpp"
#include "machine/workshop.hpp"

#include <boost/test/unit_test.hpp>

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>

using namespace holdable;
using namespace holdable::tests;
namespace tt = boost::test_tools;

namespace {

const Date day = parse_date("2026-11-25");

/// A state in which nothing was measured and everything is zero.
MachineState nothing_known(const Shop& shop = workshop()) {
    return solve(shop, day);
}

void set(MachineState& state, const std::string& name, double value) {
    const auto& all = state.model.unknowns();
    const auto at =
        std::find_if(all.begin(), all.end(), [&](const Input& u) { return u.name == name; });
    BOOST_REQUIRE(at != all.end());
    state.estimate[at - all.begin()] = value;
}

/// Gives an error motion a value at a place, by the smallest change of its shapes.
void set_at(MachineState& state, int parameter, double coordinate, double value) {
    const Eigen::RowVectorXd row = state.model.parameter(parameter, coordinate, day);
    state.estimate += row.transpose() * (value - row.dot(state.estimate)) / row.squaredNorm();
}

Callout bore() {
    Callout c;
    c.kind = Requirement::perpendicularity;
    c.name = "bore";
    c.tolerance = 25e-6;
    c.hole().x = 0.45;
    c.hole().y = 0.25;
    c.hole().top = 0.15;
    c.hole().depth = 0.08;
    c.hole().tool_length = 0.15;
    c.plane().name = "A";
    c.plane().face.height = 0.15;
    c.plane().face.tool_length = 0.10;
    return c;
}

Job job_of(const Callout& callout) {
    Job job;
    job.name = "test";
    job.material = "steel";
    job.process_typical = true;
    job.callouts = {callout};
    return job;
}

double known_value(const PartQuestion& q) {
    const auto& c = q.model.characteristics.at(0);
    if (c.reduction == Reduction::magnitude)
        return c.known.norm();
    return 2 * std::max(c.known.head(2).norm(), c.known.tail(2).norm());
}

} // namespace

BOOST_AUTO_TEST_SUITE(features)

BOOST_AUTO_TEST_CASE(a_bore_square_to_its_seat) {
    // B_app = 54.667 - 20 = 34.667, A_app = 30 + 10 = 40 µrad, 80 mm deep: 80 √(34.667² + 40²) nm
    // = 4.235 µm (by hand).
    auto state = nothing_known();
    set(state, "B0Z", 54.667e-6);
    set(state, "A0Z", 30e-6);
    set_at(state, motion_index(4, Axis::x), 0.45, -20e-6);
    set_at(state, motion_index(3, Axis::x), 0.45, 10e-6);
    auto callout = bore();
    callout.plane().kind = PlaneDatum::Kind::seat;
    BOOST_TEST(known_value(question(state, job_of(callout))) * 1e6 == 4.2346, tt::tolerance(1e-4));
}

BOOST_AUTO_TEST_CASE(roll_cancels_for_a_small_face_and_stays_for_a_seat) {
    // EAX leans the bore and the face beside it alike.
    auto state = nothing_known();
    set_at(state, motion_index(3, Axis::x), 0.45, 50e-6);
    auto callout = bore();
    callout.hole().y =
        0.2; // at the reference: a roll that changes along X would twist the face elsewhere
    callout.plane().face.extent = Extent{0.44, 0.46, 0.19, 0.21};
    const double on_face = known_value(question(state, job_of(callout)));
    callout.plane().kind = PlaneDatum::Kind::seat;
    const double on_seat = known_value(question(state, job_of(callout)));
    BOOST_TEST(on_seat * 1e6 == 4.0, tt::tolerance(1e-4)); // 80 mm × 50 µrad
    BOOST_TEST(on_face < 0.03 * on_seat);
    callout.plane().kind = PlaneDatum::Kind::face;
    callout.plane().face.extent = Extent{0.1, 0.5, 0.05, 0.35};
    BOOST_TEST(known_value(question(state, job_of(callout))) >
               0.2 * on_seat); // the wide face averages
}

BOOST_AUTO_TEST_CASE(squareness_alone_is_depth_times_lean_on_any_face) {
    auto state = nothing_known();
    set(state, "B0Z", 30e-6);
    set(state, "A0Z", -40e-6);
    auto callout = bore();
    callout.plane().face.extent = Extent{0.3, 0.5, 0.1, 0.3};
    BOOST_TEST(known_value(question(state, job_of(callout))) * 1e6 == 4.0, tt::tolerance(1e-6));
    // the vector's signs: dx/dz = B0Z, dy/dz = -A0Z
    const auto q = question(state, job_of(callout));
    BOOST_TEST(q.model.characteristics[0].known[0] > 0);
    BOOST_TEST(q.model.characteristics[0].known[1] > 0);
}

BOOST_AUTO_TEST_CASE(a_face_that_rises_towards_plus_leans_its_normal_to_minus) {
    // Straightness EZX of slope k about the hole: a face rising to +X by 40 µrad, its normal leans
    // to -X and the hole, which stays upright, to +X of it: 80 mm × 40 µrad.
    auto state = nothing_known();
    auto callout = bore();
    callout.hole().y = 0.2;
    callout.plane().face.extent = Extent{0.44, 0.46, 0.19, 0.21};
    const int ezx = motion_index(2, Axis::x);
    const Eigen::RowVectorXd rise =
        state.model.parameter(ezx, 0.46, day) - state.model.parameter(ezx, 0.44, day);
    state.estimate += rise.transpose() * (40e-6 * 0.02) / rise.squaredNorm();
    const auto q = question(state, job_of(callout));
    BOOST_TEST(q.model.characteristics[0].known[0] * 1e6 == 3.2, tt::tolerance(0.05));
    BOOST_TEST(std::abs(q.model.characteristics[0].known[1]) < 1e-9);
}

BOOST_AUTO_TEST_CASE(a_longer_tool_than_that_of_the_datum_carries_the_nod_of_z) {
    // dx = (EBZ × (0, 0, -L))_x = -L EBZ: EBZ = 50 µrad at the hole, none where the datum was
    // touched, L = 150 mm: -7.5 µm at the upper end.
    auto state = nothing_known();
    Callout c = bore();
    c.kind = Requirement::position;
    c.hole().top = 0.35; // Z = 0.35 + 0.15 - 0.6 = -0.1
    c.hole().depth = 0.08;
    c.edges() = {
        EdgeDatum::Kind::picked_up, "A|B|C", c.hole().x, c.hole().y, 0.25, 0.15}; // Z = -0.2
    set_at(state, motion_index(4, Axis::z), -0.1, 50e-6);
    const auto q = question(state, job_of(c));
    BOOST_TEST(q.model.characteristics[0].known[0] * 1e6 == -7.5, tt::tolerance(1e-6));
}

BOOST_AUTO_TEST_CASE(the_extent_of_the_face_goes_before_that_of_the_part) {
    const auto state = nothing_known();
    auto callout = bore();
    callout.plane().face.extent = Extent{0.44, 0.46, 0.24, 0.26};
    auto job = job_of(callout);
    job.part = Extent{0.1, 0.5, 0.05, 0.35};
    const auto local = question(state, job);
    BOOST_TEST(local.readiness[0].notes.empty());
    job.callouts[0].plane().face.extent = job.part;
    const auto whole = question(state, job);
    job.callouts[0].plane().face.extent.reset();
    const auto taken = question(state, job);
    const auto size = [](const PartQuestion& q) {
        return q.model.characteristics[0].effect.norm();
    };
    BOOST_TEST(size(taken) == size(whole));
    BOOST_TEST(size(local) != size(whole));
}

BOOST_AUTO_TEST_CASE(position_carries_squareness_over_the_distance_in_y) {
    // ux = -C0Y Δy = -50 µrad × 130 mm = -6.5 µm, the zone is twice that.
    auto state = nothing_known();
    set(state, "C0Y", 50e-6);
    Callout c = bore();
    c.kind = Requirement::position;
    c.hole().x = 0.35;
    c.hole().y = 0.25;
    c.edges().x = 0.10;
    c.edges().y = 0.12;
    c.edges().height = 0.15;
    c.edges().tool_length = 0.15;
    auto job = job_of(c);
    job.temperatures.doubt = 0;
    BOOST_TEST(known_value(question(state, job)) * 1e6 == 13.0, tt::tolerance(1e-6));
}

BOOST_AUTO_TEST_CASE(the_lower_end_of_a_leaning_hole_decides) {
    auto state = nothing_known();
    set(state, "B0Z", 100e-6);
    Callout c = bore();
    c.kind = Requirement::position;
    c.edges().x = c.hole().x;
    c.edges().y = c.hole().y;
    c.edges().height = c.hole().top;
    c.edges().tool_length = c.hole().tool_length;
    BOOST_TEST(known_value(question(state, job_of(c))) * 1e6 == 16.0,
               tt::tolerance(1e-6)); // 2 × 80 mm × 100 µrad
}

BOOST_AUTO_TEST_CASE(a_warm_aluminium_part_is_short_when_it_is_cold) {
    // L = 200 mm, 26 °C and 24 °C, 23.6 and 11.5 µm/m/K: e = -19.12 µm; u = 2.754 µm with ± 1
    // µm/m/K on both coefficients and u(T) = 0.5 K (by hand, ISO/TR 16015).
    auto state = nothing_known();
    state.error_map.setZero();
    Callout c = bore();
    c.kind = Requirement::position;
    c.hole().x = 0.45;
    c.edges().x = 0.25;
    c.edges().y = c.hole().y;
    c.edges().height = c.hole().top;
    c.edges().tool_length = c.hole().tool_length;
    auto job = job_of(c);
    job.material = "aluminium 6061";
    job.temperatures = {299.15, 297.15, 0.5 * std::sqrt(3.0), Evidence::measured};
    const auto q = question(state, job);
    BOOST_TEST(q.model.characteristics[0].known[0] * 1e6 == -19.12, tt::tolerance(1e-6));
    double variance = 0;
    for (std::size_t j = 0; j < q.model.inputs.size(); ++j)
        if (q.model.inputs[j].name.starts_with("temperature") ||
            q.model.inputs[j].name.starts_with("expansion"))
            variance +=
                std::pow(q.model.characteristics[0].effect(0, static_cast<Eigen::Index>(j)) *
                             stats::standard_uncertainty(q.model.inputs[j].law),
                         2);
    BOOST_TEST(std::sqrt(variance) * 1e6 == 2.754, tt::tolerance(1e-3));
}

BOOST_AUTO_TEST_CASE(known_parts_add_up_and_effects_are_those_of_the_state) {
    auto state = nothing_known();
    set(state, "B0Z", 30e-6);
    set(state, "C0Y", 10e-6);
    auto callout = bore();
    callout.plane().face.extent = Extent{0.3, 0.5, 0.1, 0.3};
    const auto q = question(state, job_of(callout));
    const auto& c = q.model.characteristics[0];
    BOOST_TEST((c.known_parts.rowwise().sum() - c.known).norm() < 1e-15);
    BOOST_TEST(c.known_names.size() == static_cast<std::size_t>(c.known_parts.cols()));
    // u of the bore's lean in X from B0Z alone: 80 mm × class spread of 30 µrad
    const auto b0z = std::find_if(q.model.inputs.begin(), q.model.inputs.end(), [](const Input& i) {
        return i.name == "B0Z";
    });
    BOOST_REQUIRE(b0z != q.model.inputs.end());
    BOOST_TEST(c.effect(0, b0z - q.model.inputs.begin()) == 0.08, tt::tolerance(1e-9));
    BOOST_TEST(stats::standard_uncertainty(b0z->law) == 30e-6, tt::tolerance(1e-9));
}

BOOST_AUTO_TEST_CASE(what_is_not_known_is_asked_for) {
    const auto state = nothing_known();
    auto callout = bore();
    auto job = job_of(callout);
    job.process_typical = false;
    const auto bare = question(state, job);
    BOOST_TEST(bare.readiness[0].missing.size() == 2U); // direction of the hole, extent of the face
    job.part = Extent{0.2, 0.5, 0.1, 0.3};
    job.process.hole_direction = Scatter{10e-6, 0, 0, 0, Evidence::measured, "trial"};
    const auto asked = question(state, job);
    BOOST_TEST(asked.readiness[0].missing.empty());
    BOOST_TEST(asked.readiness[0].notes.size() == 1U); // the whole part is taken

    auto unclassed = workshop();
    unclassed.machine_class.clear();
    const auto guess = question(nothing_known(unclassed), job);
    BOOST_REQUIRE(!guess.readiness[0].missing.empty());
    BOOST_TEST(guess.readiness[0].missing[0].find("no class of machine is declared") !=
               std::string::npos);
}

BOOST_AUTO_TEST_CASE(beyond_the_travel_there_is_no_answer) {
    const auto state = nothing_known();
    for (const auto& [x, top, length] :
         {std::tuple{0.7, 0.15, 0.15}, {0.45, 0.15, 0.60}, {0.45, 0.05, 0.02}}) {
        auto callout = bore();
        callout.hole().x = x;
        callout.hole().top = top;
        callout.hole().tool_length = length;
        callout.plane().kind = PlaneDatum::Kind::seat;
        try {
            question(state, job_of(callout));
            BOOST_ERROR("accepted");
        } catch (const InputError& error) {
            BOOST_TEST(error.diagnostics().at(0).id == "feature-outside");
        }
    }
}

BOOST_AUTO_TEST_CASE(few_readings_own_the_doubt_of_their_scatter) {
    const auto state = nothing_known();
    auto job = job_of(bore());
    job.callouts[0].plane().kind = PlaneDatum::Kind::seat;
    job.process.hole_direction = Scatter{12e-6, 4, 3e-6, 5, Evidence::measured, "five bores"};
    const auto q = question(state, job);
    int scatter = 0;
    int means = 0;
    for (const auto& input : q.model.inputs) {
        if (input.scale.empty())
            continue;
        BOOST_TEST(input.scale_dof == 4);
        (input.sharing == Sharing::part ? scatter : means) += 1;
        if (input.sharing == Sharing::job)
            BOOST_TEST(stats::standard_uncertainty(input.law) == 12e-6 / std::sqrt(5.0),
                       tt::tolerance(1e-12));
    }
    BOOST_TEST(scatter == 2);
    BOOST_TEST(means == 2);
}

namespace {

/// A hole whose place is that of its datums: no error of the machine is in it.
Callout hole_at_its_datum() {
    Callout c = bore();
    c.kind = Requirement::position;
    c.edges().x = c.hole().x;
    c.edges().y = c.hole().y;
    c.edges().height = c.hole().top;
    c.edges().tool_length = c.hole().tool_length;
    return c;
}

/// Standard uncertainty of an input in the answer to a job; nothing if it has none of that name.
std::optional<double> input_of(const PartQuestion& q, const std::string& name) {
    for (const auto& input : q.model.inputs)
        if (input.name == name)
            return stats::standard_uncertainty(input.law);
    return std::nullopt;
}

/// A log of two days in which X moves by 10 µm in an hour and stays, and a warm-up of Y by 12 µm.
Shop shop_with_logs() {
    auto shop = workshop();
    ThermalLog drift;
    drift.name = "two days";
    drift.date = day;
    for (int i = 0; i < 49; ++i)
        drift.times.push_back(3600.0 * i);
    drift.traces = {{Axis::x, "lever", std::vector<double>(49, 0.0)}};
    for (std::size_t i = 10; i < 49; ++i)
        drift.traces[0].readings[i] = 10e-6;
    ThermalLog warm;
    warm.name = "cold start";
    warm.date = day;
    warm.spindle_runs = true;
    warm.traces = {{Axis::y, "lever", {}}};
    for (int i = 0; i < 13; ++i) {
        warm.times.push_back(600.0 * i);
        warm.traces[0].readings.push_back(-12e-6 * (1 - std::exp(-warm.times.back() / 1500)));
    }
    shop.thermal_logs = {drift, warm};
    return shop;
}

} // namespace

BOOST_AUTO_TEST_CASE(the_logs_of_the_machine_say_what_drifts) {
    const auto shop = shop_with_logs();
    auto job = job_of(hole_at_its_datum());
    job.duration = 2 * 3600;
    job.warmed_up = 1500;
    auto q = question(nothing_known(shop), job);
    BOOST_TEST(input_of(q, "drift in X").value() == 5e-6 / std::sqrt(3.0), tt::tolerance(1e-9));
    // no log of Y: the class's 25 µm in 8 h, half of it each way
    BOOST_TEST(input_of(q, "drift in Y").value() == 12.5e-6 / std::sqrt(3.0), tt::tolerance(1e-9));
    // g = 12 µm (e^-1 - e^-5.8), half of it known, half of it scatter
    const double g = 12e-6 * (std::exp(-1.0) - std::exp(-5.8));
    BOOST_TEST(q.model.characteristics[0].known[1] == g / 2, tt::tolerance(1e-6));
    BOOST_TEST(q.model.characteristics[0].known[3] == g / 2, tt::tolerance(1e-6));
    BOOST_TEST(std::abs(q.model.characteristics[0].known[0]) < 1e-12);
    BOOST_TEST(input_of(q, "warming of the spindle, Y, when in the job").value() ==
                   g / 2 / std::sqrt(3.0),
               tt::tolerance(1e-6));
    BOOST_TEST(q.readiness[0].notes.empty());
    // what the job states goes before the logs; a cold spindle is said
    job.process.drift = Allowance{1e-6, Evidence::measured, ""};
    job.warmed_up = 0;
    q = question(nothing_known(shop), job);
    BOOST_TEST(input_of(q, "drift in X").value() == 1e-6 / std::sqrt(3.0), tt::tolerance(1e-9));
    BOOST_TEST(q.readiness[0].notes.size() == 1U);
}

BOOST_AUTO_TEST_CASE(runs_of_positioning_say_how_an_axis_repeats_and_what_it_loses) {
    // X loses 6 µm: it stops 3 µm short of every target, whichever way it comes; three runs each
    // way scatter by ± 1 µm about their means: s = 1 µm, 2 · 5 · 2 = 20 degrees of freedom. Y: the
    // class's figures.
    auto shop = workshop();
    LengthStandard bar;
    bar.name = "bar";
    bar.kind = LengthKind::displacement;
    bar.scale_limit = 1e-6;
    bar.resolution = 1e-8;
    shop.length_standards = {bar};
    PositioningCheck check;
    check.name = "X";
    check.date = day;
    check.standard = "bar";
    check.place = {0, 0.2, -0.2};
    check.gauge_length = 0.1;
    check.targets = {0.1, 0.19, 0.3, 0.41, 0.5};
    for (const double scatter : {-1e-6, 0.0, 1e-6})
        for (const bool plus : {true, false})
            check.runs.push_back({plus, std::vector<double>(5, scatter + (plus ? -3e-6 : 3e-6))});
    shop.positioning_checks = {check};
    const auto state = nothing_known(shop);
    auto job = job_of(hole_at_its_datum());
    const auto q = question(state, job);
    BOOST_TEST(input_of(q, "bore, repeatability of X").value() == 1e-6, tt::tolerance(1e-9));
    for (const auto& input : q.model.inputs)
        if (input.name == "bore, repeatability of X")
            BOOST_TEST(input.scale_dof == 20);
    const auto lost = state.of(state.model.lost_motion(Axis::x, day));
    BOOST_TEST(lost.value == 6e-6, tt::tolerance(0.05)); // the class pulls a little
    BOOST_TEST(input_of(q, "lost motion of X").value() ==
                   (lost.value + 2 * lost.standard_uncertainty) / 2 / std::sqrt(3.0),
               tt::tolerance(1e-9));
    const auto& c = machine_class("entry vmc");
    BOOST_TEST(input_of(q, "bore, repeatability of Y").value() == c.repeatability.high,
               tt::tolerance(1e-9));
    BOOST_TEST(input_of(q, "lost motion of Y").value() == c.reversal.high / 2 / std::sqrt(3.0),
               tt::tolerance(1e-9));
    // what the job states goes before
    job.process.reversal = Allowance{1e-6, Evidence::measured, ""};
    BOOST_TEST(input_of(question(state, job), "lost motion of X").value() == 1e-6 / std::sqrt(3.0),
               tt::tolerance(1e-9));
}

BOOST_AUTO_TEST_CASE(a_test_cut_gives_its_scatter_and_covers_what_it_holds) {
    auto shop = workshop();
    TestCut plates;
    plates.name = "plates";
    plates.date = day;
    plates.quantity = CutQuantity::distance;
    plates.first = {0.2, 0.1, 0.1, 0, 0.15};
    plates.second = {0.4, 0.1, 0.1, 0, 0.15};
    plates.readings = {3e-6, 5e-6, 4e-6, 8e-6}; // s = √(14/3) µm
    plates.gauge = {"gauge", 1e-6, Evidence::certificate, 0};
    plates.warmth.material = "steel";
    plates.covered = {"axis_repeat", "drift"};
    auto bores = plates;
    bores.name = "bores";
    bores.quantity = CutQuantity::lean_x;
    bores.first.top = 0.15;
    bores.first.depth = 0.08;
    bores.face = {0.1, 0.3, 0.05, 0.15, 0.15, 0.1};
    bores.readings = {10e-6, 20e-6, 30e-6};
    bores.covered = {};
    shop.test_cuts = {plates, bores};
    const auto state = nothing_known(shop);
    auto job = job_of(hole_at_its_datum());
    job.process.hole_place = Scatter{};
    job.process.hole_place->from = "plates";
    job.process.hole_direction = Scatter{};
    job.process.hole_direction->from = "bores";
    const auto q = question(state, job);
    // a distance scatters by two holes
    BOOST_TEST(input_of(q, "bore, start of the hole in X").value() == std::sqrt(7.0 / 3) * 1e-6,
               tt::tolerance(1e-9));
    BOOST_TEST(input_of(q, "bore, direction of the hole in X").value() == 10e-6,
               tt::tolerance(1e-9));
    BOOST_TEST(!input_of(q, "bore, repeatability of X"));
    BOOST_TEST(!input_of(q, "drift in X"));
    BOOST_TEST(input_of(q, "lost motion of X").has_value());
    for (const auto& input : q.model.inputs)
        if (input.name == "bore, start of the hole in X")
            BOOST_TEST(input.scale_dof == 3);
    job.process.hole_place->from = "bores";
    BOOST_CHECK_EXCEPTION(question(state, job), InputError, [](const InputError& e) {
        return std::string(e.what()).find("test-cut-unknown") != std::string::npos;
    });
    job.process.hole_place->from = "plates of last year";
    BOOST_CHECK_THROW(question(state, job), InputError);
}

BOOST_AUTO_TEST_SUITE_END()
