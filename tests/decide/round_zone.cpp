// SPDX-License-Identifier: MIT
// Position in round zones. Rayleigh, Rice and Hoyt quantiles and joint conformity against
// tests/reference/capability.json (Bessel and angular integrals and another program), to the digits
// given there; a position with offset and unequal, correlated axes against counting; joint
// conformity against simulated holes. Counts within five standard errors.
#include "holdable/decide/round_zone.hpp"

#include "holdable/decide/capability.hpp"
#include "reference.hpp"

#include <Eigen/Cholesky>
#include <boost/test/unit_test.hpp>

#include <cmath>
#include <random>

using namespace holdable;
using namespace holdable::decide;
namespace tt = boost::test_tools;

namespace {

Place place(double mean_x, double mean_y, double xx, double xy, double yy) {
    Place result;
    result.mean << mean_x, mean_y;
    result.covariance << xx, xy, xy, yy;
    return result;
}

Place round_place(double deviation) {
    return place(0, 0, deviation * deviation, 0, deviation * deviation);
}

auto given_digits(const nlohmann::json& set) {
    return tt::tolerance(0.5 * std::pow(10.0, 1 - set["digits"].get<int>()));
}

double get(const nlohmann::json& set, const char* key) {
    return set.at(key).get<double>();
}

SizedFeature sized(const nlohmann::json& set) {
    SizedFeature feature;
    feature.hole = set.at("kind") == "internal";
    feature.zone = get(set, "tol");
    feature.maximum_material = true;
    feature.size = feature.hole ? Limits{get(set, "mmc"), get(set, "mmc") + 0.1}
                                : Limits{get(set, "mmc") - 0.1, get(set, "mmc")};
    return feature;
}

void like(int count, int n, double p) {
    BOOST_TEST(std::abs(count / double(n) - p) < 5 * std::sqrt(p * (1 - p) / n),
               count / double(n) << " " << p);
}

} // namespace

BOOST_AUTO_TEST_SUITE(round_zone)

BOOST_AUTO_TEST_CASE(radii_of_reference) {
    for (const auto& set : reference::sets("capability", "position_radius")) {
        const double sx = get(set, "sx"), sy = get(set, "sy");
        const auto law = place(get(set, "offset"), 0, sx * sx, 0, sy * sy);
        BOOST_TEST_CONTEXT(set.dump()) {
            BOOST_TEST(position_quantile(get(set, "p"), law) / 2 == get(set, "expected"),
                       given_digits(set));
            BOOST_CHECK_SMALL(outside_zone(2 * get(set, "expected"), law) - (1 - get(set, "p")),
                              1e-7);
        }
    }
}

BOOST_AUTO_TEST_CASE(shares_and_indices_of_reference) {
    for (const auto& set : reference::sets("capability", "outside_zone"))
        BOOST_TEST(outside_zone(get(set, "diameter"), round_place(get(set, "sigma"))) ==
                       get(set, "expected"),
                   given_digits(set));
    for (const auto& set : reference::sets("capability", "position_index"))
        BOOST_TEST(position_index(get(set, "diameter"), round_place(get(set, "sigma"))) ==
                       get(set, "expected"),
                   given_digits(set));
}

BOOST_AUTO_TEST_CASE(round_laws_go_over_to_the_general_one) {
    // The general integral is another one; it is good to 1e-8.
    for (const double offset : {0.0, 0.3, 2.0})
        for (const double zone : {0.5, 2.0, 5.0, 9.0}) {
            const auto exact = place(offset, 0, 1, 0, 1);
            const auto general = place(offset, 0, 1 + 1e-12, 0, 1);
            BOOST_CHECK_SMALL(outside_zone(zone, exact) - outside_zone(zone, general), 2e-8);
        }
    for (const double p : {0.5, 0.9, 0.99865})
        BOOST_TEST(position_quantile(p, place(0.4, -0.3, 1, 0, 1)) ==
                       position_quantile(p, place(0.4, -0.3, 1, 1e-13, 1)),
                   tt::tolerance(1e-5));
    // Tails: of Rayleigh as written; off the place never below it.
    BOOST_TEST(outside_zone(20, round_place(1)) == std::exp(-50), tt::tolerance(1e-12));
    BOOST_TEST(outside_zone(20, place(1e-5, 0, 1, 0, 1)) == std::exp(-50), tt::tolerance(1e-6));
    BOOST_TEST(equivalent_index(outside_zone(20, place(1, 0, 1, 0, 1))) < 20 / 2.0 / 3);
}

