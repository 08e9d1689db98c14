// SPDX-License-Identifier: MIT
#include "holdable/stats/random.hpp"

#include "holdable/base/clones.ipp"

#include <algorithm>
#include <bit>

namespace holdable::stats {
namespace {

using Word = std::uint64_t;

constexpr std::size_t lanes = 8;

// A group of lanes as wide as the machine's registers. The lanes are independent, so the width
// changes the speed only.
#if defined(__AVX512F__)
constexpr std::size_t width = 8;
#elif defined(__x86_64__)
constexpr std::size_t width = 4; // pairs of registers where there is no AVX2
#else
constexpr std::size_t width = 2;
#endif
using Words = Word __attribute__((vector_size(width * sizeof(Word))));
using Doubles = double __attribute__((vector_size(width * sizeof(double))));

constexpr std::size_t groups = lanes / width;

/// The eight generators of one block, at their start.
struct Generators {
    Words s[groups][4];

    Generators(Word seed, Word input, Word block) {
        const std::array key{static_cast<std::uint32_t>(seed),
                             static_cast<std::uint32_t>(seed >> 32)};
        for (std::size_t lane = 0; lane < lanes; ++lane) {
            for (std::size_t half = 0; half < 2; ++half) {
                const Word index = block * 2 * lanes + 2 * lane + half;
                const auto bits = philox4x32_10({static_cast<std::uint32_t>(index),
                                                 static_cast<std::uint32_t>(index >> 32),
                                                 static_cast<std::uint32_t>(input),
                                                 static_cast<std::uint32_t>(input >> 32)},
                                                key);
                auto& group = s[lane / width];
                group[2 * half][lane % width] = bits[0] | Word{bits[1]} << 32;
                group[2 * half + 1][lane % width] = bits[2] | Word{bits[3]} << 32;
            }
        }
    }

    /// Writes the next `steps` outputs of each generator, lane by lane, to `out`.
    [[gnu::always_inline]] void fill(double* out, std::size_t steps) {
        for (std::size_t g = 0; g < groups; ++g) {
            Words a = s[g][0], b = s[g][1], c = s[g][2], d = s[g][3];
            for (std::size_t step = 0; step < steps; ++step) {
                // xoshiro256++, Blackman and Vigna 2019.
                const Words sum = a + d;
                const Words word = ((sum << 23) | (sum >> 41)) + a;
                const Words t = b << 17;
                c ^= a;
                d ^= b;
                b ^= c;
                a ^= d;
                c ^= t;
                d = (d << 45) | (d >> 19);
                // 1 + m/2^52 by its bits, then down to (m + 1/2)/2^52; every step is exact.
                const Words one_to_two = (word >> 12) | std::bit_cast<Word>(1.0);
                const Doubles u = reinterpret_cast<Doubles>(one_to_two) - (1.0 - 0x1p-53);
                std::copy_n(
                    reinterpret_cast<const double*>(&u), width, out + lanes * step + width * g);
            }
        }
    }
};

} // namespace

std::array<std::uint32_t, 4> philox4x32_10(std::array<std::uint32_t, 4> counter,
                                           std::array<std::uint32_t, 2> key) noexcept {
    for (int round = 0; round < 10; ++round) {
        const Word even = Word{0xD2511F53} * counter[0];
        const Word odd = Word{0xCD9E8D57} * counter[2];
        counter = {static_cast<std::uint32_t>(odd >> 32) ^ counter[1] ^ key[0],
                   static_cast<std::uint32_t>(odd),
                   static_cast<std::uint32_t>(even >> 32) ^ counter[3] ^ key[1],
                   static_cast<std::uint32_t>(even)};
        key[0] += 0x9E3779B9;
        key[1] += 0xBB67AE85;
    }
    return counter;
}

std::uint64_t name_hash(std::string_view full_name) noexcept {
    Word hash = 0xcbf29ce484222325;
    for (const char letter : full_name)
        hash = (hash ^ static_cast<unsigned char>(letter)) * 0x100000001b3;
    hash = (hash ^ (hash >> 30)) * 0xbf58476d1ce4e5b9;
    hash = (hash ^ (hash >> 27)) * 0x94d049bb133111eb;
    return hash ^ (hash >> 31);
}

HOLDABLE_CLONES
void fill_uniform(std::uint64_t seed,
                  std::uint64_t input,
                  std::uint64_t first_trial,
                  std::span<double> uniform) noexcept {
    while (!uniform.empty()) {
        const std::size_t skip = first_trial % draw_block;
        const std::size_t count = std::min(draw_block - skip, uniform.size());
        Generators generators(seed, input, first_trial / draw_block);
        if (count == draw_block) {
            generators.fill(uniform.data(), draw_block / lanes);
        } else {
            std::array<double, draw_block> block;
            generators.fill(block.data(), (skip + count + lanes - 1) / lanes);
            std::copy_n(block.data() + skip, count, uniform.data());
        }
        uniform = uniform.subspan(count);
        first_trial += count;
    }
}

} // namespace holdable::stats
