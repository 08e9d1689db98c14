// SPDX-License-Identifier: MIT
// A line of a notebook, against machines with known squareness and tilts, against the formula
// budget budgets/methods/notebook.json, and against a check with readings of the same lean.
// Independent: signs by the directions that words name, sums worked by hand. Tolerances: 1e-9 for
// signs and sums.
#include "holdable/machine/notebook_line.hpp"

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

NotebookLine line(Axis along, Axis across) {
    NotebookLine n;
    n.name = "line";
    n.date = day;
    n.along = along;
    n.across = across;
    n.lean = 10e-6;
    n.length = 0.3;
    n.last_digit = 1e-6;
    return n;
}

/// What the row of a line says of a machine on which some unknowns have values.
double expected(const NotebookLine& n, const std::vector<std::pair<std::string, double>>& values) {
    auto shop = workshop();
    shop.notebook_lines = {n};
    const NamedRows rows(shop, day);
    double sum = 0;
    for (const auto& [name, value] : values)
        sum += value * rows.coefficient("line, the number written", name);
    return sum;
}

/// The lean that a line says of a machine with one error motion of the slope ψ per metre.
double with_tilt(const NotebookLine& n, int parameter, double coordinate, double value) {
    auto shop = workshop();
    shop.notebook_lines = {n};
    NamedRows rows(shop, day);
    const Eigen::RowVectorXd form = rows.model.parameter(parameter, coordinate, day);
    const Eigen::VectorXd state = form.transpose() * value / form.squaredNorm();
    const auto& row = rows.reading("line, the number written").row;
    return row.head(state.size()).dot(state);
}

} // namespace

BOOST_AUTO_TEST_SUITE(notebook_lines)

// +B0Z leans Z to +X, +A0Z leans it to -Y, +C0Y leans Y to -X (kinematics.hpp): the line says the
// lean.
BOOST_AUTO_TEST_CASE(signs, *boost::unit_test::tolerance(1e-9)) {
    BOOST_TEST(expected(line(Axis::z, Axis::x), {{"B0Z", 30e-6}}) == 30e-6);
    BOOST_TEST(expected(line(Axis::z, Axis::y), {{"A0Z", 30e-6}}) == -30e-6);
    BOOST_TEST(expected(line(Axis::y, Axis::x), {{"C0Y", 30e-6}}) == -30e-6);
    // a table that stands high at its - end leans the square to + with its top, and Z the other way
    auto swept = line(Axis::z, Axis::x);
    const auto tilt = MachineModel(workshop(), day).table_against_motion(Axis::x).name;
    BOOST_TEST(expected(line(Axis::z, Axis::x), {{tilt, 20e-6}}) == -20e-6);
    swept.leg_swept = true;
    auto shop = workshop();
    shop.notebook_lines = {swept};
    BOOST_TEST(!NamedRows(shop, day).has(tilt));
}

// A pitch of X that is the same all over is part of the lean of Z as it stands (A-5 of the
// kinematics: B0Z + EBX); where the leg is swept along X it tilts that as well, and vanishes.
BOOST_AUTO_TEST_CASE(a_pitch_counts_against_the_table_and_not_along_the_leg) {
    auto n = line(Axis::z, Axis::x);
    n.place = Eigen::Vector2d(0.45, 0.2);
    const int pitch = motion_index(4, Axis::x);
    BOOST_TEST(with_tilt(n, pitch, 0.45, 20e-6) == 20e-6, tt::tolerance(1e-6));
    n.place.reset(); // in the middle, where the angles are zero
    BOOST_TEST(std::abs(with_tilt(n, pitch, 0.45, 20e-6)) < 5e-6);
}

BOOST_AUTO_TEST_CASE(what_is_not_told_is_in_the_doubt) {
    auto shop = workshop();
    auto n = line(Axis::z, Axis::x);
    const auto doubt = [&](const NotebookLine& one) {
        auto with = shop;
        with.notebook_lines = {one};
        return check_doubts(with, day).at(0).standard;
    };
    const double least = doubt([&] {
        auto all = n;
        all.reversed = all.leg_swept = true;
        all.place = Eigen::Vector2d(0.3, 0.2);
        return all;
    }());
    const auto without = [&](auto change) {
        auto one = n;
        one.reversed = one.leg_swept = true;
        one.place = Eigen::Vector2d(0.3, 0.2);
        change(one);
        return doubt(one);
    };
    BOOST_TEST(without([](auto& o) { o.reversed = false; }) > 1.05 * least);
    BOOST_TEST(without([](auto& o) { o.leg_swept = false; }) > 1.05 * least);
    BOOST_TEST(without([](auto& o) { o.place.reset(); }) > 1.05 * least);
    BOOST_TEST(without([](auto& o) { o.last_digit = 10e-6; }) > 1.05 * least);
    // a named square with a certificate is better than one of grade 1, and its error counts whole
    auto named = n;
    named.square = "black";
    shop.squares[0].standard = 2e-6;
    BOOST_TEST(doubt(named) < doubt(n));
    const double small = doubt(named);
    shop.squares[0].lean = 100e-6;
    BOOST_TEST(std::pow(doubt(named), 2) - small * small == 1e-8, tt::tolerance(1e-3));
}

BOOST_AUTO_TEST_CASE(the_formula_budget_of_the_method_says_the_same) {
    auto shop = workshop();
    auto n = line(Axis::z, Axis::x);
    n.reversed = n.leg_swept = true;
    n.place = Eigen::Vector2d(0.3, 0.2);
    shop.notebook_lines = {n};
    const NamedRows rows(shop, day);
    const auto budget = method_budget("notebook");
    BOOST_TEST(rows.standard(rows.model.parameter(b0z_index, 0, day), {"B0Z"}) ==
                   output(budget, "lean").standard * 1e-6,
               tt::tolerance(1e-4));
    BOOST_TEST(output(budget, "lean").value * 1e-6 == n.lean / n.length, tt::tolerance(1e-9));
}

// 600 machines of their own: squareness, low spots, square and last digit drawn here by other laws
// than the class's, the number rounded as a notebook has it. The interval ± 1.96 u must hold the
// lean at least as often as 95 of 100 say, less 6 standard deviations of that count (570 ± 5.3, so
// 538): the doubts of a line are limits, and cover more.
BOOST_AUTO_TEST_CASE(the_lean_lies_in_its_interval) {
    std::mt19937_64 random(5);
    std::uniform_real_distribution<double> unit(-1, 1);
    int held = 0;
    for (int k = 0; k < 600; ++k) {
        auto shop = workshop();
        const double truth = 35e-6 * unit(random); // the class: 40 µrad
        auto n = line(Axis::z, Axis::x);
        n.reversed = k % 2 == 0;
        n.place = Eigen::Vector2d(0.3, 0.2);
        double read = truth + 3e-6 * unit(random);
        if (!n.reversed)
            read += 70e-6 * unit(random); // a square of grade 1: 10 + 300/20 = 25 µm over 300 mm
        for (int setting = 0; setting < (n.reversed ? 2 : 1); ++setting)
            read += 100e-6 * unit(random) / (n.reversed ? 2 : 1); // low spots of 10 µm
        n.lean = std::round(read * n.length / 1e-6) * 1e-6;
        shop.notebook_lines = {n};
        const auto d = check_doubts(shop, day).at(0);
        held += std::abs(d.value - truth) < 1.96 * d.standard;
    }
    BOOST_TEST(held >= 538);
}

BOOST_AUTO_TEST_SUITE_END()
