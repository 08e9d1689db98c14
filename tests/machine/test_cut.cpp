// SPDX-License-Identifier: MIT
// Test cuts, against machines with known errors worked by hand (a lean or a scale is what the
// kinematics' header says of its sign), against the formula budgets
// budgets/methods/test-cut-*.json, and by recovery: parts cut on machines drawn here, not from the
// prior. Tolerances: 1e-9 for arithmetic, 1e-4 where a file states rounded inputs; coverage with a
// false alarm below 1e-9.
#include "holdable/machine/test_cut.hpp"

#include "holdable/base/error.hpp"
#include "holdable/machine/doubt.hpp"
#include "holdable/machine/state.hpp"
#include "machine/budget_file.hpp"
#include "machine/rows.hpp"
#include "machine/workshop.hpp"

#include <boost/test/unit_test.hpp>

#include <cmath>
#include <random>

using namespace holdable;
using namespace holdable::tests;
namespace tt = boost::test_tools;

namespace {

const Date day = parse_date("2026-11-20");

/// Two holes 200 mm apart along X, 150 mm along Y.
TestCut distance_cut(CutQuantity quantity) {
    TestCut cut;
    cut.name = "plates";
    cut.date = day;
    cut.quantity = quantity;
    cut.first = {0.2, 0.1, 0.1, 0, 0.15};
    cut.second = {0.4, 0.25, 0.1, 0, 0.15};
    cut.one_side = true;
    cut.readings = {3e-6, 5e-6, 4e-6, 8e-6};
    cut.gauge = {"measuring machine", 1e-6, Evidence::certificate, 0};
    cut.warmth.material = "steel";
    return cut;
}

TestCut lean_cut(CutQuantity quantity) {
    TestCut cut = distance_cut(quantity);
    cut.name = "bores";
    cut.first = {0.3, 0.2, 0.15, 0.08, 0.15};
    cut.face = {0.25, 0.35, 0.15, 0.25, 0.15, 0.10};
    cut.readings = {30e-6, 42e-6, 36e-6, 36e-6};
    cut.gauge.standard = 5e-6;
    return cut;
}

const NamedRows& rows_of(const TestCut& cut, std::optional<NamedRows>& store) {
    auto shop = workshop();
    shop.test_cuts = {cut};
    return store.emplace(shop, day);
}

double coefficient(const TestCut& cut, const std::string& unknown) {
    std::optional<NamedRows> store;
    return rows_of(cut, store).coefficient(cut.name + ", mean of the parts", unknown);
}

double value(const TestCut& cut) {
    std::optional<NamedRows> store;
    return rows_of(cut, store).reading(cut.name + ", mean of the parts").value;
}

} // namespace

BOOST_AUTO_TEST_SUITE(test_cuts)

// C0Y moves the tool by -C0Y y along X (A-2 of the kinematics): between the holes -0.15 C0Y along
// X, nothing along Y, and of the distance, along (0.8, 0.6), the part 0.8: -0.12.
BOOST_AUTO_TEST_CASE(signs_of_a_distance, *boost::unit_test::tolerance(1e-9)) {
    BOOST_TEST(coefficient(distance_cut(CutQuantity::along_x), "C0Y") == -0.15);
    BOOST_TEST(coefficient(distance_cut(CutQuantity::distance), "C0Y") == -0.12);
    BOOST_CHECK_SMALL(coefficient(distance_cut(CutQuantity::along_y), "C0Y"), 1e-15);
    auto turned = distance_cut(CutQuantity::along_x); // a length grows outward, whichever way round
    std::swap(turned.first, turned.second);
    BOOST_TEST(coefficient(turned, "C0Y") == -0.15);
    std::swap(turned.first.y, turned.second.y);
    BOOST_TEST(coefficient(turned, "C0Y") == 0.15);
}

