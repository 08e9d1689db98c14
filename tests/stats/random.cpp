// SPDX-License-Identifier: MIT
// The draws. Philox against the known answers published with Random123 (kat_vectors, typed from
// memory of that file), exact. xoshiro256++ and the layout of a block against a second, scalar
// implementation written here from the definition in random.hpp, exact. Ranges against each other
// bit by bit. Draws against a stored table (tests/reference/draws.json) worked from the definition
// in another language, exact on every build. The uniform law against its moments and lag products:
// the limit of 6.2 standard errors is passed by chance with probability 5.7e-10 a figure; seeds are
// fixed, so a failure stays.
#include "holdable/stats/random.hpp"

#include "reference.hpp"

#include <boost/test/unit_test.hpp>

#include <algorithm>
#include <bit>
#include <cmath>
#include <limits>
#include <set>
#include <string>
#include <vector>

using namespace holdable;
using namespace holdable::stats;

namespace {

using Counter = std::array<std::uint32_t, 4>;

std::vector<double>
uniforms(std::uint64_t seed, std::uint64_t input, std::uint64_t first, std::size_t count) {
    std::vector<double> u(count);
    fill_uniform(seed, input, first, u);
    return u;
}

/// The definition, one trial at a time.
double one_uniform(std::uint64_t seed, std::uint64_t input, std::uint64_t trial) {
    const std::uint64_t block = trial / 2048, step = trial % 2048 / 8, lane = trial % 8;
    std::array<std::uint64_t, 4> s{};
    for (std::uint64_t half = 0; half < 2; ++half) {
        const std::uint64_t j = 16 * block + 2 * lane + half;
        const auto low = [](std::uint64_t x) { return static_cast<std::uint32_t>(x); };
        const Counter r = philox4x32_10({low(j), low(j >> 32), low(input), low(input >> 32)},
                                        {low(seed), low(seed >> 32)});
        s[2 * half] = r[0] + (std::uint64_t{r[1]} << 32);
        s[2 * half + 1] = r[2] + (std::uint64_t{r[3]} << 32);
    }
    std::uint64_t word = 0;
    for (std::uint64_t i = 0; i <= step; ++i) {
        word = std::rotl(s[0] + s[3], 23) + s[0];
        const std::uint64_t t = s[1] << 17;
        s[2] ^= s[0];
        s[3] ^= s[1];
        s[1] ^= s[2];
        s[0] ^= s[3];
        s[2] ^= t;
        s[3] = std::rotl(s[3], 45);
    }
    return (static_cast<double>(word >> 12) + 0.5) / 4503599627370496.0;
}

} // namespace

BOOST_AUTO_TEST_SUITE(draws)

BOOST_AUTO_TEST_CASE(philox_gives_the_published_words) {
    const auto is = [](Counter counter, std::array<std::uint32_t, 2> key, Counter expected) {
        BOOST_TEST(philox4x32_10(counter, key) == expected, boost::test_tools::per_element());
    };
    is({0, 0, 0, 0}, {0, 0}, {0x6627e8d5, 0xe169c58d, 0xbc57ac4c, 0x9b00dbd8});
    constexpr std::uint32_t ones = 0xffffffff;
    is({ones, ones, ones, ones}, {ones, ones}, {0x408f276d, 0x41c83b0e, 0xa20bc7c6, 0x6d5451fd});
    is({0x243f6a88, 0x85a308d3, 0x13198a2e, 0x03707344},
       {0xa4093822, 0x299f31d0},
       {0xd16cfe09, 0x94fdcceb, 0x5001e420, 0x24126ea1});
}

BOOST_AUTO_TEST_CASE(a_draw_is_the_one_defined) {
    const std::uint64_t far = std::uint64_t{1} << 40;
    for (const std::uint64_t first : {std::uint64_t{0}, std::uint64_t{2040}, far + 3}) {
        const auto u = uniforms(0x0123456789abcdef, name_hash("x"), first, 2100);
        for (std::size_t i = 0; i < u.size(); i += 7)
            BOOST_TEST(u[i] == one_uniform(0x0123456789abcdef, name_hash("x"), first + i));
    }
}

