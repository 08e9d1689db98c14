// SPDX-License-Identifier: MIT
// Promises of zones about points: widths, patterns, profiles, folded elements and bonus. Against
// closed forms (the folded normal law, chances of independent holes), a quadrature for the bonus,
// minimum zones fitted part by part, and a count of the test's own draws. Tolerances: 6.2 of the
// standard errors stated (promise_models.hpp), where no other reason stands beside.
#include "holdable/base/error.hpp"
#include "holdable/propagate/first_order.hpp"
#include "holdable/propagate/inner.hpp"
#include "holdable/stats/minimum_zone.hpp"
#include "holdable/stats/round_zone.hpp"
#include "promise_models.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>
#include <string>
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

struct Quantile {
    double value, error;
};

/// Of parts without knowledge: one world of 16 000 of them.
Quantile of_parts(const PartModel& m, double p) {
    const propagate::Stack stack(m, false);
    const auto draws = propagate::draw(stack, 1, 1, 16000, 1);
    const propagate::Inner inner(m.characteristics[0], m, stack, 0, draws.all);
    return {inner.value(inner.quantile(0, p)), inner.quantile_error(0, p)};
}

/// 9 × 9 points of a face 0.2 × 0.1 m that bends and waves in a dozen ways, with noise of its own.
Characteristic face() {
    Eigen::MatrixXd free(81, 2), effect(81, 14);
    for (Eigen::Index i = 0; i < 81; ++i) {
        const double x = 0.2 * (double(i % 9) / 8 - 0.5);
        const double y = 0.1 * (double(i / 9) / 8 - 0.5);
        free.row(i) << x, y;
        for (int k = 0; k < 14; ++k)
            effect(i, k) = std::sin(1.0 + k + 9 * (k % 4) * x + 17 * (k % 5) * y) +
                           0.3 * std::cos(double(i * (k + 3)));
    }
    Characteristic c = zone(Reduction::width, 1e-6 * effect.col(0), effect);
    c.free = free;
    c.upper = 10e-6;
    return c;
}

/// Eight holes on a circle, each with its own error, that may shift and turn.
Characteristic holes() {
    Eigen::MatrixXd free = Eigen::MatrixXd::Zero(16, 3);
    for (Eigen::Index i = 0; i < 8; ++i) {
        const double turn = double(i) * std::numbers::pi / 4;
        free.middleRows<2>(2 * i) << 1, 0, -0.05 * std::sin(turn), 0, 1, 0.05 * std::cos(turn);
    }
    Characteristic c =
        zone(Reduction::twice_worst, Eigen::VectorXd::Zero(16), Eigen::MatrixXd::Identity(16, 16));
    c.free = free;
    c.upper = 6e-6;
    return c;
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
        const Quantile q = of_parts(m, 0.95);
        near(q.value, row.t, q.error, 0.0005, "width");
        BOOST_TEST(propagate::first_order(m, 0, 0.95).value == row.b);
    }
}

BOOST_AUTO_TEST_CASE(what_floats_is_exact_part_by_part) {
    // No knowledge: the 95 % point of t is the order statistic of the values of the parts, each
    // fitted by itself. The engine's own draws are had from characteristics of one point.
    for (const Characteristic& c : {face(), holes()}) {
        PartModel m;
        for (Eigen::Index i = 0; i < c.effect.cols(); ++i)
            m.inputs.push_back(input("i" + std::to_string(i), normal(1e-6), Sharing::part));
        m.characteristics = {c};
        const propagate::Stack stack(m, false);
        const auto draws = propagate::draw(stack, 1, 1, 500, 1);
        const propagate::Inner inner(c, m, stack, 0, draws.all);
        std::vector<double> values;
        for (Eigen::Index p = 0; p < 500; ++p) {
            const Eigen::VectorXd z =
                (draws.all.shared.row(0) + draws.all.own[0].row(p)).transpose();
            Eigen::MatrixXd design(z.size(), c.free.cols() + 1);
            design.col(0).setOnes();
            if (c.free.cols() > 0)
                design.rightCols(c.free.cols()) = c.free;
            values.push_back(c.reduction == Reduction::width
                                 ? stats::minimum_zone(design, z).width
                                 : 2 * stats::round_zone(c.free, z).radius);
        }
        std::vector<double> sorted = values;
        std::sort(sorted.begin(), sorted.end());
        for (const double p : {0.05, 0.5, 0.95, 1.0}) {
            const double q = inner.quantile(0, p);
            BOOST_TEST(q == sorted[propagate::rank(p, 500)], boost::test_tools::tolerance(1e-9));
            // At the very value of a part, that part is counted.
            const std::size_t world = 0;
            double yield = 0;
            inner.yields({&world, 1}, q, {&yield, 1});
            BOOST_TEST(yield == double(propagate::rank(p, 500) + 1) / 500);
        }
    }
}

