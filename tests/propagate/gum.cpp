// SPDX-License-Identifier: MIT
// The law of propagation, against published worked examples. Independent: the numbers are printed
// in the standards, or worked by hand where said. Where n digits are printed, n digits are asked.
// The EA-4/02 examples are from memory, inputs and results both.
#include "holdable/propagate/gum.hpp"

#include "examples.hpp"
#include "holdable/base/error.hpp"
#include "reference.hpp"

#include <boost/test/unit_test.hpp>

#include <algorithm>
#include <cmath>

using namespace holdable;
using namespace holdable::propagate;
using namespace holdable::propagate::examples;
using namespace holdable::stats;
namespace tt = boost::test_tools;

namespace {

// Whether x rounds to the printed number, `digit` being the worth of its last digit.
bool prints(double x, double printed, double digit) {
    return std::abs(std::round(x / digit) * digit - printed) < 1e-6 * digit;
}

#define CHECK_PRINTS(x, printed, digit)                                                            \
    BOOST_CHECK_MESSAGE(prints(x, printed, digit), #x " = " << (x) << ", not " << (printed))

GumOutput only(const Budget& b) {
    auto result = gum(b);
    BOOST_TEST_REQUIRE(result.outputs.size() == 1U);
    return result.outputs.front();
}

bool has_note(const std::vector<std::string>& notes, const std::string& text) {
    return std::any_of(notes.begin(), notes.end(), [&](const auto& note) {
        return note.find(text) != std::string::npos;
    });
}

} // namespace

BOOST_AUTO_TEST_SUITE(gum_tests)

BOOST_AUTO_TEST_CASE(end_gauge) {
    // GUM H.1. U99 is printed 93 nm from the rounded 32 nm; unrounded it is 92.5.
    const auto y = only(end_gauge_gum());
    CHECK_PRINTS(y.value, 838, 1);
    CHECK_PRINTS(y.standard, 32, 1);
    CHECK_PRINTS(y.second_order_standard.value(), 34, 1);
    BOOST_TEST_REQUIRE(y.dof.has_value());
    BOOST_TEST(std::floor(*y.dof) == 16);
    CHECK_PRINTS(y.k, 2.92, 0.01);
    CHECK_PRINTS(y.expanded, 92.5, 0.1);
    // Table H.1: contributions in nm, in the order ls, d, alpha_s, theta, dalpha, dtheta.
    const double printed[] = {25, 9.7, 0, 0, 2.9, 16.6};
    const double digit[] = {1, 0.1, 1, 1, 0.1, 0.1};
    BOOST_TEST_REQUIRE(y.contributions.size() == 6U);
    double shares = 0;
    for (std::size_t i = 0; i < 6; ++i) {
        CHECK_PRINTS(y.contributions[i].contribution, printed[i], digit[i]);
        shares += y.contributions[i].share;
    }
    BOOST_TEST(shares == 1, tt::tolerance(1e-14));
    CHECK_PRINTS(y.contributions[1].standard, 9.7, 0.1); // d has the unit nm
    BOOST_TEST(y.contributions[1].sensitivity == 1, tt::tolerance(1e-6));
    BOOST_TEST(y.correlation_share == 0);
    // H.1.7: the two terms of the next order are 11.7 nm and 1.7 nm.
    const double next = std::sqrt(std::pow(*y.second_order_standard, 2) - std::pow(y.standard, 2));
    CHECK_PRINTS(next, std::round(std::hypot(11.7, 1.7) * 10) / 10, 0.1);
}

BOOST_AUTO_TEST_CASE(ten_equal_resistors) {
    // GUM 5.2.2: ten resistors calibrated against one, u = 100 mΩ each: 1 Ω, not 0.32 Ω.
    Budget b = sum_of(10, Normal{1000, 0.1});
    BOOST_TEST(only(b).standard == std::sqrt(0.1), tt::tolerance(1e-12));
    for (std::size_t i = 1; i <= 10; ++i)
        for (std::size_t j = 1; j < i; ++j)
            b.correlations.push_back({"x" + std::to_string(j), "x" + std::to_string(i), 1.0});
    const auto y = only(b);
    BOOST_TEST(y.standard == 1, tt::tolerance(1e-12));
    BOOST_TEST(y.correlation_share == 9, tt::tolerance(1e-12));
}

BOOST_AUTO_TEST_CASE(impedance_of_simultaneous_readings) {
    // JCGM 102 9.4 and GUM H.2: u and r to the printed digits; R is printed 127.732 from the
    // rounded phi, the readings listed give 127.731.
    const auto result = gum(impedance());
    const auto& [r, x, z] = std::tie(result.outputs[0], result.outputs[1], result.outputs[2]);
    CHECK_PRINTS(r.value, 127.731, 0.001);
    CHECK_PRINTS(x.value, 219.847, 0.001);
    CHECK_PRINTS(z.value, 254.260, 0.001);
    CHECK_PRINTS(r.standard, 0.058, 0.001);
    CHECK_PRINTS(x.standard, 0.241, 0.001);
    CHECK_PRINTS(z.standard, 0.193, 0.001);
    CHECK_PRINTS(result.correlation(0, 1), -0.588, 0.001);
    CHECK_PRINTS(result.correlation(0, 2), -0.485, 0.001);
    CHECK_PRINTS(1 - result.correlation(1, 2), 0.749e-2, 1e-5);
    // GUM H.2.4, second approach: six values of R, so five degrees of freedom.
    BOOST_TEST(r.dof.value() == 5, tt::tolerance(1e-9));
    BOOST_TEST(!has_note(result.notes, "Welch"));
    BOOST_TEST(has_note(result.notes, "next order"));
}

BOOST_AUTO_TEST_CASE(thermometer_line) {
    // GUM H.3: b(30 °C) = -0.1494 °C, u = 0.0041 °C. Both coefficients have 9 degrees of freedom
    // and so has any value of the line.
    Budget b = budget({input("y1", Normal{-0.17120379, 0.0028775978, 9}),
                       input("y2", Normal{0.0021826977, 0.00066793877, 9})},
                      "y1 + y2*10");
    b.correlations = {{"y1", "y2", -0.9304296}};
    const auto result = gum(b);
    const auto& y = result.outputs.front();
    CHECK_PRINTS(y.value, -0.1494, 1e-4);
    CHECK_PRINTS(y.standard, 0.0041, 1e-4);
    BOOST_TEST(y.dof.value() == 9, tt::tolerance(1e-9));
    BOOST_TEST(has_note(result.notes, "y1, y2 enter it as one term"));
    // 1 - share of the correlation: 0.0041386/0.0072729, squared.
    BOOST_TEST(y.correlation_share == std::pow(0.0041385958 / 0.0072728804, 2) - 1,
               tt::tolerance(1e-6));
}

BOOST_AUTO_TEST_CASE(sum_of_four) {
    // JCGM 101 9.2.2 and 9.2.4: the GUM's intervals ±3.92 and ±19.9.
    CHECK_PRINTS(only(sum_of(4, Normal{0, 1})).interval.high, 3.92, 0.01);
    Budget b = sum_of(4, Rectangular{0, std::sqrt(3.0)});
    b.inputs[3].parts[0].law = Rectangular{0, 10 * std::sqrt(3.0)};
    const auto y = only(b);
    CHECK_PRINTS(y.standard, 10.1, 0.1);
    CHECK_PRINTS(y.interval.high, 19.9, 0.1);
}

BOOST_AUTO_TEST_CASE(comparison_loss) {
    // JCGM 101 9.4, Table 7 (r = 0), in 1e-6: first order, and value ± 1.96 u of the next order.
    const double x1[] = {0, 0.010, 0.050};
    const double value[] = {0, 100, 2500}, first[] = {0, 100, 500}, second[] = {50, 112, 502};
    const double low[] = {-98, -119, 1515}, high[] = {98, 319, 3485};
    for (std::size_t k = 0; k < 3; ++k) {
        Budget b = budget({input("x1", Normal{x1[k], 0.005}), input("x2", Normal{0, 0.005})},
                          "x1^2 + x2^2");
        b.outputs[0].unit.unit = {"1e-6", 1e-6};
        const auto result = gum(b);
        const auto& y = result.outputs[0];
        CHECK_PRINTS(y.value, value[k], 1);
        CHECK_PRINTS(y.standard, first[k], 1);
        CHECK_PRINTS(y.second_order_standard.value(), second[k], 1);
        CHECK_PRINTS(y.value - y.k * *y.second_order_standard, low[k], 1);
        CHECK_PRINTS(y.value + y.k * *y.second_order_standard, high[k], 1);
        BOOST_TEST(y.bend == 50, tt::tolerance(1e-12)); // u² + u², by hand
        BOOST_TEST(has_note(result.notes, "sees no uncertainty") == (k == 0));
        BOOST_TEST(has_note(result.notes, "curved") == (k < 2));
    }
}

BOOST_AUTO_TEST_CASE(end_gauge_of_the_supplement) {
    // JCGM 101 9.5, Table 11: 838 nm and 32 nm. Its interval takes k from the degrees of freedom of
    // GUM H.1, which the inputs here do not have.
    const auto y = only(end_gauge_nine());
    CHECK_PRINTS(y.value, 838, 1);
    CHECK_PRINTS(y.standard, 32, 1);
}

BOOST_AUTO_TEST_CASE(calibrations) {
    // EA-4/02 (memory). S3, standard resistor: 10 000.178 Ω, u = 8.33 mΩ, U = 17 mΩ.
    const auto s3 =
        only(budget({input("rs", Normal{10000.053, 0.0025}),
                     input("drd", Rectangular{0.02, 0.01}),
                     input("drts", Rectangular{0, 0.00275}),
                     input("drtx", Rectangular{0, 0.0055}),
                     input("rc", Triangular{1, 1e-6}),
                     input("r", Readings{{1.0000104, 1.0000107, 1.0000106, 1.0000103, 1.0000105}})},
                    "(rs + drd + drts)*rc*r - drtx"));
    CHECK_PRINTS(s3.value, 10000.178, 0.001);
    CHECK_PRINTS(s3.standard * 1e3, 8.33, 0.01);
    CHECK_PRINTS(2 * s3.standard, 0.017, 0.001);
    // S4, gauge block: 49.999 926 mm, u = 36.4 nm; the product of two zero estimates counts.
    Budget block = budget({input("ls", Normal{50.00002e6, 15}),
                           input("dld", Rectangular{0, 30}),
                           input("dl", Normal{-94, 12 / std::sqrt(5.0)}),
                           input("dlc", Rectangular{0, 32}),
                           input("dt", Rectangular{0, 0.05}),
                           input("dalpha", Triangular{0, 2e-6}),
                           input("dtt", Rectangular{0, 0.5}),
                           input("dlv", Rectangular{0, 6.7})},
                          "ls + dld + dl + dlc - 50e6*(11.5e-6*dt + dalpha*dtt) - dlv");
    const auto s4 = only(block);
    CHECK_PRINTS(s4.value, 49999926, 1);
    CHECK_PRINTS(s4.second_order_standard.value(), 36.4, 0.1);
    CHECK_PRINTS(2 * *s4.second_order_standard, 73, 1);
    // S7, coaxial attenuator: 30.043 dB, u = 0.0224 dB, U = 0.045 dB.
    const double root2 = std::sqrt(2.0);
    const auto s7 = only(budget({input("ls", Readings{{30.033, 30.058, 30.018, 30.052}}),
                                 input("dls", Rectangular{0.003, 0.0025 * std::sqrt(3.0)}),
                                 input("dld", Arcsine{0, 0.0011 * root2}),
                                 input("dlm", Arcsine{0, 0.02 * root2}),
                                 input("dlk", Arcsine{0, 0.0017 * root2}),
                                 input("dlia", Normal{0, 0.0003}),
                                 input("dlib", Normal{0, 0.0019}),
                                 input("dl0a", Fixed{0}),
                                 input("dl0b", Normal{0, 0.002})},
                                "ls + dls + dld + dlm + dlk + dlib - dlia + dl0b - dl0a"));
    CHECK_PRINTS(s7.value, 30.043, 0.001);
    CHECK_PRINTS(s7.standard, 0.0224, 0.0001);
    CHECK_PRINTS(2 * s7.standard, 0.045, 0.001);
    BOOST_TEST(s7.contributions.size() == 8U); // the fixed one is left out
    // S11, temperature block calibrator: 180.1 °C, u = 164 mK.
    const auto s11 = only(budget({input("ts", Normal{180.1, 0.015}),
                                  input("dtd", Rectangular{0, 0.04}),
                                  input("dtix", Rectangular{0, 0.05}),
                                  input("dtr", Rectangular{0, 0.1}),
                                  input("dta", Rectangular{0, 0.25}),
                                  input("dth", Rectangular{0, 0.05}),
                                  input("dtv", Rectangular{0, 0.03})},
                                 "ts + dtd - dtix + dtr + dta + dth + dtv"));
    CHECK_PRINTS(s11.value, 180.1, 0.1);
    CHECK_PRINTS(s11.standard * 1e3, 164, 1);
}

BOOST_AUTO_TEST_CASE(coverage_factors) {
    // GUM Table G.2.
    CHECK_PRINTS(coverage_factor(0.95, 9), 2.26, 0.01);
    CHECK_PRINTS(coverage_factor(0.99, 16), 2.92, 0.01);
    CHECK_PRINTS(coverage_factor(0.9973, 1), 235.8, 0.1);
    CHECK_PRINTS(coverage_factor(0.95, 100), 1.984, 0.001);
    CHECK_PRINTS(coverage_factor(0.95, {}), 1.960, 0.001);
    BOOST_TEST(coverage_factor(0.95, 0.5) > coverage_factor(0.95, 1));
}

BOOST_AUTO_TEST_CASE(every_student_factor_of_the_guide) {
    // GUM Table G.2 (tests/reference/student_factors.json), all 168 entries to their digits.
    const auto table = reference::load("student_factors");
    const double levels[] = {std::erf(std::sqrt(0.5)),
                             0.90,
                             0.95,
                             std::erf(std::sqrt(2.0)),
                             0.99,
                             std::erf(std::sqrt(4.5))};
    int seen = 0;
    for (const auto& row : table["rows"])
        for (std::size_t i = 0; i < 6; ++i) {
            const double digit = std::pow(10, -row["decimals"][i].get<int>());
            CHECK_PRINTS(coverage_factor(levels[i], row["nu"].get<double>()),
                         row["t"][i].get<double>(),
                         digit);
            ++seen;
        }
    for (std::size_t i = 0; i < 6; ++i, ++seen)
        CHECK_PRINTS(coverage_factor(levels[i], {}), table["infinity"][i].get<double>(), 0.001);
    BOOST_TEST(seen == 168);
}

BOOST_AUTO_TEST_CASE(third_derivatives) {
    // sin x at 0: f_1 f_111 u⁴ = -u⁴; so u² - u⁴. By hand; exact variance (1 - exp(-2u²))/2 agrees
    // to that order.
    const auto y = only(budget({input("x", Normal{0, 0.1})}, "sin(x)"));
    BOOST_TEST(std::pow(y.second_order_standard.value(), 2) == 0.01 - 0.0001, tt::tolerance(1e-12));
    // x1 x2 at (a, b): b² u1² + a² u2² + u1² u2², exactly.
    const auto p =
        only(budget({input("x1", Normal{3, 0.5}), input("x2", Normal{2, 0.4})}, "x1*x2"));
    BOOST_TEST(std::pow(p.second_order_standard.value(), 2) == 4 * 0.25 + 9 * 0.16 + 0.25 * 0.16,
               tt::tolerance(1e-12));
}

BOOST_AUTO_TEST_CASE(mixed_third_derivatives) {
    // x1 x2² at (3, 2) with normal inputs has the variance (a² + u1²)(b⁴ + 6b²u2² + 3u2⁴) −
    // a²(b² + u2²)², of which the orders 2 and 4 are b⁴u1² + 4a²b²u2² + 2a²u2⁴ + 6b²u1²u2².
    const auto y =
        only(budget({input("x1", Normal{3, 0.5}), input("x2", Normal{2, 0.4})}, "x1*x2^2"));
    BOOST_TEST(std::pow(y.second_order_standard.value(), 2) ==
                   16 * 0.25 + 4 * 9 * 4 * 0.16 + 2 * 9 * 0.0256 + 6 * 4 * 0.25 * 0.16,
               tt::tolerance(1e-12));
}

BOOST_AUTO_TEST_CASE(correlated_inputs_have_the_fewest_degrees_of_freedom) {
    Budget b = budget({input("x1", Normal{0, 3, 9}), input("x2", Normal{0, 4, 5})}, "x1 + x2");
    b.correlations = {{"x1", "x2", 0.5}};
    const auto result = gum(b);
    BOOST_TEST(result.outputs[0].dof.value() == 5, tt::tolerance(1e-12));
    BOOST_TEST(result.outputs[0].standard == std::sqrt(37.0), tt::tolerance(1e-12));
    BOOST_TEST(has_note(result.notes, "uncorrelated inputs (GUM G.4.1)"));
}

BOOST_AUTO_TEST_CASE(where_it_does_not_apply) {
    const auto kink = gum(budget({input("x", Normal{0, 1})}, "abs(x)"));
    BOOST_TEST(!kink.outputs[0].applies);
    BOOST_TEST(kink.outputs[0].standard == 0);
    BOOST_TEST(has_note(kink.notes, "kink"));
    auto pole = budget({input("x", Normal{0, 1})}, "x");
    pole.outputs.push_back({"second", "1/x"});
    BOOST_CHECK_EXCEPTION(gum(pole), NumericError, [](const NumericError& error) {
        return std::string(error.what()).starts_with("second: the formula has no value");
    });
    const auto skew = gum(budget({input("x", Exponential{1})}, "x"));
    BOOST_TEST(has_note(skew.notes, "not symmetric"));
}

BOOST_AUTO_TEST_CASE(nothing_varies) {
    const auto y = only(budget({input("x", Fixed{2})}, "x^2"));
    BOOST_TEST(y.value == 4);
    BOOST_TEST(y.standard == 0);
    BOOST_TEST(y.contributions.empty());
    BOOST_TEST(!y.dof.has_value());
}

BOOST_AUTO_TEST_CASE(covariances_are_in_the_units_of_the_outputs) {
    // x known to 2 µm as 1 nm units and as mm: 2000 × 0.002.
    Budget b = budget({input("x", Normal{0, 2e-6}, "mm")}, "x");
    b.outputs[0].unit = nanometre();
    b.outputs.push_back({"mm", "3*x", {parse_unit("mm")}});
    const auto result = gum(b);
    BOOST_TEST(result.covariance(0, 0) == 4e6, tt::tolerance(1e-12));
    BOOST_TEST(result.covariance(0, 1) == 2000 * 0.006, tt::tolerance(1e-12));
    BOOST_TEST(result.correlation(0, 1) == 1, tt::tolerance(1e-12));
    BOOST_TEST(result.outputs[1].contributions[0].sensitivity == 3, tt::tolerance(1e-12));
    BOOST_TEST(result.outputs[0].contributions[0].sensitivity == 1e6, tt::tolerance(1e-12));
}

BOOST_AUTO_TEST_CASE(several_outputs) {
    // JCGM 102 9.2: y1 = x1 + x3, y2 = x2 + x3: u = 1.414, r = 0.500; with u(x3) = 3, 3.162, 0.900.
    for (const double u3 : {1.0, 3.0}) {
        Budget b;
        b.inputs = {input("x1", Normal{0, 1}),
                    input("x2", Normal{0, 1}),
                    input("x3", Rectangular{0, u3 * std::sqrt(3.0)})};
        b.outputs = {{"y1", "x1 + x3"}, {"y2", "x2 + x3"}};
        const auto result = gum(b);
        BOOST_TEST(result.outputs[0].standard == std::sqrt(1 + u3 * u3), tt::tolerance(1e-12));
        BOOST_TEST(result.correlation(0, 1) == u3 * u3 / (1 + u3 * u3), tt::tolerance(1e-12));
        BOOST_TEST(result.covariance(0, 1) == u3 * u3, tt::tolerance(1e-12));
    }
}

BOOST_AUTO_TEST_CASE(a_correlation_elsewhere_leaves_the_next_order) {
    // y = x1 x2 with x = 0, u = 1 each: the first order is 0, the next u1 u2 = 1. That a and b hang
    // together matters to z = a b alone.
    auto b = budget({input("x1", stats::Normal{0, 1, {}}),
                     input("x2", stats::Normal{0, 1, {}}),
                     input("a", stats::Normal{1, 0.1, {}}),
                     input("b", stats::Normal{1, 0.1, {}})},
                    "x1*x2");
    b.outputs.push_back({"z", "a*b"});
    b.outputs.push_back({"w", "x1*a"});
    b.correlations = {{"a", "b", 0.5}};
    const auto result = gum(b);
    BOOST_REQUIRE(result.outputs[0].second_order_standard.has_value());
    BOOST_TEST(*result.outputs[0].second_order_standard == 1, boost::test_tools::tolerance(1e-12));
    BOOST_TEST(!result.outputs[1].second_order_standard.has_value());
    // One of the two alone: u² = 1 + 0.01 (GUM 5.1.2, note: f_12² u1² u2² = 0.01).
    BOOST_REQUIRE(result.outputs[2].second_order_standard.has_value());
    BOOST_TEST(*result.outputs[2].second_order_standard == std::sqrt(1.01),
               boost::test_tools::tolerance(1e-12));
}

BOOST_AUTO_TEST_SUITE_END()