// B0Z leans the bore to +X going up, A0Z to -Y; a face does not know of either.
BOOST_AUTO_TEST_CASE(signs_of_a_lean, *boost::unit_test::tolerance(1e-9)) {
    BOOST_TEST(coefficient(lean_cut(CutQuantity::lean_x), "B0Z") == 1.0);
    BOOST_TEST(coefficient(lean_cut(CutQuantity::lean_y), "A0Z") == -1.0);
    BOOST_CHECK_SMALL(coefficient(lean_cut(CutQuantity::lean_x), "A0Z"), 1e-15);
    BOOST_TEST(value(lean_cut(CutQuantity::lean_x)) == 36e-6);
}

// Steel 200 mm long cut at 26 °C on scales of 22 °C: -0.2 (11.7e-6 · 6 - 11.5e-6 · 2) = -9.44 µm of
// it are warmth, and not the machine's; the mean of the readings is 5 µm.
BOOST_AUTO_TEST_CASE(warmth_is_taken_out, *boost::unit_test::tolerance(1e-9)) {
    auto cut = distance_cut(CutQuantity::along_x);
    BOOST_TEST(value(cut) == 5e-6);
    cut.warmth.part = 299.15;
    cut.warmth.scale = 295.15;
    BOOST_TEST(value(cut) == 5e-6 + 9.44e-6);
    BOOST_TEST(coefficient(cut, "plates, temperature of the part") == -0.2 * 11.7e-6);
    BOOST_TEST(coefficient(cut, "plates, temperature of the scales") == 0.2 * 11.5e-6);
    BOOST_TEST(coefficient(cut, "plates, expansion of the part") == -0.2 * 6);
    BOOST_TEST(coefficient(cut, "plates, expansion of the scales") == 0.2 * 2);
    cut.one_side = false;
    BOOST_TEST(coefficient(cut, "plates, approach") == 1.0);
}

// 3, 5, 4, 8 µm: s = √(14/3) µm = 2.160247 µm.
BOOST_AUTO_TEST_CASE(the_gauge_is_taken_out_of_the_scatter, *boost::unit_test::tolerance(1e-6)) {
    auto cut = distance_cut(CutQuantity::distance);
    BOOST_TEST(cut_scatter(cut).standard == 2.160247e-6);
    BOOST_TEST(cut_scatter(cut).dof == 3);
    cut.gauge.repeatability = 1e-6;
    BOOST_TEST(cut_scatter(cut).standard == 1.914854e-6); // √(14/3 - 1)
    BOOST_TEST(!cut_scatter(cut).gauge_hides_it);
    cut.gauge.repeatability = 3e-6;
    BOOST_TEST(cut_scatter(cut).standard == 2.160247e-6);
    BOOST_TEST(cut_scatter(cut).gauge_hides_it);
    cut.readings = {1e-6};
    BOOST_CHECK_THROW(cut_scatter(cut), InputError);
}

BOOST_AUTO_TEST_CASE(the_formula_budgets_of_the_method_say_the_same) {
    auto shop = workshop();
    auto cut = distance_cut(CutQuantity::along_x);
    cut.second.y = cut.first.y;
    cut.warmth.part = 295.15;
    cut.warmth.scale = 296.15;
    cut.warmth.doubt = 1;
    shop.test_cuts = {cut};
    const NamedRows rows(shop, day);
    // the scale alone is sought: a wide prior, all curves straight
    const Eigen::RowVectorXd scale =
        rows.model.parameter(0, 0.4, day) - rows.model.parameter(0, 0.2, day);
    const auto budget = method_budget("test-cut-distance");
    BOOST_TEST(rows.standard(scale, {"EXX scale"}) == output(budget, "e").standard * 1e-6,
               tt::tolerance(1e-4));
    BOOST_TEST(rows.reading("plates, mean of the parts").value == output(budget, "e").value * 1e-6,
               tt::tolerance(1e-6));

    shop.test_cuts = {lean_cut(CutQuantity::lean_x)};
    const NamedRows lean(shop, day);
    const auto lean_budget = method_budget("test-cut-lean");
    BOOST_TEST(lean.standard(lean.model.parameter(b0z_index, 0, day), {"B0Z"}) ==
                   output(lean_budget, "lean").standard * 1e-6,
               tt::tolerance(1e-4));
}

