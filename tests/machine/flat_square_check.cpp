// SPDX-License-Identifier: MIT
// Y square to X by a square lying flat. Slopes and signs against the reduction done by hand
// (C0Y = k_x + k_y - σ for one setting, half the sum of the slopes for two, Evans, Hocken, Estler,
// CIRP Annals 45/2 (1996) 617); the estimate and its stated doubt against machines of known errors
// read through full homogeneous transforms (honesty/true_machine.hpp), which share nothing with the
// rows. Tolerances beside.
#include "holdable/machine/flat_square_check.hpp"

#include "holdable/base/error.hpp"
#include "holdable/machine/doubt.hpp"
#include "holdable/machine/state.hpp"
#include "honesty/true_machine.hpp"
#include "machine/budget_file.hpp"
#include "machine/rows.hpp"
#include "machine/workshop.hpp"

#include <boost/test/unit_test.hpp>

#include <cmath>

using namespace holdable;
using namespace holdable::tests;
namespace tt = boost::test_tools;

namespace {

const Date job_day = parse_date("2026-11-25");
constexpr double nearest = 0.02; // from the corner (m)
constexpr double step = 0.05;

/// What a square with error σ, put down turned by ψ, shows on a machine whose Y leans by C0Y.
FlatSquareSetting by_hand(bool leg_plus, bool edge_plus, double sigma, double psi, double c0y) {
    FlatSquareSetting s;
    // Whichever way it points, the leg covers the same X, the edge the same Y.
    s.corner = {leg_plus ? 0.3 : 0.3 + 2 * nearest + 3 * step,
                edge_plus ? 0.1 : 0.1 + 2 * nearest + 3 * step};
    s.leg_towards_plus = leg_plus;
    s.edge_towards_plus = edge_plus;
    for (int i = 0; i < 4; ++i) {
        const double d = nearest + step * i;
        const double xi = leg_plus ? d : -d;
        const double eta = edge_plus ? d : -d;
        s.leg.stations.push_back(s.corner.x() + xi);
        s.leg.readings.push_back(psi * xi);
        s.edge.stations.push_back(s.corner.y() + eta);
        // The edge leans to the leg's side by σ; the tool leans to -X by C0Y as Y goes to +.
        s.edge.readings.push_back((leg_plus ? sigma : -sigma) * d - psi * eta + c0y * eta);
    }
    return s;
}

FlatSquareCheck flat(std::vector<FlatSquareSetting> settings) {
    FlatSquareCheck check;
    check.name = "XY";
    check.date = parse_date("2026-11-20");
    check.square = "black";
    check.indicator = "lever";
    check.z = -0.35;
    check.gauge_length = 0.1;
    check.settings = std::move(settings);
    return check;
}

double value_by_itself(FlatSquareCheck check, Shop shop = workshop()) {
    shop.flat_square_checks = {std::move(check)};
    const auto doubts = check_doubts(shop, job_day);
    BOOST_REQUIRE(doubts.size() == 1U);
    return doubts[0].value;
}

/// A shop whose square is known to be 90°, so that one setting is enough.
Shop with_perfect_square() {
    auto shop = workshop();
    shop.squares[0].limit = 1e-12;
    shop.indicators[0].gain_doubt = 1e-9;
    return shop;
}

} // namespace

BOOST_AUTO_TEST_SUITE(flat_square)

BOOST_AUTO_TEST_CASE(one_setting_has_the_sign_of_c0y_wherever_the_square_points) {
    for (const bool leg : {true, false})
        for (const bool edge : {true, false}) {
            const auto found = value_by_itself(flat({by_hand(leg, edge, 0, 700e-6, 50e-6)}),
                                               with_perfect_square());
            BOOST_TEST(found == 50e-6, tt::tolerance(1e-3));
        }
}

