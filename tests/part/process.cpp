// SPDX-License-Identifier: MIT
// What the process adds to a callout: each input's effect, law and sharing against the geometry of
// the callout worked by hand, and the defaults of the trade against their stated ranges, upper
// ends. Exact arithmetic: 1e-9 relative.
#include "holdable/part/features.hpp"
#include "holdable/stats/distribution.hpp"
#include "laws.hpp"
#include "machine/workshop.hpp"

#include <boost/test/unit_test.hpp>

#include <algorithm>
#include <cmath>

using namespace holdable;
using namespace holdable::tests;
namespace tt = boost::test_tools;

namespace {

const Date day = parse_date("2026-11-25");

/// A question of one callout, on a machine of which nothing was measured.
struct Asked {
    explicit Asked(const Job& job, const Shop& shop = workshop())
        : state(solve(shop, day)), q(question(state, job)) {}

    bool has(const std::string& name) const { return find(name) != q.model.inputs.end(); }

    const Input& input(const std::string& name) const {
        BOOST_REQUIRE_MESSAGE(has(name), "no input " << name);
        return *find(name);
    }

    Eigen::VectorXd effect(const std::string& name) const {
        BOOST_REQUIRE_MESSAGE(has(name), "no input " << name);
        return q.model.characteristics.at(0).effect.col(find(name) - q.model.inputs.begin());
    }

    MachineState state;
    PartQuestion q;

  private:
    std::vector<Input>::const_iterator find(const std::string& name) const {
        const auto& all = q.model.inputs;
        return std::find_if(all.begin(), all.end(), [&](const Input& i) { return i.name == name; });
    }
};

bool same(const Eigen::VectorXd& effect, std::initializer_list<double> expected) {
    const Eigen::Map<const Eigen::VectorXd> e(expected.begin(),
                                              static_cast<Eigen::Index>(expected.size()));
    return effect.size() == e.size() && (effect - e).norm() < 1e-9 * e.norm();
}

/// A hole 80 mm deep, 150 mm to + in X and 60 mm to - in Y of the datum edges.
Job position_job(EdgeDatum::Kind datum, int quantity) {
    Callout c;
    c.kind = Requirement::position;
    c.name = "hole";
    c.tolerance = 50e-6;
    c.hole().x = 0.45;
    c.hole().y = 0.16;
    c.hole().top = 0.15;
    c.hole().depth = 0.08;
    c.hole().tool_length = 0.15;
    c.edges() = {datum, "A|B|C", 0.30, 0.22, 0.15, 0.15};
    Job job;
    job.name = "test";
    job.material = "aluminium 6061";
    job.quantity = quantity;
    job.process_typical = true;
    job.callouts = {c};
    return job;
}

Job seat_job() {
    auto job = position_job(EdgeDatum::Kind::picked_up, 1);
    auto& c = job.callouts[0];
    c.kind = Requirement::perpendicularity;
    c.plane().kind = PlaneDatum::Kind::seat;
    return job;
}

} // namespace

BOOST_AUTO_TEST_SUITE(process)

BOOST_AUTO_TEST_CASE(each_doubt_of_the_process_reaches_as_far_as_it_does) {
    const Asked a(position_job(EdgeDatum::Kind::picked_up, 10));

    struct Case {
        const char* name;
        Sharing sharing;
    };

    // One finding of the edge serves all parts; each part is put in place, drifts and is drilled
    // anew; the machine's lost motion is the same for all.
    for (const auto& [name, sharing] : {Case{"work zero in ", Sharing::setup},
                                        Case{"location in ", Sharing::part},
                                        Case{"lost motion of ", Sharing::job},
                                        Case{"drift in ", Sharing::part}}) {
        BOOST_CHECK(a.input(std::string(name) + "X").sharing == sharing);
        BOOST_CHECK(a.input(std::string(name) + "Y").sharing == sharing);
        BOOST_TEST(same(a.effect(std::string(name) + "X"), {1, 0, 1, 0}), name);
        BOOST_TEST(same(a.effect(std::string(name) + "Y"), {0, 1, 0, 1}), name);
    }
    BOOST_CHECK(a.input("hole, repeatability of X").sharing == Sharing::part);
    BOOST_CHECK(a.input("hole, start of the hole in X").sharing == Sharing::part);
    BOOST_CHECK(a.input("hole, direction of the hole in X").sharing == Sharing::part);
    BOOST_CHECK(a.input("temperature of the part").sharing == Sharing::job);
    BOOST_CHECK(Asked(seat_job()).input("seat along X").sharing == Sharing::setup);
    BOOST_CHECK(Asked(position_job(EdgeDatum::Kind::cut, 10))
                    .input("size of the milling tool of 150 mm gauge length")
                    .sharing == Sharing::tool);
}

