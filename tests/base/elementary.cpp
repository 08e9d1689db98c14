// SPDX-License-Identifier: MIT
// Exponential and logarithm, against 50 digits of Boost.Multiprecision (its own series, unrelated).
// The bound is what the header states, 1 unit in the last place; rows against single values: the
// same bits; ends of the domain against <cmath>, whose results there are exact.
#include "holdable/base/elementary.hpp"

#include <boost/multiprecision/cpp_bin_float.hpp>
#include <boost/test/unit_test.hpp>

#include <bit>
#include <cmath>
#include <cstdint>
#include <limits>
#include <vector>

namespace el = holdable::elementary;

namespace {

using Exact = boost::multiprecision::cpp_bin_float_50;

constexpr double infinite = std::numeric_limits<double>::infinity();

/// Distance in units in the last place of the exact value.
double units_off(double found, const Exact& exact) {
    const double near = exact.convert_to<double>();
    const double unit = std::nextafter(std::abs(near), infinite) - std::abs(near);
    return std::abs(((Exact(found) - exact) / unit).convert_to<double>());
}

bool same_bits(double a, double b) {
    return std::bit_cast<std::uint64_t>(a) == std::bit_cast<std::uint64_t>(b) ||
           (std::isnan(a) && std::isnan(b));
}

std::vector<double> arguments() {
    std::vector<double> x;
    for (int i = -7451; i <= 7097; i += 3)
        x.push_back(i / 10.0 + 1e-3 * (i % 7));
    for (int i = -500; i <= 500; ++i) {
        x.push_back(i / 997.0);
        x.push_back(std::ldexp(1.0 + i / 1009.0, i % 60));
    }
    return x;
}

} // namespace

BOOST_AUTO_TEST_SUITE(elementary)

BOOST_AUTO_TEST_CASE(exponential_to_one_unit) {
    double worst = 0;
    for (const double x : arguments())
        if (x > -708 && x < 709)
            worst = std::max(worst, units_off(el::exp(x), exp(Exact(x))));
    BOOST_TEST(worst < 1.0);
    // Below the normal numbers the last place is that of the smallest.
    worst = 0;
    for (double x = -745; x < -708; x += 0.37)
        worst = std::max(worst, units_off(el::exp(x), exp(Exact(x))));
    BOOST_TEST(worst < 1.0);
}

BOOST_AUTO_TEST_CASE(logarithm_to_one_unit) {
    double worst = 0;
    for (const double x : arguments())
        if (x > 0)
            worst = std::max(worst, units_off(el::log(x), log(Exact(x))));
    for (int e = -1074; e < 1024; ++e) {
        const double x = std::ldexp(1.0, e);
        if (x != 1.0)
            worst = std::max(worst, units_off(el::log(x), log(Exact(x))));
        worst = std::max(worst, units_off(el::log(1.41421 * x), log(Exact(1.41421 * x))));
    }
    BOOST_TEST(worst < 1.0);
}

BOOST_AUTO_TEST_CASE(at_the_ends_of_the_domain_as_cmath) {
    constexpr double nan = std::numeric_limits<double>::quiet_NaN();
    for (const double x : {0.0, -0.0, infinite, -infinite, nan, 709.78, 709.79, 1e300, -745.13,
                           -745.14, -1e300, 5e-324, -5e-324}) {
        const double e = std::exp(x);
        BOOST_TEST((same_bits(el::exp(x), e) || units_off(el::exp(x), Exact(e)) <= 1.0), x);
        const double l = std::log(x);
        BOOST_TEST((same_bits(el::log(x), l) || units_off(el::log(x), Exact(l)) <= 1.0), x);
    }
    BOOST_TEST(el::exp(0.0) == 1.0);
    BOOST_TEST(el::log(1.0) == 0.0);
}

BOOST_AUTO_TEST_CASE(a_row_has_the_bits_of_single_values) {
    const auto x = arguments();
    std::vector<double> e(x.size()), l(x.size());
    el::exp(x.data(), e.data(), x.size());
    el::log(x.data(), l.data(), x.size());
    for (std::size_t i = 0; i < x.size(); ++i) {
        BOOST_TEST(same_bits(e[i], el::exp(x[i])));
        BOOST_TEST(same_bits(l[i], el::log(x[i])));
    }
}

BOOST_AUTO_TEST_SUITE_END()