BOOST_AUTO_TEST_CASE(a_general_place_is_what_counting_says) {
    const auto law = place(0.3, -0.2, 0.4, -0.15, 0.2);
    const Eigen::Matrix2d factor = law.covariance.llt().matrixL();
    const double at = position_quantile(0.9, law);
    std::mt19937_64 random(3);
    std::normal_distribution<double> normal;
    constexpr int n = 400'000;
    int outside = 0, beyond = 0;
    for (int i = 0; i < n; ++i) {
        const double a = normal(random), b = normal(random);
        const Eigen::Vector2d x = law.mean + factor * Eigen::Vector2d(a, b);
        outside += 2 * x.norm() > 2;
        beyond += 2 * x.norm() > at;
    }
    like(outside, n, outside_zone(2, law));
    like(beyond, n, 0.1);
}

BOOST_AUTO_TEST_CASE(boundaries_of_reference) {
    for (const auto& set : reference::sets("capability", "virtual_condition"))
        BOOST_TEST(virtual_condition(sized(set)) == get(set, "expected"), given_digits(set));
    for (const auto& set : reference::sets("capability", "available_tolerance"))
        BOOST_TEST(available_zone(sized(set), get(set, "actual")).value() == get(set, "expected"),
                   given_digits(set));
    SizedFeature shaft{false, {9.85, 9.95}, 0.1, true};
    BOOST_TEST(available_zone(shaft, 9.9).value() == 0.15, tt::tolerance(1e-9));
    BOOST_TEST(!available_zone(shaft, 9.96).has_value());
    BOOST_TEST(!available_zone(shaft, 9.84).has_value());
    shaft.maximum_material = false;
    BOOST_TEST(available_zone(shaft, 9.9).value() == 0.1);
}

BOOST_AUTO_TEST_CASE(joint_conformity_of_reference) {
    for (const auto& set : reference::sets("capability", "joint_conformity")) {
        const SizedFeature hole{true,
                                {get(set, "TL"), get(set, "TU")},
                                get(set, "pos_tol"),
                                set.at("maximum_material").get<bool>()};
        BOOST_TEST(joint_conformity(hole,
                                    get(set, "size_mean"),
                                    get(set, "size_sd"),
                                    round_place(get(set, "pos_sigma"))) == get(set, "expected"),
                   given_digits(set));
    }
}

BOOST_AUTO_TEST_CASE(joint_conformity_of_simulated_parts) {
    const auto law = place(0.04, 0.01, 0.0016, 0.0006, 0.0009);
    const Eigen::Matrix2d factor = law.covariance.llt().matrixL();
    const SizedFeature hole{true, {10, 10.1}, 0.12, true};
    const SizedFeature shaft{false, {9.9, 10}, 0.12, true};
    std::mt19937_64 random(11);
    std::normal_distribution<double> normal;
    constexpr int n = 400'000;
    int holes = 0, shafts = 0;
    for (int i = 0; i < n; ++i) {
        const double size = 0.03 + 0.03 * normal(random); // from maximum material on
        const double a = normal(random), b = normal(random);
        const Eigen::Vector2d x = law.mean + factor * Eigen::Vector2d(a, b);
        const bool good = size >= 0 && size <= 0.1 && 2 * x.norm() <= 0.12 + size;
        holes += good;
        shafts += good;
    }
    like(holes, n, joint_conformity(hole, 10.03, 0.03, law));
    like(shafts, n, joint_conformity(shaft, 9.97, 0.03, law));
}

BOOST_AUTO_TEST_CASE(joint_conformity_in_its_limits) {
    const auto law = round_place(0.05);
    const SizedFeature hole{true, {10, 10.1}, 0.2, true};
    // A size that does not vary: the zone it leaves, or nothing.
    BOOST_TEST(joint_conformity(hole, 10.06, 0, law) == 1 - outside_zone(0.26, law),
               tt::tolerance(1e-12));
    BOOST_TEST(joint_conformity(hole, 10.06, 1e-9, law) == 1 - outside_zone(0.26, law),
               tt::tolerance(1e-6));
    BOOST_TEST(joint_conformity(hole, 9.99, 0, law) == 0);
    BOOST_TEST(joint_conformity(hole, 9.0, 0.01, law) == 0);
    // A place without doubt: the size alone.
    const SizedFeature wide{true, {10, 10.1}, 100, false};
    BOOST_TEST(joint_conformity(wide, 10.1, 0.01, law) == 0.5, tt::tolerance(1e-8));
}

BOOST_AUTO_TEST_SUITE_END()