BOOST_AUTO_TEST_CASE(eight_holes_must_all_be_good) {
    // σ = 4 in x and y: 95 % of one hole within 2 · 4 √(−2 ln 0.05) = 19.58, of eight holes jointly
    // where each has 0.95^(1/8): 25.43.
    for (const int count : {1, 8}) {
        PartModel m;
        for (int i = 0; i < 2 * count; ++i)
            m.inputs.push_back(input("d" + std::to_string(i), normal(4), Sharing::part));
        m.characteristics = {zone(Reduction::twice_worst,
                                  Eigen::VectorXd::Zero(2 * count),
                                  Eigen::MatrixXd::Identity(2 * count, 2 * count))};
        const Quantile q = of_parts(m, 0.95);
        near(q.value, count == 1 ? 19.58 : 25.43, q.error, 0.005, "holes");
    }
}

BOOST_AUTO_TEST_CASE(two_holes_that_may_shift_are_half_their_distance_off) {
    // The smallest circle about two points has their distance as diameter: the value is that of one
    // hole with half of the difference. Same inputs, same draws.
    PartModel m;
    for (const char* name : {"ax", "ay", "bx", "by"})
        m.inputs.push_back(input(name, normal(3), name[0] == 'a' ? Sharing::part : Sharing::job));
    Characteristic c =
        zone(Reduction::twice_worst, Eigen::Vector4d(5, 0, -1, 2), Eigen::MatrixXd::Identity(4, 4));
    c.free = Eigen::Matrix2d::Identity().replicate(2, 1);
    m.characteristics = {c};
    const PromiseOptions o = levels(0.95, 0.95, 1000);
    const Promise pattern = promise_of(m, o);
    Eigen::MatrixXd half(2, 4);
    half << 0.5, 0, -0.5, 0, 0, 0.5, 0, -0.5;
    m.characteristics = {zone(Reduction::twice_worst, half * c.known, half)};
    const Promise hole = promise_of(m, o);
    const auto close = boost::test_tools::tolerance(1e-8);
    BOOST_TEST(pattern.smallest == hole.smallest, close);
    BOOST_TEST(pattern.next_part == hole.next_part, close);
    BOOST_TEST(pattern.known_value == hole.known_value, close);
    BOOST_TEST(pattern.standard_uncertainty == hole.standard_uncertainty, close);
    BOOST_TEST_REQUIRE(pattern.shares.size() == hole.shares.size());
    for (std::size_t i = 0; i < hole.shares.size(); ++i)
        BOOST_TEST(pattern.shares[i].share == hole.shares[i].share,
                   boost::test_tools::tolerance(1e-4));
}

