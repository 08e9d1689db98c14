// SPDX-License-Identifier: MIT
// Parts and their readings drawn together. Against global risks of normal and gamma priors computed
// by quadrature and bivariate normal rectangles (recomputed, no printed source; the formulas are
// those of JCGM 106:2012, clause 9, from memory), and against cases whose answer needs no
// computing: an error shared by part and reading does not show, one in the reading alone does.
// Within six of the standard errors that are returned, which must themselves be small.
#include "holdable/propagate/measured.hpp"

#include "propagate/promise_models.hpp"

#include <boost/test/unit_test.hpp>

#include <cmath>

using namespace holdable;
using namespace holdable::promise_models;
namespace tt = boost::test_tools;

namespace {

MeasurementError no_error(const PartModel& part) {
    const auto n = static_cast<Eigen::Index>(part.inputs.size());
    const auto q = part.characteristics[0].known.size();
    return {Eigen::VectorXd::Zero(q), Eigen::MatrixXd::Zero(q, n), 0, Eigen::VectorXd::Zero(n)};
}

/// A part from one law, read with an error u by itself.
struct Case {
    PartModel part;
    MeasurementError error;
};

Case read_with(
    stats::Distribution law, double known, std::optional<double> lower, double upper, double u) {
    Case c;
    c.part.inputs = {input("process", std::move(law), Sharing::part),
                     input("gauge", normal(u), Sharing::part)};
    c.part.characteristics = {size(known, lower, upper, 2)};
    c.part.characteristics[0].effect(0, 1) = 0;
    c.error = no_error(c.part);
    c.error.value_effect[1] = 1;
    return c;
}

MeasuredParts of(const Case& c, const Accepted& accepted, const PromiseOptions& options = {}) {
    return measured_parts(
        c.part,
        0,
        c.error,
        accepted,
        [](std::span<double> readings) {
            for (double& m : readings)
                m = std::abs(m);
        },
        options);
}

void risks(const MeasuredParts& seen, double accepted_bad, double refused_good) {
    BOOST_TEST(seen.accepted_bad_error < 0.003);
    BOOST_TEST(seen.refused_good_error < 0.008);
    BOOST_TEST(std::abs(seen.accepted_bad - accepted_bad) < 6 * seen.accepted_bad_error + 1e-4,
               seen.accepted_bad << " wanted " << accepted_bad);
    BOOST_TEST(std::abs(seen.refused_good - refused_good) < 6 * seen.refused_good_error + 1e-4,
               seen.refused_good << " wanted " << refused_good);
}

} // namespace

BOOST_AUTO_TEST_SUITE(measured)

BOOST_AUTO_TEST_CASE(two_limits_and_a_normal_process) {
    const auto centred = read_with(normal(0.12), 0, -0.2, 0.2, 0.04);
    risks(of(centred, {-0.2, 0.2}), 0.018942, 0.037208);
    risks(of(centred, {-0.16, 0.16}), 0.004334, 0.11466);
    risks(of(centred, {-0.12, 0.12}), 0.000469, 0.24767);
    const auto off = read_with(normal(0.010), 0.010, -0.03, 0.03, 0.006);
    risks(of(off, {-0.03, 0.03}), 0.006796, 0.027490);
    risks(of(off, {-0.0201, 0.0201}), 0.000448, 0.17582);
}

BOOST_AUTO_TEST_CASE(one_limit_and_a_gamma_process) {
    // shape 4, rate 4: mean 1, standard deviation 0.5 (inputs from memory of the bearing example)
    const auto bearing = read_with(stats::Gamma{1, 0.5}, -1, {}, 2, 0.25);
    auto c = bearing;
    c.part.characteristics[0].known[0] = 0; // the law has its mean in it
    risks(of(c, {-10, 2}), 0.008019, 0.017445);
    risks(of(c, {-10, 1.8}), 0.002612, 0.046077);
    risks(of(c, {-10, 1.6}), 0.000534, 0.096288);
    BOOST_TEST(of(c, {-10, 2}).bad == 0.04238, tt::tolerance(0.15));
}

