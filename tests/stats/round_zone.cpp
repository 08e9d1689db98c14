// SPDX-License-Identifier: MIT
// Round zones. Proved, not compared: the pulls w e on the contacts sum to nothing over every column
// of the design, so that no zone can be smaller than Σ w e·z whatever it is (round_zone.hpp), and
// the zone found is that small and holds every point; the test works this out from the result
// alone. Beside it circles worked by hand, a helix, and a fine search that knows nothing of
// contacts. Tolerances: 1e-9 of the radius, ten times what the search for a proof leaves.
#include "holdable/stats/round_zone.hpp"

#include "holdable/base/error.hpp"

#include <boost/test/unit_test.hpp>

#include <cmath>
#include <numbers>
#include <random>

using namespace holdable::stats;
using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::Vector2d;
using Eigen::VectorXd;

namespace {

double reach(const MatrixXd& design, const VectorXd& z, const VectorXd& c) {
    const VectorXd off = z - design * c;
    double worst = 0;
    for (Index i = 0; i < off.size(); i += 2)
        worst = std::max(worst, off.segment<2>(i).norm());
    return worst;
}

/// Whether the result proves itself.
void require_proof(const RoundZone& zone, const MatrixXd& design, const VectorXd& z) {
    BOOST_REQUIRE(zone.contacts.size() <= static_cast<std::size_t>(design.cols() + 1));
    VectorXd balance = VectorXd::Zero(design.cols());
    double proof = 0;
    double sum = 0;
    for (std::size_t k = 0; k < zone.contacts.size(); ++k) {
        const auto at = static_cast<Index>(k);
        const double w = zone.weights[at];
        const Vector2d e = zone.directions.col(at);
        BOOST_TEST((w > 0));
        BOOST_TEST((std::abs(e.norm() - 1) < 1e-12));
        balance += w * design.middleRows<2>(2 * zone.contacts[k]).transpose() * e;
        proof += w * e.dot(z.segment<2>(2 * zone.contacts[k]));
        sum += w;
    }
    BOOST_TEST((balance.cwiseAbs().maxCoeff() < 1e-9 * design.cwiseAbs().maxCoeff()));
    BOOST_TEST((std::abs(sum - 1) < 1e-9));
    const double size = std::max(zone.radius, 1e-3 * z.cwiseAbs().maxCoeff()); // rounding of z
    BOOST_TEST((std::abs(proof - zone.radius) < 1e-9 * size));
    BOOST_TEST((reach(design, z, zone.coefficients) < zone.radius + 1e-9 * size));
}

/// Unit matrices, one below the other: a circle about the points.
MatrixXd circle(Index points) {
    return Eigen::Matrix2d::Identity().replicate(points, 1);
}

VectorXd flat(const std::vector<Vector2d>& points) {
    VectorXd z(2 * static_cast<Index>(points.size()));
    for (std::size_t i = 0; i < points.size(); ++i)
        z.segment<2>(2 * static_cast<Index>(i)) = points[i];
    return z;
}

RoundZone smallest_circle(const std::vector<Vector2d>& points) {
    const auto design = circle(static_cast<Index>(points.size()));
    const auto z = flat(points);
    const auto zone = round_zone(design, z);
    require_proof(zone, design, z);
    return zone;
}

/// Holes about 0 that may shift and turn.
MatrixXd pattern(const std::vector<Vector2d>& holes) {
    MatrixXd design = MatrixXd::Zero(2 * static_cast<Index>(holes.size()), 3);
    for (std::size_t i = 0; i < holes.size(); ++i)
        design.middleRows<2>(2 * static_cast<Index>(i)) << 1, 0, -holes[i].y(), 0, 1, holes[i].x();
    return design;
}

} // namespace

BOOST_AUTO_TEST_SUITE(round_zones)

BOOST_AUTO_TEST_CASE(circles_by_hand, *boost::unit_test::tolerance(1e-9)) {
    BOOST_TEST(smallest_circle({{0, 0}, {6, 8}}).radius == 5.0);
    // Right angle: on the longest side. Obtuse: the same, the third point lies inside.
    BOOST_TEST(smallest_circle({{0, 0}, {6, 0}, {0, 8}}).radius == 5.0);
    const auto obtuse = smallest_circle({{0, 0}, {10, 0}, {4, 1}});
    BOOST_TEST(obtuse.radius == 5.0);
    BOOST_TEST(obtuse.contacts.size() == 2U);
    // Acute: about all three, R = abc/(4 area); sides 5, √20 · 2 … (0,0), (6,0), (3,4): 5·5·6/48.
    const auto acute = smallest_circle({{0, 0}, {6, 0}, {3, 4}});
    BOOST_TEST(acute.radius == 3.125);
    BOOST_TEST(acute.contacts.size() == 3U);
    BOOST_TEST(acute.coefficients[0] == 3.0);
    BOOST_TEST(acute.coefficients[1] == 0.875);
    // A square is as degenerate as circles are; a point has none.
    BOOST_TEST(smallest_circle({{1, 1}, {-1, 1}, {-1, -1}, {1, -1}}).radius == std::sqrt(2.0));
    BOOST_TEST((smallest_circle({{2, 3}, {2, 3}, {2, 3}}).radius < 1e-12));
}

