// SPDX-License-Identifier: MIT
// Promises of zones about points: widths, patterns, profiles, folded elements and bonus. Against
// closed forms (the folded normal law, chances of independent holes), a quadrature for the bonus,
// minimum zones fitted part by part, and a count of the test's own draws. Tolerances: 6.2 of the
// standard errors stated (promise_models.hpp), where no other reason stands beside.
#include "holdable/base/error.hpp"
#include "holdable/propagate/first_order.hpp"
#include "holdable/propagate/inner.hpp"
#include "holdable/stats/minimum_zone.hpp"
#include "holdable/stats/round_zone.hpp"
#include "promise_models.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>
#include <string>
#include <vector>

using namespace holdable;
using namespace holdable::promise_models;

namespace {

Characteristic zone(Reduction reduction, Eigen::VectorXd known, Eigen::MatrixXd effect) {
    Characteristic c;
    c.name = "zone";
    c.reduction = reduction;
    c.known = std::move(known);
    c.effect = std::move(effect);
    c.upper = 20;
    return c;
}

Promise promise_of(const PartModel& m, const PromiseOptions& o) {
    return promise(m, o).promises.front();
}

/// 9 × 9 points of a face 0.2 × 0.1 m that bends and waves in a dozen ways, with noise of its own.
Characteristic face() {
    Eigen::MatrixXd free(81, 2), effect(81, 14);
    for (Eigen::Index i = 0; i < 81; ++i) {
        const double x = 0.2 * (double(i % 9) / 8 - 0.5);
        const double y = 0.1 * (double(i / 9) / 8 - 0.5);
        free.row(i) << x, y;
        for (int k = 0; k < 14; ++k)
            effect(i, k) = std::sin(1.0 + k + 9 * (k % 4) * x + 17 * (k % 5) * y) +
                           0.3 * std::cos(double(i * (k + 3)));
    }
    Characteristic c = zone(Reduction::width, 1e-6 * effect.col(0), effect);
    c.free = free;
    c.upper = 10e-6;
    return c;
}

/// Eight holes on a circle, each with its own error, that may shift and turn.
Characteristic holes() {
    Eigen::MatrixXd free = Eigen::MatrixXd::Zero(16, 3);
    for (Eigen::Index i = 0; i < 8; ++i) {
        const double turn = double(i) * std::numbers::pi / 4;
        free.middleRows<2>(2 * i) << 1, 0, -0.05 * std::sin(turn), 0, 1, 0.05 * std::cos(turn);
    }
    Characteristic c =
        zone(Reduction::twice_worst, Eigen::VectorXd::Zero(16), Eigen::MatrixXd::Identity(16, 16));
    c.free = free;
    c.upper = 6e-6;
    return c;
}

} // namespace

BOOST_AUTO_TEST_SUITE(zone_promises)

BOOST_AUTO_TEST_CASE(the_width_of_two_points_is_a_difference) {
    // 95 % points of |N(b, u²)|. Source: root of the difference of two normal chances.
    const struct { double b, u, t; } rows[] = {{10, 5, 18.224}, {2, 5, 10.535}, {0, 5, 9.800}};

    for (const auto& row : rows) {
        PartModel m;
        m.inputs = {input("one end", normal(0.6 * row.u), Sharing::part),
                    input("other end", normal(0.8 * row.u), Sharing::part)};
        m.characteristics = {
            zone(Reduction::width, Eigen::Vector2d(row.b, 0), Eigen::Matrix2d::Identity())};
        PromiseOptions o = levels(0.95, 0.9, 200);
        o.parts_in_world = o.most_worlds = 16000;
        const Promise p = promise_of(m, o);
        near(p.smallest, row.t, p.smallest_error, 0.0005, "width");
        BOOST_TEST(p.known_value == row.b);
    }
}

BOOST_AUTO_TEST_CASE(what_floats_is_exact_part_by_part) {
    // No knowledge: the 95 % point of t is the order statistic of the values of the parts, each
    // fitted by itself. The engine's own draws are had from characteristics of one point.
    for (const Characteristic& c : {face(), holes()}) {
        PartModel m;
        for (Eigen::Index i = 0; i < c.effect.cols(); ++i)
            m.inputs.push_back(input("i" + std::to_string(i), normal(1e-6), Sharing::part));
        m.characteristics = {c};
        const propagate::Stack stack(m, false);
        const auto draws = propagate::draw(stack, 1, 1, 500, 1);
        const propagate::Inner inner(c, m, stack, 0, draws.all);
        std::vector<double> values;
        for (Eigen::Index p = 0; p < 500; ++p) {
            const Eigen::VectorXd z =
                (draws.all.shared.row(0) + draws.all.own[0].row(p)).transpose();
            Eigen::MatrixXd design(z.size(), c.free.cols() + 1);
            design << Eigen::VectorXd::Ones(z.size()), c.free;
            values.push_back(c.reduction == Reduction::width
                                 ? stats::minimum_zone(design, z).width
                                 : 2 * stats::round_zone(c.free, z).radius);
        }
        std::vector<double> sorted = values;
        std::sort(sorted.begin(), sorted.end());
        for (const double p : {0.05, 0.5, 0.95, 1.0}) {
            const double q = inner.quantile(0, p);
            BOOST_TEST(q == sorted[propagate::rank(p, 500)], boost::test_tools::tolerance(1e-9));
            // At the very value of a part, that part is counted.
            const std::size_t world = 0;
            double yield = 0;
            inner.yields({&world, 1}, q, {&yield, 1});
            BOOST_TEST(yield == double(propagate::rank(p, 500) + 1) / 500);
        }
    }
}

BOOST_AUTO_TEST_SUITE_END()