BOOST_AUTO_TEST_CASE(a_twisted_face_has_its_formula) {
    // 30 µrad over 400 mm, 200 mm wide: κ a b / 2 = 3.000 µm; a plane added is no more.
    Eigen::VectorXd z(77);
    Eigen::MatrixXd free(77, 2);
    for (Eigen::Index i = 0; i < 77; ++i) {
        free.row(i) << 0.4 * double(i % 11) / 10, 0.2 * (double(i / 11) / 6 - 0.5);
        z[i] = 30e-6 / 0.4 * free(i, 0) * free(i, 1) + 5e-6 * free(i, 0) + 1e-6;
    }
    PartModel m;
    m.inputs = {input("shift", normal(1e-6), Sharing::part),
                input("lean", normal(1e-5), Sharing::part)};
    Eigen::MatrixXd effect(77, 2);
    effect << Eigen::VectorXd::Ones(77), free.col(1);
    Characteristic c = zone(Reduction::width, z, effect);
    c.free = free;
    c.upper = 4e-6;
    m.characteristics = {c};
    const Promise p = promise_of(m, levels(0.95, 0.95, 400));
    BOOST_TEST(p.known_value == 3e-6, boost::test_tools::tolerance(1e-9));
    BOOST_TEST(p.smallest == 3e-6, boost::test_tools::tolerance(1e-9));
    BOOST_TEST(p.standard_uncertainty < 1e-15);
    BOOST_TEST(p.gamma == 1.0);
    m.characteristics[0].free.resize(0, 0);
    BOOST_TEST(promise_of(m, levels(0.95, 0.95, 400)).smallest > 4e-6);
}