BOOST_AUTO_TEST_CASE(nothing_moves) {
    VectorXd z(4);
    z << 3, 4, 1, 1;
    const auto zone = round_zone(MatrixXd(4, 0), z);
    BOOST_TEST(zone.radius == 5.0);
    BOOST_TEST(zone.contacts == std::vector<Index>{0}, boost::test_tools::per_element());
}

// A helix of radius 3 leaning and shifted: over whole turns with its ends alike no cylinder is
// smaller, since at each height level of full turns the pulls balance.
BOOST_AUTO_TEST_CASE(a_helix_has_its_own_diameter, *boost::unit_test::tolerance(1e-9)) {
    constexpr Index count = 97; // four turns of 24
    MatrixXd design = MatrixXd::Zero(2 * count, 4);
    VectorXd z(2 * count);
    for (Index i = 0; i < count; ++i) {
        const double h = double(i) / (count - 1) - 0.5;
        const double turn = 2 * std::numbers::pi * double(i) / 24;
        design.middleRows<2>(2 * i) << 1, 0, h, 0, 0, 1, 0, h;
        z.segment<2>(2 * i) << 3 * std::cos(turn) + 7 + 2 * h, 3 * std::sin(turn) - 4 - 5 * h;
    }
    const auto zone = round_zone(design, z);
    BOOST_TEST(zone.radius == 3.0);
    BOOST_TEST(zone.coefficients[2] == 2.0);
    BOOST_TEST(zone.coefficients[3] == -5.0);
    require_proof(zone, design, z);
}

BOOST_AUTO_TEST_CASE(every_zone_proves_itself) {
    std::mt19937_64 random(5);
    std::normal_distribution<double> normal(0, 1);
    for (int k = 0; k < 500; ++k) {
        std::vector<Vector2d> holes;
        const int count = 2 + k % 11;
        for (int i = 0; i < count; ++i) {
            const double turn = 2 * std::numbers::pi * i / count;
            holes.emplace_back(0.05 * std::cos(turn), 0.05 * std::sin(turn));
        }
        VectorXd z(2 * count);
        for (Index i = 0; i < z.size(); ++i)
            z[i] = 1e-6 * (k % 3 == 0 ? std::round(2 * normal(random)) : normal(random));
        require_proof(round_zone(pattern(holes), z), pattern(holes), z);
    }
}

// The best of a search that halves its steps about the best so far, in all directions at once.
BOOST_AUTO_TEST_CASE(a_search_finds_the_same) {
    std::mt19937_64 random(6);
    std::normal_distribution<double> normal(0, 1);
    for (int k = 0; k < 5; ++k) {
        const std::vector<Vector2d> holes{{1, 1}, {-1, 1.2}, {-1, -1}, {0.8, -1}, {0, 2}};
        const auto design = pattern(holes);
        VectorXd z(10);
        for (Index i = 0; i < z.size(); ++i)
            z[i] = normal(random);
        VectorXd best = VectorXd::Zero(3);
        double least = reach(design, z, best);
        for (double step = 1; step > 1e-6;) {
            bool better = false;
            for (int t = 0; t < 4000; ++t) {
                VectorXd c = best;
                for (Index j = 0; j < 3; ++j)
                    c[j] += step * normal(random);
                if (const double r = reach(design, z, c); r < least) {
                    least = r;
                    best = c;
                    better = true;
                }
            }
            if (!better)
                step /= 2;
        }
        const auto zone = round_zone(design, z);
        BOOST_TEST((zone.radius <= least));
        BOOST_TEST((zone.radius > least * (1 - 1e-4)));
    }
}

BOOST_AUTO_TEST_CASE(what_cannot_be_fitted_is_refused) {
    BOOST_CHECK_THROW(round_zone(MatrixXd::Ones(2, 2), VectorXd::Ones(2)), holdable::NumericError);
    BOOST_CHECK_THROW(round_zone(MatrixXd::Ones(6, 2), VectorXd::Ones(6)), holdable::NumericError);
    BOOST_CHECK_THROW(round_zone(MatrixXd(0, 0), VectorXd(0)), holdable::NumericError);
}

BOOST_AUTO_TEST_SUITE_END()
