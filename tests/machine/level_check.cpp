// SPDX-License-Identifier: MIT
// Levels. Signs by hand and by rotation matrices of the bodies; two levels against one; the zero by
// reversal; what stands still; the formula budget of budgets/methods/level.json against the solve;
// and recovery: machines whose rotations are sines, not drawn from the prior, read by a forward
// model of rotation matrices, gain, drift, rocking, noise and whole steps. 300 of them: that fewer
// than 88 % of the 95 % intervals hold the truth happens by chance less than once in 1e7 seeds, and
// the seed is fixed. Exact algebra to 1e-9 relative.
#include "holdable/machine/level_check.hpp"

#include "holdable/base/error.hpp"
#include "holdable/machine/state.hpp"
#include "laws.hpp"
#include "machine/budget_file.hpp"
#include "machine/rows.hpp"
#include "machine/workshop.hpp"

#include <Eigen/Geometry>
#include <boost/test/unit_test.hpp>

#include <cmath>
#include <numbers>
#include <random>

using namespace holdable;
using namespace holdable::tests;
namespace tt = boost::test_tools;

namespace {

const Date day = parse_date("2026-11-25");
constexpr double micro = 1e-6;

LevelCheck run(Axis axis, Axis points, LevelRides rides) {
    LevelCheck check;
    check.name = "run";
    check.date = day;
    check.axis = axis;
    check.points = points;
    check.rides = rides;
    check.level = "long";
    check.stations = {0.0, 0.1, 0.2, 0.3, 0.4};
    if (axis == Axis::z)
        for (double& q : check.stations)
            q -= 0.4;
    check.readings = {0, 10 * micro, 20 * micro, 40 * micro, 30 * micro};
    return check;
}

Shop shop_with(const LevelCheck& check) {
    auto shop = workshop();
    shop.levels.push_back({"short", 50e-6, 0.2, 0.03, Evidence::typical, {}});
    shop.level_checks = {check};
    return shop;
}

LevelCheck pair_of(Axis axis, Axis points) {
    auto check = run(axis, points, LevelRides::both);
    check.head_level = "short";
    check.head_readings = {5 * micro, 0, -5 * micro, -30 * micro, -10 * micro};
    return check;
}

/// Slope along an axis, + if its + end is high, of a body turned as the tool-side body is against
/// the work (the head), or the other way (the table).
double slope(const Eigen::Vector3d& rotation, Axis along, bool head) {
    const Eigen::AngleAxisd turn(rotation.norm() * (head ? 1 : -1), rotation.normalized());
    return (turn * Eigen::Vector3d::Unit(static_cast<int>(along))).z();
}

std::string refused(const Shop& shop) {
    try {
        NamedRows(shop, day);
        return "accepted";
    } catch (const InputError& error) {
        return error.diagnostics().at(0).id + ": " + error.diagnostics().at(0).message;
    }
}

} // namespace

BOOST_AUTO_TEST_SUITE(level_check)

BOOST_AUTO_TEST_CASE(signs_are_those_of_the_bodies) {
    // Worked example, recomputed: EAX = 10, EBX = -20 read -20 along X and -10 along Y on the
    // table.
    const Eigen::Vector3d rotation(10 * micro, -20 * micro, 5 * micro);
    BOOST_TEST(slope(rotation, Axis::x, false) == -20 * micro, tt::tolerance(1e-4));
    BOOST_TEST(slope(rotation, Axis::y, false) == -10 * micro, tt::tolerance(1e-4));
    for (const auto& [axis, rides] : {std::pair{Axis::x, LevelRides::table},
                                      {Axis::y, LevelRides::table},
                                      {Axis::z, LevelRides::head}})
        for (const auto points : {Axis::x, Axis::y}) {
            const NamedRows rows(shop_with(run(axis, points, rides)), day);
            const int parameter = motion_index(points == Axis::x ? 4 : 3, axis);
            const auto& o = rows.reading("run, reading 4");
            const auto form =
                rows.model.parameter(parameter, run(axis, points, rides).stations[3], day);
            const double truth = rotation[points == Axis::x ? 1 : 0];
            // The row is a multiple of the parameter's own: what it reads for this rotation.
            Eigen::Index at = 0;
            form.cwiseAbs().maxCoeff(&at);
            BOOST_TEST(o.row[at] / form[at] * truth ==
                           slope(rotation, points, rides == LevelRides::head),
                       tt::tolerance(1e-4));
        }
}

