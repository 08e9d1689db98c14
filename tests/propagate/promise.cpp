// SPDX-License-Identifier: MIT
// Promises. Against closed forms and quadratures that know nothing of draws: the decision example
// (bias 3, knowledge 4, scatter 2.5, limits ±12) worked by the normal law, the non-central χ² law
// for round zones, the k factors of ISO 16269-6. Tolerance: 6.2 of the standard errors that the
// result itself states or that follow from the numbers of draws (a false alarm below 1e-9 at a
// seed chosen without trying), plus half a unit in the last digit of the printed reference.
#include "holdable/propagate/promise.hpp"

#include "holdable/base/error.hpp"
#include "holdable/stats/normal.hpp"

#include <boost/test/unit_test.hpp>

#include <algorithm>
#include <cmath>
#include <numeric>

using namespace holdable;

namespace {

constexpr double alarm = 6.2; ///< standard errors; two-sided normal tail 6e-10

Input input(std::string name, stats::Distribution law, Sharing sharing = Sharing::job) {
    Input i;
    i.name = std::move(name);
    i.meaning = "meaning of " + i.name;
    i.law = std::move(law);
    i.sharing = sharing;
    return i;
}

stats::Distribution normal(double standard) {
    return stats::Normal{0, standard, {}};
}

/// One signed number with unit effect of every input.
Characteristic size(double known, std::optional<double> lower, double upper, int inputs) {
    Characteristic c;
    c.name = "size";
    c.known = Eigen::VectorXd::Constant(1, known);
    c.effect = Eigen::MatrixXd::Ones(1, inputs);
    c.lower = lower;
    c.upper = upper;
    return c;
}

/// The example: bias 3, knowledge 4, scatter 2.5, limits ±12 (µm; the numbers have no unit here).
PartModel example() {
    PartModel m;
    m.inputs = {input("geometry", normal(4)), input("repeat", normal(2.5), Sharing::part)};
    m.characteristics = {size(3, -12.0, 12, 2)};
    return m;
}

PromiseOptions levels(double p, double c, std::size_t worlds = 32000) {
    PromiseOptions o;
    o.parts = p;
    o.confidence = c;
    o.worlds = worlds;
    return o;
}

void near(double seen, double expected, double error, double rounding, const char* what) {
    BOOST_TEST(std::abs(seen - expected) <= alarm * error + rounding,
               what << ": " << seen << " wanted " << expected << " +- " << error);
    // A test whose tolerance swallows everything tests nothing.
    BOOST_TEST(alarm * error + rounding < 0.15 * std::abs(expected), what << " error " << error);
}

} // namespace

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

BOOST_AUTO_TEST_SUITE_END()