// 800 machines with a lean of their own (uniform, ± 50 µrad, where the class says 40), a gauge off
// by a normal 5 µrad, six bores each that scatter by a normal 8 µrad. The lean must lie within ± 2
// u at least as often as 95 of 100, less 6 standard deviations of that count (760 ± 6.2: 723); an
// interval too wide by half would hold more than 790.
BOOST_AUTO_TEST_CASE(the_lean_is_found_again) {
    std::mt19937_64 random(17);
    std::uniform_real_distribution<double> unit(-1, 1);
    std::normal_distribution<double> normal(0, 1);
    int held = 0;
    for (int k = 0; k < 800; ++k) {
        auto shop = workshop();
        auto cut = lean_cut(CutQuantity::lean_x);
        const double truth = 50e-6 * unit(random);
        const double gauge = 5e-6 * normal(random);
        cut.readings.clear();
        for (int i = 0; i < 6; ++i)
            cut.readings.push_back(truth + gauge + 8e-6 * normal(random));
        shop.test_cuts = {cut};
        const auto d = check_doubts(shop, day).at(0);
        // six parts: k = 2.06 by t(5) for their share and the gauge's
        held += std::abs(d.value - truth) < 2.06 * d.standard;
    }
    BOOST_TEST(held >= 723);
    BOOST_TEST(held <= 795);
}

// 800 machines whose scale of X is off by up to ± 60 ppm (the class says 50), plates of aluminium
// at a true temperature within ± 1 K of the 24 °C read, screws within ± 1 K of 23 °C, expansions
// within ± 1 ppm/K, a gauge off by a normal 1 µm, eight plates that scatter by a normal 2 µm: their
// parts come out by exact lengths, the screw's true pitch times what the warm plate shrinks by.
// What the machine adds must lie within ± 2 u as above; the temperatures, limits and not normal,
// hold more.
BOOST_AUTO_TEST_CASE(the_distance_is_found_again) {
    std::mt19937_64 random(23);
    std::uniform_real_distribution<double> unit(-1, 1);
    std::normal_distribution<double> normal(0, 1);
    int held = 0;
    for (int k = 0; k < 800; ++k) {
        auto shop = workshop();
        auto cut = distance_cut(CutQuantity::along_x);
        cut.second.y = cut.first.y;
        cut.warmth = {"aluminium 6061", 297.15, 296.15, 1, true};
        const double scale = 60e-6 * unit(random);
        const double screw = (11.5e-6 + 1e-6 * unit(random)) * (3 + unit(random));
        const double plate = (23.6e-6 + 1e-6 * unit(random)) * (4 + unit(random));
        const double length = 0.2 * (1 + scale) * (1 + screw) / (1 + plate);
        const double gauge = 1e-6 * normal(random);
        cut.readings.clear();
        for (int i = 0; i < 8; ++i)
            cut.readings.push_back(length - 0.2 + gauge + 2e-6 * normal(random));
        shop.test_cuts = {cut};
        const auto d = check_doubts(shop, day).at(0);
        held += std::abs(d.value - 0.2 * scale) < 2 * d.standard;
    }
    BOOST_TEST(held >= 723);
    BOOST_TEST(held <= 798);
}

BOOST_AUTO_TEST_CASE(a_hole_out_of_reach_is_refused) {
    auto shop = workshop();
    auto cut = distance_cut(CutQuantity::along_x);
    cut.second.x = 0.7;
    shop.test_cuts = {cut};
    BOOST_CHECK_THROW(solve(shop, day), InputError);
    cut.second = cut.first;
    shop.test_cuts = {cut};
    BOOST_CHECK_THROW(solve(shop, day), InputError);
}

BOOST_AUTO_TEST_SUITE_END()