BOOST_AUTO_TEST_CASE(laws_are_those_of_the_allowances_and_scatters) {
    auto job = position_job(EdgeDatum::Kind::picked_up, 10);
    job.process.work_zero = Allowance{3e-6, Evidence::measured, "probe"};
    job.process.axis_repeat = Scatter{0.7e-6, 0, 0, 0, Evidence::measured, "trial"};
    const Asked a(job);
    BOOST_TEST(half_width(a.input("work zero in X")) == 3e-6); // what is given is not replaced
    BOOST_CHECK(a.input("work zero in X").evidence == Evidence::measured);
    BOOST_TEST(half_width(a.input("location in Y")) == 20e-6);
    BOOST_TEST(sigma(a.input("hole, repeatability of Y")) == 0.7e-6);
    BOOST_TEST(sigma(a.input("hole, start of the hole in Y")) == 1e-6);
    BOOST_TEST(same(a.effect("hole, start of the hole in Y"), {0, 1, 0, 1}));
}

BOOST_AUTO_TEST_CASE(one_part_alone_has_no_location) {
    BOOST_TEST(!Asked(position_job(EdgeDatum::Kind::picked_up, 1)).has("location in X"));
    BOOST_TEST(Asked(position_job(EdgeDatum::Kind::picked_up, 2)).has("location in X"));
}

BOOST_AUTO_TEST_CASE(a_hole_that_wanders_is_off_at_its_lower_end_alone) {
    const Asked a(position_job(EdgeDatum::Kind::picked_up, 1));
    BOOST_TEST(same(a.effect("hole, direction of the hole in X"), {0, 0, -0.08, 0}));
    BOOST_TEST(same(a.effect("hole, direction of the hole in Y"), {0, 0, 0, -0.08}));
}

BOOST_AUTO_TEST_CASE(edges_cut_by_one_tool_carry_half_its_diameter_towards_the_hole) {
    // The hole lies to + of the edge in X, to - of that in Y.
    const Asked a(position_job(EdgeDatum::Kind::cut, 10));
    BOOST_TEST(
        same(a.effect("size of the milling tool of 150 mm gauge length"), {0.5, -0.5, 0.5, -0.5}));
    BOOST_TEST(half_width(a.input("size of the milling tool of 150 mm gauge length")) == 5e-6);
    BOOST_TEST(!a.has("work zero in X"));
    BOOST_TEST(!a.has("location in X"));
    // edge and hole are each reached once, with the class's 2.5 µm; an edge that is there is not
    const Asked found(position_job(EdgeDatum::Kind::picked_up, 10));
    for (const auto* asked : {&a, &found})
        BOOST_TEST(sigma(asked->input("hole, repeatability of X")) == 2.5e-6, tt::tolerance(1e-9));
    BOOST_TEST(sigma(a.input("the datum edges, repeatability of X")) == 2.5e-6,
               tt::tolerance(1e-9));
    BOOST_TEST(!found.has("the datum edges, repeatability of X"));
}

BOOST_AUTO_TEST_CASE(warmth_works_over_the_distance_of_each_axis) {
    // -L (α_p θ_p - α_s θ_s), 23.6 and 11.5 µm/m/K, 6 and 4 K, L = 150 and -60 mm:
    // 95.6e-6 × (-150, 60) mm = (-14.34, 5.736) µm.
    auto job = position_job(EdgeDatum::Kind::picked_up, 1);
    job.temperatures = {299.15, 297.15, 1, Evidence::measured};
    const Asked a(job);
    const auto& known = a.q.model.characteristics[0].known;
    BOOST_TEST(known[0] * 1e6 == -14.34, tt::tolerance(1e-6));
    BOOST_TEST(known[1] * 1e6 == 5.736, tt::tolerance(1e-6));
    BOOST_TEST(same(a.effect("temperature of the part") * 1e6,
                    {-0.150 * 23.6, 0.060 * 23.6, -0.150 * 23.6, 0.060 * 23.6}));
    BOOST_TEST(same(a.effect("temperature of the scales") * 1e6,
                    {0.150 * 11.5, -0.060 * 11.5, 0.150 * 11.5, -0.060 * 11.5}));
    BOOST_TEST(same(a.effect("expansion of the part"), {-0.9, 0.36, -0.9, 0.36}));
    BOOST_TEST(same(a.effect("expansion of the scales"), {0.6, -0.24, 0.6, -0.24}));
    BOOST_TEST(half_width(a.input("temperature of the part")) == 1);
    BOOST_TEST(half_width(a.input("expansion of the part")) == 1e-6, tt::tolerance(1e-9));
}

