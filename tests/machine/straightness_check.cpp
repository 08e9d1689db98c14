// SPDX-License-Identifier: MIT
// Straightness by straightedge. Signs against the reduction by hand (E = -(r+ + r-) / 2 but for a
// line, Evans, Hocken, Estler, CIRP Annals 45/2 (1996) 617); the formula budget of
// budgets/methods/straightness.json against the solve; recovery: machines whose curves are not
// drawn from the prior, read through full homogeneous transforms (honesty/true_machine.hpp), which
// share nothing with the rows. Tolerances beside.
#include "holdable/machine/straightness_check.hpp"

#include "holdable/base/error.hpp"
#include "holdable/machine/doubt.hpp"
#include "holdable/machine/state.hpp"
#include "honesty/true_machine.hpp"
#include "laws.hpp"
#include "machine/budget_file.hpp"
#include "machine/rows.hpp"
#include "machine/workshop.hpp"

#include <boost/test/unit_test.hpp>

#include <algorithm>
#include <array>
#include <cmath>

using namespace holdable;
using namespace holdable::tests;
namespace tt = boost::test_tools;

namespace {

const Date day = parse_date("2026-11-25");
constexpr double micro = 1e-6;

Shop shop_with_edge(double form = 4 * micro) {
    auto shop = workshop();
    shop.straightedges.push_back({"bar", 0.5, form, Evidence::specification, {}});
    return shop;
}

/// X moving under a bar of 500 mm, its marked end at X 50.
StraightnessCheck run(Axis direction, std::vector<StraightnessSetting> settings) {
    StraightnessCheck check;
    check.name = "run";
    check.date = parse_date("2026-11-20");
    check.axis = Axis::x;
    check.direction = direction;
    check.straightedge = "bar";
    check.indicator = "lever";
    check.place = {0.3, 0.2, -0.3};
    check.gauge_length = 0.1;
    check.marked_end = 0.05;
    check.stations = {0.1, 0.2, 0.3, 0.4, 0.5};
    check.settings = std::move(settings);
    return check;
}

StraightnessSetting faces(bool plus, std::vector<double> readings) {
    for (auto& r : readings)
        r *= micro;
    return {plus, std::move(readings), {}, {}, {}};
}

CheckDoubt by_itself(const Shop& shop) {
    const auto doubts = check_doubts(shop, day);
    BOOST_REQUIRE(doubts.size() == 1U);
    return doubts[0];
}

} // namespace

BOOST_AUTO_TEST_SUITE(straightness)

BOOST_AUTO_TEST_CASE(a_reading_is_its_equation) {
    auto shop = shop_with_edge();
    for (const auto direction : {Axis::y, Axis::z}) {
        shop.straightness_checks = {
            run(direction, {faces(true, {0, 3, 5, 4, 1}), faces(false, {0, -2, -4, -3, -1})})};
        shop.straightness_checks[0].settings[0].closing = 1 * micro;
        const NamedRows rows(shop, day);
        const auto close = tt::tolerance(1e-9);
        for (int s = 1; s <= 2; ++s)
            for (int i = 0; i < 5; ++i) {
                const auto stem = "run, setting " + std::to_string(s);
                const auto what = stem + ", reading " + std::to_string(i + 1);
                const int d = 50 + 100 * i; // from the marked end (mm)
                const double u = d / 500.0;
                const auto form = "straightedge \"bar\", form at " + std::to_string(d) + ".0 mm";
                BOOST_TEST(rows.coefficient(what, form) == (s == 1 ? 1 : -1));
                BOOST_TEST(rows.coefficient(what, stem + ", bend by warmth") == 4 * u * (1 - u),
                           close);
                BOOST_TEST(rows.coefficient(what, stem + ", offset") == 1);
                BOOST_TEST(rows.coefficient(what, stem + ", rotation") == 0.1 * i, close);
                BOOST_TEST(rows.coefficient(what, "indicator \"lever\", gain") ==
                               -rows.reading(what).value,
                           close);
                if (direction == Axis::z)
                    BOOST_TEST(rows.coefficient(what, "run, sag") == -4 * u * (1 - u), close);
                // what the axis errs to + the surface seems to lie to -
                const auto error = rows.model.point_error(
                    {0.1 + 0.1 * i, 0.2, -0.3}, {0, 0, -0.1}, parse_date("2026-11-20"));
                for (const auto* name : {"EYX shape 1", "EZX shape 1", "EAX shape 1"})
                    BOOST_TEST(std::abs(rows.coefficient(what, name) +
                                        error(static_cast<int>(direction), rows.index(name))) <
                               1e-15);
            }
        BOOST_TEST(rows.has("run, sag") == (direction == Axis::z));
        BOOST_TEST(half_width(rows.unknown("straightedge \"bar\", form at 50.0 mm")) == 2 * micro,
                   close);
        BOOST_TEST(rows.reading("run, setting 1, closing reading").offsets == 3);
        BOOST_TEST(rows.reading("run, setting 2, reading 5").offsets == 2);
    }
}

