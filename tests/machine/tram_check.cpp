// SPDX-License-Identifier: MIT
// The sweep. Signs of each term by hand, from how the bar stands; a worked example, recomputed, by
// least squares on the rows; the balance against the sum worked by hand; recovery of machines whose
// tilt, nuisances and readings are made by full transforms and plain random numbers, without the
// library's rows; the formula budget against the information form of the same rows.
// Tolerances: exact algebra 1e-9; transforms 1e-3 (second order); others said beside.
#include "holdable/machine/tram_check.hpp"

#include "holdable/base/error.hpp"
#include "holdable/machine/state.hpp"
#include "honesty/true_machine.hpp"
#include "laws.hpp"
#include "machine/budget_file.hpp"
#include "machine/rows.hpp"
#include "machine/workshop.hpp"

#include <numbers>

using namespace holdable;
using namespace holdable::tests;
namespace tt = boost::test_tools;

namespace {

const Date day = parse_date("2026-11-20");
constexpr double micro = 1e-6;
constexpr double degree = std::numbers::pi / 180;

TramCheck sweep(SweptSurface against = SweptSurface::table) {
    TramCheck check;
    check.name = "tram";
    check.date = day;
    check.indicator = "lever";
    check.against = against;
    check.place = {0.3, 0.2, -0.2}; // the reference, where all curves are zero
    check.gauge_length = 0.15;
    check.sweep_diameter = 0.25;
    check.low_spot = 4 * micro;
    check.angles = {0, 90 * degree, 180 * degree, 270 * degree};
    check.readings = {12 * micro, -5 * micro, -8 * micro, 7 * micro};
    return check;
}

Shop shop_with(const TramCheck& check) {
    auto shop = workshop();
    shop.tram_checks = {check};
    return shop;
}

/// A spindle on a true machine: tilt, and what its sweep adds.
struct TrueSpindle {
    TrueMachine machine;
    double a0c, b0c;
    double axial[2];

    TrueSpindle(const Shop& shop, Luck& luck)
        : machine(shop, luck), a0c(luck.within(60 * micro)),
          b0c(luck.within(60 * micro)), axial{luck.within(0.7 * micro), luck.within(0.7 * micro)} {}

    /// The tip of the bar at an angle, seen from the gauge point: turned about the tilted axis.
    Eigen::Vector3d tip(double radius, double length, double phi) const {
        const Eigen::Vector3d turn(a0c, b0c, 0);
        const Eigen::AngleAxisd lean(turn.norm(), turn.normalized());
        return lean * (Eigen::AngleAxisd(phi, Eigen::Vector3d::UnitZ()) *
                       Eigen::Vector3d(radius, 0, -length));
    }

    /// Surface minus tool along +Z, but for what is the same at all angles.
    double gap(const TramCheck& check, double phi) const {
        const double radius = check.sweep_diameter / 2;
        const auto tool = tip(radius, check.gauge_length, phi);
        Eigen::Vector3d position = check.place;
        if (check.against == SweptSurface::block)
            position -= Eigen::Vector3d(radius * std::cos(phi), radius * std::sin(phi), 0);
        const Eigen::Vector3d at = position + tool + machine.error(position, tool);
        double surface = 0;
        if (check.against == SweptSurface::table)
            surface = -machine.table[0] * at.x() - machine.table[1] * at.y();
        return surface - at.z();
    }
};

} // namespace

BOOST_AUTO_TEST_SUITE(tram)

