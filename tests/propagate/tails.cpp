// SPDX-License-Identifier: MIT
// What is kept of a long run, against runs that keep all their values (those of several outputs do):
// the same bits of every figure. Counts in cells against the same: within the stated widths.
#include "holdable/propagate/tails.hpp"

#include "examples.hpp"
#include "holdable/base/error.hpp"
#include "holdable/propagate/monte_carlo.hpp"
#include "holdable/stats/random.hpp"

#include <boost/test/data/test_case.hpp>
#include <boost/test/unit_test.hpp>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

using namespace holdable;
using namespace holdable::propagate;
using namespace holdable::propagate::examples;

namespace {

constexpr std::uint64_t trials = 300'001; // not whole blocks

Budget three_inputs(const std::string& formula) {
    return budget({input("n", stats::Normal{0, 1, {}}),
                   input("t", stats::Student{0, 1, 3}),
                   input("r", stats::Rectangular{0, 1})},
                  formula);
}

/// The same output beside another one, so that all values are kept.
MonteCarloOutput with_all_kept(Budget b, MonteCarloOptions options) {
    auto other = b.outputs.front();
    other.name = "other";
    other.formula = "n";
    b.outputs.push_back(other);
    return monte_carlo(b, options).outputs.front();
}

std::vector<double> figures(const MonteCarloOutput& y) {
    return {y.value,
            y.value_error,
            y.standard.value_or(-1),
            y.standard_error.value_or(-1),
            y.interval.low,
            y.interval.high,
            y.interval_error.low,
            y.interval_error.high,
            y.shortest.low,
            y.shortest.high,
            y.shortest_error.low,
            y.shortest_error.high,
            y.shortest_raw.low,
            y.shortest_raw.high,
            y.skewness};
}

std::vector<double> whole_numbers(int count) {
    std::vector<double> values;
    for (int i = 0; i < count; ++i)
        values.push_back((i * 7919) % count); // each once: 7919 is a prime
    return values;
}

} // namespace

BOOST_AUTO_TEST_SUITE(tails)

// Smooth; skewed; half of the values the same, so that a cut keeps too many; a pole, which has no
// standard deviation; no value in a few trials.
BOOST_DATA_TEST_CASE(the_figures_are_those_of_all_values,
                     boost::unit_test::data::make({"n + t + r",
                                                   "exp(n)*(1 + r/2)",
                                                   "max(n, 0) + 0*t*r",
                                                   "n/t + r",
                                                   "n + log(r + 0.99999)"})) {
    const auto b = three_inputs(sample);
    const auto all = figures(with_all_kept(b, {.trials = trials}));
    for (const unsigned threads : {1U, 3U}) {
        const auto outer = monte_carlo(b, {.trials = trials, .threads = threads}).outputs.front();
        BOOST_TEST(figures(outer) == all, boost::test_tools::per_element());
    }
}

BOOST_DATA_TEST_CASE(streaming_is_within_its_widths,
                     boost::unit_test::data::make({"n + t + r", "exp(n)*(1 + r/2)", "t", "r"})) {
    const auto b = three_inputs(sample);
    const std::uint64_t many = 3'000'000;
    const auto exact = monte_carlo(b, {.trials = many}).outputs.front();
    const auto y = monte_carlo(b, {.trials = many, .streaming = true}).outputs.front();
    BOOST_TEST_REQUIRE(y.interval_width.has_value());
    BOOST_TEST(std::abs(y.interval.low - exact.interval.low) <= y.interval_width->low);
    BOOST_TEST(std::abs(y.interval.high - exact.interval.high) <= y.interval_width->high);
    // Narrow enough to be of no account beside chance.
    BOOST_TEST(y.interval_width->low < exact.interval_error.low);
    BOOST_TEST(y.interval_width->high < exact.interval_error.high);
    BOOST_TEST(y.value == exact.value);
    BOOST_TEST(*y.standard == *exact.standard);
    // Errors are themselves estimates, from a few hundred values about an end.
    BOOST_TEST(y.interval_error.low == exact.interval_error.low, boost::test_tools::tolerance(0.2));
    BOOST_TEST(std::abs(y.shortest.low - exact.shortest.low) < 3 * exact.shortest_error.low);
    BOOST_TEST(std::abs(y.shortest.high - exact.shortest.high) < 3 * exact.shortest_error.high);
    BOOST_TEST(figures(monte_carlo(b, {.trials = many, .streaming = true, .threads = 1})
                           .outputs.front()) == figures(y),
               boost::test_tools::per_element());
}