BOOST_AUTO_TEST_CASE(a_table_that_falls_towards_plus_leans_the_part_that_way) {
    // What stands on it leans to + and a hole along Z, against it, to -: 80 mm per rad.
    const Asked a(seat_job());
    const std::string table = "table against the motion of X";
    BOOST_TEST(same(a.effect(table), {-0.08, 0}));
    BOOST_TEST(sigma(a.input(table)) == 30e-6, tt::tolerance(1e-9)); // half of the class's 60 µrad
    BOOST_TEST(same(a.effect("seat along X"), {-0.08, 0}));
    BOOST_TEST(same(a.effect("seat along Y"), {0, -0.08}));

    auto shop = workshop();
    auto check = square_check(Axis::x);
    SquareSetting s;
    s.edge_readings.assign(5, 0);
    check.settings = {s};
    shop.square_checks = {check};
    const Asked checked(seat_job(), shop);
    const auto count = std::count_if(checked.q.model.inputs.begin(),
                                     checked.q.model.inputs.end(),
                                     [&](const Input& i) { return i.name == table; });
    BOOST_TEST(count == 1);
}

BOOST_AUTO_TEST_CASE(readings_of_a_scatter_move_the_middle_by_their_mean) {
    auto job = seat_job();
    job.process.hole_direction = Scatter{12e-6, 4, 3e-6, 5, Evidence::measured, "five bores"};
    const Asked a(job);
    BOOST_TEST(same(a.q.model.characteristics[0].known, {0.08 * 3e-6, 0.08 * 3e-6}));
    BOOST_TEST(same(a.effect("hole, direction of the hole in X, mean"), {0.08, 0}));
    BOOST_TEST(same(a.effect("hole, direction of the hole in Y"), {0, 0.08}));
    BOOST_CHECK(a.input("hole, direction of the hole in X, mean").sharing == Sharing::job);
    BOOST_CHECK(a.input("hole, direction of the hole in X").sharing == Sharing::part);
}

BOOST_AUTO_TEST_CASE(defaults_are_the_upper_ends_of_their_ranges) {
    // Common practice, no source (DEVELOPERS.md); reversal and drift are half of a peak-to-valley.
    const auto p = typical_process({}, HoleMaking::bored, "entry vmc");
    BOOST_TEST(p.work_zero->half_width == 8e-6);
    BOOST_TEST(p.location->half_width == 20e-6);
    BOOST_TEST(p.axis_repeat->standard_deviation == 2.5e-6, tt::tolerance(1e-9));
    BOOST_TEST(p.reversal->half_width == 4e-6, tt::tolerance(1e-9)); // lost motion 2 to 8 µm
    BOOST_TEST(p.drift->half_width == 12.5e-6, tt::tolerance(1e-9)); // 8 to 25 µm in a shift
    BOOST_TEST(p.seat->half_width == 50e-6);
    BOOST_TEST(p.tool_size->half_width == 5e-6);
    BOOST_CHECK(p.reversal->evidence == Evidence::typical);

    struct Case {
        HoleMaking making;
        double direction, place;
    };

    for (const auto& c : {Case{HoleMaking::bored, 10e-6, 1e-6},
                          Case{HoleMaking::reamed, 50e-6, 5e-6},
                          Case{HoleMaking::drilled, 500e-6, 25e-6}}) {
        const auto made = typical_process({}, c.making, "entry vmc");
        BOOST_TEST(made.hole_direction->standard_deviation == c.direction);
        BOOST_TEST(made.hole_place->standard_deviation == c.place);
    }
    Process given;
    given.seat = Allowance{7e-6, Evidence::measured, "swept"};
    BOOST_TEST(typical_process(given, HoleMaking::bored, "entry vmc").seat->half_width == 7e-6);
}

BOOST_AUTO_TEST_SUITE_END()
