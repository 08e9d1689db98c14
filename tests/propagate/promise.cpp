// SPDX-License-Identifier: MIT
// Promises. Against closed forms and quadratures that know nothing of draws: the decision example
// (bias 3, knowledge 4, scatter 2.5, limits ±12) worked by the normal law, the non-central χ² law
// for round zones, the k factors of ISO 16269-6. Tolerance: 6.2 of the standard errors that the
// result itself states or that follow from the numbers of draws (a false alarm below 1e-9 at a
// seed chosen without trying), plus half a unit in the last digit of the printed reference.
#include "holdable/propagate/promise.hpp"

#include "promise_models.hpp"

#include <boost/test/unit_test.hpp>

#include <cmath>
#include <tuple>

using namespace holdable;
using namespace holdable::promise_models;

BOOST_AUTO_TEST_SUITE(promises)

BOOST_AUTO_TEST_CASE(the_decision_example) {
    // Source: own arithmetic with the normal law. γ = share of B with Y(3 + B) ≥ 0.95;
    // next part Φ(9/√22.25) − Φ(−15/√22.25); Y at the 0.95-quantile of |3 + B|, 9.611.
    const PromiseResult r = promise(example(), levels(0.95, 0.95));
    const Promise& p = r.promises.front();
    near(p.gamma, 0.887, p.gamma_error, 0.0005, "gamma");
    BOOST_TEST(p.gamma_without_guesses == p.gamma);
    // The yield of a world has a standard deviation of 0.08 there (it lies in [0, 1]).
    near(p.next_part, 0.97107, 0.08 / std::sqrt(32000.0), 5e-6, "next part");
    // dY/dq at 9.611 is −φ((12 − 9.611)/2.5)/2.5 = −0.1011, the error of q is that of t.
    near(p.assured_yield, 0.8304, 0.1011 * p.smallest_error, 5e-5, "assured yield");
    BOOST_TEST(p.known_value == 3.0);
    BOOST_TEST(p.first_order_applies);
    BOOST_TEST(r.notes.empty());
    // Both statements are one: γ ≥ C and t ≤ tolerance.
    BOOST_TEST((p.gamma >= 0.95) == (p.smallest <= 12));
}

BOOST_AUTO_TEST_CASE(smallest_tolerances_of_the_example) {
    // Source: own arithmetic: root of Φ((t − q)/2.5) − Φ((−t − q)/2.5) = P, q the C-quantile of
    // |3 + B|.
    const struct {
        double p, c, t;
    } rows[] = {{0.95, 0.95, 13.723},
                {0.9973, 0.95, 16.566},
                {0.9973, 0.5000001, 10.474},
                {0.99, 0.90, 14.002}};

    for (const auto& row : rows) {
        const Promise p = promise(example(), levels(row.p, row.c)).promises.front();
        near(p.smallest, row.t, p.smallest_error, 0.0005, "t");
        BOOST_TEST(p.smallest_error < 0.01 * p.smallest);
        if (row.p == 0.9973)
            BOOST_TEST(p.smallest_9973 == p.smallest);
    }
}

BOOST_AUTO_TEST_CASE(folded_normal_limits_are_exact) {
    // P-quantiles of |N(μ, 1)|, recomputed by bisection of erfc; without knowledge t is that
    // number.
    const struct {
        double mean, p, t;
    } rows[] = {{1, 0.99865, 4.00004166}, {0, 0.99865, 3.20513318}, {-1, 0.99865, 4.00004166}};

    for (const auto& row : rows) {
        PartModel m;
        m.inputs = {input("scatter", normal(1), Sharing::part)};
        m.characteristics = {size(row.mean, -5.0, 5, 1)};
        const Promise p = promise(m, levels(row.p, 0.95, 2000)).promises.front();
        BOOST_TEST(p.smallest == row.t, boost::test_tools::tolerance(1e-8));
        BOOST_TEST(p.next_part_limit == row.t, boost::test_tools::tolerance(1e-8));
        BOOST_TEST(p.first_order_limit == row.t, boost::test_tools::tolerance(1e-8));
    }
}

