// SPDX-License-Identifier: MIT
// Promises of zones about points: widths, patterns, profiles, folded elements and bonus. Against
// closed forms (the folded normal law, chances of independent holes), a quadrature for the bonus,
// minimum zones fitted part by part, and a count of the test's own draws. Tolerances: 6.2 of the
// standard errors stated (promise_models.hpp), where no other reason stands beside.
#include "holdable/base/error.hpp"
#include "holdable/propagate/promise.hpp"
#include "promise_models.hpp"

#include <cmath>
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

BOOST_AUTO_TEST_SUITE_END()
