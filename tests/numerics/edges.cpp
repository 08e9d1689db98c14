// SPDX-License-Identifier: MIT
// Where formulas end: correlations of ±1, no uncertainty, one reading, huge and tiny scales, nearly
// singular solves, the ends of domains. Each has an answer by hand (the sum of what cancels is 0, a
// scale comes out as it went in) or is refused; nothing else is compared. Tolerance 1e-12 relative,
// some thousands of roundings, unless said otherwise.
#include "holdable/base/error.hpp"
#include "holdable/decide/gauge_study.hpp"
#include "holdable/decide/rule.hpp"
#include "holdable/decide/tolerance_interval.hpp"
#include "holdable/machine/equations.hpp"
#include "holdable/propagate/agreement.hpp"
#include "holdable/propagate/closed_forms.hpp"
#include "holdable/propagate/gum.hpp"
#include "holdable/propagate/monte_carlo.hpp"
#include "holdable/propagate/promise.hpp"
#include "holdable/stats/analysis_of_variance.hpp"
#include "holdable/stats/covariance.hpp"
#include "holdable/stats/minimum_zone.hpp"
#include "holdable/stats/normal.hpp"
#include "holdable/stats/regression.hpp"
#include "holdable/stats/sample.hpp"
#include "propagate/examples.hpp"
#include "propagate/promise_models.hpp"

#include <boost/test/unit_test.hpp>

#include <cmath>
#include <limits>
#include <string>
#include <vector>

using namespace holdable;
using namespace holdable::propagate;
using propagate::examples::budget;
using propagate::examples::input;
using stats::Fixed;
using stats::Normal;
using stats::Rectangular;
namespace tt = boost::test_tools;

