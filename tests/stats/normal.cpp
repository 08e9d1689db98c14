// SPDX-License-Identifier: MIT
// The normal law. The quantile against Boost.Math's (Newton on its own erfc, unrelated to AS 241)
// over every octave of both tails: 4e-15 relative, that is the rounding of p in 1 − p and a few
// operations. The cdf against Boost's: 1e-15 relative, rounding, growing as z² in the tail. Blocks
// against single values: what normal.hpp states of the table they come from.
#include "holdable/stats/normal.hpp"

#include <boost/math/distributions/normal.hpp>
#include <boost/test/unit_test.hpp>

#include <algorithm>
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

BOOST_AUTO_TEST_CASE(a_block_is_as_near_as_stated) {
    std::vector<double> p;
    for (int octave = 1; octave <= 53; ++octave)
        for (int i = 0; i < 997; ++i) {
            p.push_back(std::ldexp(0.5 + (i + 0.5) / 1994, 1 - octave));
            p.push_back(1.0 - p.back());
        }
    p.push_back(0x1p-53);
    p.push_back(1.0 - 0x1p-53);
    auto z = p;
    normal_quantile(z);
    double worst = 0;
    for (std::size_t i = 0; i < p.size(); ++i) {
        const double exact = normal_quantile(std::clamp(p[i], 0x1p-53, 1.0 - 0x1p-53));
        worst = std::max(worst, std::abs(z[i] - exact) / std::max(1.0, std::abs(exact)));
    }
    BOOST_TEST(worst < 1e-10);
}

BOOST_AUTO_TEST_CASE(a_row_and_its_parts_have_the_same_bits) {
    std::vector<double> p;
    for (int i = 0; i < 1001; ++i)
        p.push_back((i + 0.5) / 1001);
    auto whole = p;
    normal_quantile(whole);
    for (std::size_t i = 0; i < p.size(); ++i) {
        normal_quantile({&p[i], 1});
        BOOST_TEST(p[i] == whole[i]);
    }
}

BOOST_AUTO_TEST_SUITE_END()
