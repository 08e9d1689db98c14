// SPDX-License-Identifier: MIT
// Low-discrepancy numbers. Points against Boost's own Sobol' generator, another program over the
// same published direction numbers, in its order of Gray codes: bits exact. Uniformity by what the
// sequence promises: 2^k points put one into each of 2^k equal cells: exact. Shifts against their
// definition by Philox.
#include "holdable/stats/sobol.hpp"

#include <boost/random/sobol.hpp>
#include <boost/test/unit_test.hpp>

#include <algorithm>
#include <cmath>
#include <vector>

using namespace holdable::stats;

namespace {

constexpr std::uint64_t seed = 0x0123456789abcdef;

std::vector<double> numbers(const Sobol& s, std::uint64_t first, std::size_t count) {
    std::vector<double> u(count);
    s.fill(first, u);
    return u;
}

/// m of (m + 1/2)/2^52.
std::uint64_t whole(double u) {
    return static_cast<std::uint64_t>(u * 0x1p52);
}

/// The trial that has point n of a replicate.
std::uint64_t trial(std::uint64_t n, std::uint64_t replicate) {
    return n / 128 * 2048 + replicate * 128 + n % 128;
}

} // namespace

BOOST_AUTO_TEST_SUITE(low_discrepancy)

BOOST_AUTO_TEST_CASE(points_are_those_of_another_generator) {
    constexpr std::size_t dimensions = 40;
    constexpr std::uint64_t points = 5000;
    boost::random::sobol other(dimensions);
    std::vector<Sobol> own;
    for (std::size_t d = 0; d < dimensions; ++d)
        own.emplace_back(seed, d, d);
    for (std::uint64_t n = 1; n < points; ++n) { // it leaves point 0 out
        const std::uint64_t gray = n ^ (n >> 1);
        const std::uint64_t replicate = n % 16;
        for (std::size_t d = 0; d < dimensions; ++d) {
            const auto word = other();
            const auto zero = whole(numbers(own[d], trial(0, replicate), 1)[0]);
            const auto point = whole(numbers(own[d], trial(gray, replicate), 1)[0]);
            if ((zero ^ point) != word >> 12)
                BOOST_ERROR("point " << gray << " of dimension " << d);
        }
    }
}

BOOST_AUTO_TEST_CASE(the_last_dimension_is_a_permutation) {
    // One in each of 1024 cells, for every dimension: here some, with the highest that is known.
    for (const std::size_t d :
         {std::size_t{0}, std::size_t{1}, std::size_t{100}, Sobol::dimensions - 1}) {
        const Sobol s(seed, 5, d);
        for (const std::uint64_t replicate : {0U, 7U, 15U}) {
            std::vector<int> hits(1024);
            for (std::uint64_t n = 0; n < 1024; ++n) {
                const double u = numbers(s, trial(n, replicate), 1)[0];
                BOOST_TEST_REQUIRE((u > 0 && u < 1));
                ++hits[static_cast<std::size_t>(u * 1024)];
            }
            BOOST_TEST(*std::max_element(hits.begin(), hits.end()) == 1, d << " " << replicate);
        }
    }
}

BOOST_AUTO_TEST_CASE(shifts_are_random_bits_of_seed_input_and_replicate) {
    const Sobol s(seed, name_hash("x"), 3);
    const std::uint64_t name = name_hash("x");
    for (std::uint32_t r = 0; r < 16; ++r) {
        const auto word = philox4x32_10({r,
                                         0x80000000,
                                         static_cast<std::uint32_t>(name),
                                         static_cast<std::uint32_t>(name >> 32)},
                                        {0x89abcdef, 0x01234567});
        const std::uint64_t bits = word[0] | std::uint64_t{word[1]} << 32;
        BOOST_TEST(whole(numbers(s, trial(0, r), 1)[0]) == bits >> 12); // point 0 is 0
    }
    const auto u = numbers(s, 0, 4096);
    BOOST_TEST((u != numbers(Sobol(seed + 1, name, 3), 0, 4096)));
    BOOST_TEST((u != numbers(Sobol(seed, name + 1, 3), 0, 4096)));
    BOOST_TEST((u != numbers(Sobol(seed, name, 4), 0, 4096)));
}

BOOST_AUTO_TEST_CASE(no_split_of_a_range_changes_a_bit) {
    const Sobol s(seed, 11, 6);
    for (const std::uint64_t first :
         {std::uint64_t{0}, std::uint64_t{2000}, (std::uint64_t{1} << 40) + 77}) {
        const auto u = numbers(s, first, 6000);
        for (const std::size_t piece : {1U, 100U, 128U, 2047U, 3000U}) {
            std::vector<double> pieces(u.size());
            for (std::size_t at = 0; at < pieces.size(); at += piece)
                s.fill(first + at,
                       std::span(pieces).subspan(at, std::min(piece, pieces.size() - at)));
            BOOST_TEST((pieces == u), "pieces of " << piece);
        }
    }
}

BOOST_AUTO_TEST_SUITE_END()