BOOST_AUTO_TEST_CASE(one_sided_limits) {
    // Source: own arithmetic, recomputed: Y with 95 % confidence is Φ((12 − 3 − 1.644854 × 4)/2.5).
    PartModel m = example();
    m.characteristics = {size(3, std::nullopt, 12, 2)};
    const Promise p = promise(m, levels(0.95, 0.95)).promises.front();
    // dY/dm = φ(0.9683)/2.5, the quantile of m has the standard error 4 √(0.95 × 0.05/n)/φ(1.645).
    const double quantile = 4 * std::sqrt(0.95 * 0.05 / 32000) / 0.10314;
    near(p.assured_yield, 0.8335362901, 0.2496 / 2.5 * quantile, 0, "assured yield");
    near(p.smallest, 3 + 1.644854 * 6.5, p.smallest_error, 5e-6, "t");
    near(p.next_part, 0.971801, 0.08 / std::sqrt(32000.0), 1e-6, "next part"); // Φ(9/√22.25)
}

BOOST_AUTO_TEST_CASE(round_zones) {
    // Known offset (4, −3), knowledge 6 and scatter 5 in each direction, Ø50. Source: non-central
    // χ², recomputed by Bessel quadrature.
    PartModel m;
    for (const char* name : {"x", "y"}) {
        m.inputs.push_back(input(std::string("geometry ") + name, normal(6)));
        m.inputs.push_back(input(std::string("repeat ") + name, normal(5), Sharing::part));
    }
    Characteristic c;
    c.name = "position";
    c.reduction = Reduction::twice_worst;
    c.known = Eigen::Vector2d(4, -3);
    c.effect = Eigen::MatrixXd::Zero(2, 4);
    c.effect << 1, 1, 0, 0, 0, 0, 1, 1;
    c.upper = 50;
    m.characteristics = {c};
    c.name = "perpendicularity";
    c.reduction = Reduction::magnitude;
    c.upper = 25;
    m.characteristics.push_back(c);
    const PromiseResult r = promise(m, levels(0.9973, 0.95, 8000));
    const Promise& p = r.promises[0];
    near(p.smallest, 62.62163516, p.smallest_error, 0, "t");
    near(r.promises[1].smallest, 31.31081758, r.promises[1].smallest_error, 0, "t");
    // The yield of a world has a standard deviation of 0.03; the parts are common to all worlds.
    const auto error = [](std::size_t worlds, std::size_t drawn) {
        return std::hypot(0.03 / std::sqrt(static_cast<double>(worlds)),
                          std::sqrt(0.9868 * 0.0132 / static_cast<double>(drawn)));
    };
    near(p.next_part, 0.9867766506, error(p.worlds, p.parts_in_world), 0, "next part");
    // The same zone as radius needs no drawn parts; twice the same zone is one chance.
    BOOST_TEST(r.promises[1].parts_in_world == 0U);
    near(r.promises[1].next_part,
         0.9867766506,
         0.03 / std::sqrt(static_cast<double>(r.promises[1].worlds)),
         0,
         "next part, closed form");
    near(r.whole_part, 0.9867766506, error(r.worlds, r.parts_in_world), 0, "whole part");
    BOOST_TEST(p.known_value == 10.0);
    BOOST_TEST(!p.first_order_applies); // u = 2 √61 is larger than the value
    BOOST_TEST(p.standard_uncertainty == 2 * std::sqrt(61.0), boost::test_tools::tolerance(1e-12));
    const Promise wide = promise(m, levels(0.95, 0.95, 8000)).promises[0];
    // dY/dt at the 95 % world, 0.007 a µm of diameter, by differences of the same quadrature.
    near(wide.assured_yield, 0.9339295659, 0.007 * wide.smallest_error + 0.0005, 0, "assured");
}

BOOST_AUTO_TEST_CASE(unequal_directions) {
    // Hoyt's law: radius of (N(0, 1), N(0, s²)), 95 and 99.73 % points. Source: recomputed by the
    // angular integral.
    for (const auto& [s, p, t] : {std::tuple{0.5, 0.95, 2.03585872},
                                  {0.25, 0.95, 1.976505064},
                                  {0.5, 0.9973, 3.048455333}}) {
        PartModel m;
        m.inputs = {input("x", normal(1), Sharing::part), input("y", normal(s), Sharing::part)};
        Characteristic c;
        c.name = "radius";
        c.reduction = Reduction::magnitude;
        c.known = Eigen::Vector2d::Zero();
        c.effect = Eigen::Matrix2d::Identity();
        c.upper = 3;
        m.characteristics = {c};
        PromiseOptions o = levels(p, 0.9, 200);
        o.parts_in_world = o.most_worlds = 8000;
        const Promise found = promise(m, o).promises.front();
        near(found.smallest, t, found.smallest_error, 1e-6 * t, "radius");
    }
}