BOOST_AUTO_TEST_CASE(a_reading_is_its_equation) {
    for (const auto against : {SweptSurface::table, SweptSurface::block}) {
        auto check = sweep(against);
        check.angles = {0, 45 * degree, 200 * degree};
        check.readings = {3 * micro, -1 * micro, 4 * micro};
        check.closing = 5 * micro;
        const NamedRows rows(shop_with(check), day);
        const double mean = 2 * micro;
        for (std::size_t i = 0; i < 3; ++i) {
            const auto what = "tram, reading " + std::to_string(i + 1);
            const auto c = [&](const std::string& name) { return rows.coefficient(what, name); };
            const double cosine = std::cos(check.angles[i]);
            const double sine = std::sin(check.angles[i]);
            const auto close = tt::tolerance(1e-9);
            BOOST_TEST(c("B0C") == 0.125 * cosine, close);
            BOOST_TEST(c("A0C") == -0.125 * sine, close);
            BOOST_TEST(c("spindle, axial motion once a turn, cosine") == cosine, close);
            BOOST_TEST(c("spindle, axial motion once a turn, sine") == sine, close);
            BOOST_TEST(c("indicator \"lever\", gain") == -check.readings[i], close);
            BOOST_TEST(c("tram, radius") == (check.readings[i] - mean) / 0.125, close);
            BOOST_TEST(c("tram, offset") == 1);
            BOOST_TEST(c("tram, drift") == double(i) / 3, close);
            // 4 before 3: fell; 3 before -1: fell; -1 before 4: rose
            BOOST_TEST(c("tram, lag of the lever") == (i == 2 ? 1 : -1));
            for (const auto* spot : {"0.0", "45.0", "200.0"})
                BOOST_TEST(c(std::string("tram, form at ") + spot + "°") ==
                           (std::string(spot) == (i == 0   ? "0.0"
                                                  : i == 1 ? "45.0"
                                                           : "200.0")
                                ? 1
                                : 0));
            if (against == SweptSurface::table) {
                BOOST_TEST(c("table against the motion of X") == -0.125 * cosine, close);
                BOOST_TEST(c("table against the motion of Y") == -0.125 * sine, close);
            } else
                BOOST_TEST(!rows.has("table against the motion of X"));
            BOOST_TEST(rows.reading(what).balance == 0); // three readings have none
        }
        BOOST_TEST(rows.coefficient("tram, closing reading", "B0C") == 0.125, tt::tolerance(1e-9));
        BOOST_TEST(rows.coefficient("tram, closing reading", "tram, lag of the lever") == 1);
    }
}

BOOST_AUTO_TEST_CASE(laws_of_what_a_sweep_leaves_open) {
    auto check = sweep();
    NamedRows rows(shop_with(check), day);
    BOOST_TEST(half_width(rows.unknown("tram, radius")) == 1e-3, tt::tolerance(1e-9));
    BOOST_TEST(half_width(rows.unknown("tram, form at 90.0°")) == 2 * micro, tt::tolerance(1e-9));
    BOOST_TEST(half_width(rows.unknown("tram, lag of the lever")) == 1 * micro);
    check.low_spot.reset();
    check.both_ways = true;
    check.diameter_doubt = 1e-3;
    rows = NamedRows(shop_with(check), day);
    BOOST_TEST(half_width(rows.unknown("tram, radius")) == 0.5e-3, tt::tolerance(1e-9));
    BOOST_TEST(!rows.has("tram, lag of the lever"));
    // entry vmc: 20 µm over 400 mm, of which 250 mm
    BOOST_TEST(half_width(rows.unknown("tram, form at 90.0°")) == 20 * micro * 0.25 / 0.4 / 2,
               tt::tolerance(1e-9));
    BOOST_CHECK(rows.unknown("tram, form at 90.0°").evidence == Evidence::assumed);
    check.against = SweptSurface::block;
    rows = NamedRows(shop_with(check), day);
    BOOST_TEST(half_width(rows.unknown("tram, form at 90.0°")) == 0.25 * micro,
               tt::tolerance(1e-9));
    BOOST_CHECK(rows.unknown("tram, form at 90.0°").evidence == Evidence::typical);
}

