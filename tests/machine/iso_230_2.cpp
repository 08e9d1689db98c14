// SPDX-License-Identifier: MIT
// The figures of ISO 230-2: a worked example of three targets and five runs, recomputed by hand to
// three decimals (absolute tolerance 0.0006); identities; what is missing is not given.
#include "holdable/machine/iso_230_2.hpp"

#include "holdable/base/error.hpp"

#include <boost/test/unit_test.hpp>

#include <cmath>

using namespace holdable;
namespace tt = boost::test_tools;

namespace {

/// Invented deviations in micrometres.
PositioningRuns example() {
    return {{{1, 4, 8}, {2, 5, 7}, {1, 3, 9}, {3, 5, 8}, {2, 4, 8}},
            {{-3, 0, 3}, {-2, 1, 4}, {-3, -1, 2}, {-4, 0, 3}, {-2, 1, 3}}};
}

bool is(double value, double expected) {
    return std::abs(value - expected) < 0.0006;
}

} // namespace

BOOST_AUTO_TEST_SUITE(iso_230_2_figures)

BOOST_AUTO_TEST_CASE(worked_example_recomputed) {
    const auto f = iso_230_2(example());
    const double up[] = {1.8, 4.2, 8.0};
    const double down[] = {-2.8, 0.2, 3.0};
    const double spread[] = {0.8367, 0.8367, 0.7071}; // √(2.8/4), √(2/4)
    for (std::size_t i = 0; i < 3; ++i) {
        BOOST_TEST(is(f.up.value().mean[i], up[i]));
        BOOST_TEST(is(f.down.value().mean[i], down[i]));
        BOOST_TEST(is(f.up->spread[i], spread[i]));
        BOOST_TEST(is(f.down->spread[i], spread[i]));
        BOOST_TEST(is(f.both.value().reversals[i], up[i] - down[i]));
    }
    BOOST_TEST(is(f.both->reversal, 5.000));
    BOOST_TEST(is(f.both->mean_reversal, 4.533)); // (4.6 + 4.0 + 5.0)/3
    BOOST_TEST(is(f.both->repeatability.value(), 7.947));
    BOOST_TEST(is(f.up->repeatability.value(), 3.347));
    BOOST_TEST(is(f.both->systematic, 10.800));
    BOOST_TEST(is(f.both->mean_range, 6.000));
    BOOST_TEST(is(f.both->accuracy.value(), 13.888));
    BOOST_TEST(is(f.up->accuracy.value(), 9.288));
    BOOST_TEST(is(f.down->accuracy.value(), 8.888));
    BOOST_TEST(is(f.up->systematic, 6.200));
    BOOST_TEST(is(f.down->systematic, 5.800));
}

BOOST_AUTO_TEST_CASE(a_shift_changes_nothing_and_a_scale_factor_all) {
    const auto f = iso_230_2(example());
    auto runs = example();
    for (auto* all : {&runs.up, &runs.down})
        for (auto& run : *all)
            for (auto& x : run)
                x = 3 * (x + 40);
    const auto g = iso_230_2(runs);
    const auto close = tt::tolerance(1e-12);
    BOOST_TEST(g.both->accuracy.value() == 3 * f.both->accuracy.value(), close);
    BOOST_TEST(g.both->repeatability.value() == 3 * f.both->repeatability.value(), close);
    BOOST_TEST(g.both->systematic == 3 * f.both->systematic, close);
    BOOST_TEST(g.both->mean_range == 3 * f.both->mean_range, close);
    BOOST_TEST(g.both->reversal == 3 * f.both->reversal, close);
}

BOOST_AUTO_TEST_CASE(both_directions_exchanged_turn_the_sign_of_the_reversal) {
    const auto f = iso_230_2(example());
    const auto g = iso_230_2({example().down, example().up});
    BOOST_TEST(g.both->mean_reversal == -f.both->mean_reversal);
    BOOST_TEST(g.both->reversal == f.both->reversal);
    BOOST_TEST(g.both->accuracy.value() == f.both->accuracy.value());
}

BOOST_AUTO_TEST_CASE(a_wide_scatter_of_one_direction_rules_the_repeatability) {
    // s↑ = √50 at both, s↓ = 0, B = 0: 4 s↑ = 28.28 > 2 s↑
    const auto f = iso_230_2({{{-5, -5}, {5, 5}}, {{0, 0}, {0, 0}}});
    BOOST_TEST(f.both->repeatability.value() == 4 * std::sqrt(50), tt::tolerance(1e-12));
}

BOOST_AUTO_TEST_CASE(what_was_not_read_is_not_given) {
    auto f = iso_230_2({example().up, {}});
    BOOST_TEST(!f.both);
    BOOST_TEST(!f.down);
    BOOST_TEST(is(f.up.value().accuracy.value(), 9.288));
    f = iso_230_2({{example().up[0]}, {example().down[0]}});
    BOOST_TEST(!f.up->accuracy);
    BOOST_TEST(!f.up->repeatability);
    BOOST_TEST(f.up->spread.empty());
    BOOST_TEST(!f.both->accuracy);
    BOOST_TEST(!f.both->repeatability);
    BOOST_TEST(f.both->reversal == 5);
    BOOST_TEST(f.both->systematic == 11);
}

BOOST_AUTO_TEST_CASE(what_does_not_fit_together_is_refused) {
    BOOST_CHECK_THROW(iso_230_2({}), InputError);
    BOOST_CHECK_THROW(iso_230_2({{{}}, {}}), InputError);
    BOOST_CHECK_THROW(iso_230_2({{{1, 2}, {1}}, {}}), InputError);
    BOOST_CHECK_THROW(iso_230_2({{{1, 2}}, {{1, 2, 3}}}), InputError);
}

BOOST_AUTO_TEST_SUITE_END()