BOOST_AUTO_TEST_CASE(typical_values_grow_with_the_straightedge) {
    auto shop = shop_with_edge();
    shop.straightness_checks = {run(Axis::z, {faces(true, {0, 0, 0, 0, 0})})};
    const NamedRows half(shop, day);
    // 23 µm · 0.5⁴ and 3.75 µm · 0.5²
    BOOST_TEST(half_width(half.unknown("run, sag")) == 23 * micro / 16 / 2, tt::tolerance(1e-9));
    BOOST_TEST(half_width(half.unknown("run, setting 1, bend by warmth")) == 3.75 * micro / 4,
               tt::tolerance(1e-9));
    shop.straightness_checks[0].sag = 3 * micro;
    BOOST_TEST(half_width(NamedRows(shop, day).unknown("run, sag")) == 1.5 * micro,
               tt::tolerance(1e-9));
}

BOOST_AUTO_TEST_CASE(turning_over_takes_the_form_out) {
    // E = +4 µm in the middle over a line, S = +10 µm there: r+ = S - E = 6, r- = -S - E = -14.
    auto shop = shop_with_edge(40 * micro);
    shop.straightness_checks = {
        run(Axis::y, {faces(true, {0, 4.5, 6, 4.5, 0}), faces(false, {0, -10.5, -14, -10.5, 0})})};
    const auto turned = by_itself(shop);
    BOOST_TEST(turned.meaning == "X moving, its middle over its ends in Y");
    BOOST_TEST(!turned.angle);
    BOOST_TEST(turned.value == 4 * micro, tt::tolerance(0.03));
    shop.straightness_checks[0].settings.pop_back();
    const auto once = by_itself(shop);
    BOOST_TEST(once.standard > 3 * turned.standard);
    BOOST_REQUIRE(!once.sources.empty());
    BOOST_TEST(once.sources[0].meaning == "form of the straightedge \"bar\"");
}

BOOST_AUTO_TEST_CASE(sag_does_not_turn_over) {
    auto shop = shop_with_edge();
    shop.straightness_checks = {
        run(Axis::z, {faces(true, {0, 0, 0, 0, 0}), faces(false, {0, 0, 0, 0, 0})})};
    auto& check = shop.straightness_checks[0];
    check.sag = 100 * micro;
    check.stations = {0.1, 0.3, 0.5}; // more of them would tell a parabola from a way
    for (auto& setting : check.settings)
        setting.readings.resize(3);
    const auto doubt = by_itself(shop);
    // It sags by 50 ± 29 µm; what was seen as straight goes down with it, 4u(1-u) from 0.36 at the
    // ends to 1 in the middle.
    BOOST_TEST(doubt.value == -50 * micro * 0.64, tt::tolerance(0.02));
    BOOST_TEST(doubt.standard == 0.64 * 50 * micro / std::sqrt(3.0), tt::tolerance(0.03));
}

