// SPDX-License-Identifier: MIT
// What linear signed numbers leave out where points lie on curves: against the exact length of a
// line by Pythagoras, and promises against draws of that.
#include "holdable/propagate/bend.hpp"

#include "holdable/base/error.hpp"
#include "promise_models.hpp"

#include <boost/test/unit_test.hpp>

#include <algorithm>
#include <cmath>
#include <random>

using namespace holdable;
using namespace holdable::promise_models;
using holdable::propagate::left_out_by_bending;
namespace tt = boost::test_tools;

namespace {

/// The distance of two axes: moved along it by σ = 0.01, across by σ = 0.3.
PartModel distance(double nominal) {
    PartModel m;
    m.inputs = {input("along", normal(0.01)), input("across", normal(0.3))};
    m.characteristics = {size(0, -0.05, 0.05, 2)};
    auto& one = m.characteristics[0];
    one.effect << 1, 0;
    one.bend = {nominal, Eigen::VectorXd::Zero(1), Eigen::RowVector2d(0, 1)};
    return m;
}

} // namespace

BOOST_AUTO_TEST_SUITE(bend)

BOOST_AUTO_TEST_CASE(is_what_pythagoras_says) {
    PartModel m;
    m.characteristics = {size(0.01, -1.0, 1, 0)};
    m.characteristics[0].bend = {10, Eigen::VectorXd::Constant(1, 0.2), Eigen::MatrixXd(1, 0)};
    const double exact = std::hypot(10.01, 0.2) - 10.01;
    // The next order is smaller by d/r, a thousandth.
    BOOST_TEST(left_out_by_bending(m, 0, {}) == exact, tt::tolerance(2e-3));
}

BOOST_AUTO_TEST_CASE(nothing_bends_without_a_radius) {
    auto m = distance(0);
    BOOST_TEST(left_out_by_bending(m, 0, {}) == 0.0);
}

BOOST_AUTO_TEST_CASE(what_matters_is_made_up_for_and_said) {
    const auto m = distance(10);
    const auto r = promise(m, levels(0.95, 0.95, 2000));
    BOOST_REQUIRE(r.notes.size() == 1U);
    BOOST_TEST(r.notes[0].find("what moves across the direction measured") != std::string::npos);
    // The C-quantile of the exact length's error, by draws of its own.
    std::mt19937_64 engine(1);
    std::normal_distribution<double> along(0, 0.01), across(0, 0.3);
    std::vector<double> errors(200'000);
    for (auto& e : errors)
        e = std::abs(std::hypot(10 + along(engine), across(engine)) - 10);
    const auto at = errors.begin() + 190'000;
    std::nth_element(errors.begin(), at, errors.end());
    BOOST_TEST(r.promises[0].smallest >= *at);
    BOOST_TEST(r.promises[0].smallest < 3 * *at);
    // Both statements stay one: what is added to the promise is taken off the limits.
    auto wide = m;
    wide.characteristics[0].upper = 1.02 * r.promises[0].smallest;
    wide.characteristics[0].lower = -wide.characteristics[0].upper;
    BOOST_TEST(promise(wide, levels(0.95, 0.95, 2000)).promises[0].gamma > 0.95);
    BOOST_TEST(first_look(m, levels(0.95, 0.95, 2000), true)[0].smallest ==
                   r.promises[0].smallest,
               tt::tolerance(0.02));
}

BOOST_AUTO_TEST_CASE(what_does_not_matter_changes_no_digit) {
    auto straight = distance(10'000);
    straight.characteristics[0].bend = {};
    const auto a = promise(straight, levels(0.95, 0.95, 2000));
    const auto b = promise(distance(10'000), levels(0.95, 0.95, 2000));
    BOOST_TEST(b.notes.empty());
    BOOST_TEST(a.promises[0].smallest == b.promises[0].smallest);
    BOOST_TEST(a.promises[0].gamma == b.promises[0].gamma);
}

BOOST_AUTO_TEST_CASE(limits_narrower_than_what_is_left_out_hold_nothing) {
    auto m = distance(10);
    m.characteristics[0].lower = -1e-6;
    m.characteristics[0].upper = 1e-6;
    const auto r = promise(m, levels(0.95, 0.95, 2000));
    BOOST_TEST(r.promises[0].gamma == 0.0);
    BOOST_TEST(std::isfinite(r.promises[0].smallest));
}

BOOST_AUTO_TEST_CASE(shapes_that_do_not_fit_are_refused) {
    auto m = distance(10);
    m.characteristics[0].bend.known.resize(2);
    BOOST_CHECK_THROW(promise(m, {}), NumericError);
    m = distance(-1);
    BOOST_CHECK_THROW(left_out_by_bending(m, 0, {}), NumericError);
}

BOOST_AUTO_TEST_SUITE_END()
