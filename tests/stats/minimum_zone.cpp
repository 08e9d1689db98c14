// SPDX-License-Identifier: MIT
// Minimum zones. Proved, not compared: the weights on the contacts sum to nothing over every column
// of the design, so that no zone can be narrower than 2 Σ w z whatever it is (minimum_zone.hpp),
// and the zone found is that wide and holds every point; the test works this out from the result
// alone. Beside it figures worked elsewhere: a line and a grid solved by a linear programme and by
// a scan of slopes, a twisted face by its formula. Tolerances: 1e-9 of the deviations, some hundred
// roundings.
#include "holdable/stats/minimum_zone.hpp"

#include "holdable/base/error.hpp"

#include <boost/test/unit_test.hpp>

#include <cmath>
#include <numbers>
#include <random>

using namespace holdable::stats;
using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

namespace {

/// Whether the result proves itself.
void require_proof(const MinimumZone& zone, const MatrixXd& design, const VectorXd& z) {
    const double size = std::max(z.cwiseAbs().maxCoeff(), 1e-300);
    BOOST_REQUIRE(zone.contacts.size() <= static_cast<std::size_t>(design.cols() + 1));
    VectorXd balance = VectorXd::Zero(design.cols());
    double reach = 0;
    double sum = 0;
    for (std::size_t k = 0; k < zone.contacts.size(); ++k) {
        const double w = zone.weights[static_cast<Index>(k)];
        balance += w * design.row(zone.contacts[k]).transpose();
        reach += w * z[zone.contacts[k]];
        sum += std::abs(w);
    }
    BOOST_TEST((balance.cwiseAbs().maxCoeff() < 1e-9 * design.cwiseAbs().maxCoeff()));
    BOOST_TEST((std::abs(sum - 1) < 1e-9));
    BOOST_TEST((std::abs(2 * reach - zone.width) < 1e-9 * size));
    BOOST_TEST(
        ((z - design * zone.coefficients).cwiseAbs().maxCoeff() < zone.width / 2 + 1e-9 * size));
}

MatrixXd plane(const std::vector<double>& x, const std::vector<double>& y) {
    MatrixXd design(static_cast<Index>(x.size() * y.size()), 3);
    Index row = 0;
    for (const double v : y)
        for (const double u : x)
            design.row(row++) << 1, u, v;
    return design;
}

std::vector<double> spaced(double from, double to, int count) {
    std::vector<double> all;
    for (int i = 0; i < count; ++i)
        all.push_back(from + (to - from) * i / (count - 1));
    return all;
}

} // namespace

BOOST_AUTO_TEST_SUITE(minimum_zones)

// 0, 4, 3, -1, -4, 2 at steps of 100: zone 6.500, slope -5.000 a step (linear programme and scan of
// slopes; least squares gives 6.514).
BOOST_AUTO_TEST_CASE(a_line, *boost::unit_test::tolerance(1e-12)) {
    VectorXd z(6);
    z << 0, 4, 3, -1, -4, 2;
    MatrixXd design(6, 2);
    for (Index i = 0; i < 6; ++i)
        design.row(i) << 1, double(i) * 100;
    const auto zone = minimum_zone(design, z);
    BOOST_TEST(zone.width == 6.5);
    BOOST_TEST(zone.coefficients[1] * 100 == -0.5);
    require_proof(zone, design, z);
}

// Heights 0 2 1, 3 6 2, -1 3 5 on a grid: zone 6.000 where least squares gives 6.667 (linear
// programme against 601 × 601 slopes).
BOOST_AUTO_TEST_CASE(a_grid, *boost::unit_test::tolerance(1e-12)) {
    const auto design = plane({0, 100, 200}, {0, 100, 200});
    VectorXd z(9);
    z << 0, 2, 1, 3, 6, 2, -1, 3, 5;
    const auto zone = minimum_zone(design, z);
    BOOST_TEST(zone.width == 6.0);
    require_proof(zone, design, z);
}

// A face twisted by 30 µrad over 400 mm, 200 mm wide: κ a b / 2 = 3.000 µm.
BOOST_AUTO_TEST_CASE(a_twist, *boost::unit_test::tolerance(1e-12)) {
    const auto design = plane(spaced(0, 0.4, 21), spaced(-0.1, 0.1, 11));
    VectorXd z(design.rows());
    for (Index i = 0; i < z.size(); ++i)
        z[i] = 30.0 / 0.4 * design(i, 1) * design(i, 2);
    const auto zone = minimum_zone(design, z);
    BOOST_TEST(zone.width == 3.0);
    require_proof(zone, design, z);
}

// Radial deviations 2 cos 2θ and an off-centre circle: the centre goes, 4 stays.
BOOST_AUTO_TEST_CASE(an_oval_circle, *boost::unit_test::tolerance(1e-9)) {
    MatrixXd design(72, 3);
    VectorXd z(72);
    for (Index i = 0; i < 72; ++i) {
        const double t = double(i) * std::numbers::pi / 36;
        design.row(i) << 1, std::cos(t), std::sin(t);
        z[i] = 10 + 7 * std::cos(t) - 3 * std::sin(t) + 2 * std::cos(2 * t);
    }
    const auto zone = minimum_zone(design, z);
    BOOST_TEST(zone.width == 4.0);
    BOOST_TEST(zone.coefficients[1] == 7.0);
    BOOST_TEST(zone.coefficients[2] == -3.0);
    require_proof(zone, design, z);
}

// Grids are as degenerate as points can be, rounded heights still more; cylinders have five
// directions.
BOOST_AUTO_TEST_CASE(every_zone_proves_itself) {
    std::mt19937_64 random(3);
    std::normal_distribution<double> normal(0, 1);
    for (int k = 0; k < 300; ++k) {
        const auto design = plane(spaced(0, 1, 3 + k % 7), spaced(-1, 1, 3 + k % 5));
        VectorXd z(design.rows());
        for (Index i = 0; i < z.size(); ++i)
            z[i] = k % 3 == 0 ? std::round(2 * normal(random)) : normal(random);
        require_proof(minimum_zone(design, z), design, z);
    }
    for (int k = 0; k < 50; ++k) {
        MatrixXd design(5 * 24, 5);
        VectorXd z(design.rows());
        for (Index i = 0; i < z.size(); ++i) {
            const double t = double(i % 24) * std::numbers::pi / 12;
            const double h = double(i / 24) / 4 - 0.5;
            design.row(i) << 1, std::cos(t), std::sin(t), h * std::cos(t), h * std::sin(t);
            z[i] = 1e-6 * normal(random);
        }
        require_proof(minimum_zone(design, z), design, z);
    }
}

BOOST_AUTO_TEST_CASE(points_on_the_plane_have_no_zone) {
    const auto design = plane(spaced(0, 1, 4), spaced(0, 1, 4));
    const VectorXd z = design * Eigen::Vector3d(2, -1, 3);
    const auto zone = minimum_zone(design, z);
    BOOST_TEST((zone.width < 1e-12));
    BOOST_TEST(zone.coefficients[1] == -1.0, boost::test_tools::tolerance(1e-9));
}

BOOST_AUTO_TEST_CASE(too_few_points_are_refused) {
    BOOST_CHECK_THROW(minimum_zone(MatrixXd::Ones(2, 2), VectorXd::Ones(2)),
                      holdable::NumericError);
    BOOST_CHECK_THROW(minimum_zone(MatrixXd::Ones(5, 2), VectorXd::Ones(5)),
                      holdable::NumericError);
}

BOOST_AUTO_TEST_SUITE_END()
