// SPDX-License-Identifier: MIT
// Formulas as text. Values against the C++ compiler, which reads the same text with its own
// grammar and the same mathematical functions: independent of our parser. Exact, as both do the
// same operations in the same order (no contraction, no fast mathematics). Powers, which C++ does
// not have, against numbers worked by hand. Messages against texts written by hand; exact.
#include "holdable/model/formula.hpp"

#include "holdable/base/error.hpp"

#include <boost/test/data/test_case.hpp>
#include <boost/test/unit_test.hpp>

#include <cmath>
#include <limits>
#include <ostream>
#include <string>

using namespace holdable;
using namespace holdable::model;
namespace data = boost::unit_test::data;

namespace {

using std::abs, std::acos, std::asin, std::atan, std::atan2, std::cos, std::cosh, std::exp,
    std::hypot, std::log, std::log10, std::max, std::min, std::sin, std::sinh, std::sqrt, std::tan,
    std::tanh;

// Hidden from the optimiser, which rounds sinh and its like better than the library does.
volatile double hidden[] = {0.7, 2.5, -1.25};
const double x = hidden[0], y = hidden[1], z = hidden[2];

double compiled(const std::string& text) {
    Compiler compiler({"x", "y", "z"});
    compiler.output(text);
    return values(compiler.tape(), {x, y, z}).front();
}

struct Case {
    std::string text;
    double value;
};

std::ostream& operator<<(std::ostream& out, const Case& c) {
    return out << c.text;
}

#define SAME(text)                                                                                 \
    Case {                                                                                         \
#text, text                                                                                \
    }

const Case like_the_compiler[] = {
    SAME(x + y - z),
    SAME(x - y - z),
    SAME(x - (y - z)),
    SAME(x / y / z),
    SAME(x / (y / z)),
    SAME(x / y * z),
    SAME(x + y * z),
    SAME((x + y) * z),
    SAME(-x* y),
    SAME(-x - -y),
    SAME(+x - +y),
    SAME(x * -y),
    SAME(- -x),
    SAME(-(x + y)),
    SAME(1.5e3 * x + .25 - 2e-3 / y),
    SAME(x*(1.0 + y * (2.0 + z * (3.0 - x)))),
    SAME(sqrt(x) + exp(z) * log(y) - log10(x)),
    SAME(sin(x) / cos(y) + tan(z)),
    SAME(asin(x) - acos(x) + atan(y)),
    SAME(atan2(y, z) + atan2(z, y)),
    SAME(sinh(x) - cosh(y) * tanh(z)),
    SAME(abs(z) + min(x, y) - max(y, z)),
    SAME(hypot(x, y)),
    SAME(sin(cos(tan(x + y * z) - 1.0) / 2.0)),
    SAME(sqrt(2.0) * x - 3.0 / 7.0),
};

const Case by_hand[] = {
    {"-2^2", -4},
    {"2^3^2", 512},
    {"(2^3)^2", 64},
    {"2^-2", 0.25},
    {"2^-2^2", 0.0625},
    {"2*3^2", 18},
    {"(-2)^2", 4},
    {"-2^2*3", -12},
    {"2^2+1", 5},
    {"4^.5", 2},
    {"min(3, 2, 5)", 2},
    {"max(3, 2, 5, 4)", 5},
    {"hypot(2, 3, 6)", 7},
    {"pi", 3.14159265358979323846},
    {" 1\t+\n2 ", 3},
};

// The worst cases of a grammar: which text, which id, where, and in which words.
struct Refused {
    std::string text, id;
    int column;
    std::string message, hint;
};

std::ostream& operator<<(std::ostream& out, const Refused& r) {
    return out << r.text;
}

const Refused refused[] = {
    {"",
     "formula-syntax",
     1,
     "expected a number, a name or \"(\", found the end of the formula",
     "    \n    ^"},
    {"x +",
     "formula-syntax",
     4,
     "expected a number, a name or \"(\", found the end of the formula",
     "    x +\n       ^"},
    {"x * (y + z",
     "formula-syntax",
     5,
     "this parenthesis is never closed",
     "    x * (y + z\n        ^"},
    {"x + y)",
     "formula-syntax",
     6,
     "expected an operator or the end, found \")\"",
     "this parenthesis was never opened\n    x + y)\n         ^"},
    {"2 x",
     "formula-syntax",
     3,
     "expected an operator or the end, found \"x\"",
     "an operator is missing; write * to multiply\n    2 x\n      ^"},
    {"1,5 * x",
     "formula-syntax",
     2,
     "expected an operator or the end, found \",\"",
     "a comma stands only between arguments; decimals have a point\n    1,5 * x\n     ^"},
    {"x ** 2", "formula-syntax", 3, "\"**\" is no operator", "write ^\n    x ** 2\n      ^"},
    {"x \u2212 y",
     "formula-syntax",
     3,
     "expected an operator or the end, found \"\u2212\"",
     "write -\n    x \u2212 y\n      ^"},
    {".", "formula-syntax", 1, "a point without digits", "    .\n    ^"},
    {"x + \u03b1 + sqr(y)",
     "formula-name",
     5,
     "unknown name \"\u03b1\"",
     "    x + \u03b1 + sqr(y)\n        ^"},
    {"sqr(y)",
     "formula-name",
     1,
     "unknown function \"sqr\"",
     "did you mean \"sqrt\"?\n    sqr(y)\n    ^"},
    {"x(y)",
     "formula-name",
     1,
     "\"x\" is a value, not a function",
     "write * to multiply\n    x(y)\n    ^"},
    {"1 + sin",
     "formula-arity",
     5,
     "\"sin\" is a function and stands without arguments",
     "write sin(…)\n    1 + sin\n        ^"},
    {"sin()", "formula-arity", 1, "\"sin\" takes 1 argument, not 0", "    sin()\n    ^"},
    {"atan2(x, y, z)",
     "formula-arity",
     1,
     "\"atan2\" takes 2 arguments, not 3",
     "    atan2(x, y, z)\n    ^"},
    {"hypot(x)",
     "formula-arity",
     1,
     "\"hypot\" takes 2 or more arguments, not 1",
     "    hypot(x)\n    ^"},
    {"x + 1/0",
     "formula-value",
     6,
     "this part of the formula has no finite value",
     "    x + 1/0\n         ^"},
    {"1e999", "formula-value", 1, "the number is out of range", "    1e999\n    ^"},
};

std::string id_of(const std::string& text) {
    try {
        compiled(text);
    } catch (const InputError& error) {
        return error.diagnostics().front().id;
    }
    return "accepted";
}

} // namespace