BOOST_AUTO_TEST_CASE(closed_form_and_drawn_parts_agree) {
    // The same parts twice: by a normal law, which is answered in closed form, and by a t law of a
    // million degrees of freedom, which is not but has the same quantiles to z³/4ν, 1e-5 of a
    // deviation at z = 4. Knowledge is drawn alike, so only the finite number of parts differs.
    for (const auto reduction : {Reduction::signed_value, Reduction::magnitude})
        for (const bool two_sided : {false, true}) {
            const bool round = reduction == Reduction::magnitude;
            if (round && two_sided)
                continue;
            PartModel closed;
            closed.inputs = {input("lean x", normal(4)),
                             input("lean y", normal(3)),
                             input("scatter x", normal(2.5), Sharing::part),
                             input("scatter y", normal(1.5), Sharing::part)};
            Characteristic c;
            c.name = "both ways";
            c.reduction = reduction;
            c.known = Eigen::VectorXd::Constant(round ? 2 : 1, 3);
            c.effect = Eigen::MatrixXd::Zero(round ? 2 : 1, 4);
            c.effect.row(0) << 1, 0, 1, 0.4;
            if (round)
                c.effect.row(1) << 0.3, 1, 0, 1;
            if (two_sided)
                c.lower = -12;
            c.upper = 12;
            closed.characteristics = {c};
            auto drawn = closed;
            drawn.inputs[2].law = stats::Normal{0, 2.5, 1e6};
            drawn.inputs[3].law = stats::Normal{0, 1.5, 1e6};
            auto o = levels(0.95, 0.95, 2000);
            o.parts_in_world = 8000;
            o.most_worlds = 8000;
            const Promise p = promise(closed, o).promises[0];
            const Promise q = promise(drawn, o).promises[0];
            BOOST_TEST_CONTEXT("elements " << c.known.size() << ", two limits " << two_sided) {
                BOOST_TEST(p.parts_in_world == 0U);
                BOOST_REQUIRE(q.parts_in_world >= 8000U);
                const auto parts = static_cast<double>(q.parts_in_world);
                const double worlds = std::hypot(p.smallest_error, q.smallest_error);
                near(q.smallest, p.smallest, worlds, 0, "t");
                near(q.next_part_limit, p.next_part_limit, worlds, 0, "next part's limit");
                // The yields of worlds scatter by less than 0.15 here, those of parts binomially.
                const auto error = [&](double y) {
                    return std::hypot(0.15 * std::sqrt(1.0 / static_cast<double>(p.worlds) +
                                                       1.0 / static_cast<double>(q.worlds)),
                                      std::sqrt(y * (1 - y) / parts));
                };
                near(q.next_part, p.next_part, error(p.next_part), 0, "next part");
                near(q.gamma, p.gamma, std::hypot(p.gamma_error, q.gamma_error), 0, "gamma");
                if (p.worlds == q.worlds) { // world by world, only the parts' luck is left
                    const double luck = std::sqrt(0.25 / parts);
                    near(q.assured_yield, p.assured_yield, luck, 0, "assured yield");
                }
            }
        }
}

BOOST_AUTO_TEST_CASE(few_readings_give_the_factors_of_tolerance_intervals) {
    // n readings with mean 0 and s = 1, and no other doubt: t is the factor k of ISO 16269-6:2014
    // (recomputed: non-central t and double quadrature). The mean and the scatter share one σ.
    const struct {
        double mean_of, dof, p, c, two_sided, one_sided;
    } rows[] = {{3, 2, 0.95, 0.95, 9.788752403, 7.655900133},
                {5, 4, 0.9973, 0.95, 7.636778356, 6.788699426},
                {10, 9, 0.9, 0.95, 2.856310849, 2.354640132},
                {10, 9, 0.99, 0.95, 4.436908729, 3.981117845},
                {10, 9, 0.9973, 0.95, 5.151772426, 4.70842818},
                {4, 30, 0.95, 0.95, 2.909474123, 2.659071324}};

    for (const auto& row : rows) {
        PartModel m;
        m.inputs = {input("mean", normal(1 / std::sqrt(row.mean_of))),
                    input("scatter", normal(1), Sharing::part)};
        for (Input& i : m.inputs) {
            i.scale = "readings";
            i.scale_dof = row.dof;
        }
        m.characteristics = {size(0, -4.0, 4, 2), size(0, std::nullopt, 4, 2)};
        const PromiseResult r = promise(m, levels(row.p, row.c));
        near(r.promises[0].smallest, row.two_sided, r.promises[0].smallest_error, 0, "k2");
        near(r.promises[1].smallest, row.one_sided, r.promises[1].smallest_error, 0, "k1");
    }
    // σ known, mean of five: 2.524637926.
    PartModel m;
    m.inputs = {input("mean", normal(1 / std::sqrt(5.0))), input("s", normal(1), Sharing::part)};
    m.characteristics = {size(0, -4.0, 4, 2)};
    const Promise known = promise(m, levels(0.95, 0.95)).promises.front();
    near(known.smallest, 2.524637926, known.smallest_error, 0, "k, sigma known");
}