BOOST_AUTO_TEST_CASE(folded_elements_and_floats_against_a_count) {
    // Nine points with noise and a dish that follows |tilt|, tilt off 0 or not; the test draws and
    // reduces by itself.
    Eigen::MatrixXd free(9, 2), dish(9, 1);
    Eigen::VectorXd known(10);
    for (Eigen::Index i = 0; i < 9; ++i) {
        free.row(i) << double(i % 3) - 1, double(i / 3) - 1;
        dish(i, 0) = 1 - free(i, 0) * free(i, 0);
        known[i] = free(i, 0) * free(i, 1);
    }
    known[9] = 1.5;
    Eigen::MatrixXd effect = 0.7 * Eigen::MatrixXd::Identity(10, 10);
    effect(9, 9) = 2;
    const auto reduced = [&](const Characteristic& c, const Eigen::VectorXd& d) {
        const Eigen::VectorXd z = d.head(c.folded.rows()) + c.folded * std::abs(d[d.size() - 1]);
        if (c.reduction == Reduction::width && c.free.cols() == 0)
            return z.maxCoeff() - z.minCoeff();
        Eigen::MatrixXd design(z.size(), 1 + c.free.cols());
        design.col(0).setOnes();
        if (c.free.cols() > 0)
            design.rightCols(c.free.cols()) = c.free;
        if (c.reduction == Reduction::width)
            return stats::minimum_zone(design, z).width;
        if (c.reduction == Reduction::twice_largest)
            return 2 * z.cwiseAbs().maxCoeff();
        if (c.free.cols() > 0)
            return 2 * stats::round_zone(c.free, z).radius;
        double worst = 0;
        for (Eigen::Index e = 0; e < z.size(); e += 2)
            worst = std::max(worst, 2 * z.segment<2>(e).norm());
        return worst;
    };
    std::vector<Characteristic> all;
    for (const Reduction r : {Reduction::width,
                              Reduction::twice_largest,
                              Reduction::twice_worst,
                              Reduction::width,
                              Reduction::twice_worst}) {
        const bool pairs = r == Reduction::twice_worst;
        const bool floats = all.size() >= 3;
        const Eigen::Index points = pairs ? 8 : 9;
        Characteristic c = zone(r, known.tail(points + 1), effect.bottomRows(points + 1));
        c.folded = dish.bottomRows(points);
        if (floats)
            c.free = pairs ? Eigen::MatrixXd(Eigen::Matrix2d::Identity().replicate(4, 1)) : free;
        all.push_back(c);
    }
    std::mt19937_64 random(11);
    std::normal_distribution<double> draw(0, 1);
    for (const Characteristic& c : all) {
        std::vector<double> values(30'000);
        for (double& v : values) {
            Eigen::VectorXd x(10);
            for (Eigen::Index i = 0; i < 10; ++i)
                x[i] = draw(random);
            v = reduced(c, c.known + c.effect * x);
        }
        std::sort(values.begin(), values.end());
        PartModel m;
        for (int i = 0; i < 10; ++i)
            m.inputs.push_back(input("x" + std::to_string(i), normal(1), Sharing::part));
        m.characteristics = {c};
        const Quantile q = of_parts(m, 0.95);
        near(q.value, values[28'499], q.error * std::sqrt(1 + 16.0 / 30), 0, "95 % point");
        BOOST_TEST(propagate::first_order(m, 0, 0.95).value == reduced(c, c.known),
                   boost::test_tools::tolerance(1e-9));
    }
}

BOOST_AUTO_TEST_CASE(bounds_change_no_count) {
    // Worlds that are surely in or out by the largest and least of all parts are not counted: what
    // comes must be what a count of the parts' values says, at limits about all of them and
    // between any two.
    constexpr std::size_t worlds = 30, parts = 777;
    Eigen::MatrixXd effect(10, 10);
    for (Eigen::Index e = 0; e < 10; ++e)
        for (Eigen::Index i = 0; i < 10; ++i)
            effect(e, i) = std::sin(1.0 + double(3 * e + 7 * i));
    const auto with = [&](Reduction reduction, Eigen::Index elements) {
        return zone(reduction, effect.col(3).head(elements), effect.topRows(elements));
    };
    std::vector<Characteristic> all{with(Reduction::signed_value, 1),
                                    with(Reduction::signed_value, 1),
                                    with(Reduction::magnitude, 3),
                                    with(Reduction::width, 6),
                                    with(Reduction::twice_largest, 6),
                                    with(Reduction::twice_worst, 6),
                                    with(Reduction::twice_worst, 7)};
    all[1].lower = -20;
    for (std::size_t c = 3; c < 6; ++c)
        all[c].folded = effect.block(0, 0, 4, 2);
    all[6].bonus = true;
    PartModel m;
    for (int i = 0; i < 10; ++i) {
        m.inputs.push_back(input("x" + std::to_string(i),
                                 i % 2 == 0 ? normal(1) : stats::Rectangular{0, 2, {}},
                                 i < 4 ? Sharing::job : Sharing::part));
        if (i == 7 || i == 8) {
            m.inputs.back().scale = "scale";
            m.inputs.back().scale_dof = 6;
        }
    }
    m.characteristics = all;
    const propagate::Stack stack(m, false);
    const auto draws = propagate::draw(stack, 3, worlds, parts, 1).all;
    for (std::size_t c = 0; c < all.size(); ++c) {
        auto one = all[c];
        std::vector<double> first(parts);
        propagate::Inner(one, m, stack, c, draws).values(0, first);
        std::nth_element(first.begin(), first.begin() + 600, first.end());
        one.upper = first[600] + 1e-9; // between two of them
        const propagate::Inner inner(one, m, stack, c, draws);
        std::size_t none = 0, every = 0;
        for (std::size_t k = 0; k < worlds; ++k) {
            std::vector<double> value(parts);
            inner.values(k, value);
            std::vector<unsigned char> good(parts, 1);
            inner.and_good({&k, 1}, good);
            for (std::size_t p = 0; p < parts; ++p)
                BOOST_REQUIRE((good[p] == 1) == (value[p] <= inner.tolerance()));
            std::sort(value.begin(), value.end());
            std::vector<double> limits{
                value[0] - 9, value[0] - 1e-6, value[parts - 1] + 1e-6, value[parts - 1] + 9};
            for (std::size_t p = 20; p < parts; p += 97)
                limits.push_back((value[p] + value[p + 1]) / 2);
            for (const double limit : limits) {
                const auto count =
                    std::upper_bound(value.begin(), value.end(), limit) - value.begin();
                double yield = -1;
                inner.yields({&k, 1}, inner.score(limit), {&yield, 1});
                BOOST_TEST(yield == double(count) / double(parts));
                none += count == 0 ? 1 : 0;
                every += count == std::ptrdiff_t(parts) ? 1 : 0;
            }
        }
        BOOST_TEST(none > 0U);
        BOOST_TEST(every > 0U);
    }
}

BOOST_AUTO_TEST_CASE(room_in_the_hole_is_room_for_its_place) {
    // A hole 10 +0.1/0, size N(10.04, 0.012), place 0.05 in x and y, Ø0.2 at maximum material:
    // ∫ φ(s) (1 − exp(−(0.2 + s)²/8 σ²)) ds over 0 … 0.1 is 0.94157; without the bonus 0.86429
    // (quadrature).
    PartModel m;
    m.inputs = {input("x", normal(0.05), Sharing::part),
                input("y", normal(0.05), Sharing::part),
                input("size", normal(0.012), Sharing::part)};
    Characteristic size = promise_models::size(0.04, 0.0, 0.1, 3);
    size.effect << 0, 0, 1;
    Characteristic c =
        zone(Reduction::twice_worst, Eigen::Vector3d(0, 0, 0.04), Eigen::Matrix3d::Identity());
    c.bonus = true;
    c.upper = 0.2;
    m.characteristics = {size, c};
    PromiseOptions o = levels(0.95, 0.9, 200);
    o.parts_in_world = o.most_worlds = 8000;
    const auto error = [](double p, std::size_t n) { return std::sqrt(p * (1 - p) / double(n)); };
    const PromiseResult with = promise(m, o);
    near(with.whole_part, 0.94157, error(0.94157, with.parts_in_world), 5e-6, "with bonus");
    m.characteristics[1].known = Eigen::Vector2d::Zero();
    m.characteristics[1].effect = c.effect.topRows(2);
    m.characteristics[1].bonus = false;
    const PromiseResult without = promise(m, o);
    near(without.whole_part, 0.86429, error(0.86429, without.parts_in_world), 5e-6, "without");

    // Much room makes the value negative, and t with it: 1000 less is 1000 less.
    m.characteristics = {c};
    const Promise near_zero = promise_of(m, o);
    m.characteristics[0].known[2] += 1000;
    const Promise far = promise_of(m, o);
    BOOST_TEST(far.smallest == near_zero.smallest - 1000, boost::test_tools::tolerance(1e-12));
    BOOST_TEST(far.known_value == -1000.04, boost::test_tools::tolerance(1e-12));
    BOOST_TEST(far.gamma == 1.0);

    // A pattern that floats has it as well.
    o.worlds = o.parts_in_world = o.most_worlds = 400;
    Characteristic pattern = holes();
    pattern.known = Eigen::VectorXd::Zero(17);
    pattern.known[16] = 1e-6;
    pattern.effect.conservativeResizeLike(Eigen::MatrixXd::Zero(17, 16));
    pattern.bonus = true;
    PartModel n;
    for (int i = 0; i < 16; ++i)
        n.inputs.push_back(input("i" + std::to_string(i), normal(1e-6), Sharing::part));
    n.characteristics = {pattern};
    const Promise less = promise_of(n, o);
    n.characteristics = {holes()};
    const Promise plain = promise_of(n, o);
    BOOST_TEST(less.smallest == plain.smallest - 1e-6, boost::test_tools::tolerance(1e-8));
}

BOOST_AUTO_TEST_CASE(shares_sum_to_one) {
    // To what the window of t leaves (promise_rules.cpp), for knowledge and parts mixed.
    Characteristic folded = face();
    folded.known.conservativeResizeLike(Eigen::VectorXd::Constant(82, 2e-6));
    folded.effect.conservativeResizeLike(Eigen::MatrixXd::Constant(82, 14, 0.3));
    folded.folded = (-8 * (face().free.col(0).array() / 0.2).square()).matrix();
    Characteristic fixed = folded;
    fixed.free.resize(0, 0);
    Characteristic profile = fixed;
    profile.reduction = Reduction::twice_largest;
    Characteristic bonus = holes();
    bonus.known.conservativeResizeLike(Eigen::VectorXd::Constant(17, 1e-6));
    bonus.effect.conservativeResizeLike(Eigen::MatrixXd::Constant(17, 16, 0.1));
    bonus.bonus = true;
    for (const Characteristic& c : {face(), folded, fixed, profile, holes(), bonus}) {
        PartModel m;
        for (Eigen::Index i = 0; i < c.effect.cols(); ++i)
            m.inputs.push_back(input(
                "i" + std::to_string(i), normal(1e-6), i % 2 == 0 ? Sharing::part : Sharing::job));
        m.characteristics = {c};
        PromiseOptions o = levels(0.95, 0.95, 1000);
        o.most_worlds = 1000;
        double sum = 0;
        const Promise p = promise_of(m, o);
        for (const Share& s : p.shares)
            sum += s.share;
        BOOST_TEST(std::abs(sum - 1) < 0.03, sum);
    }
}

BOOST_AUTO_TEST_CASE(what_may_float_is_no_larger_and_counts_nothing) {
    for (Characteristic c : {face(), holes()}) {
        PartModel m;
        for (Eigen::Index i = 0; i < c.effect.cols(); ++i)
            m.inputs.push_back(input("i" + std::to_string(i), normal(1e-6), Sharing::part));
        m.inputs.back().sharing = Sharing::job;
        PromiseOptions o = levels(0.95, 0.95, 400);
        o.most_worlds = 400; // no growth, which differs
        const auto of = [&](const Characteristic& one) {
            m.characteristics = {one};
            return promise_of(m, o);
        };
        const Promise floating = of(c);
        Characteristic fixed = c;
        fixed.free.resize(0, 0);
        const Promise stands = of(fixed);
        BOOST_TEST(floating.smallest < stands.smallest);
        BOOST_TEST(floating.next_part >= stands.next_part);
        // Motions added, in the known errors and in the inputs.
        Characteristic moved = c;
        moved.known += 3e-5 * c.free.rowwise().sum();
        moved.effect.col(0) += 20 * c.free.col(0);
        moved.effect.rightCols(1) -= 7 * c.free.rightCols(1);
        BOOST_TEST(of(moved).smallest == floating.smallest, boost::test_tools::tolerance(1e-8));
        // A constant, and a direction twice, are no further directions.
        Characteristic twice = c;
        twice.free.conservativeResize(Eigen::NoChange, c.free.cols() + 1);
        twice.free.rightCols(1) = 3 * c.free.col(0);
        BOOST_TEST(of(twice).smallest == floating.smallest, boost::test_tools::tolerance(1e-8));
    }
}

BOOST_AUTO_TEST_CASE(first_order_holds_far_from_the_kinks) {
    // A twist far above the noise of its points: the contacts stay the corners, and the value is
    // linear. Knowledge alone, so that the next part is a plain quantile of 16 000 draws.
    Eigen::MatrixXd free(9, 2);
    Eigen::VectorXd z(9);
    for (Eigen::Index i = 0; i < 9; ++i) {
        free.row(i) << double(i % 3) - 1, double(i / 3) - 1;
        z[i] = 10 * free(i, 0) * free(i, 1);
    }
    Characteristic c = zone(Reduction::width, z, 0.5 * Eigen::MatrixXd::Identity(9, 9));
    c.free = free;
    PartModel m;
    for (int i = 0; i < 9; ++i)
        m.inputs.push_back(input("x" + std::to_string(i), normal(1)));
    m.characteristics = {c};
    const Promise p = promise_of(m, levels(0.95, 0.95, 16000));
    BOOST_TEST(p.known_value == 20, boost::test_tools::tolerance(1e-9));
    // Each corner has the weight 1/4: u = 2 √(4/16) 0.5.
    BOOST_TEST(p.standard_uncertainty == 0.5, boost::test_tools::tolerance(1e-9));
    BOOST_TEST(p.first_order_applies);
    const double error = 0.5 * std::sqrt(0.05 * 0.95 / 16000) / 0.10314;
    BOOST_TEST(std::abs(p.next_part_limit - p.first_order_limit) < promise_models::alarm * error);
    m.characteristics[0].known *= 0.04;
    BOOST_TEST(!promise_of(m, levels(0.95, 0.95, 1000)).first_order_applies);
    // A folded element near 0 has a kink of its own.
    c.known.conservativeResizeLike(Eigen::VectorXd::Constant(10, 0.1));
    c.effect = 0.5 * Eigen::MatrixXd::Identity(10, 9);
    c.effect(9, 0) = 1;
    c.folded = Eigen::MatrixXd::Constant(9, 1, 0.01);
    m.characteristics = {c};
    BOOST_TEST(!propagate::first_order(m, 0, 0.95).applies);
    m.characteristics[0].known[9] = -2.5;
    BOOST_TEST(propagate::first_order(m, 0, 0.95).applies);
}

BOOST_AUTO_TEST_CASE(threads_change_no_digit) {
    for (const Characteristic& c : {face(), holes()}) {
        PartModel m;
        for (Eigen::Index i = 0; i < c.effect.cols(); ++i)
            m.inputs.push_back(input(
                "i" + std::to_string(i), normal(1e-6), i % 2 == 0 ? Sharing::part : Sharing::job));
        m.characteristics = {c};
        std::vector<double> one;
        for (const unsigned threads : {1U, 2U, 3U}) {
            PromiseOptions o = levels(0.95, 0.95, 600);
            o.most_worlds = 600;
            o.threads = threads;
            const Promise p = promise_of(m, o);
            std::vector<double> seen{p.smallest,
                                     p.smallest_error,
                                     p.smallest_9973,
                                     p.next_part,
                                     p.assured_yield,
                                     p.gamma,
                                     p.next_part_limit};
            for (const Share& s : p.shares)
                seen.push_back(s.share);
            if (threads == 1)
                one = seen;
            BOOST_TEST(seen == one, boost::test_tools::per_element());
        }
    }
}

BOOST_AUTO_TEST_CASE(what_is_no_zone_is_refused) {
    const auto refused = [](auto change, const std::string& word) {
        PartModel m;
        for (int i = 0; i < 14; ++i)
            m.inputs.push_back(input("i" + std::to_string(i), normal(1e-6), Sharing::part));
        m.characteristics = {face()};
        change(m.characteristics[0]);
        BOOST_CHECK_EXCEPTION(
            promise(m, levels(0.95, 0.95, 400)), NumericError, [&](const NumericError& error) {
                BOOST_TEST_MESSAGE(error.what());
                return std::string(error.what()).find(word) != std::string::npos;
            });
    };
    refused([](Characteristic& c) { c.free.conservativeResize(80, 2); }, "free has 80 rows");
    refused([](Characteristic& c) { c.free(3, 1) = std::nan(""); }, "not finite");
    refused([](Characteristic& c) { c.folded = Eigen::MatrixXd::Ones(81, 1); }, "wanted 80");
    refused([](Characteristic& c) { c.bonus = true; }, "only a position");
    refused([](Characteristic& c) { c.lower = 0; }, "lower limit");
    refused([](Characteristic& c) { c.reduction = Reduction::twice_largest; }, "cannot float");
    refused([](Characteristic& c) { c.reduction = Reduction::magnitude; }, "only a zone");
    refused([](Characteristic& c) { c.reduction = Reduction::twice_worst; }, "do not fit");
    refused(
        [](Characteristic& c) {
            c.known = Eigen::Vector3d::Zero();
            c.effect = Eigen::MatrixXd::Ones(3, 14);
            c.free = Eigen::MatrixXd::Identity(3, 2);
        },
        "nothing is left");
}

BOOST_AUTO_TEST_SUITE_END()