BOOST_AUTO_TEST_CASE(a_certified_error_is_taken_off) {
    auto shop = with_perfect_square();
    shop.squares[0].lean = 30e-6;
    shop.squares[0].standard = 1e-9;
    shop.squares[0].limit = 0;
    // Leg to +X, edge to +Y: k_y has + σ in it; with the leg to -X it has - σ.
    for (const bool leg : {true, false})
        BOOST_TEST(value_by_itself(flat({by_hand(leg, true, 30e-6, 0, 50e-6)}), shop) == 50e-6,
                   tt::tolerance(1e-3));
}

BOOST_AUTO_TEST_CASE(turning_over_takes_the_square_out_and_finds_it) {
    auto shop = workshop();
    shop.flat_square_checks = {flat(
        {by_hand(true, true, 35e-6, -400e-6, 50e-6), by_hand(false, true, 35e-6, 900e-6, 50e-6)})};
    // Turned over, the edge stands the length of the leg away, where X may yaw by 10 µrad: a tenth
    // of the square's error is left, and told as such.
    BOOST_TEST(value_by_itself(shop.flat_square_checks[0]) == 50e-6, tt::tolerance(0.1));
    const auto turned = check_doubts(shop, job_day)[0];
    auto once = shop;
    once.flat_square_checks[0].settings.pop_back();
    const auto single = check_doubts(once, job_day)[0];
    // 40 µrad of grade, rectangular: 23 µrad that turning over takes away.
    BOOST_TEST(single.standard > 22e-6);
    BOOST_TEST(turned.standard < 0.6 * single.standard);
    for (const auto& source : turned.sources)
        if (source.meaning == "error of the square \"black\"")
            BOOST_TEST(source.share < 0.1);
    const auto state = solve(shop, job_day);
    auto row = state.model.zero();
    for (std::size_t i = 0; i < state.model.unknowns().size(); ++i)
        if (state.model.unknowns()[i].name == "square \"black\"")
            row[static_cast<Eigen::Index>(i)] = 1;
    const auto square = state.of(row);
    BOOST_TEST(std::abs(square.value - 35e-6) < 2 * square.standard_uncertainty);
    BOOST_TEST(square.value > 20e-6);
}

BOOST_AUTO_TEST_CASE(the_standing_square_learns_from_it) {
    // Turned over flat, the square is known; standing once in ZX it then serves better.
    auto shop = workshop();
    auto standing = square_check(Axis::x);
    SquareSetting setting;
    setting.edge_readings.assign(standing.stations.size(), 0.0);
    standing.settings = {setting};
    shop.square_checks = {standing};
    const auto lean = [&](const Shop& of) {
        const auto state = solve(of, job_day);
        return state.of(state.model.parameter(b0z_index, 0, job_day)).standard_uncertainty;
    };
    const double before = lean(shop);
    shop.flat_square_checks = {flat({by_hand(true, true, 0, 0, 0), by_hand(false, true, 0, 0, 0)})};
    BOOST_TEST(lean(shop) < before);
}