BOOST_AUTO_TEST_CASE(a_scatter_known_from_ten_parts) {
    // The example with σ = 2.5 known with ν = 9: t(0.9973, 0.95) = 18.245 (recomputed by
    // quadrature; outer Monte Carlo of others gave 18.238).
    PartModel m = example();
    m.inputs[1].scale = "scatter";
    m.inputs[1].scale_dof = 9;
    const Promise p = promise(m, levels(0.9973, 0.95)).promises.front();
    near(p.smallest, 18.24501173, p.smallest_error, 0, "t");
}

BOOST_AUTO_TEST_CASE(batches) {
    // All of 10 and of 50 good in the example: 0.881927, 0.779093 (recomputed by quadrature), not
    // the powers of the next part's chance, 0.746 and 0.230.
    for (const auto& [n, expected] : {std::pair{10, 0.881927381}, {50, 0.7790931216}}) {
        PromiseOptions o = levels(0.95, 0.95);
        o.quantity = n;
        const PromiseResult r = promise(example(), o);
        near(r.all_good, expected, std::sqrt(expected * (1 - expected) / 32000), 0, "all good");
        near(r.expected_out, n * 0.02893, n * 0.08 / std::sqrt(32000.0), n * 5e-6, "out");
    }
    // Without knowledge, yield 0.9: the binomial law. P(at most 8 of 50 out) = 0.942, 9: 0.975.
    PartModel m;
    m.inputs = {input("scatter", normal(1), Sharing::part)};
    m.characteristics = {size(0, -1.6448536269514722, 1.6448536269514722, 1)};
    PromiseOptions o = levels(0.95, 0.95, 1000);
    o.quantity = 50;
    const PromiseResult r = promise(m, o);
    BOOST_TEST(r.out_at_most == 9);
    BOOST_TEST(r.expected_out == 5, boost::test_tools::tolerance(1e-9));
    BOOST_TEST(r.all_good == std::pow(0.9, 50), boost::test_tools::tolerance(1e-9));
}

BOOST_AUTO_TEST_CASE(first_order_limits) {
    // By hand: value 10 (twice the worse end), u = 2 √(3² + 4²); limit = value + t_ν u with the t
    // factor of GUM Table G.2 for 90 % two-sided, ν from Welch and Satterthwaite: the two inputs of
    // one scale are one term, ν = 5.
    PartModel m;
    m.inputs = {input("a", normal(3)), input("b", normal(4))};
    for (Input& i : m.inputs) {
        i.scale = "one";
        i.scale_dof = 5;
    }
    Characteristic c;
    c.name = "position";
    c.reduction = Reduction::twice_worst;
    c.known = Eigen::Vector4d(1, 0, 0, 5);
    c.effect = Eigen::MatrixXd::Zero(4, 2);
    c.effect(3, 0) = c.effect(3, 1) = 1;
    c.upper = 20;
    m.characteristics = {c};
    const Promise p = promise(m, levels(0.95, 0.95, 500)).promises.front();
    BOOST_TEST(p.known_value == 10.0);
    BOOST_TEST(p.standard_uncertainty == 10, boost::test_tools::tolerance(1e-12));
    BOOST_TEST(p.first_order_limit == 10 + 10 * 2.0150, boost::test_tools::tolerance(1e-4));
    BOOST_TEST(!p.first_order_applies);
    // A law with its own degrees of freedom: (25/(9/5 … )) = 25²/(81/6 + 256/12).
    m.inputs[0].scale.clear();
    m.inputs[1].scale.clear();
    m.inputs[0].law = stats::Normal{0, 3, 6};
    m.inputs[1].law = stats::Normal{0, 4, 12};
    m.characteristics = {size(0, std::nullopt, 20, 2)};
    const Promise q = promise(m, levels(0.95, 0.95, 500)).promises.front();
    // ν = 625/(13.5 + 21.33) = 17.94; t between those of 17 (1.7396) and 18 (1.7341).
    BOOST_TEST(q.first_order_limit == 5 * 1.7344, boost::test_tools::tolerance(2e-4));
}

BOOST_AUTO_TEST_SUITE_END()
