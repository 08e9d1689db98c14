// SPDX-License-Identifier: MIT
// Monte Carlo, against published examples and closed forms. Independent: printed results of others,
// and integrals worked by hand. Tolerance: half a unit of the last printed digit plus three
// standard errors as the run states them, so the stated errors are tested too; seeds are fixed.
#include "holdable/propagate/monte_carlo.hpp"

#include "examples.hpp"
#include "holdable/base/error.hpp"
#include "holdable/propagate/copula.hpp"

#include <boost/test/unit_test.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>

using namespace holdable;
using namespace holdable::propagate;
using namespace holdable::propagate::examples;
using namespace holdable::stats;
namespace tt = boost::test_tools;

namespace {

#define CHECK_NEAR(x, expected, digit, error)                                                      \
    BOOST_CHECK_MESSAGE(std::abs((x) - (expected)) <= 0.5 * (digit) + 3 * (error),                 \
                        #x " = " << (x) << ", not " << (expected) << " to " << (digit))

MonteCarloResult run(const Budget& b, std::uint64_t trials) {
    return monte_carlo(b, {.trials = trials});
}

MonteCarloOutput only(const Budget& b, std::uint64_t trials) {
    auto result = run(b, trials);
    BOOST_TEST_REQUIRE(result.outputs.size() == 1U);
    return result.outputs.front();
}

bool has_note(const MonteCarloResult& result, const std::string& text) {
    return std::any_of(result.notes.begin(), result.notes.end(), [&](const auto& note) {
        return note.find(text) != std::string::npos;
    });
}

void check_interval(const MonteCarloOutput& y, double low, double high, double digit) {
    CHECK_NEAR(y.interval.low, low, digit, y.interval_error.low);
    CHECK_NEAR(y.interval.high, high, digit, y.interval_error.high);
}

} // namespace

BOOST_AUTO_TEST_SUITE(monte_carlo_runs)

BOOST_AUTO_TEST_CASE(sums_of_four) {
    // JCGM 101 9.2.2, 9.2.3, 9.2.4: printed intervals ±3.92, ±3.88, ±17.0; the second is
    // 2√3 (2 − (3/5)^(1/4)), the third 17.0158 by numerical convolution.
    const double root3 = std::sqrt(3.0);
    const auto normal = only(sum_of(4, Normal{0, 1}), 1'000'000);
    check_interval(normal, -3.92, 3.92, 0.01);
    CHECK_NEAR(normal.value, 0, 0, normal.value_error);
    CHECK_NEAR(*normal.standard, 2, 0, *normal.standard_error);
    const auto rectangular = only(sum_of(4, Rectangular{0, root3}), 1'000'000);
    const double exact = 2 * root3 * (2 - std::pow(0.6, 0.25));
    check_interval(rectangular, -exact, exact, 0);
    CHECK_NEAR(rectangular.shortest.width(), 2 * exact, 0.04, 0);
    Budget b = sum_of(4, Rectangular{0, root3});
    b.inputs[3].parts[0].law = Rectangular{0, 10 * root3};
    check_interval(only(b, 1'000'000), -17.0158, 17.0158, 1e-4);
}

BOOST_AUTO_TEST_CASE(three_rectangles) {
    // GUM G.2.3: factors 1.937 and 2.379 of σ = a (text), exact by the tail of the triple
    // convolution, (3 − x)³/48.
    Budget b = sum_of(3, Rectangular{0, 1});
    for (const auto& [p, printed] : {std::pair{0.95, 1.937}, {0.99, 2.379}}) {
        b.coverage = p;
        const double exact = 3 - std::cbrt(24 * (1 - p));
        BOOST_TEST(std::abs(exact - printed) < 0.0005);
        const auto y = only(b, 1'000'000);
        check_interval(y, -exact, exact, 0);
        CHECK_NEAR(*y.standard, 1, 0, *y.standard_error);
    }
}

BOOST_AUTO_TEST_CASE(comparison_loss) {
    // JCGM 101 9.4, Table 7 (r = 0), in 1e-6. The mean x1² + 2u² and u² = 4 x1² u² + 4 u⁴ by hand;
    // the shortest interval by numerical quadrature (printed: 0 to 150, 0 to 367, 1590 to 3543). It
    // is flat in position at the third place: 12 for its ends, 3 for its length.
    const double x1[] = {0, 0.010, 0.050};
    const double value[] = {50, 150, 2550}, standard[] = {50, 111.8034, 502.4938};
    const double low[] = {0, 0, 1593.57}, high[] = {149.79, 366.005, 3548.57};
    for (std::size_t k = 0; k < 3; ++k) {
        Budget b = budget({input("x1", Normal{x1[k], 0.005}), input("x2", Normal{0, 0.005})},
                          "x1^2 + x2^2");
        b.outputs[0].unit.unit = {"1e-6", 1e-6};
        const auto y = only(b, 1'000'000);
        CHECK_NEAR(y.value, value[k], 0, y.value_error);
        CHECK_NEAR(*y.standard, standard[k], 0, *y.standard_error);
        BOOST_TEST(std::abs(y.shortest.low - low[k]) < (k == 2 ? 12 : 1));
        BOOST_TEST(std::abs(y.shortest.high - high[k]) < (k == 2 ? 12 : 1.5));
        BOOST_TEST(std::abs(y.shortest.width() - (high[k] - low[k])) < 3);
        BOOST_TEST(y.skewness > 0.2);
    }
}

BOOST_AUTO_TEST_CASE(end_gauge) {
    // JCGM 101 9.5, Table 11: 838 nm, 36 nm, shortest interval [745, 932] nm; the ends of others'
    // runs of 2e6 trials differ by 1 nm.
    const auto y = only(end_gauge_nine(), 1'000'000);
    CHECK_NEAR(y.value, 838, 1, y.value_error);
    CHECK_NEAR(*y.standard, 36, 1, *y.standard_error);
    BOOST_TEST(std::abs(y.shortest.low - 745) < 1.5);
    BOOST_TEST(std::abs(y.shortest.high - 932) < 1.5);
}

BOOST_AUTO_TEST_CASE(two_outputs) {
    // JCGM 102 9.2: y1 = x1 + x3, y2 = x2 + x3, x3 normal, then rectangular with u 1 and 3. Printed
    // factors of the ellipse and of the rectangle. The runs that gave them had an error of a few
    // in the third digit, as does this one.
    struct Case {
        Distribution x3;
        double u, r, ellipse, rectangle;
    };

    const double root3 = std::sqrt(3.0);
    for (const auto& c : {Case{Normal{0, 1}, 1.414, 0.500, 2.45, 2.21},
                          Case{Rectangular{0, root3}, 1.414, 0.500, 2.38, 2.15},
                          Case{Rectangular{0, 3 * root3}, 3.162, 0.900, 2.28, 1.87}}) {
        Budget b;
        b.inputs = {input("x1", Normal{0, 1}), input("x2", Normal{0, 1}), input("x3", c.x3)};
        b.outputs = {{"y1", "x1 + x3"}, {"y2", "x2 + x3"}};
        const auto result = run(b, 500'000);
        CHECK_NEAR(*result.outputs[0].standard, c.u, 1e-3, *result.outputs[0].standard_error);
        CHECK_NEAR(result.correlation(0, 1), c.r, 1e-3, 0.001);
        CHECK_NEAR(result.ellipsoid_factor.value(), c.ellipse, 0.01, 0.0025);
        CHECK_NEAR(result.rectangle_factor.value(), c.rectangle, 0.01, 0.0025);
    }
}

BOOST_AUTO_TEST_CASE(impedance_of_simultaneous_readings) {
    // JCGM 102 9.4: 0.130, 0.536, 0.429 with a multivariate t of 3 degrees of freedom; the exact
    // values are √5 times the GUM's, 0.1298, 0.5397, 0.4315. A t(3) has no fourth moment: 2 %.
    const auto result = run(examples::impedance(), 1'000'000);
    const double standard[] = {0.129802, 0.539659, 0.431489}, value[] = {127.731, 219.847, 254.260};
    for (std::size_t k = 0; k < 3; ++k) {
        CHECK_NEAR(result.outputs[k].value, value[k], 1e-3, result.outputs[k].value_error);
        BOOST_TEST(*result.outputs[k].standard == standard[k], tt::tolerance(0.02));
    }
    BOOST_TEST(result.correlation(0, 1) == -0.588, tt::tolerance(0.03));
    BOOST_TEST(has_note(result, "multivariate t with 3"));
    // Its margins are t laws: 95 % within ± 3.1824 scales (GUM Table G.2), scale √(5/3) 0.058049.
    const double half = 3.1824463 * std::sqrt(5.0 / 3) * 0.058049;
    check_interval(result.outputs[0], 127.7307 - half, 127.7307 + half, 2e-4);
}

BOOST_AUTO_TEST_CASE(trapezoids) {
    // Two rectangles make a trapezoid; factor k(β) = (1 − √((1 − p)(1 − β²)))/√((1 + β²)/6) for the
    // interval (EA-4/02 S9, formula from memory; by hand from the area of the slope).
    for (const double beta : {0.0, 1.0 / 3}) {
        Budget b = budget({input("a", Rectangular{0, (1 + beta) / 2}),
                           input("b", Rectangular{0, (1 - beta) / 2})},
                          "a + b");
        const auto y = only(b, 1'000'000);
        const double u = std::sqrt((1 + beta * beta) / 6);
        const double k = (1 - std::sqrt(0.05 * (1 - beta * beta))) / u;
        check_interval(y, -k * u, k * u, 0);
    }
}

BOOST_AUTO_TEST_CASE(sum_of_exponentials) {
    // x1 + x2 is Erlang: P(Y > y) = (1 + y) exp(−y), by hand.
    const auto y = only(sum_of(2, Exponential{1}), 1'000'000);
    const auto above = [](double x) { return (1 + x) * std::exp(-x); };
    const double error = std::sqrt(0.025 * 0.975 / 1e6);
    CHECK_NEAR(above(y.interval.high), 0.025, 0, error);
    CHECK_NEAR(1 - above(y.interval.low), 0.025, 0, error);
    BOOST_TEST(y.skewness == std::sqrt(2.0), tt::tolerance(0.02));
    BOOST_TEST(y.shortest.width() < y.interval.width());
}

BOOST_AUTO_TEST_CASE(parts_of_an_input) {
    Budget b = budget({{.name = "x",
                        .parts = {{Normal{0, 3}}, {Rectangular{1, 4 * std::sqrt(3.0)}}, {Fixed{2}}},
                        .value = 10}},
                      "x");
    const auto y = only(b, 500'000);
    CHECK_NEAR(y.value, 13, 0, y.value_error);
    CHECK_NEAR(*y.standard, 5, 0, *y.standard_error);
}

BOOST_AUTO_TEST_CASE(correlated_normals) {
    Budget b = budget({input("x1", Normal{1, 2}), input("x2", Normal{5, 3})}, "x1 + x2");
    b.outputs.push_back({"d", "x1/2 - x2/3"});
    b.correlations = {{"x1", "x2", -0.36}};
    const auto result = run(b, 500'000);
    CHECK_NEAR(*result.outputs[0].standard,
               std::sqrt(4 + 9 - 2 * 0.36 * 6),
               0,
               *result.outputs[0].standard_error);
    CHECK_NEAR(*result.outputs[1].standard, std::sqrt(2.72), 0, *result.outputs[1].standard_error);
    b.correlations = {{"x1", "x2", 1.0}};
    const auto same = run(b, 10'000);
    BOOST_TEST(*same.outputs[1].standard < 1e-12);
    BOOST_TEST(!same.ellipsoid_factor.has_value());
}

BOOST_AUTO_TEST_CASE(results_are_in_the_unit_of_the_output) {
    // 20 °C ± 0.1 K, asked for in °C and °F: 68 °F, 0.18 °F by the definition of the scale.
    Budget b = budget({input("t", Normal{293.15, 0.1}, "°C")}, "t");
    b.outputs[0].unit = {parse_unit("°C")};
    b.outputs.push_back({"f", "t", {parse_unit("°F")}});
    const auto result = run(b, 100'000);
    CHECK_NEAR(result.outputs[0].value, 20, 0, result.outputs[0].value_error);
    CHECK_NEAR(*result.outputs[0].standard, 0.1, 0, *result.outputs[0].standard_error);
    CHECK_NEAR(result.outputs[1].value, 68, 0, result.outputs[1].value_error);
    CHECK_NEAR(*result.outputs[1].standard, 0.18, 0, *result.outputs[1].standard_error);
}

BOOST_AUTO_TEST_CASE(copula_coefficients) {
    // Two rectangles: r = (6/π) asin(ρ/2). Rectangle and exponential: r(1) = (3/4 − 1/2) √12. A
    // normal and a rectangle: r = ρ √(3/π). All by hand. Equal laws reach 1. Tolerance 1e-5: the
    // rule of integration; 1e-4 where the remainder of the series counts.
    const Distribution rectangle = Rectangular{3, 2}, normal = Normal{1, 7};
    const Copula two(rectangle, rectangle);
    for (const double rho : {-1.0, -0.5, 0.0, 0.3, 0.9, 1.0})
        BOOST_TEST(std::abs(two.coefficient(rho) - 6 / std::numbers::pi * std::asin(rho / 2)) <
                   1e-5);
    BOOST_TEST(std::abs(two.rho(0.5) - 2 * std::sin(std::numbers::pi / 12)) < 1e-5);
    const Copula mixed(normal, rectangle);
    BOOST_TEST(std::abs(mixed.coefficient(0.7) - 0.7 * std::sqrt(3 / std::numbers::pi)) < 1e-5);
    const Copula skew(rectangle, Exponential{5});
    BOOST_TEST(std::abs(skew.coefficient(1) - 0.25 * std::sqrt(12.0)) < 1e-4);
    const Copula heavy(Student{0, 1, 5}, Student{0, 1, 5});
    BOOST_TEST(std::abs(heavy.coefficient(1) - 1) < 1e-9);
    BOOST_TEST(std::abs(heavy.coefficient(-1) + 1) < 1e-9);
}

BOOST_AUTO_TEST_CASE(copula_draws) {
    Budget b;
    b.inputs = {input("x", Rectangular{0, 1}), input("y", Exponential{2})};
    b.outputs = {{"a", "x"}, {"b", "y"}};
    b.correlations = {{"x", "y", 0.6}};
    const auto result = run(b, 500'000);
    CHECK_NEAR(result.correlation(0, 1), 0.6, 1e-4, 0.0015);
    CHECK_NEAR(*result.outputs[1].standard, 2, 0, *result.outputs[1].standard_error);
    CHECK_NEAR(result.outputs[0].interval.high, 0.95, 0, result.outputs[0].interval_error.high);
    BOOST_TEST(has_note(result, "Gaussian copula"));
    // A value beside the law moves the draws and nothing else.
    Budget moved = b;
    moved.inputs[0].value = 10;
    const auto beside = run(moved, 100'000);
    const auto plain = run(b, 100'000);
    BOOST_TEST(beside.outputs[0].value - plain.outputs[0].value == 10, tt::tolerance(1e-12));
    BOOST_TEST(beside.outputs[1].value == plain.outputs[1].value);

    b.correlations[0].coefficient = 0.9;
    BOOST_CHECK_EXCEPTION(run(b, 1000), NumericError, [](const NumericError& error) {
        return std::string(error.what()).find("between -0.866 and 0.866 they can") !=
               std::string::npos;
    });
    b.inputs[0] = input("x", Student{0, 1, 2});
    BOOST_CHECK_THROW(run(b, 1000), NumericError);
}

BOOST_AUTO_TEST_CASE(readings_together_too_few) {
    Budget b = budget({input("x", Readings{{1, 2}}), input("y", Readings{{1, 3}})}, "x + y");
    b.correlations = {{"x", "y"}};
    BOOST_CHECK_THROW(run(b, 1000), NumericError);
}

BOOST_AUTO_TEST_CASE(laws_without_moments) {
    // GUM Table G.2: t factors for 2 and 1 degrees of freedom, 4.3027 and 12.706.
    auto result = run(budget({input("x", Readings{{9.0, 10.0, 11.0}})}, "x"), 1'000'000);
    BOOST_TEST(!result.outputs[0].standard.has_value());
    BOOST_TEST(has_note(result, "no standard deviation"));
    const double half = 4.302653 / std::sqrt(3.0);
    check_interval(result.outputs[0], 10 - half, 10 + half, 0);
    result = run(budget({input("x", Student{10, 1, 1})}, "x"), 1'000'000);
    CHECK_NEAR(result.outputs[0].value, 10, 0, result.outputs[0].value_error);
    BOOST_TEST(has_note(result, "median"));
    check_interval(result.outputs[0], 10 - 12.7062, 10 + 12.7062, 1e-4);
    // The input must matter to the output.
    Budget b = budget({input("x", Student{10, 1, 1}), input("z", Normal{0, 1})}, "x");
    b.outputs.push_back({"other", "z"});
    BOOST_TEST(run(b, 10'000).outputs[1].standard.has_value());
}

BOOST_AUTO_TEST_CASE(trials_without_a_value) {
    // P(x < 0) is 3.2e-5 for N(4, 1), a sixth for N(1, 1).
    const auto result = run(budget({input("x", Normal{4, 1})}, "sqrt(x)"), 500'000);
    BOOST_TEST(result.without_value > 3U);
    BOOST_TEST(result.without_value < 40U);
    BOOST_TEST(has_note(result, "left out"));
    CHECK_NEAR(result.outputs[0].interval.low,
               std::sqrt(4 - 1.959964),
               0,
               result.outputs[0].interval_error.low);
    BOOST_CHECK_THROW(run(budget({input("x", Normal{1, 1})}, "sqrt(x)"), 10'000), NumericError);
}

BOOST_AUTO_TEST_CASE(trials_that_run_away_have_no_value) {
    // exp(1/x) is above 2e70 where 0 < x < 1/162: 4.43e-3/162 = 2.7e-5 of N(3, 1), 14 in 500000.
    const auto result = run(budget({input("x", Normal{3, 1})}, "exp(1/x)"), 500'000);
    BOOST_TEST(result.without_value > 2u);
    BOOST_TEST(result.without_value < 40u);
    // what remains still runs away: no standard deviation, and the median e^(1/3) for a value
    BOOST_TEST(!result.outputs[0].standard.has_value());
    BOOST_TEST(has_note(result, "run away"));
    CHECK_NEAR(result.outputs[0].value, std::exp(1.0 / 3), 0, result.outputs[0].value_error);
}

BOOST_AUTO_TEST_CASE(notes_of_degrees_of_freedom) {
    const auto result = run(end_gauge_gum(), 10'000);
    BOOST_TEST(has_note(result, "dalpha: the degrees of freedom act in"));
    BOOST_TEST(!has_note(result, "ls: the degrees"));
}

BOOST_AUTO_TEST_CASE(nothing_varies) {
    const auto y = only(budget({input("x", Fixed{3})}, "x"), 1000);
    BOOST_TEST(y.value == 3);
    BOOST_TEST(*y.standard == 0);
    BOOST_TEST(y.interval.low == 3);
}

BOOST_AUTO_TEST_CASE(too_few_trials) {
    BOOST_CHECK_THROW(run(sum_of(1, Normal{0, 1}), 5), NumericError);
}

BOOST_AUTO_TEST_CASE(adaptive) {
    // Exact values of a normal sum: the digits asked for must stand, with room of half of them.
    for (const int digits : {1, 2}) {
        const auto result = monte_carlo(sum_of(4, Normal{0, 1}), {.digits = digits});
        const auto& y = result.outputs[0];
        const double tolerance = digits == 1 ? 0.5 : 0.05;
        BOOST_TEST(result.digits_reached.value());
        BOOST_TEST(std::abs(*y.standard - 2) < tolerance);
        BOOST_TEST(std::abs(y.interval.high - 3.919928) < tolerance);
        BOOST_TEST(2 * y.interval_error.high < tolerance);
        if (digits == 1)
            BOOST_TEST(result.trials == 102'400U); // ten batches of five blocks
    }
    // 7.9.4: batches of J = 100/(1 - p) trials where these are more than 10⁴; here 25 blocks.
    Budget tight = sum_of(4, Normal{0, 1});
    tight.coverage = 0.998;
    BOOST_TEST(monte_carlo(tight, {.digits = 1}).trials == 512'000U);
    // u = 0.99: a unit of the second digit is a hundredth of u, which takes 1e6 trials.
    const auto fine = monte_carlo(sum_of(1, Normal{0, 0.99}), {});
    BOOST_TEST(fine.trials > 500'000U);
    BOOST_TEST(fine.digits_reached.value());
    const auto cut = monte_carlo(sum_of(1, Normal{0, 0.99}), {.most_trials = 200'000});
    BOOST_TEST(!cut.digits_reached.value());
    BOOST_TEST(cut.trials <= 200'000U);
    BOOST_TEST(has_note(cut, "not yet sure"));
    const auto heavy = monte_carlo(budget({input("x", Student{0, 1, 2})}, "x"), {.digits = 1});
    BOOST_TEST(heavy.digits_reached.value());
}

BOOST_AUTO_TEST_CASE(threads_and_blocks_change_no_digit) {
    // Bit for bit, with correlated inputs, trials without a value, and a broken last block.
    Budget b = end_gauge_nine();
    b.inputs.push_back(input("a", Normal{3.5, 1}));
    b.inputs.push_back(input("c", Rectangular{0, 1}));
    b.correlations = {{"a", "c", 0.5}};
    b.outputs.push_back({"root", "sqrt(a) + c"});
    b.coverage = 0.9;
    const auto bits = [&](unsigned threads, std::size_t at_once) {
        const auto r = monte_carlo(b, {.trials = 20'001, .threads = threads, .at_once = at_once});
        std::vector<double> all{double(r.without_value),
                                r.covariance(0, 1),
                                r.ellipsoid_factor.value(),
                                r.rectangle_factor.value()};
        for (const auto& y : r.outputs)
            all.insert(all.end(),
                       {y.value,
                        y.value_error,
                        *y.standard,
                        *y.standard_error,
                        y.interval.low,
                        y.interval.high,
                        y.interval_error.low,
                        y.interval_error.high,
                        y.shortest.low,
                        y.shortest.high,
                        y.skewness});
        return all;
    };
    const auto one = bits(1, draw_block);
    BOOST_TEST(one[0] > 0);
    for (const unsigned threads : {1U, 2U, 8U})
        for (const std::size_t at_once : {std::size_t{1000}, std::size_t{128}, draw_block * 10})
            BOOST_TEST(bits(threads, at_once) == one, tt::per_element());
    const auto adaptive = [](unsigned threads) {
        return monte_carlo(sum_of(2, Normal{0, 1}), {.digits = 1, .threads = threads});
    };
    BOOST_TEST(adaptive(1).outputs[0].interval.low == adaptive(8).outputs[0].interval.low);
}

BOOST_AUTO_TEST_CASE(other_inputs_change_no_draw) {
    const auto alone = only(budget({input("x", Normal{0, 1})}, "x"), 5000);
    const auto among =
        only(budget({input("a", Normal{0, 1}), input("x", Normal{0, 1})}, "x"), 5000);
    BOOST_TEST(alone.value == among.value);
    BOOST_TEST(alone.interval.low == among.interval.low);
    const auto other =
        monte_carlo(budget({input("x", Normal{0, 1})}, "x"), {.seed = 2, .trials = 5000});
    BOOST_TEST(other.outputs[0].value != alone.value);
}

/// Root of the mean square over repeats and both ends of how far the symmetric interval is off.
double end_rms(const Budget& b, bool quasi, double low, double high) {
    constexpr int repeats = 32;
    double sum = 0;
    for (std::uint64_t seed = 1; seed <= repeats; ++seed) {
        const auto y =
            monte_carlo(b, {.seed = seed, .trials = 100'000, .quasi = quasi}).outputs[0].interval;
        sum += std::pow(y.low - low, 2) + std::pow(y.high - high, 2);
    }
    return std::sqrt(sum / (2 * repeats));
}

BOOST_AUTO_TEST_CASE(low_discrepancy_is_nearer) {
    // Twelve inputs of u = 1, half normal, half rectangular. Exact ends from the characteristic
    // function exp(−3 t²) (sin √3 t/√3 t)⁶, inverted by quadrature in Python: ±6.776405.
    // The rms of 64 ends is uncertain by a tenth; the gain is 1.7 to 2.
    auto b = sum_of(6, Normal{0, 1});
    for (int i = 0; i < 6; ++i) {
        b.inputs.push_back(input("r" + std::to_string(i), Rectangular{0, std::sqrt(3.0)}));
        b.outputs[0].formula += " + r" + std::to_string(i);
    }
    const double plain = end_rms(b, false, -6.776405, 6.776405);
    const double quasi = end_rms(b, true, -6.776405, 6.776405);
    BOOST_TEST(plain > 1.5 * quasi, plain << " against " << quasi);

    // The errors that runs state are the scatter of runs: 16 replicates, each known to a sixth.
    const auto take = [](Moments& m, double x) { m = merge(m, moments({&x, 1})); };
    Moments low, low_error, value, value_error, standard, standard_error;
    for (std::uint64_t seed = 1; seed <= 32; ++seed) {
        const auto y = monte_carlo(b, {.seed = seed, .trials = 65'536, .quasi = true}).outputs[0];
        take(low, y.interval.low);
        take(low_error, y.interval_error.low);
        take(value, y.value);
        take(value_error, y.value_error);
        take(standard, *y.standard);
        take(standard_error, *y.standard_error);
    }
    for (const auto& [scatter, error] : {std::pair(low, low_error),
                                         std::pair(value, value_error),
                                         std::pair(standard, standard_error)}) {
        const double ratio = error.mean / scatter.standard_deviation();
        BOOST_TEST((ratio > 0.6 && ratio < 1.6), ratio);
    }
    BOOST_TEST(std::abs(value.mean) < 5 * value.mean_error());
    // A sum of linear terms is where it gains most.
    BOOST_TEST(value_error.mean < 0.1 * std::sqrt(12.0 / 65'536));
}

BOOST_AUTO_TEST_CASE(low_discrepancy_runs_of_the_end_gauge) {
    // JCGM 101 9.5, Table 11, as above.
    const auto adaptive = monte_carlo(end_gauge_nine(), {.quasi = true});
    const auto& y = adaptive.outputs[0];
    BOOST_TEST(adaptive.digits_reached.value());
    CHECK_NEAR(y.value, 838, 1, y.value_error);
    CHECK_NEAR(*y.standard, 36, 1, *y.standard_error);
    BOOST_TEST(adaptive.trials < monte_carlo(end_gauge_nine(), {}).trials);
    // Threads, processing blocks, and trials without a value.
    Budget b = end_gauge_nine();
    b.inputs.push_back(input("a", Normal{3.5, 1}));
    b.inputs.push_back(input("c", Rectangular{0, 1}));
    b.correlations = {{"a", "c", 0.5}};
    b.outputs.push_back({"root", "sqrt(a) + c"});
    b.coverage = 0.9;
    const auto figures = [&](unsigned threads, std::size_t at_once) {
        const auto r = monte_carlo(
            b, {.trials = 60'001, .quasi = true, .threads = threads, .at_once = at_once});
        std::vector<double> all{double(r.without_value), r.covariance(0, 1)};
        for (const auto& out : r.outputs)
            all.insert(all.end(),
                       {out.value,
                        out.value_error,
                        *out.standard_error,
                        out.interval.low,
                        out.interval_error.low,
                        out.interval_error.high,
                        out.shortest.low});
        return all;
    };
    const auto one = figures(1, draw_block);
    BOOST_TEST(one[0] > 0);
    BOOST_TEST(figures(8, 1000) == one, tt::per_element());
    BOOST_TEST(figures(2, draw_block * 10) == one, tt::per_element());
}

BOOST_AUTO_TEST_CASE(low_discrepancy_has_its_limits) {
    Budget many = budget({}, "s0 + s1 + s2 + s3");
    for (int i = 0; i < 3668; ++i) {
        many.inputs.push_back(input("x" + std::to_string(i), Rectangular{0, 1}));
        if (i % 917 == 0)
            many.steps.push_back({"s" + std::to_string(i / 917), "0"});
        many.steps.back().formula += " + x" + std::to_string(i);
    }
    BOOST_CHECK_EXCEPTION(monte_carlo(many, {.trials = 65'536, .quasi = true}),
                          NumericError,
                          [](const NumericError& e) {
                              return std::string(e.what()).find("for 3667 inputs") !=
                                     std::string::npos;
                          });
    // A replicate of 100 trials has no tails for 0.999.
    Budget few = sum_of(2, Normal{0, 1});
    few.coverage = 0.999;
    BOOST_CHECK_THROW(monte_carlo(few, {.trials = 1600, .quasi = true}), NumericError);
    // No mean: the median and its error.
    const auto cauchy =
        monte_carlo(budget({input("x", Student{0, 1, 1})}, "x"), {.trials = 65'536, .quasi = true});
    // One input is all but evenly spread: far within the π/2/√M = 0.006 of random draws.
    BOOST_TEST(std::abs(cauchy.outputs[0].value) < 1e-3);
    BOOST_TEST(cauchy.outputs[0].value_error > 0);
    BOOST_TEST(cauchy.outputs[0].value_error < 1e-3);
    BOOST_TEST(!cauchy.outputs[0].standard_error.has_value());
}

BOOST_AUTO_TEST_SUITE_END()