BOOST_AUTO_TEST_CASE(draws_are_those_of_the_stored_table) {
    for (const auto& row : reference::sets("draws", "draws")) {
        const auto whole = [&](const char* key) {
            return std::stoull(row[key].get<std::string>());
        };
        const auto name = row["name"].get<std::string>();
        const auto u = uniforms(whole("seed"), name_hash(name), whole("trial"), 1);
        const double expected = (static_cast<double>(whole("m")) + 0.5) / 4503599627370496.0;
        BOOST_TEST(u[0] == expected, row.dump());
    }
}

BOOST_AUTO_TEST_CASE(no_split_of_a_range_changes_a_bit) {
    const auto whole = uniforms(7, 11, 0, 10000);
    for (const std::size_t piece : {1U, 3U, 8U, 100U, 2047U, 2048U, 2049U, 4096U, 5000U}) {
        std::vector<double> pieces(whole.size());
        for (std::size_t at = 0; at < pieces.size(); at += piece) {
            const std::size_t n = std::min(piece, pieces.size() - at);
            fill_uniform(7, 11, at, std::span(pieces).subspan(at, n));
        }
        BOOST_TEST((pieces == whole), "pieces of " << piece);
    }
    fill_uniform(7, 11, 5, {});
}

BOOST_AUTO_TEST_CASE(seed_input_and_block_each_change_the_draws) {
    const auto u = uniforms(1, 1, 0, 64);
    BOOST_TEST((u != uniforms(2, 1, 0, 64)));
    BOOST_TEST((u != uniforms(1, 2, 0, 64)));
    BOOST_TEST((u != uniforms(1, 1, 2048, 64)));
    BOOST_TEST((u != uniforms(std::uint64_t{1} << 32, 1, 0, 64)));
    BOOST_TEST((u != uniforms(1, std::uint64_t{1} << 32, 0, 64)));
}

BOOST_AUTO_TEST_CASE(names_have_their_own_numbers) {
    std::set<std::uint64_t> seen;
    for (int i = 0; i < 100000; ++i)
        seen.insert(name_hash("machine.x.straightness." + std::to_string(i)));
    BOOST_TEST(seen.size() == 100000U); // by chance two agree once in 4e9 such lists
    BOOST_TEST(name_hash("a") != name_hash("b"));
    BOOST_TEST(name_hash("") == name_hash(""));
}

BOOST_AUTO_TEST_CASE(draws_are_uniform_and_unrelated) {
    constexpr std::size_t n = 1 << 20;
    const double root = std::sqrt(static_cast<double>(n));
    for (const std::uint64_t seed : {0U, 1U, 20U}) {
        const auto u = uniforms(seed, name_hash("a"), 0, n);
        const auto v = uniforms(seed, name_hash("b"), 0, n);
        BOOST_TEST(*std::min_element(u.begin(), u.end()) > 0.0);
        BOOST_TEST(*std::max_element(u.begin(), u.end()) < 1.0);
        // Mean of x^k over (-1/2, 1/2), with y = x; standard deviations from the moments
        // 2^-k/(k+1).
        double m1 = 0, m2 = 0, m3 = 0, m4 = 0, uv = 0, lag1 = 0, lag8 = 0;
        for (std::size_t i = 0; i < n; ++i) {
            const double x = u[i] - 0.5;
            m1 += x;
            m2 += x * x;
            m3 += x * x * x;
            m4 += x * x * x * x;
            uv += x * (v[i] - 0.5);
            lag1 += x * (u[(i + 1) % n] - 0.5);
            lag8 += x * (u[(i + 8) % n] - 0.5);
        }
        const auto near = [&](double sum, double mean, double square, const char* what) {
            const double z = (sum / n - mean) * root / std::sqrt(square - mean * mean);
            BOOST_TEST(std::abs(z) < 6.2, what << " of seed " << seed << ": z = " << z);
        };
        near(m1, 0, 1.0 / 12, "mean");
        near(m2, 1.0 / 12, 1.0 / 80, "variance");
        near(m3, 0, 1.0 / 448, "third moment");
        near(m4, 1.0 / 80, 1.0 / 2304, "fourth moment");
        near(uv, 0, 1.0 / 144, "product of two inputs");
        near(lag1, 0, 1.0 / 144, "product of neighbours");
        near(lag8, 0, 1.0 / 144, "product of a lane's neighbours");
    }
}

BOOST_AUTO_TEST_SUITE_END()
