// SPDX-License-Identifier: MIT
// The linear features against nonlinear ones: points moved by errors of whole tenths of a
// millimetre, distances by Pythagoras, circles fitted by Gauss and Newton to the points as they
// stand. Both must differ by what the program says is left out. Tolerance 5 %: the next order is
// smaller by error over radius, here at most a fiftieth.
#include "holdable/machine/tool_path.hpp"
#include "holdable/propagate/bend.hpp"
#include "part/known_part.hpp"

#include <cmath>
#include <numbers>

using namespace holdable;
using namespace holdable::tests;
using Eigen::Vector2d;
namespace tt = boost::test_tools;

namespace {

/// The callout without the doubt of its inputs: what is known of it moves its points.
PartModel known_only(const MachineState& state, const Job& job) {
    PartModel part;
    auto& one = part.characteristics.emplace_back(question(state, job).model.characteristics[0]);
    one.effect.resize(one.known.size(), 0);
    one.bend.effect.resize(one.bend.known.size(), 0);
    return part;
}

Vector2d error_at(const MachineState& state, double x, double y, double z, double length) {
    const auto rows = tip_error(state.model, {x, y, z}, length, cutting_day, "test", "place");
    return (rows * state.estimate.head(rows.cols())).head<2>();
}

/// Width of the radii about the centre of the least-squares circle.
double round_by_newton(const std::vector<Vector2d>& points) {
    Eigen::Vector3d circle(0, 0, 0); // centre, radius
    const auto count = static_cast<Eigen::Index>(points.size());
    Eigen::MatrixXd jacobian(count, 3);
    Eigen::VectorXd left(count);
    for (int step = 0; step < 20; ++step) {
        for (Eigen::Index k = 0; k < count; ++k) {
            const Vector2d from = points[static_cast<std::size_t>(k)] - circle.head<2>();
            left[k] = from.norm() - circle[2];
            jacobian.row(k) << -from.x() / from.norm(), -from.y() / from.norm(), -1;
        }
        circle -= jacobian.colPivHouseholderQr().solve(left);
    }
    return left.maxCoeff() - left.minCoeff();
}

} // namespace

BOOST_AUTO_TEST_SUITE(bend)

BOOST_AUTO_TEST_CASE(of_a_distance) {
    auto state = still();
    set(state, "C0Y", 20e-3); // moves the upper hole across by far more than any machine does
    auto first = hole_at(0.30, 0.20);
    auto second = hole_at(0.30, 0.23);
    auto c = callout(Requirement::distance, Holes{first, second});
    c.size = {0.03, -50e-6, 50e-6, {}, ""};
    const auto job = job_of({c});
    const double z = first.top - first.depth / 2;
    const Vector2d moved = error_at(state, second.x, second.y, z, second.tool_length) -
                           error_at(state, first.x, first.y, z, first.tool_length);
    const Vector2d nominal(0, 0.03);
    const double exact = (nominal + moved).norm() - 0.03;
    const auto part = known_only(state, job);
    BOOST_TEST(part.characteristics[0].known[0] + propagate::left_out_by_bending(part, 0, {}) == exact,
               tt::tolerance(1e-3));
    BOOST_TEST(propagate::left_out_by_bending(part, 0, {}) ==
                   std::pow(20e-3 * 0.03, 2) / (2 * 0.03),
               tt::tolerance(1e-3));
}

BOOST_AUTO_TEST_CASE(of_a_round_bore) {
    auto state = still();
    set(state, "C0Y", 10e-3);
    set_curve(state, 0, [](double x) { return 0.4e-3 * std::sin(x / 0.008); }); // EXX
    auto hole = hole_at(0.3, 0.2);
    hole.making = HoleMaking::interpolated;
    hole.diameter = 0.06;
    auto c = callout(Requirement::roundness, Holes{hole});
    c.evaluation = Evaluation::least_squares;
    const auto part = known_only(state, job_of({c}));
    const auto& one = part.characteristics[0];
    constexpr int around = 40;
    std::vector<Vector2d> points;
    for (int k = 0; k < around; ++k) {
        const double angle = 2 * std::numbers::pi * k / around;
        const Vector2d n(std::cos(angle), std::sin(angle));
        const double path = (hole.diameter - hole.tool_diameter) / 2;
        points.push_back(hole.diameter / 2 * n + error_at(state,
                                                          hole.x + path * n.x(),
                                                          hole.y + path * n.y(),
                                                          hole.top - hole.depth / 2,
                                                          hole.tool_length));
    }
    const double linear = one.known.maxCoeff() - one.known.minCoeff();
    const double exact = round_by_newton(points);
    BOOST_REQUIRE(std::abs(exact - linear) > 1e-7); // else nothing is tested
    BOOST_TEST(propagate::left_out_by_bending(part, 0, {}) == std::abs(exact - linear),
               tt::tolerance(0.05));
}

BOOST_AUTO_TEST_CASE(a_round_bore_that_only_moved_is_round) {
    auto state = still();
    set(state, "B0Z", 5e-3); // moves all points of a section alike
    auto hole = hole_at(0.3, 0.2);
    hole.making = HoleMaking::interpolated;
    hole.diameter = 0.06;
    const auto part = known_only(state, job_of({callout(Requirement::roundness, Holes{hole})}));
    BOOST_TEST(std::abs(part.characteristics[0].known.maxCoeff()) > 1e-4);
    BOOST_TEST(propagate::left_out_by_bending(part, 0, {}) < 1e-12);
}

BOOST_AUTO_TEST_SUITE_END()