BOOST_AUTO_TEST_CASE(worked_example_recomputed) {
    // R = 125: B = (12 + 8)/0.25, A = (7 + 5)/0.25, closure 12 - 8 + 5 - 7 = 2
    const NamedRows rows(shop_with(sweep()), day);
    const auto found = rows.least_squares({"B0C", "A0C", "tram, offset"});
    BOOST_TEST(found[0] == 80 * micro, tt::tolerance(1e-9));
    BOOST_TEST(found[1] == 48 * micro, tt::tolerance(1e-9));
    BOOST_TEST(found[2] == 1.5 * micro, tt::tolerance(1e-9));
    double balance = 0;
    for (const auto& o : rows.all)
        balance += o.balance * o.value;
    BOOST_TEST(balance == 2 * micro, tt::tolerance(1e-9));
    const auto eight = [] {
        auto check = sweep();
        check.angles.clear();
        check.readings.clear();
        for (int i = 0; i < 8; ++i) {
            check.angles.push_back(45 * degree * i);
            check.readings.push_back(0.125 * (80 * micro * std::cos(check.angles.back()) -
                                              48 * micro * std::sin(check.angles.back())));
        }
        return check;
    }();
    const auto again =
        NamedRows(shop_with(eight), day).least_squares({"B0C", "A0C", "tram, offset"});
    BOOST_TEST(again[0] == 80 * micro, tt::tolerance(1e-9));
    BOOST_TEST(again[1] == 48 * micro, tt::tolerance(1e-9));
}

BOOST_AUTO_TEST_CASE(a_balance_knows_neither_tilt_nor_a_drift_that_was_closed) {
    auto check = sweep();
    check.closing = 16 * micro; // + 4 in four steps: 12, -6, -10, 4 without it
    check.angles = {10 * degree, 90 * degree, 170 * degree, 300 * degree};
    const NamedRows rows(shop_with(check), day);
    for (const auto* name : {"B0C", "A0C", "tram, offset", "tram, drift"}) {
        double sum = 0;
        for (const auto& o : rows.all)
            sum += o.balance * rows.coefficient(o.what, name);
        BOOST_TEST(std::abs(sum) < 1e-12, name);
    }
    check.angles = sweep().angles;
    const NamedRows square(shop_with(check), day);
    double balance = 0;
    for (const auto& o : square.all)
        balance += o.balance * o.value;
    BOOST_TEST(balance == (12.0 - 10 + 6 - 4) * micro, tt::tolerance(1e-9));
}

BOOST_AUTO_TEST_CASE(a_sweep_that_does_not_close_is_told) {
    auto check = sweep(SweptSurface::block);
    check.low_spot = 0.5 * micro;
    check.readings = {0, 0, 0, 0};
    auto state = solve(shop_with(check), day);
    BOOST_REQUIRE(state.checks.size() == 1U);
    BOOST_REQUIRE(state.checks[0].balance.has_value());
    BOOST_TEST(!state.checks[0].balance->fails);
    // noise of four readings (0.5 and 1/√12), four spots (0.25/√3), drift 2/√3 · 2/3 and the curves
    // of X and Y at the four places, up to 12 µm from peak to valley: between 1.5 and 12 µm
    BOOST_TEST(state.checks[0].balance->standard > 1.5 * micro);
    BOOST_TEST(state.checks[0].balance->standard < 12 * micro);
    check.readings = {20 * micro, -20 * micro, 20 * micro, -20 * micro};
    state = solve(shop_with(check), day);
    BOOST_REQUIRE(state.checks[0].balance.has_value());
    BOOST_TEST(state.checks[0].balance->value == 80 * micro, tt::tolerance(1e-9));
    BOOST_TEST(state.checks[0].balance->fails); // though a coarser class is taken then
    BOOST_TEST(state.model.assumed_class().name != "entry vmc");
    const auto by_class = solve_with_prior(shop_with(check), day, 1);
    BOOST_TEST(by_class.checks[0].balance->fails);
    BOOST_TEST(by_class.disagreement);
}

