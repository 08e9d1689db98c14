// SPDX-License-Identifier: MIT
// The dimension check of formulas. Accepted formulas are the laws of the trade and of school
// physics, with the unit of the result as every textbook has it, given to the unit reader and not
// to the algebra under test. Refused ones against messages written by hand; exact.
#include "holdable/model/kind.hpp"

#include "holdable/base/error.hpp"
#include "holdable/model/formula.hpp"

#include <boost/test/data/test_case.hpp>
#include <boost/test/unit_test.hpp>

#include <ostream>
#include <string>

using namespace holdable;
using namespace holdable::model;
namespace data = boost::unit_test::data;

namespace {

std::vector<Input> inputs() {
    const auto in = [](const char* name, const char* unit) {
        return Input{name, kind_of(parse_unit(unit))};
    };
    return {in("l", "mm"),
            in("d", "in"),
            in("alpha", "µm/m/K"),
            in("t", "°C"),
            in("t2", "°F"),
            in("t20", "°C"),
            in("dt", "K"),
            in("f", "N"),
            in("area", "mm^2"),
            in("e", "Pa"),
            in("m", "kg"),
            in("rho", "kg/m^3"),
            in("v", "V"),
            in("i", "mA"),
            in("phi", "°"),
            in("slope", "in/ft"),
            in("n", "1"),
            in("time", "s"),
            {"c", opaque_kind("counts")},
            {"c2", opaque_kind("counts")},
            {"g", opaque_kind("grit")}};
}

struct Accepted {
    std::string formula, unit;
};

std::ostream& operator<<(std::ostream& out, const Accepted& a) {
    return out << a.formula;
}

const Accepted accepted[] = {
    {"l + d", "µm"},
    {"l * (1 + alpha * (t - t20))", "mm"},
    {"alpha * dt", "1"},
    {"t - t2", "K"},
    {"t + dt", "°F"},
    {"dt + t", "°C"},
    {"(t + t2)/2", "°C"},
    {"0.5*t + t2*0.5", "°C"},
    {"(t + t2 + t20)/3 - t", "Δ°F"},
    {"-(t - t2)", "K"},
    {"t + t2 - 2*t20", "K"},
    {"max(t, t2) - min(t, t2)", "K"},
    {"f*l/(area*e)", "mm"},
    {"f/area", "Pa"},
    {"v/i", "ohm"},
    {"v*i", "W"},
    {"sqrt(area)", "mm"},
    {"(sqrt(area)*sqrt(l))^2", "mm^3"},
    {"(m/rho)^(1/3)", "mm"},
    {"l*sin(phi) + d*slope", "mm"},
    {"phi + slope + n + 1", "arcsec"},
    {"atan2(l, d)", "°"},
    {"hypot(l, d, l)", "mm"},
    {"abs(l - d)", "mm"},
    {"exp(-l/d) + log(area/l^2)", "1"},
    {"l/time", "mm/min"},
    {"2^n", "%"},
    {"1/l", "1/mm"},
    {"-l^2", "mm^2"},
};

struct Refused {
    std::string formula, unit;
    int column;
    std::string message, hint; // the first line of the hint, without the caret
};

std::ostream& operator<<(std::ostream& out, const Refused& r) {
    return out << r.formula;
}

const std::string fixed = "give a number its unit: make it a fixed input";
const std::string reference =
    "subtract a reference first, as in (t - t20) with t20 a fixed input of 20 °C; for kelvins "
    "from absolute zero, one of -273.15 °C";
const std::string divide = "divide it by a quantity of its kind";

// clang-format off
const Refused refused[] = {
    {"t - 20", "K", 3, "a number cannot be subtracted from a temperature", fixed + ", as in t20 = 20 °C"},
    {"l + 1", "mm", 3, "a number cannot be added to a length (m)", fixed},
    {"1 + l", "mm", 3, "a length (m) cannot be added to a number", fixed},
    {"l + area", "mm", 3, "an area (m^2) cannot be added to a length (m)", ""},
    {"l - f", "mm", 3, "a quantity in m·kg/s^2 cannot be subtracted from a length (m)", ""},
    {"alpha * t", "1", 7, "a temperature cannot be multiplied or divided by a quantity", reference},
    {"t / l", "1", 3, "a temperature cannot be multiplied or divided by a quantity", reference},
    {"t^2", "1", 2, "a temperature cannot be raised to a power", reference},
    {"sqrt(t)", "1", 1, "a temperature cannot be raised to a power", reference},
    {"abs(t)", "1", 1, "a temperature has no absolute value", reference},
    {"exp(t)", "1", 1, "a temperature cannot be the argument of this function", reference},
    {"max(t, dt)", "K", 1, "a temperature and a difference of temperatures (K) cannot be compared", ""},
    {"min(l, n)", "mm", 1, "a length (m) and a number cannot be compared", fixed},
    {"1 + sin(l)", "1", 5, "the argument is a number or an angle, not a length (m)", divide},
    {"2^l", "1", 2, "an exponent is a number, not a length (m)", divide},
    {"l^n", "1", 2, "the exponent over a length (m) must be a constant", "write the exponent as a number in the formula"},
    {" l*d", "mm", 2, "the result is an area (m^2), but the unit \"mm\" is for a length (m)", ""},
    {"l", "°", 1, "the result is a length (m), but the unit \"°\" is for a number", ""},
    {"t - t2", "°C", 1, "the result is a difference of temperatures (K), but the unit \"°C\" is for a temperature", "write K, Δ°C or Δ°F for a difference"},
    {"t", "K", 1, "the result is a temperature, but the unit \"K\" is for a difference of temperatures (K)", "write °C or °F"},
    {"t + t2", "°C", 1, "the result is a sum of temperatures, neither a temperature nor a difference", "divide a sum of n temperatures by n for their mean"},
    {"c + g", "1", 3, "a quantity in \"grit\" cannot be added to a quantity in \"counts\"", ""},
    {"c - 5", "1", 3, "a number cannot be subtracted from a quantity in \"counts\"", fixed},
    {"c + l", "1", 3, "a length (m) cannot be added to a quantity in \"counts\"", ""},
};
// clang-format on

} // namespace

