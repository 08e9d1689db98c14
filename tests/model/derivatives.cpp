// SPDX-License-Identifier: MIT
// Derivatives of formulas. (1) Against closed forms worked by hand; tolerance 1e-14 relative, some
// tens of roundings. (2) Against central differences of the same tape run in long double, for every
// function of the language: independent of every derivative rule. With Richardson's step the error
// of the differences is about h⁴ = 1e-11 and their rounding 1e-19 / h³ = 1e-11, of numbers of about
// 1 to 100, so 1e-8 of the larger of 1 and the number. (3) Kinks and poles, by hand.
#include "holdable/model/derivatives.hpp"

#include "holdable/base/error.hpp"
#include "holdable/model/formula.hpp"

#include <boost/test/data/test_case.hpp>
#include <boost/test/unit_test.hpp>

#include <functional>
#include <string>

using namespace holdable;
using namespace holdable::model;
namespace data = boost::unit_test::data;

namespace {

Tape compiled(const std::string& text) {
    Compiler compiler(numbers({"x", "y"}));
    compiler.output(text);
    return compiler.tape();
}

Derivatives at(const std::string& text, double x, double y) {
    return derivatives(compiled(text), 0, {x, y}, {0, 1});
}

using Wide = long double;

Wide value(const Tape& tape, Wide x, Wide y) {
    std::vector<Wide> registers(tape.registers());
    registers[0] = x;
    registers[1] = y;
    evaluate(tape, registers);
    return registers[tape.outputs.front()];
}

using Surface = std::function<Wide(Wide, Wide)>;

// The derivative of a surface by one input, itself a surface; error of order h⁴.
Surface difference(Surface f, int by) {
    return [f, by](Wide x, Wide y) {
        const auto central = [&](Wide h) {
            return by == 0 ? (f(x + h, y) - f(x - h, y)) / (2 * h)
                           : (f(x, y + h) - f(x, y - h)) / (2 * h);
        };
        const Wide h = 1.0L / 1024;
        return (4 * central(h / 2) - central(h)) / 3;
    };
}

const std::string smooth[] = {
    "-x + y",
    "x - 3*y",
    "x*y",
    "x/y",
    "x^3",
    "x^-1.5",
    "x^y",
    "y^x",
    "2^x",
    "sqrt(x*y)",
    "exp(x*y)",
    "log(x + y^2)",
    "log10(x*y + 1)",
    "sin(x*y)",
    "cos(x - y^2)",
    "tan(x*y/2)",
    "asin(x*y/3)",
    "acos(x - y/3)",
    "atan(x*y)",
    "atan2(x, y)",
    "atan2(y, -x)",
    "atan2(-x, -y)",
    "sinh(x*y)",
    "cosh(x - y)",
    "tanh(x + y)",
    "abs(x - y)*y^2",
    "min(x^2*y, y)",
    "max(x*y^2, x)",
    "hypot(x, y)",
    "hypot(x, y, 3)",
    "x*y^2*sin(x)/(1 + exp(-y))",
};

} // namespace

BOOST_AUTO_TEST_SUITE(taylor)

BOOST_AUTO_TEST_CASE(closed_forms, *boost::unit_test::tolerance(1e-14)) {
    const double x = 0.7, y = 1.3;
    const auto sine = at("sin(x)", x, y);
    BOOST_TEST(sine.value == std::sin(x));
    BOOST_TEST(sine.first[0] == std::cos(x));
    BOOST_TEST(sine.second[0][0] == -std::sin(x));
    BOOST_TEST(sine.third[0][0] == -std::cos(x));
    BOOST_TEST(sine.first[1] == 0);

    const auto product = at("x*y^2", x, y);
    BOOST_TEST(product.first[0] == y * y);
    BOOST_TEST(product.first[1] == 2 * x * y);
    BOOST_TEST(product.second[0][0] == 0);
    BOOST_TEST(product.second[0][1] == 2 * y);
    BOOST_TEST(product.second[1][0] == 2 * y);
    BOOST_TEST(product.second[1][1] == 2 * x);
    BOOST_TEST(product.third[0][1] == 2); // f_xyy
    BOOST_TEST(product.third[1][0] == 0); // f_yxx
    BOOST_TEST(product.third[0][0] == 0);

    const auto quotient = at("x/y", x, y);
    BOOST_TEST(quotient.third[0][1] == 2 / (y * y * y));
    BOOST_TEST(quotient.third[1][1] == -6 * x / (y * y * y * y));
    BOOST_TEST(quotient.order == 3);
}