BOOST_AUTO_TEST_CASE(two_levels_lose_the_rocking_and_see_every_axis) {
    for (const auto axis : {Axis::x, Axis::y, Axis::z})
        for (const auto points : {Axis::x, Axis::y}) {
            const NamedRows rows(shop_with(pair_of(axis, points)), day);
            for (const auto& u : rows.model.unknowns())
                BOOST_TEST(u.name.find("rocking") == std::string::npos);
            const auto& o = rows.reading("run, reading 4");
            BOOST_TEST(o.value == -70 * micro, tt::tolerance(1e-9)); // head minus table
            BOOST_TEST(rows.coefficient("run, reading 4", "level \"short\", gain") == 30 * micro,
                       tt::tolerance(1e-9));
            BOOST_TEST(rows.coefficient("run, reading 4", "level \"long\", gain") == 40 * micro,
                       tt::tolerance(1e-9));
            const int parameter = motion_index(points == Axis::x ? 4 : 3, axis);
            const auto form =
                rows.model.parameter(parameter, pair_of(axis, points).stations[3], day);
            Eigen::Index at = 0;
            form.cwiseAbs().maxCoeff(&at);
            BOOST_TEST(o.row[at] / form[at] == (points == Axis::x ? -1 : 1), tt::tolerance(1e-9));
            BOOST_REQUIRE(o.noise.size() == 2U); // a fifth of a division of each
            BOOST_TEST(sigma(o.noise[0]) == 10 * micro, tt::tolerance(1e-9));
            BOOST_TEST(sigma(o.noise[1]) == 4 * micro, tt::tolerance(1e-9));
        }
}

BOOST_AUTO_TEST_CASE(a_level_on_what_stands_still_is_refused) {
    const auto table = [](Axis axis) { return run(axis, Axis::x, LevelRides::table); };
    const auto head = [](Axis axis) { return run(axis, Axis::x, LevelRides::head); };
    BOOST_TEST(
        refused(shop_with(table(Axis::z))) ==
        "check-shape: check \"run\": the table stands still as Z moves, so a level on it sees "
        "nothing of Z");
    BOOST_TEST(
        refused(shop_with(head(Axis::x))) ==
        "check-shape: check \"run\": the head stands still as X moves, so a level on it sees "
        "nothing of X");
    BOOST_TEST(refused(shop_with(pair_of(Axis::z, Axis::x))) == "accepted");
    auto knee = shop_with(table(Axis::z)); // the knee lifts the table
    knee.ground = 3;
    BOOST_TEST(refused(knee) == "accepted");
    auto gantry = shop_with(head(Axis::x));
    gantry.ground = 0;
    BOOST_TEST(refused(gantry) == "accepted");
    auto column = shop_with(table(Axis::y)); // X table, the column moves in Y
    column.ground = 1;
    BOOST_TEST(refused(column) != "accepted");
    column.level_checks[0].axis = Axis::x;
    BOOST_TEST(refused(column) == "accepted");
    BOOST_TEST(usual_ground(parse_axis_order("XYZ")) == 2);
    BOOST_TEST(usual_ground(parse_axis_order("XZY")) == 1);
    BOOST_TEST(usual_ground(parse_axis_order("ZXY")) == 1);
}

BOOST_AUTO_TEST_CASE(parts_that_do_not_fit_are_refused) {
    auto check = pair_of(Axis::x, Axis::y);
    check.head_level = "long";
    BOOST_TEST(refused(shop_with(check)).find("one place") != std::string::npos);
    check = pair_of(Axis::x, Axis::y);
    check.closing = 0;
    BOOST_TEST(refused(shop_with(check)).find("closed") != std::string::npos);
    check = pair_of(Axis::x, Axis::y);
    check.turned = LevelTurned{0.2, 0};
    BOOST_TEST(refused(shop_with(check)).find("turned") != std::string::npos);
    check = run(Axis::x, Axis::y, LevelRides::table);
    check.turned = LevelTurned{0.25, 0};
    BOOST_TEST(refused(shop_with(check)).find("one of its stations") != std::string::npos);
    check.turned.reset();
    check.repeats = {3};
    check.spread = {0};
    BOOST_TEST(refused(shop_with(check)).find("repeats") != std::string::npos);
}

BOOST_AUTO_TEST_CASE(turned_end_for_end_it_tells_its_zero) {
    // Reads 20 and, turned, -50 µrad at the reference: zero (20 - 50)/2 = -15, the machine stands
    // (20 + 50)/2 = 35 µrad high at the + end.
    auto check = run(Axis::x, Axis::x, LevelRides::table);
    check.stations = {0.0, 0.3, 0.6};
    check.readings = {20 * micro, 20 * micro, 20 * micro};
    check.turned = LevelTurned{0.3, -50 * micro};
    const NamedRows rows(shop_with(check), day);
    const auto v = rows.least_squares({"run, zero", "run, stand"});
    BOOST_TEST(v[0] == -15 * micro, tt::tolerance(1e-9));
    BOOST_TEST(v[1] == 35 * micro, tt::tolerance(1e-9));
    BOOST_TEST(rows.coefficient("run, turned", "run, drift") == 0.5, tt::tolerance(1e-9));
    BOOST_TEST(rows.reading("run, turned").offsets == 2);
}