BOOST_AUTO_TEST_CASE(the_formula_budget_is_the_solve) {
    // The same three stations; all curves are silent but that of X in Y.
    auto shop = shop_with_edge();
    auto check = run(Axis::y, {faces(true, {0, -3, 0}), faces(false, {0, -5, 0})});
    check.stations = {0.1, 0.3, 0.5};
    shop.straightness_checks = {check};
    const NamedRows rows(shop, day);
    std::vector<std::string> wide;
    for (const auto& u : rows.model.unknowns())
        if (u.name.find("EYX shape") == 0)
            wide.push_back(u.name);
    const auto form = measured_by(rows.model, check)[0].row;
    const auto budget = method_budget("straightness");
    // The curve keeps its class, p, for the one form that three stations see: 1/u² = 1/b² + 1/p².
    double by_class = 0;
    for (const auto& name : wide)
        by_class += std::pow(form[rows.index(name)], 2);
    const double b = output(budget, "middle").standard * micro;
    BOOST_TEST(rows.standard(form, wide) == 1 / std::sqrt(1 / (b * b) + 1 / by_class),
               tt::tolerance(2e-3));
    BOOST_TEST(output(budget, "middle").value == 4, tt::tolerance(1e-9));
}

BOOST_AUTO_TEST_CASE(stated_intervals_hold_on_machines_of_known_errors) {
    // By itself the check must enclose the truth within 2 u in 95 cases of 100, whatever the prior;
    // with 95 % the chance of fewer than 170 of 200 is below 1e-9 (binomial).
    int held = 0;
    double squares = 0;
    for (std::uint64_t seed = 1; seed <= 200; ++seed) {
        Luck luck(seed);
        TrueMachine m(shop_with_edge(), luck);
        const Eigen::Vector3d tool(0, 0, -0.1);
        const auto& lever = m.shop.indicators[0];
        auto check = run(seed % 2 == 0 ? Axis::y : Axis::z, {});
        const auto direction = static_cast<int>(check.direction);
        std::array<double, 5> form{};
        for (auto& one : form)
            one = luck.within(2 * micro);
        const double sag = 0.72 * micro + luck.within(0.72 * micro);
        const auto error = [&](double q) { return m.error({q, 0.2, -0.3}, tool)[direction]; };
        for (const bool plus : {true, false}) {
            auto setting = faces(plus, {0, 0, 0, 0, 0});
            const double turned = luck.within(1e-4);
            const double bend = luck.within(0.94 * micro);
            const double drift = luck.within(2 * micro);
            for (std::size_t i = 0; i < 5; ++i) {
                const double q = check.stations[i];
                const double u = (q - 0.05) / 0.5;
                const double truth = (plus ? 1 : -1) * form[i] +
                                     (bend - (direction == 2 ? sag : 0)) * 4 * u * (1 - u) +
                                     turned * q - error(q) + drift * static_cast<double>(i) / 4;
                setting.readings[i] =
                    read(truth, m.gain, lever.repeatability, lever.resolution, luck);
            }
            check.settings.push_back(setting);
        }
        auto shop = m.shop;
        shop.straightness_checks = {check};
        const auto doubt = by_itself(shop);
        const double truth = error(0.3) - (error(0.1) + error(0.5)) / 2;
        const double off = (doubt.value - truth) / doubt.standard;
        squares += off * off / 200;
        held += std::abs(off) <= 2 ? 1 : 0;
    }
    BOOST_TEST(held >= 170);
    BOOST_TEST(squares > 0.2); // and the doubt is not absurdly wide
}

BOOST_AUTO_TEST_CASE(what_does_not_fit_together_is_refused) {
    auto shop = shop_with_edge();
    const auto refused = [&](const StraightnessCheck& check, const std::string& id) {
        shop.straightness_checks = {check};
        BOOST_CHECK_EXCEPTION(solve(shop, day), InputError, [&](const InputError& e) {
            return e.diagnostics().front().id == id;
        });
    };
    refused(run(Axis::y, {}), "check-shape");
    refused(run(Axis::x, {faces(true, {0, 0, 0, 0, 0})}), "check-shape");
    refused(run(Axis::y, {faces(true, {0, 0, 0, 0})}), "check-shape");
    auto spread = faces(true, {0, 0, 0, 0, 0});
    spread.repeats = {3};
    refused(run(Axis::y, {spread}), "check-shape");
    auto lost = run(Axis::y, {faces(true, {0, 0, 0, 0, 0})});
    lost.straightedge = "none";
    refused(lost, "instrument-unknown");
}

BOOST_AUTO_TEST_SUITE_END()
