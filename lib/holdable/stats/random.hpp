// SPDX-License-Identifier: MIT
/// Draws that depend on nothing but their name (docs/theory.md, 3).
///
/// The uniform number u(s, i, t) of trial t for input i under seed s is a pure function of those
/// three. Threads, the order of work, the size of processing blocks and which other inputs exist
/// change no draw, so one trial can be replayed alone and two runs compared on the same chances.
///
/// Trials are cut into fixed blocks of `draw_block`. For block b, Philox4x32-10 with key s and
/// counters (i, 16 b + j), j = 0 … 15, makes the 2048 bits that start eight xoshiro256++
/// generators; trial t of the block is output t / 8 of generator t mod 8. The eight are part of the
/// definition and say nothing of the machine's vector width. No generator can start at its
/// forbidden state of zeros: under one key Philox is a bijection, so two counters never both
/// give 0.
///
/// A uniform number is (m + 1/2) / 2^52 for a 52-bit m: never 0, never 1, symmetric about 1/2, and
/// exact in a double, so the bits are equal on every machine.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <span>
#include <string_view>

namespace holdable::stats {

/// Trials that share one key (count); part of the definition of every draw.
inline constexpr std::size_t draw_block = 2048;

/// The Philox4x32 bijection with 10 rounds: four random words (bits) for a counter under a key.
/// Source: Salmon, Moraes, Dror, Shaw, "Parallel random numbers: as easy as 1, 2, 3", SC 2011.
std::array<std::uint32_t, 4> philox4x32_10(std::array<std::uint32_t, 4> counter,
                                           std::array<std::uint32_t, 2> key) noexcept;

/// The number (64 bits) by which an input's full name enters its draws: FNV-1a over the bytes,
/// then the finishing mix of SplitMix64 so that names differing in one letter differ everywhere.
std::uint64_t name_hash(std::string_view full_name) noexcept;

/// Fills `uniform` with u(seed, input, t), t = first_trial …, each in (0, 1) (pure numbers);
/// `input` is the `name_hash` of the input's full name. Any split of a range gives the same bits.
void fill_uniform(std::uint64_t seed,
                  std::uint64_t input,
                  std::uint64_t first_trial,
                  std::span<double> uniform) noexcept;

} // namespace holdable::stats