BOOST_AUTO_TEST_SUITE(formula)

BOOST_DATA_TEST_CASE(the_compiler_reads_the_same, data::make(like_the_compiler), c) {
    BOOST_TEST(compiled(c.text) == c.value);
}

BOOST_DATA_TEST_CASE(powers_and_folds_by_hand, data::make(by_hand), c) {
    BOOST_TEST(compiled(c.text) == c.value);
}

BOOST_DATA_TEST_CASE(a_refusal_names_place_and_remedy, data::make(refused), r) {
    try {
        compiled(r.text);
        BOOST_ERROR("accepted");
    } catch (const InputError& error) {
        const auto& d = error.diagnostics().front();
        BOOST_TEST(d.id == r.id);
        BOOST_TEST(d.location.line == 1);
        BOOST_TEST(d.location.column == r.column);
        BOOST_TEST(d.message == r.message);
        BOOST_TEST(d.hint == r.hint);
    }
}

BOOST_AUTO_TEST_CASE(depth_and_length_are_limited) {
    const std::string open(99, '('), closed(99, ')');
    BOOST_TEST(id_of(open + "x" + closed) == "accepted");
    BOOST_TEST(id_of("(" + open + "x" + closed + ")") == "formula-depth");
    BOOST_TEST(id_of(std::string(5000, '(')) == "formula-depth");
    BOOST_TEST(id_of(std::string(5000, '-')) == "formula-depth");
    std::string sum = "x";
    while (sum.size() < 9990)
        sum += "+x";
    BOOST_TEST(id_of(sum) == "accepted");
    BOOST_TEST(id_of(sum + "+x+x+x+x+x+x") == "formula-depth");
}

BOOST_AUTO_TEST_CASE(steps_are_names_for_what_follows_and_constants_are_folded) {
    Compiler compiler({"ls", "Δt"});
    compiler.step("a", "ls + Δt");
    BOOST_CHECK_THROW(compiler.step("b", "a + b"), InputError);
    compiler.step("b", "a * (2 * 3 - 4)");
    compiler.output("b + a");
    compiler.output("2^10");
    const auto result = values(compiler.tape(), {1, 2});
    BOOST_TEST(result == (std::vector<double>{9, 1024}), boost::test_tools::per_element());
    const auto& code = compiler.tape().code;
    BOOST_TEST(std::count_if(code.begin(), code.end(), [](const Instruction& i) {
                   return i.operation != Operation::constant;
               }) == 3);
}

BOOST_AUTO_TEST_CASE(what_is_no_number_is_an_error_and_not_a_number) {
    Compiler compiler({"x"});
    compiler.output("1 / x");
    BOOST_CHECK_THROW(values(compiler.tape(), {0}), NumericError);
    BOOST_TEST(values(compiler.tape(), {4}).front() == 0.25);
}

BOOST_AUTO_TEST_CASE(names_that_may_be_used) {
    BOOST_TEST(is_name("x_1"));
    BOOST_TEST(is_name("α"));
    for (const std::string no : {"", "1x", "pi", "sin", "a b", "x-y", "a\u00b2"})
        BOOST_TEST(!is_name(no), no);
}

BOOST_AUTO_TEST_SUITE_END()