BOOST_AUTO_TEST_CASE(full_transforms_give_the_equation) {
    // Over a table that falls by p_x towards +X and p_y towards +Y, with the axes turned as they
    // are at that place: r = R ((B - p_x) cos φ - (A + p_y) sin φ). Products of two errors, 60 µrad
    // times 60 µrad times 0.4 m, stay below 0.01 µm.
    Luck luck(4);
    auto check = sweep();
    check.place = {0.42, 0.12, -0.31};
    const TrueSpindle truth(workshop(), luck);
    double a = truth.a0c + truth.machine.table[1];
    double b = truth.b0c - truth.machine.table[0];
    for (int axis = 0; axis < 3; ++axis) {
        a += truth.machine.curve(3, axis, check.place[axis]);
        b += truth.machine.curve(4, axis, check.place[axis]);
    }
    for (const double phi : check.angles)
        BOOST_TEST(std::abs(truth.gap(check, phi) - truth.gap(check, 0) -
                            0.125 * (b * (std::cos(phi) - 1) - a * std::sin(phi))) < 0.01 * micro);
}

BOOST_AUTO_TEST_CASE(tilts_are_found_again_as_often_as_is_said) {
    // 200 machines a surface, tilts even over ± the class's figure: of 400 estimates 20 are
    // expected outside 1.96 u. Binomial(400, 0.05) exceeds 55 with less than 1e-9. Readings even
    // over their limits, so that the sum of z² is about 400; below 200 or over 640 it would be by
    // more than six of its standard deviations.
    for (const auto against : {SweptSurface::table, SweptSurface::block}) {
        Luck luck(against == SweptSurface::table ? 11 : 12);
        int outside = 0;
        double squares = 0;
        for (int run = 0; run < 200; ++run) {
            const auto shop = workshop();
            const TrueSpindle truth(shop, luck);
            auto check = sweep(against);
            check.low_spot = against == SweptSurface::table ? 6 * micro : 0.5 * micro;
            check.place = {luck.within(0.15) + 0.3, luck.within(0.06) + 0.2, -0.2};
            check.angles.clear();
            const int count = run % 2 == 0 ? 4 : 7;
            for (int i = 0; i < count; ++i)
                check.angles.push_back(i * 360.0 / count * degree);
            auto real = check;
            real.sweep_diameter += 2 * luck.within(1e-3);
            const double drift = luck.within(2 * micro);
            const double lag = luck.within(1 * micro);
            std::vector<double> gaps;
            for (std::size_t i = 0; i < check.angles.size(); ++i) {
                const double phi = check.angles[i];
                gaps.push_back(truth.gap(real, phi) + truth.axial[0] * std::cos(phi) +
                               truth.axial[1] * std::sin(phi) + luck.within(*check.low_spot / 2) +
                               drift * double(i) / double(count - 1));
            }
            check.readings.clear();
            const double zero = gaps[0] + luck.within(5 * micro);
            for (std::size_t i = 0; i < gaps.size(); ++i) {
                const double before = gaps[(i + gaps.size() - 1) % gaps.size()];
                const double lagging = gaps[i] < before ? -lag : lag;
                check.readings.push_back(read(
                    gaps[i] - zero + lagging, truth.machine.gain, 0.5 * micro, 1 * micro, luck));
            }
            const auto state = solve_with_prior(shop_with(check), day, 1);
            for (const auto about : {Axis::x, Axis::y}) {
                const auto found = state.of(state.model.spindle_tilt(about, day));
                const double z = (found.value - (about == Axis::x ? truth.a0c : truth.b0c)) /
                                 found.standard_uncertainty;
                outside += std::abs(z) > 1.96;
                squares += z * z;
            }
        }
        BOOST_TEST(outside <= 55);
        BOOST_TEST(squares > 200);
        BOOST_TEST(squares < 640);
    }
}

