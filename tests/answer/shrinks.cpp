// SPDX-License-Identifier: MIT
// How far contributors would have to shrink, and the chance of what a check comes out as, against
// closed forms of one normal number: factors and values recomputed by quadrature and root finding
// outside this program (provenance: recomputed; the note of the decision handbook's example is
// worked out beside each), the chance from the normal distribution function. Independent: neither
// samples. Tolerances: alarms of six standard errors of the sampling, or what the last halving
// leaves, as said.
#include "holdable/answer/improve.hpp"
#include "holdable/stats/normal.hpp"
#include "propagate/promise_models.hpp"

#include <boost/test/unit_test.hpp>

#include <algorithm>
#include <cmath>

using namespace holdable;
using namespace holdable::promise_models;

namespace {

/// Known error 3; behind all parts 3, 2, √3; from part to part 2, 1.5 (µm; no unit here).
PartModel five_contributors() {
    PartModel m;
    m.inputs = {input("geometry", normal(3)),
                input("thermal", normal(2)),
                input("tool set", normal(std::sqrt(3.0))),
                input("repeat", normal(2), Sharing::part),
                input("wear", normal(1.5), Sharing::part)};
    m.characteristics = {size(3, -14.0, 14, 5)};
    m.characteristics[0].known_names = {"lean"};
    m.characteristics[0].known_parts = Eigen::MatrixXd::Constant(1, 1, 3.0);
    return m;
}

struct Expected {
    const char* what;
    double factor;  // 0: alone it cannot
    double at_zero; // 0: not given
};

// Recomputed: t(0.9973, 0.95) = 14 wanted, 16.566 now.
constexpr Expected expected[] = {{"meaning of geometry", 0, 14.3084},
                                 {"meaning of thermal", 0, 15.6655},
                                 {"meaning of tool set", 0, 15.9021},
                                 {"meaning of repeat", 0.24429, 0},
                                 {"meaning of wear", 0, 15.1753},
                                 {"all known errors", 0, 14.7952},
                                 {"all that is not known", 0.6147, 0},
                                 {"all that differs from part to part", 0.63102, 0},
                                 {"everything", 0.84509, 0}};

} // namespace

BOOST_AUTO_TEST_SUITE(answer_shrinks)

// t is sampled with 0.4 % at 32 000 worlds; where t is flat in λ (dt/dλ near 1.4 for the repeat) an
// error of t is as large in λ.
BOOST_AUTO_TEST_CASE(one_contributor_would_have_to_shrink_so_far) {
    const auto shrinks = required_shrinks(five_contributors(), 14, levels(0.9973, 0.95, 32000));
    BOOST_TEST(shrinks.size() == std::size(expected));
    for (const auto& wanted : expected) {
        const auto at = std::find_if(
            shrinks.begin(), shrinks.end(), [&](const Shrink& s) { return s.what == wanted.what; });
        BOOST_REQUIRE_MESSAGE(at != shrinks.end(), wanted.what);
        BOOST_TEST(at->factor.has_value() == (wanted.factor > 0), wanted.what);
        if (wanted.factor > 0 && at->factor)
            BOOST_TEST(std::abs(*at->factor - wanted.factor) < 0.06,
                       wanted.what << ": " << *at->factor);
        if (wanted.at_zero > 0)
            BOOST_TEST(std::abs(at->at_zero - wanted.at_zero) < 0.015 * wanted.at_zero,
                       wanted.what << ": " << at->at_zero);
    }
}

BOOST_AUTO_TEST_CASE(everything_shrinks_with_the_tolerance) {
    // t is homogeneous: λ = T/t exactly, on the same draws.
    const auto part = five_contributors();
    const auto options = levels(0.95, 0.95, 2000);
    const double now = first_look(part, options, true)[0].smallest;
    const auto all = required_shrinks(part, 0.5 * now, options).back();
    BOOST_TEST(all.what == "everything");
    BOOST_REQUIRE(all.factor.has_value());
    BOOST_TEST(std::abs(*all.factor - 0.5) < 0.001); // twelve halvings: 1/4096
    BOOST_TEST(std::abs(all.at_zero) < 1e-9);
}

// One number, doubt u₀ = 5 now and u₁ = 2 after the check, nothing from part to part, no known
// error. After the check YES is said where |move| stays below m, at which P(|m + 2 z| < 10) = 0.95;
// the move is normal with 5² - 2². The chance is 2 Φ(m/√21) - 1.
BOOST_AUTO_TEST_CASE(the_chance_of_yes_is_that_of_one_normal_number) {
    PartModel before;
    before.inputs = {input("lean", normal(5)), input("repeat", normal(0.01), Sharing::part)};
    before.characteristics = {size(0, -10.0, 10, 2)};
    auto after = before;
    after.inputs[0] = input("lean, checked", normal(2));
    const auto held = [](double m) {
        return stats::normal_cdf((10 - m) / 2) - stats::normal_cdf((-10 - m) / 2);
    };
    double low = 0;
    double high = 10;
    for (int i = 0; i < 60; ++i)
        (held((low + high) / 2) > 0.95 ? low : high) = (low + high) / 2;
    const double chance = 2 * stats::normal_cdf(low / std::sqrt(21.0)) - 1;
    Job job;
    AnswerOptions options;
    options.trials = 4000;
    constexpr std::size_t outcomes = 4000;
    const double seen = chance_of_yes(before, after, false, job, options, outcomes);
    // the worse word within two standard errors of γ: m is less by up to about 0.15 of 6.7
    const double error = std::sqrt(chance * (1 - chance) / outcomes);
    BOOST_TEST(seen < chance + 4 * error);
    BOOST_TEST(seen > chance - 4 * error - 0.02);
    BOOST_TEST((chance > 0.7 && chance < 0.95));
    options.threads = 1;
    BOOST_TEST(chance_of_yes(before, after, false, job, options, outcomes) == seen);
}

BOOST_AUTO_TEST_CASE(a_check_that_tells_nothing_leaves_the_verdict) {
    PartModel part;
    part.inputs = {input("lean", normal(2)), input("repeat", normal(1), Sharing::part)};
    part.characteristics = {size(0, -30.0, 30, 2)};
    BOOST_TEST(chance_of_yes(part, part, false, {}, {}, 200) == 1);
    part.characteristics[0] = size(0, -2.0, 2, 2);
    BOOST_TEST(chance_of_yes(part, part, false, {}, {}, 200) == 0);
}

BOOST_AUTO_TEST_SUITE_END()