BOOST_AUTO_TEST_SUITE(kind)

BOOST_DATA_TEST_CASE(what_makes_sense_is_accepted, data::make(accepted), a) {
    Compiler compiler(inputs());
    BOOST_CHECK_NO_THROW(compiler.output(a.formula, parse_unit(a.unit)));
}

BOOST_DATA_TEST_CASE(what_makes_none_is_refused, data::make(refused), r) {
    Compiler compiler(inputs());
    try {
        compiler.output(r.formula, parse_unit(r.unit));
        BOOST_ERROR("accepted");
    } catch (const InputError& error) {
        const auto& d = error.diagnostics().front();
        const auto caret = "    " + r.formula + "\n" + std::string(4 + r.column - 1, ' ') + "^";
        BOOST_TEST(d.id == "formula-dimension");
        BOOST_TEST(d.location.column == r.column);
        BOOST_TEST(d.message == r.message);
        BOOST_TEST(d.hint == (r.hint.empty() ? "" : r.hint + "\n") + caret);
    }
}

BOOST_AUTO_TEST_CASE(opaque_units_are_carried_and_noted) {
    Compiler compiler(inputs());
    compiler.output("(c + c2)/2 * n");
    BOOST_TEST(describe(compiler.output_kind(0)) == "a quantity in \"counts\"");
    compiler.output("c/c2");
    BOOST_TEST(describe(compiler.output_kind(1)) == "a number");
    compiler.output("sqrt(c*g) + l", parse_unit("mm"));
    BOOST_TEST(describe(compiler.output_kind(2)) == "an unchecked quantity");
    compiler.output("exp(c)");
    BOOST_TEST(compiler.notes().size() == 3U);
    BOOST_TEST(compiler.notes()[0] == "the unit \"counts\" is not known and is carried unchecked");
    BOOST_TEST(compiler.notes()[2] ==
               "the unit \"mm\" of \"sqrt(c*g) + l\" is a label: it is not checked, as an input "
               "has a unit that is not known");
}

BOOST_AUTO_TEST_CASE(a_refused_formula_leaves_no_trace) {
    Compiler compiler(inputs());
    compiler.step("a", "2*l");
    const auto size = compiler.tape().code.size();
    BOOST_CHECK_THROW(compiler.step("b", "l*d*d + a + 1"), InputError);
    BOOST_CHECK_THROW(compiler.output("l*d", parse_unit("mm")), InputError);
    BOOST_TEST(compiler.tape().code.size() == size);
    BOOST_TEST(compiler.tape().outputs.empty());
    compiler.output("a/l");
    BOOST_TEST(describe(compiler.output_kind(0)) == "a number");
}

BOOST_AUTO_TEST_CASE(kinds_in_words) {
    BOOST_TEST(describe(kind_of(parse_unit("µm/m/K"))) == "a quantity in 1/K");
    BOOST_TEST(describe(kind_of(parse_unit("mm/min"))) == "a speed (m/s)");
    BOOST_TEST(describe(kind_of(parse_unit("V"))) == "a quantity in m^2·kg/s^3/A");
}

BOOST_AUTO_TEST_SUITE_END()