BOOST_AUTO_TEST_CASE(repeats_have_one_spread_and_the_last_part_of_a_division) {
    auto check = run(Axis::x, Axis::y, LevelRides::table);
    check.repeats = {3, 3, 3, 1, 1};
    check.spread = {6 * micro, 0, 3 * micro, 0, 0};
    const double pooled = std::sqrt((36.0 + 9.0) * 2 / 6) * micro; // 6 degrees of freedom
    NamedRows rows(shop_with(check), day);
    const auto& wide = rows.reading("run, reading 2").noise;
    BOOST_REQUIRE(wide.size() == 1U);
    BOOST_TEST(sigma(wide[0]) == pooled / std::sqrt(3.0), tt::tolerance(1e-9));
    BOOST_TEST(wide[0].scale_dof == 6);
    BOOST_TEST(sigma(rows.reading("run, reading 4").noise.at(0)) == 4 * micro, tt::tolerance(1e-9));
    check.spread = {1 * micro, 0, 1 * micro, 0, 0}; // within 4 µrad, the part that is read
    rows = NamedRows(shop_with(check), day);
    const auto& fine = rows.reading("run, reading 1").noise;
    BOOST_REQUIRE(fine.size() == 2U);
    BOOST_TEST(half_width(fine[1]) == 2 * micro, tt::tolerance(1e-9));
}

BOOST_AUTO_TEST_CASE(the_formula_budget_is_the_solve) {
    // Nothing known of the roll beforehand: 1000 times the class.
    auto check = run(Axis::x, Axis::y, LevelRides::table);
    check.stations = {0, 0.15, 0.3, 0.45, 0.6};
    check.readings = {10 * micro, 20 * micro, 30 * micro, 40 * micro, 50 * micro};
    const auto state = solve_with_prior(shop_with(check), day, 1000);
    const int roll = motion_index(3, Axis::x);
    const auto found =
        state.of(state.model.parameter(roll, 0.6, day) - state.model.parameter(roll, 0, day));
    const auto budget = method_budget("level");
    BOOST_TEST(found.standard_uncertainty == output(budget, "roll").standard * micro,
               tt::tolerance(2e-3));
    BOOST_TEST(found.value == output(budget, "roll").value * micro, tt::tolerance(2e-3));
}

BOOST_AUTO_TEST_CASE(known_rotations_are_found_again) {
    std::mt19937_64 engine(4);
    std::uniform_real_distribution<double> any(-1, 1);
    std::normal_distribution<double> bell;
    int covered[2] = {0, 0};
    double squares[2] = {0, 0};
    constexpr int machines = 300;
    for (int machine = 0; machine < machines; ++machine) {
        const double phase = 3 * any(engine);
        const double size = (10 + 10 * any(engine)) * micro;
        const auto rotation = [&](double q) {
            const double t = 2 * std::numbers::pi * q / 0.6;
            return Eigen::Vector3d(size * (std::sin(t + phase) - std::sin(phase)),
                                   15 * micro * std::cos(t + 2 * phase),
                                   20 * micro * std::sin(t));
        };
        const double rocking = 15 * micro * any(engine);
        const double drift = 5 * micro * any(engine);
        const double gains[] = {0.05 * any(engine), 0.03 * any(engine)};
        const double stand = 300 * micro * any(engine);
        const auto read = [&](double q, double time, bool head, double drifts) {
            const Eigen::AngleAxisd whole(stand + rocking * (q - 0.3) / 0.6 + time * drifts,
                                          Eigen::Vector3d::UnitX());
            const Eigen::Vector3d e = rotation(q);
            const Eigen::AngleAxisd body(head ? 0 : -e.norm(), e.normalized());
            const double s = (whole * (body * Eigen::Vector3d::UnitY())).z();
            const double step = (head ? 0.2 * 50 : 0.2 * 20) * micro;
            const double noise = std::sqrt(step * step * (1 - 1.0 / 12)) * bell(engine);
            return std::round((s / (1 + gains[head ? 1 : 0]) + noise) / step) * step;
        };
        for (const bool both : {false, true}) {
            auto check =
                both ? pair_of(Axis::x, Axis::y) : run(Axis::x, Axis::y, LevelRides::table);
            check.stations = {0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6};
            check.readings.clear();
            check.head_readings.clear();
            for (std::size_t i = 0; i < check.stations.size(); ++i) {
                const double time = static_cast<double>(i) / 6;
                check.readings.push_back(read(check.stations[i], time, false, drift));
                check.head_readings.push_back(read(check.stations[i], time, true, 0));
            }
            if (!both) {
                check.head_readings.clear();
            }
            const auto state = solve_with_prior(shop_with(check), day, 1);
            const auto e = state.of(state.model.parameter(motion_index(3, Axis::x), 0.45, day));
            const double truth = rotation(0.45).x() - rotation(0.3).x();
            const double off = (e.value - truth) / e.standard_uncertainty;
            covered[both ? 1 : 0] += std::abs(off) < 1.96;
            squares[both ? 1 : 0] += off * off / machines;
        }
    }
    for (int way = 0; way < 2; ++way) {
        BOOST_TEST(covered[way] > 0.88 * machines);
        BOOST_TEST(squares[way] > 0.4); // nor are the intervals idle
    }
}

BOOST_AUTO_TEST_SUITE_END()
