// SPDX-License-Identifier: MIT
// Curves of error motions. The gauge by its definition; the covariance against the Matérn 3/2
// formula evaluated here between two points; the divisors 2.6 and 3.4 by drawing 20 000 curves: the
// share whose peak-to-valley exceeds the class figure is 5 % within 1 % (six standard errors are
// 0.9 %; the divisors are rounded to two digits, which may shift the share by as much).
#include "holdable/machine/curves.hpp"

#include <boost/test/unit_test.hpp>

#include <cmath>
#include <random>

using namespace holdable;
namespace tt = boost::test_tools;

namespace {

const Travel travel{0.1, 0.9, 0.35};

} // namespace

BOOST_AUTO_TEST_SUITE(curves)

BOOST_AUTO_TEST_CASE(weights_interpolate_between_knots) {
    constexpr int last = curve_knots - 1;
    const auto w = knot_weights(travel, 0.1 + 0.8 * 2.25 / last);
    BOOST_TEST(w.sum() == 1, tt::tolerance(1e-12));
    BOOST_TEST(w[2] == 0.75, tt::tolerance(1e-9));
    BOOST_TEST(w[3] == 0.25, tt::tolerance(1e-9));
    BOOST_TEST(knot_weights(travel, 0.9)[last] == 1, tt::tolerance(1e-12));
    BOOST_TEST(knot_weights(travel, 5)[last] == 1);
}

BOOST_AUTO_TEST_CASE(the_gauge_is_out) {
    for (const auto kind : {CurveKind::straightness, CurveKind::angle}) {
        const auto basis = curve_basis(travel, kind, 1);
        BOOST_TEST((knot_weights(travel, travel.reference) * basis).norm() < 1e-9);
        const Eigen::VectorXd line = Eigen::VectorXd::LinSpaced(curve_knots, -1, 1);
        const double slope = (line.transpose() * basis).norm();
        if (kind == CurveKind::straightness)
            BOOST_TEST(slope < 1e-9);
        else
            BOOST_TEST(slope > 1);
    }
}

BOOST_AUTO_TEST_CASE(differences_of_an_angle_have_the_stated_covariance) {
    // With only the value at the reference removed, var(E(a) - E(b)) = 2 σ² (1 - ρ(|a - b|)).
    const auto basis = curve_basis(travel, CurveKind::angle, 2);
    for (const auto& [a, b] :
         {std::pair{0, curve_knots - 1}, std::pair{3, 4}, std::pair{5, 12}, std::pair{0, 20}}) {
        const double r = std::sqrt(3.0) * 3 * (b - a) / (curve_knots - 1);
        const double variance = 2 * 4 * (1 - (1 + r) * std::exp(-r));
        BOOST_TEST((basis.row(a) - basis.row(b)).squaredNorm() == variance, tt::tolerance(1e-3));
    }
}

BOOST_AUTO_TEST_CASE(one_curve_in_twenty_exceeds_the_figure_of_its_class) {
    std::mt19937_64 random(7); // the same curves in every run
    std::normal_distribution<double> normal;
    for (const auto kind : {CurveKind::straightness, CurveKind::angle}) {
        const Travel whole{0, 1, 0.5};
        const auto basis = curve_basis(whole, kind, curve_sigma(kind, 1));
        int above = 0;
        constexpr int curves = 20000;
        Eigen::VectorXd zeta(basis.cols());
        for (int i = 0; i < curves; ++i) {
            for (auto& z : zeta)
                z = normal(random);
            const Eigen::VectorXd knots = basis * zeta;
            above += knots.maxCoeff() - knots.minCoeff() > 1;
        }
        BOOST_TEST(std::abs(above / double(curves) - 0.05) < 0.01, above / double(curves));
    }
}

BOOST_AUTO_TEST_SUITE_END()