BOOST_AUTO_TEST_CASE(knowledge_is_drawn_once_a_world) {
    // The same total scatter, most of it unknown and common: the next part's chances are the same.
    Case c = read_with(normal(0.06), 0, -0.2, 0.2, 0.04);
    c.part.inputs.push_back(input("geometry", normal(std::sqrt(0.12 * 0.12 - 0.06 * 0.06))));
    c.part.characteristics[0].effect.conservativeResize(1, 3);
    c.part.characteristics[0].effect(0, 2) = 1;
    c.error = no_error(c.part);
    c.error.value_effect[1] = 1;
    const auto seen = of(c, {-0.2, 0.2});
    BOOST_TEST(std::abs(seen.accepted_bad - 0.018942) < 6 * seen.accepted_bad_error);
    BOOST_TEST(std::abs(seen.refused_good - 0.037208) < 6 * seen.refused_good_error);
}

BOOST_AUTO_TEST_CASE(what_is_shared_does_not_show) {
    // The machine that cut the part measures it: its error stands in both, so every reading is 0.
    Case c;
    c.part.inputs = {input("geometry", normal(4))};
    c.part.characteristics = {size(3, -4.0, 4, 1)};
    c.error = no_error(c.part);
    c.error.effect(0, 0) = -1;
    c.error.known[0] = -3;
    const auto seen = of(c, {-4, 4});
    BOOST_TEST(seen.accepted == 1.0);
    BOOST_TEST(seen.refused_good == 0.0);
    BOOST_TEST(seen.accepted_bad == seen.bad);
    BOOST_TEST(seen.bad > 0.3); // |3 + 4 z| > 4
    BOOST_TEST(seen.outermost == 0.0);
    BOOST_TEST(seen.error_mean == -3, tt::tolerance(0.2)); // of M − X
    BOOST_TEST(seen.error_standard == 4, tt::tolerance(0.2));
}

BOOST_AUTO_TEST_CASE(errors_of_points_and_of_the_value) {
    // |d| of two numbers: an error of the points moves the zone, one of the value adds to it.
    Case c;
    c.part.inputs = {input("still", normal(1e-9), Sharing::part)};
    Characteristic lean;
    lean.name = "lean";
    lean.reduction = Reduction::magnitude;
    lean.known = Eigen::Vector2d(3, 0);
    lean.effect = Eigen::MatrixXd::Zero(2, 1);
    lean.effect(0, 0) = 1;
    lean.upper = 10;
    c.part.characteristics = {lean};
    c.error = no_error(c.part);
    c.error.known = Eigen::Vector2d(0, 4);
    BOOST_TEST(of(c, {-10, 10}).outermost == 5, tt::tolerance(1e-6));
    c.error.value_known = 2;
    BOOST_TEST(of(c, {-10, 10}).outermost == 7, tt::tolerance(1e-6));
    BOOST_TEST(of(c, {-10, 6.9}).refused_good == 1.0);
    BOOST_TEST(of(c, {-10, 7.1}).refused_good == 0.0);
}

BOOST_AUTO_TEST_CASE(how_far_readings_lie_out) {
    // Of a part without error of measuring that is t(P, C): the example of promise_models.hpp,
    // ±13.723 at 0.95, 0.95 (recomputed by quadrature, no printed source). 1000 worlds: about 1 %
    // of it.
    Case c{example(), {}};
    c.error = no_error(c.part);
    BOOST_TEST(of(c, {}, levels(0.95, 0.95)).outermost == 13.723, tt::tolerance(0.06));
}

BOOST_AUTO_TEST_CASE(threads_change_nothing) {
    const auto c = read_with(normal(0.12), 0, -0.2, 0.2, 0.04);
    PromiseOptions one, three;
    one.threads = 1;
    three.threads = 3;
    const auto a = of(c, {-0.2, 0.2}, one), b = of(c, {-0.2, 0.2}, three);
    BOOST_TEST(a.accepted_bad == b.accepted_bad);
    BOOST_TEST(a.outermost == b.outermost);
    BOOST_TEST(a.error_standard == b.error_standard);
}

BOOST_AUTO_TEST_SUITE_END()
