// SPDX-License-Identifier: MIT
// The normal law. The quantile against Boost.Math's (Newton on its own erfc, unrelated to AS 241)
// over every octave of both tails: 4e-15 relative, that is the rounding of p in 1 − p and a few
// operations. The cdf against Boost's: 1e-15 relative, rounding, growing as z² in the tail. Blocks
// against single values: the same bits.
#include "holdable/stats/normal.hpp"

#include <boost/math/distributions/normal.hpp>
#include <boost/test/unit_test.hpp>

#include <cmath>
#include <vector>

using namespace holdable::stats;

BOOST_AUTO_TEST_SUITE(normal)

BOOST_AUTO_TEST_CASE(quantile_agrees_with_another_method) {
    const boost::math::normal law;
    double worst = 0;
    for (int octave = 1; octave <= 300; ++octave) {
        for (int i = 0; i < 64; ++i) {
            const double p = std::ldexp(0.5 + i / 128.0 + 0.001, -octave);
            const double z = boost::math::quantile(law, p);
            worst = std::max(worst, std::abs(normal_quantile(p) / z - 1.0));
            if (octave < 40) {
                const double upper = 1.0 - p;
                const double y = boost::math::quantile(boost::math::complement(law, 1.0 - upper));
                worst = std::max(worst, std::abs(normal_quantile(upper) / y - 1.0));
            }
        }
    }
    BOOST_TEST(worst < 4e-15);
    BOOST_TEST(normal_quantile(0.5) == 0.0);
}

BOOST_AUTO_TEST_CASE(cdf_agrees_with_another_method) {
    const boost::math::normal law;
    for (double z = -30; z < 9; z += 0.37) {
        const double p = boost::math::cdf(law, z);
        BOOST_TEST(std::abs(normal_cdf(z) / p - 1.0) < 1e-15 * (2 + z * z));
    }
    BOOST_TEST(normal_cdf(0.0) == 0.5);
}

BOOST_AUTO_TEST_CASE(a_block_has_the_bits_of_single_values) {
    std::vector<double> p;
    for (int i = 0; i < 1001; ++i)
        p.push_back((i + 0.5) / 1001);
    p.push_back(0x1p-53);
    p.push_back(1.0 - 0x1p-53);
    auto z = p;
    normal_quantile(z);
    for (std::size_t i = 0; i < p.size(); ++i)
        BOOST_TEST(z[i] == normal_quantile(p[i]));
}

BOOST_AUTO_TEST_SUITE_END()