BOOST_DATA_TEST_CASE(differences, data::make(smooth), text) {
    const double x = 0.6, y = 1.4;
    const Tape tape = compiled(text);
    const Surface f = [&](Wide a, Wide b) { return value(tape, a, b); };
    const auto d = at(text, x, y);
    BOOST_TEST(d.order == 3);
    const auto close = [](double got, Wide want) {
        return std::abs(got - want) <= 1e-8L * std::max(1.0L, std::abs(want));
    };
    for (int i = 0; i < 2; ++i) {
        const auto p = static_cast<std::size_t>(i);
        const auto f_i = difference(f, i);
        BOOST_TEST(close(d.first[p], f_i(x, y)));
        for (int j = 0; j < 2; ++j) {
            const auto q = static_cast<std::size_t>(j);
            const auto f_ij = difference(f_i, j);
            BOOST_TEST(close(d.second[p][q], f_ij(x, y)));
            const auto f_ijj = difference(f_ij, j);
            BOOST_TEST(close(d.third[p][q], f_ijj(x, y)),
                       i << j << j << ": " << d.third[p][q] << " " << double(f_ijj(x, y)));
        }
    }
}

BOOST_AUTO_TEST_CASE(powers_have_no_pole_where_they_end) {
    const auto square = at("x^2", 0, 0);
    BOOST_TEST(square.order == 3);
    BOOST_TEST(square.second[0][0] == 2);
    BOOST_TEST(at("(-x)^2 + (x - 1)^3", 0, 0).third[0][0] == 6);
    BOOST_TEST(at("y*x^0", 0, 2).first[0] == 0);
}

BOOST_AUTO_TEST_CASE(kinks_and_poles_are_told) {
    for (const std::string text : {"abs(x)",
                                   "hypot(x, y)",
                                   "sqrt(x)",
                                   "sqrt(x^2 + y^2)",
                                   "min(x, y)",
                                   "max(x, y, x)",
                                   "atan2(y, x - 1)",
                                   "1 + 2*abs(x*y - y)"}) {
        const auto d = at(text, 0, 0);
        BOOST_TEST(d.order == 0, text);
        BOOST_TEST(d.first[0] == 0, text);
    }
    const auto d = at("x^1.5", 0, 0);
    BOOST_TEST(d.order == 1);
    BOOST_TEST(d.first[0] == 0);
    BOOST_TEST(d.second[0][0] == 0);
    BOOST_TEST(at("x^2.5", 0, 0).order == 2);
    BOOST_TEST(at("min(x, x)", 0, 0).order == 3); // the same thing twice has no kink
    BOOST_TEST(at("abs(x)", -1, 0).order == 3);
}

BOOST_AUTO_TEST_CASE(only_what_varies_is_asked) {
    // The derivative by the exponent of a negative number does not exist, and nobody needs it.
    const auto d = derivatives(compiled("x^y"), 0, {-2, 3}, {0});
    BOOST_TEST(d.order == 3);
    BOOST_TEST(d.first.size() == 1U);
    BOOST_TEST(d.first[0] == 12);
    BOOST_CHECK_THROW(derivatives(compiled("log(x)"), 0, {-1, 0}, {0}), NumericError);
}

BOOST_AUTO_TEST_SUITE_END()