BOOST_AUTO_TEST_CASE(streaming_of_several_outputs_leaves_out_their_factors) {
    auto b = three_inputs("n + r");
    auto other = b.outputs.front();
    other.name = "other";
    other.formula = "n - r";
    b.outputs.push_back(other);
    const auto all = monte_carlo(b, {.trials = trials});
    const auto streamed = monte_carlo(b, {.trials = trials, .streaming = true});
    BOOST_TEST(all.ellipsoid_factor.has_value());
    BOOST_TEST(!streamed.ellipsoid_factor.has_value());
    BOOST_TEST((streamed.covariance == all.covariance));
}

BOOST_AUTO_TEST_CASE(streaming_of_what_has_no_mean_is_refused) {
    const auto b = budget({input("n", stats::Normal{0, 1, {}}), input("t", stats::Student{0, 1, 1})},
                          "n + t");
    BOOST_CHECK_THROW(monte_carlo(b, {.trials = trials, .streaming = true}), NumericError);
    BOOST_CHECK_THROW(monte_carlo(three_inputs("n/(t*t) + r"), {.trials = trials, .streaming = true}),
                      NumericError);
}

BOOST_AUTO_TEST_CASE(cuts_leave_the_fraction_outside) {
    auto pilot = whole_numbers(10'000);
    const auto cuts = tail_cuts(pilot, 0.05);
    BOOST_TEST(cuts.low > 500.0);
    BOOST_TEST(cuts.low < 700.0);
    BOOST_TEST(cuts.high == 9999 - cuts.low);
    BOOST_TEST(cuts.lowest == 0.0);
    BOOST_TEST(cuts.highest == 9999.0);
}

BOOST_AUTO_TEST_CASE(outer_values_stand_in_order_at_their_ranks) {
    const auto values = whole_numbers(10'000);
    Tails kept({600, 9399, 0, 9999}, 0.05, values.size());
    kept.add(std::span(values).first(3333));
    kept.add(std::span(values).subspan(3333));
    BOOST_TEST(kept.enough(601)); // 0 to 600, 9399 to 9999
    BOOST_TEST(!kept.enough(602));
    const auto y = kept.ordered(500, values.size(), 2);
    BOOST_TEST(y.size() == values.size());
    for (const std::size_t rank : {0U, 1U, 499U, 9500U, 9999U})
        BOOST_TEST(y[rank] == static_cast<double>(rank));
}

BOOST_AUTO_TEST_CASE(more_than_there_is_room_for_is_not_enough) {
    const std::vector<double> same(10'000, 1.0);
    Tails kept({1, 1, 1, 1}, 0.05, same.size());
    kept.add(same);
    BOOST_TEST(!kept.enough(500));
}

BOOST_AUTO_TEST_CASE(cells_say_how_far_they_may_be_off) {
    const auto values = whole_numbers(10'000);
    TailCells cells({600, 9400, 300, 9700}); // of width 600/65536, then all from 0 on in one
    cells.add(values);
    BOOST_TEST(cells.enough(600));
    const auto y = cells.ordered(500, values.size(), values.size());
    for (const std::size_t rank : {100U, 499U, 9500U, 9900U})
        BOOST_TEST(std::abs(y[rank] - static_cast<double>(rank)) <= cells.width_at(y[rank]) + 1e-9);
    BOOST_TEST(cells.width_at(500) == 600.0 / 65536, boost::test_tools::tolerance(1e-12));
    TailCells narrow({600, 9400, 550, 9450}); // the cells end at 500
    narrow.add(values);
    BOOST_TEST(narrow.width_at(400) == 500.0, boost::test_tools::tolerance(1e-12));
}

BOOST_AUTO_TEST_SUITE_END()