BOOST_AUTO_TEST_CASE(stated_intervals_hold_on_machines_of_known_errors) {
    // 200 machines, Y leaning by up to 90 µrad where the class says 60: whatever the prior, the
    // check by itself must enclose the truth within 2 u in 95 cases of 100. With 95 % the chance of
    // fewer than 170 of 200 is below 1e-9 (binomial).
    int held = 0;
    double squares = 0;
    for (std::uint64_t seed = 1; seed <= 200; ++seed) {
        Luck luck(seed);
        TrueMachine m(workshop(), luck);
        m.c0y = luck.within(90e-6);
        const Eigen::Vector3d tool(0, 0, -0.1);
        const auto& lever = m.shop.indicators[0];
        const auto shown = [&](double truth) {
            return read(truth, m.gain, lever.repeatability, lever.resolution, luck);
        };
        auto check = flat({});
        std::vector<double> form(4);
        std::vector<double> leg_form(4);
        for (int i = 0; i < 4; ++i) {
            form[static_cast<std::size_t>(i)] = luck.within(0.5e-6);
            leg_form[static_cast<std::size_t>(i)] = luck.within(0.5e-6);
        }
        const double clearance_x = luck.within(5e-6);
        const double clearance_y = luck.within(5e-6);
        for (const bool plus : {true, false}) {
            auto s = by_hand(plus, true, 0, 0, 0);
            const double psi = luck.within(1e-3);
            const double bend = luck.within(2.9e-6);
            const double drift_x = luck.within(2e-6);
            const double drift_y = luck.within(2e-6);
            for (std::size_t i = 0; i < 4; ++i) {
                Eigen::Vector3d at(s.leg.stations[i], s.corner.y(), check.z);
                const double xi = at.x() - s.corner.x();
                const double time = static_cast<double>(i) / 3;
                s.leg.readings[i] = shown(psi * xi + leg_form[i] - m.error(at, tool).y() +
                                          clearance_x * xi + drift_x * time);
                at = {s.corner.x(), s.edge.stations[i], check.z};
                const double eta = at.y() - s.corner.y();
                s.edge.readings[i] =
                    shown((plus ? 1 : -1) * (m.square * eta + form[i]) - psi * eta -
                          m.error(at, tool).x() + (clearance_y + bend) * eta + drift_y * time);
            }
            check.settings.push_back(s);
        }
        auto shop = m.shop;
        shop.flat_square_checks = {check};
        const auto doubt = check_doubts(shop, job_day)[0];
        // The truth of the same measurand, by transforms.
        const auto error = [&](double x, double y) { return m.error({x, y, check.z}, tool); };
        const double reach = nearest + 3 * step;
        const double truth =
            -(error(0.3, 0.1 + reach).x() - error(0.3, 0.1 + nearest).x()) / (3 * step) -
            (error(0.3 + reach, 0.1).y() - error(0.3 + nearest, 0.1).y()) / (3 * step);
        const double off = (doubt.value - truth) / doubt.standard;
        squares += off * off / 200;
        held += std::abs(off) <= 2 ? 1 : 0;
    }
    BOOST_TEST(held >= 170);
    BOOST_TEST(squares > 0.2); // and the doubt is not absurdly wide
}

BOOST_AUTO_TEST_CASE(the_formula_budget_of_a_flat_square_is_the_solve) {
    // budgets/methods/flat-square.json: the same stations, one setting; nothing of the machine but
    // its squareness is in doubt. 0.2 % for what is second order in the formula.
    auto shop = workshop();
    shop.flat_square_checks = {flat({by_hand(true, true, 0, 20e-6, 50e-6)})};
    const NamedRows rows(shop, job_day);
    Eigen::RowVectorXd form = rows.model.zero();
    form[rows.index("C0Y")] = 1;
    BOOST_TEST(rows.standard(form, {"C0Y"}) ==
                   output(method_budget("flat-square"), "c0y").standard * 1e-6,
               tt::tolerance(2e-3));
    BOOST_TEST(output(method_budget("flat-square"), "c0y").value == 50, tt::tolerance(1e-9));
}

BOOST_AUTO_TEST_CASE(what_does_not_fit_together_is_refused) {
    auto shop = workshop();
    const auto refused = [&](const FlatSquareCheck& check, const std::string& id) {
        shop.flat_square_checks = {check};
        BOOST_CHECK_EXCEPTION(solve(shop, job_day), InputError, [&](const InputError& e) {
            return e.diagnostics().front().id == id;
        });
    };
    refused(flat({}), "check-shape");
    auto short_run = by_hand(true, true, 0, 0, 0);
    short_run.edge.readings.pop_back();
    refused(flat({short_run}), "check-shape");
    auto spread = by_hand(true, true, 0, 0, 0);
    spread.leg.repeats = {3, 3};
    refused(flat({spread}), "check-shape");
    auto lost = flat({by_hand(true, true, 0, 0, 0)});
    lost.square = "none";
    refused(lost, "instrument-unknown");
}

BOOST_AUTO_TEST_SUITE_END()
