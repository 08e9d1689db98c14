// SPDX-License-Identifier: MIT
// How a base rests. Worked examples, recomputed: pits are bridged, a low spot under the toe tilts,
// the place of the weight decides. And by brute force over all triples of points, which shares no
// step with the exchange: the lowest plane under the centre that lies above no less than all
// points. Tolerance 1e-9 relative, of heights 1e-15 m: both are exact but for rounding.
#include "holdable/machine/rest_plane.hpp"

#include "holdable/base/error.hpp"

#include <Eigen/LU>
#include <boost/test/unit_test.hpp>

#include <algorithm>
#include <limits>
#include <random>
#include <vector>

using namespace holdable;
namespace tt = boost::test_tools;

namespace {

constexpr double micro = 1e-6;

/// A base 100 mm long on two rows of points every 20 mm, the same heights in both.
std::vector<BearingPoint> two_rows(const std::vector<double>& heights) {
    std::vector<BearingPoint> points;
    for (std::size_t i = 0; i < heights.size(); ++i)
        for (const double y : {-0.01, 0.01})
            points.push_back({0.02 * static_cast<double>(i), y, heights[i] * micro});
    return points;
}

/// The lowest height over the centre of all planes through three points that no point is above.
double by_brute_force(const std::vector<BearingPoint>& p, const Eigen::Vector2d& centre) {
    double lowest = std::numeric_limits<double>::max();
    for (std::size_t i = 0; i < p.size(); ++i)
        for (std::size_t j = i + 1; j < p.size(); ++j)
            for (std::size_t k = j + 1; k < p.size(); ++k) {
                Eigen::Matrix3d m;
                m << 1, p[i].x, p[i].y, 1, p[j].x, p[j].y, 1, p[k].x, p[k].y;
                if (std::abs(m.determinant()) < 1e-9)
                    continue;
                const Eigen::Vector3d plane =
                    m.fullPivLu().solve(Eigen::Vector3d(p[i].h, p[j].h, p[k].h));
                const bool bears = std::all_of(p.begin(), p.end(), [&](const BearingPoint& q) {
                    return plane[0] + plane[1] * q.x + plane[2] * q.y >= q.h - 1e-13;
                });
                if (bears)
                    lowest =
                        std::min(lowest, plane[0] + plane[1] * centre.x() + plane[2] * centre.y());
            }
    return lowest;
}

} // namespace

BOOST_AUTO_TEST_SUITE(rest_plane)

BOOST_AUTO_TEST_CASE(a_pit_under_the_base_is_bridged) {
    // A least-squares line would say -42.86 µrad.
    const auto points = two_rows({0, 0, 0, -6, -8, 0});
    const auto rest = rest_on(points, {0.05, 0});
    BOOST_TEST(std::abs(rest.slope.x()) < 1e-12);
    BOOST_TEST(std::abs(rest.slope.y()) < 1e-12);
    BOOST_TEST(std::abs(rest.height) < 1e-15);
}

BOOST_AUTO_TEST_CASE(a_low_spot_under_the_toe_tilts_if_the_weight_is_over_it) {
    const auto points = two_rows({0, 0, 0, -6, -8, -9});
    BOOST_TEST(std::abs(rest_on(points, {0.03, 0}).slope.x()) < 1e-12);
    BOOST_TEST(rest_on(points, {0.05, 0}).slope.x() == -150 * micro, tt::tolerance(1e-9));
}

BOOST_AUTO_TEST_CASE(the_contacts_are_the_upper_hull_under_the_centre) {
    std::mt19937_64 engine(11);
    std::uniform_real_distribution<double> any(-1, 1);
    for (int trial = 0; trial < 300; ++trial) {
        std::vector<BearingPoint> points;
        for (int i = 0; i < 4; ++i) // corners hold the centre in
            points.push_back({i % 2 == 0 ? 0.1 : -0.1, i < 2 ? 0.1 : -0.1, any(engine) * 5e-6});
        for (int i = 0; i < 12; ++i)
            points.push_back({0.1 * any(engine), 0.1 * any(engine), any(engine) * 5e-6});
        const Eigen::Vector2d centre(0.05 * any(engine), 0.05 * any(engine));
        const auto rest = rest_on(points, centre);
        BOOST_TEST(std::abs(rest.height - by_brute_force(points, centre)) < 1e-14);
        for (const auto& p : points)
            BOOST_TEST(p.h <=
                       rest.height + rest.slope.dot(Eigen::Vector2d(p.x, p.y) - centre) + 1e-13);
        const auto map = slope_map(points, rest.contacts);
        const Eigen::Vector3d heights(
            points[rest.contacts[0]].h, points[rest.contacts[1]].h, points[rest.contacts[2]].h);
        BOOST_TEST((map * heights - rest.slope).norm() < 1e-15);
        // The other way to stand is no lower, and bears too.
        const auto other = rocking(points, centre, rest, 1e-5);
        BOOST_REQUIRE(other.has_value());
        BOOST_TEST(other->rise <= 1e-5);
        BOOST_TEST(other->rise >= 0);
        for (const auto& p : points)
            BOOST_TEST(p.h <= other->other.height +
                                  other->other.slope.dot(Eigen::Vector2d(p.x, p.y) - centre) +
                                  1e-13);
    }
}

BOOST_AUTO_TEST_CASE(a_ridge_under_the_middle_rocks) {
    // Two points of a ridge at 50 mm and the heel: tipped over the ridge it falls by the same angle
    // to the other side. The centre rises by its distance to the ridge times the angle.
    const std::vector<BearingPoint> points{{0, -0.02, 0},
                                           {0, 0.02, 0},
                                           {0.05, -0.02, 4 * micro},
                                           {0.05, 0.02, 4 * micro},
                                           {0.1, -0.02, 0},
                                           {0.1, 0.02, 0}};
    const Eigen::Vector2d centre(0.049, 0.001);
    const auto rest = rest_on(points, centre);
    BOOST_TEST(rest.slope.x() == 80 * micro, tt::tolerance(1e-9));
    BOOST_TEST(rocking(points, centre, rest, 0.1 * micro)->other.slope.x() == 80 * micro,
               tt::tolerance(1e-9)); // other points of the same plane
    const auto other = rocking(points, centre, rest, 0.2 * micro);
    BOOST_REQUIRE(other.has_value());
    BOOST_TEST(other->other.slope.x() == -80 * micro, tt::tolerance(1e-9));
    BOOST_TEST(other->rise == 0.001 * 160 * micro, tt::tolerance(1e-6));
}

BOOST_AUTO_TEST_CASE(a_weight_beside_the_footprint_does_not_stand) {
    BOOST_CHECK_THROW(rest_on(two_rows({0, 0, 0}), {0.05, 0}), NumericError);
}

BOOST_AUTO_TEST_SUITE_END()