namespace {

/// A formula of a and b whose laws have this coefficient.
Budget pair(const std::string& formula, const stats::Distribution& law, double coefficient) {
    auto b = budget({input("a", law), input("b", law)}, formula);
    b.correlations = {{"a", "b", coefficient}};
    return b;
}

MonteCarloResult run(const Budget& b) {
    return monte_carlo(b, {.trials = 20'000});
}

} // namespace

BOOST_AUTO_TEST_SUITE(edges)

// ---- correlations

BOOST_AUTO_TEST_CASE(what_varies_as_one_cancels_or_adds) {
    for (const auto& [formula, coefficient] : {std::pair{"a - b", 1.0}, std::pair{"a + b", -1.0}}) {
        for (const stats::Distribution& law :
             {stats::Distribution(Normal{5, 2}), stats::Distribution(Rectangular{5, 2})}) {
            const auto b = pair(formula, law, coefficient);
            const auto first = gum(b).outputs[0];
            BOOST_TEST(first.standard < 1e-7); // √ of a rounding of 4
            BOOST_TEST(first.value == (coefficient > 0 ? 0 : 10), tt::tolerance(1e-12));
            const auto drawn = run(b).outputs[0];
            BOOST_TEST(*drawn.standard < 1e-7);
            BOOST_TEST(std::abs(drawn.value - first.value) < 1e-7);
        }
        const auto b = pair(coefficient > 0 ? "a + b" : "a - b", Normal{5, 2}, coefficient);
        BOOST_TEST(gum(b).outputs[0].standard == 4, tt::tolerance(1e-12));
        const auto drawn = run(b).outputs[0];
        BOOST_TEST(std::abs(*drawn.standard - 4) < 6 * *drawn.standard_error);
    }
}

BOOST_AUTO_TEST_CASE(nearly_one_is_not_one) {
    // u² = 2 · 4 (1 − r).
    const auto b = pair("a - b", Normal{0, 2}, 1 - 1e-6);
    const double wanted = std::sqrt(8e-6);
    BOOST_TEST(gum(b).outputs[0].standard == wanted, tt::tolerance(1e-9));
    const auto drawn = run(b).outputs[0];
    BOOST_TEST(std::abs(*drawn.standard - wanted) < 6 * *drawn.standard_error);
}

BOOST_AUTO_TEST_CASE(three_that_vary_as_one) {
    const std::vector<std::string> names{"a", "b", "c"};
    Eigen::Matrix3d r;
    r << 1, 1, -1, 1, 1, -1, -1, -1, 1;
    const auto l = stats::correlation_factor(r, names);
    BOOST_TEST((l * l.transpose() - r).cwiseAbs().maxCoeff() < 1e-15);
    r(0, 2) = r(2, 0) = 1; // a as c, b against c, but a as b
    BOOST_CHECK_THROW(stats::correlation_factor(r, names), NumericError);
    BOOST_TEST(stats::contradiction(r).members.size() == 3U);
}

// ---- no uncertainty, one reading

BOOST_AUTO_TEST_CASE(nothing_is_in_doubt) {
    auto b = budget({input("a", Fixed{3}), input("b", Fixed{4})}, "a*b");
    b.outputs.push_back({"z", "a + b"});
    const auto first = gum(b);
    const auto drawn = run(b);
    BOOST_TEST(first.covariance.isZero(0));
    BOOST_TEST(first.correlation.isIdentity(0));
    BOOST_TEST(drawn.covariance.isZero(0));
    for (std::size_t k = 0; k < 2; ++k) {
        BOOST_TEST(first.outputs[k].interval.low == (k == 0 ? 12 : 7));
        BOOST_TEST(drawn.outputs[k].interval.width() == 0);
        const auto agrees = agreement(first.outputs[k], drawn.outputs[k], 2);
        BOOST_TEST(agrees.gum_valid);
        BOOST_TEST(agrees.certain);
    }
}

BOOST_AUTO_TEST_CASE(a_part_without_doubt_is_good_or_bad) {
    PartModel part;
    part.characteristics = {promise_models::size(3, -12.0, 12, 0)};
    const auto good = promise(part, promise_models::levels(0.95, 0.95, 1000)).promises[0];
    BOOST_TEST(good.gamma == 1);
    BOOST_TEST(good.next_part == 1);
    BOOST_TEST(good.smallest == 3, tt::tolerance(1e-12));
    part.characteristics = {promise_models::size(13, -12.0, 12, 0)};
    const auto bad = promise(part, promise_models::levels(0.95, 0.95, 1000)).promises[0];
    BOOST_TEST(bad.gamma == 0);
    BOOST_TEST(bad.next_part == 0);
    BOOST_TEST(bad.smallest == 13, tt::tolerance(1e-12));
}

BOOST_AUTO_TEST_CASE(one_reading_shows_no_scatter) {
    BOOST_CHECK_EXCEPTION(
        stats::check(stats::Readings{{5.0}}), InputError, [](const InputError& e) {
            return e.diagnostics().front().id == "distribution-parameter";
        });
    const std::vector<double> one{5};
    const auto moments = stats::moments(one);
    BOOST_TEST(moments.mean == 5);
    BOOST_TEST(moments.variance() == 0);
    BOOST_TEST(moments.mean_error() == 0);
    BOOST_TEST(stats::sample_quantile(one, 0) == 5);
    BOOST_TEST(stats::sample_quantile(one, 1) == 5);
    const stats::JointMoments two{1, Eigen::VectorXd::Constant(2, 5), Eigen::MatrixXd::Zero(2, 2)};
    BOOST_TEST(two.covariance().isZero(0));
    BOOST_CHECK_THROW(decide::bias_study(one, 4), NumericError);
    BOOST_CHECK_THROW(stats::one_way(std::vector<std::vector<double>>{{1}, {2}, {3}}),
                      NumericError);
    BOOST_CHECK_THROW(stats::fit_line(Eigen::VectorXd::Ones(1), Eigen::VectorXd::Ones(1)),
                      NumericError);
    // Two that are alike show a scatter of nothing.
    BOOST_TEST(gum(budget({input("x", stats::Readings{{5, 5}})}, "x")).outputs[0].standard == 0);
    const stats::Variation none{0, 3}, some{6, 3};
    BOOST_TEST(stats::f_test(none, none).p == 1);
    BOOST_TEST(stats::f_test(some, none).p == 0);
    BOOST_TEST(std::isfinite(stats::f_test(some, none).ratio));
}

// ---- scales

BOOST_AUTO_TEST_CASE(a_scale_comes_out_as_it_went_in) {
    const auto at = [](double scale) {
        return budget({input("a", Normal{3 * scale, scale, 5}),
                       input("b", Rectangular{0, 2 * scale}),
                       input("c", Normal{2, 0.1})},
                      "(a + b)*c");
    };
    const auto first = gum(at(1)).outputs[0];
    const auto drawn = run(at(1)).outputs[0];
    for (const double scale : {1e-60, 1e-30, 1e30, 1e60}) {
        const auto scaled = gum(at(scale)).outputs[0];
        BOOST_TEST(scaled.standard / scale == first.standard, tt::tolerance(1e-12));
        BOOST_TEST(*scaled.second_order_standard / scale == *first.second_order_standard,
                   tt::tolerance(1e-12));
        BOOST_TEST(*scaled.dof == *first.dof, tt::tolerance(1e-12));
        BOOST_TEST(scaled.contributions[1].share == first.contributions[1].share,
                   tt::tolerance(1e-12));
        const auto same = run(at(scale)).outputs[0]; // the same draws
        BOOST_TEST(same.value / scale == drawn.value, tt::tolerance(1e-12));
        BOOST_TEST(*same.standard / scale == *drawn.standard, tt::tolerance(1e-12));
        BOOST_TEST(*same.standard_error / scale == *drawn.standard_error, tt::tolerance(1e-9));
        BOOST_TEST(same.interval.high / scale == drawn.interval.high, tt::tolerance(1e-12));
    }
    // Beyond, squares are no numbers.
    for (const double scale : {1e-200, 1e-160, 1e90, 1e200})
        BOOST_CHECK_THROW(gum(at(scale)), NumericError);
    for (const double scale : {1e90, 1e200})
        BOOST_CHECK_THROW(run(at(scale)), NumericError);
}

BOOST_AUTO_TEST_CASE(promises_have_the_scale_of_their_part) {
    const auto at = [](double scale) {
        PartModel part = promise_models::example();
        for (auto& one : part.inputs)
            std::get<Normal>(one.law).standard *= scale;
        part.characteristics = {promise_models::size(3 * scale, -12 * scale, 12 * scale, 2)};
        return promise(part, promise_models::levels(0.95, 0.95, 2000)).promises[0];
    };
    const auto whole = at(1);
    for (const double scale : {1e-12, 1e-6, 1e9}) {
        const auto scaled = at(scale);
        BOOST_TEST(scaled.smallest / scale == whole.smallest, tt::tolerance(1e-9));
        BOOST_TEST(scaled.gamma == whole.gamma);
        BOOST_TEST(scaled.next_part == whole.next_part, tt::tolerance(1e-9));
    }
}

BOOST_AUTO_TEST_CASE(zones_and_fits_have_the_scale_of_their_points) {
    Eigen::MatrixXd design(6, 2);
    Eigen::VectorXd z(6);
    for (int i = 0; i < 6; ++i) {
        design.row(i) << 1, i;
        z[i] = std::sin(2.0 * i);
    }
    const std::vector<std::string> names{"level", "slope"};
    const double width = stats::minimum_zone(design, z).width;
    const auto fit = stats::fit(design, z, names);
    for (const double scale : {1e-100, 1e-9, 1e9, 1e100}) {
        BOOST_TEST(stats::minimum_zone(design, z * scale).width / scale == width,
                   tt::tolerance(1e-12));
        Eigen::MatrixXd stretched = design;
        stretched.col(1) /= scale; // the slope is that much steeper
        const auto scaled = stats::fit(stretched, z, names);
        BOOST_TEST(scaled.coefficients[1] / scale == fit.coefficients[1], tt::tolerance(1e-12));
        BOOST_TEST(scaled.residual_standard_deviation == fit.residual_standard_deviation,
                   tt::tolerance(1e-12));
    }
}

// ---- nearly singular

BOOST_AUTO_TEST_CASE(columns_that_hang_together_are_told_apart_or_named) {
    const auto with = [](double apart) {
        Eigen::MatrixXd design(8, 3);
        for (int i = 0; i < 8; ++i)
            design.row(i) << 1, i, 2 + i + apart * (i % 3);
        return design;
    };
    const std::vector<std::string> names{"level", "slope", "other"};
    const Eigen::Vector3d truth(1, 2, 3);
    const auto apart = with(1e-6);
    // A condition of some 1e7 leaves 9 digits.
    BOOST_TEST(
        (stats::fit(apart, apart * truth, names).coefficients - truth).cwiseAbs().maxCoeff() <
        1e-7);
    BOOST_CHECK_THROW(stats::fit(with(0), with(0) * truth, names), NumericError);
    BOOST_CHECK_THROW(stats::fit(with(1e-15), with(1e-15) * truth, names), NumericError);
    BOOST_CHECK_THROW(stats::minimum_zone(with(0), Eigen::VectorXd::LinSpaced(8, 0, 1).cwiseAbs2()),
                      NumericError);
}

BOOST_AUTO_TEST_CASE(readings_without_doubt_must_not_contradict) {
    // One unknown, prior 0 ± 1, read twice.
    const auto read_as = [](double first, double second) {
        return Equations{Eigen::MatrixXd::Ones(2, 1),
                         Eigen::Vector2d(first, second),
                         Eigen::Vector2d::Zero(),
                         Eigen::VectorXd::Zero(1),
                         Eigen::VectorXd::Ones(1),
                         Eigen::VectorXd(),
                         {"check"},
                         {{0, 1}},
                         {0}};
    };
    const auto e = read_as(1, 2);
    BOOST_CHECK_THROW(fit(e, e.noise), NumericError);
    // With a little of it their mean is taken: x̂ = Σ y/(2 + r), r the variance of one.
    const Eigen::Vector2d little = Eigen::Vector2d::Constant(1e-9);
    const auto f = fit(e, little);
    BOOST_TEST((f.gain * f.readings)(0) == 3 / (2 + 1e-9), tt::tolerance(1e-6));
}

// ---- ends of domains

BOOST_AUTO_TEST_CASE(ends_of_the_normal_law) {
    BOOST_TEST(stats::normal_cdf(-40) == 0);
    BOOST_TEST(stats::normal_cdf(40) == 1);
    BOOST_TEST(stats::normal_quantile(0.5) == 0);
    const double least = std::numeric_limits<double>::min();
    BOOST_TEST(stats::normal_cdf(stats::normal_quantile(least)) / least == 1, tt::tolerance(1e-12));
    const double most = 1 - 0x1p-53;
    BOOST_TEST(stats::normal_quantile(most) == -stats::normal_quantile(0x1p-53),
               tt::tolerance(1e-14));
    BOOST_TEST(coverage_factor(1e-12, {}) > 0);
    // Student's law with one degree of freedom has the quantile tan(π (p − 1/2)).
    BOOST_TEST(coverage_factor(1 - 0x1p-40, 1.0) * std::tan(std::acos(-1.0) * 0x1p-41) == 1,
               tt::tolerance(1e-10));
    BOOST_TEST(coverage_factor(0.95, 1e12) == coverage_factor(0.95, {}), tt::tolerance(1e-9));
}

BOOST_AUTO_TEST_CASE(ends_of_zones) {
    BOOST_TEST(folded_cdf(0, 0, 0) == 1);
    BOOST_TEST(folded_cdf(-1, 0, 1) == 0);
    BOOST_TEST(folded_quantile(0.95, -7, 0) == 7);
    // Far from 0 nothing is folded.
    BOOST_TEST(folded_quantile(0.95, 1e9, 1) - 1e9 == stats::normal_quantile(0.95),
               tt::tolerance(1e-6));
    const Eigen::Vector2d off(3, 4);
    BOOST_TEST(disk_quantile(0.95, off, Eigen::Matrix2d::Zero()) == 5);
    BOOST_TEST(disk_cdf(0, off, Eigen::Matrix2d::Identity()) == 0);
    BOOST_TEST(disk_cdf(5.1, off, Eigen::Matrix2d::Zero()) == 1);
    BOOST_TEST(disk_cdf(4.9, off, Eigen::Matrix2d::Zero()) == 0);
    // Along one line alone it is one folded law.
    const Eigen::Matrix2d line = Eigen::Vector2d(0.6, 0.8) * Eigen::RowVector2d(0.6, 0.8);
    BOOST_TEST(disk_quantile(0.95, {0, 0}, line) == folded_quantile(0.95, 0, 1),
               tt::tolerance(1e-7));
}

BOOST_AUTO_TEST_CASE(the_narrowest_tolerance_that_can_be_proved) {
    // The value in the middle of T conforms with 95 % where T/2 = z(0.975) u: no guard beyond that.
    const double edge = 2 * stats::normal_quantile(0.975);
    const auto just = decide::guard_factor(0.95, edge * (1 + 1e-9));
    BOOST_TEST_REQUIRE(just.has_value());
    BOOST_TEST(*just == edge / 2, tt::tolerance(1e-4));
    BOOST_TEST(!decide::guard_factor(0.95, edge * (1 - 1e-9)).has_value());
    BOOST_TEST(*decide::guard_factor(0.95, 1e300) == stats::normal_quantile(0.95),
               tt::tolerance(1e-12));
    BOOST_TEST(decide::conformance(1, 0.01, {0, 1}) == 0.5, tt::tolerance(1e-12));
    BOOST_TEST(decide::smallest_sample_one_limit(0.5, 0.5) == 1);
}

BOOST_AUTO_TEST_SUITE_END()