BOOST_AUTO_TEST_CASE(an_event_makes_the_tilt_doubtful_again) {
    auto shop = shop_with(sweep(SweptSurface::block));
    const auto later = parse_date("2027-01-20");
    const auto doubt = [&] {
        const auto state = solve(shop, later);
        return state.of(state.model.spindle_tilt(Axis::y, later)).standard_uncertainty;
    };
    const double quiet = doubt();
    // 20 µrad a year, and nothing else, is added by two months
    const auto then = solve(shop, day);
    const double fresh = then.of(then.model.spindle_tilt(Axis::y, day)).standard_uncertainty;
    const double age = years_between(day, later) * 20 * micro;
    BOOST_TEST(quiet > fresh);
    BOOST_TEST(quiet < std::hypot(fresh, age) * (1 + 1e-9));
    const auto with = [&](EventKind kind, std::optional<Axis> axis) {
        shop.events = {{kind, parse_date("2026-12-24"), axis, ""}};
        return doubt();
    };
    for (const double voided : {with(EventKind::crash, {}),
                                with(EventKind::spindle_work, {}),
                                with(EventKind::adjustment, {}),
                                with(EventKind::adjustment, Axis::z)})
        BOOST_TEST(voided > 30 / std::sqrt(2.0) * micro); // it and the jump, 30 µrad both, share
    BOOST_TEST(quiet < 18 * micro);
    for (const double kept : {with(EventKind::move, {}), with(EventKind::relevel, {})})
        BOOST_TEST(kept < 1.2 * quiet); // tilts of the axes at the four places may have changed
    BOOST_TEST(with(EventKind::adjustment, Axis::x) < 20 * micro); // and the straightness of X
}

BOOST_AUTO_TEST_CASE(the_formula_budget_agrees) {
    // Least squares by formula against the best estimate, which takes a little of the drift from
    // the balance: up to 2 % apart.
    auto check = sweep();
    auto shop = shop_with(check);
    shop.indicators[0].resolution = 2 * micro;
    shop.indicators[0].repeatability = 1 * micro;
    shop.indicators[0].gain_doubt = 0.03;
    const NamedRows rows(shop, day);
    const auto budget = method_budget("tram");
    const std::vector<std::string> wide = {"B0C", "A0C"};
    const auto& b = output(budget, "B");
    const auto& a = output(budget, "A");
    BOOST_TEST(b.value == 80, tt::tolerance(1e-9));
    BOOST_TEST(a.value == 48, tt::tolerance(1e-9));
    BOOST_TEST(output(budget, "balance").value == 2, tt::tolerance(1e-9));
    BOOST_TEST(b.standard * micro == rows.standard(rows.model.spindle_tilt(Axis::y, day), wide),
               tt::tolerance(0.02));
    BOOST_TEST(a.standard * micro == rows.standard(rows.model.spindle_tilt(Axis::x, day), wide),
               tt::tolerance(0.02));
}

BOOST_AUTO_TEST_CASE(what_does_not_fit_together_is_refused) {
    const auto refused = [](const TramCheck& check) {
        try {
            solve(shop_with(check), day);
        } catch (const InputError& error) {
            return std::string(error.what());
        }
        return std::string("nothing");
    };
    auto check = sweep();
    check.readings.pop_back();
    BOOST_TEST(refused(check).find("3 readings for 4 angles [check-shape]") != std::string::npos);
    check = sweep();
    check.angles.resize(2);
    check.readings.resize(2);
    BOOST_TEST(refused(check).find("three angles or more [check-shape]") != std::string::npos);
    check = sweep();
    check.sweep_diameter = 0;
    BOOST_TEST(refused(check).find("no diameter [check-shape]") != std::string::npos);
    check = sweep();
    check.repeats = {1, 2};
    BOOST_TEST(refused(check).find("for every reading or for none") != std::string::npos);
    check = sweep();
    check.indicator = "other";
    BOOST_TEST(refused(check).find("[instrument-unknown]") != std::string::npos);
}

BOOST_AUTO_TEST_SUITE_END()
