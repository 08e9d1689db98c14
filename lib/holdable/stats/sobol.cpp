// SPDX-License-Identifier: MIT
#include "holdable/stats/sobol.hpp"

#include "holdable/base/clones.ipp"

#include <boost/random/detail/sobol_table.hpp>

#include <algorithm>
#include <bit>
#include <cassert>

namespace holdable::stats {
namespace {

using Table = boost::random::detail::qrng_tables::sobol;
static_assert(Sobol::dimensions == Table::max_dimension);

constexpr unsigned bits = 52;

/// Direction numbers of a dimension, in the top bits of 52.
std::array<std::uint64_t, bits> directions(std::size_t dimension) {
    std::array<std::uint64_t, bits> m;
    if (dimension == 0) {
        m.fill(1);
    } else {
        const std::uint64_t polynomial = Table::polynomial(dimension - 1);
        const auto degree = static_cast<unsigned>(std::bit_width(polynomial)) - 1;
        for (unsigned j = 0; j < degree; ++j)
            m[j] = Table::minit(dimension - 1, j);
        // Bratley and Fox, ACM TOMS 14 (1988), section 2.
        for (unsigned j = degree; j < bits; ++j) {
            m[j] = m[j - degree];
            for (unsigned k = 0; k < degree; ++k)
                if (polynomial >> k & 1)
                    m[j] ^= m[j - degree + k] << (degree - k);
        }
    }
    for (unsigned j = 0; j < bits; ++j)
        m[j] <<= bits - 1 - j;
    return m;
}

/// (m + 1/2)/2^52 from a point and what it is changed by.
HOLDABLE_CLONES
void shifted(std::span<const std::uint64_t> points, std::uint64_t change, double* out) {
    for (std::size_t t = 0; t < points.size(); ++t) {
        const auto one_to_two = (points[t] ^ change) | std::bit_cast<std::uint64_t>(1.0);
        out[t] = std::bit_cast<double>(one_to_two) - (1.0 - 0x1p-53);
    }
}

} // namespace

Sobol::Sobol(std::uint64_t seed, std::uint64_t input, std::size_t dimension) {
    assert(dimension < dimensions);
    direction_ = directions(dimension);
    pattern_.fill(0);
    for (std::size_t n = 1; n < together; ++n) {
        const auto lowest = static_cast<std::size_t>(std::countr_zero(n));
        pattern_[n] = pattern_[n & (n - 1)] ^ direction_[lowest];
    }
    for (std::uint32_t r = 0; r < replicates; ++r) {
        // Counters of plain draws begin with the number of a block, which never gets so far.
        const auto word = philox4x32_10(
            {r,
             0x80000000,
             static_cast<std::uint32_t>(input),
             static_cast<std::uint32_t>(input >> 32)},
            {static_cast<std::uint32_t>(seed), static_cast<std::uint32_t>(seed >> 32)});
        shift_[r] = (word[0] | std::uint64_t{word[1]} << 32) >> 12;
    }
}

void Sobol::fill(std::uint64_t first_trial, std::span<double> uniform) const noexcept {
    while (!uniform.empty()) {
        const auto skip = static_cast<std::size_t>(first_trial % together);
        const std::size_t count = std::min(together - skip, uniform.size());
        const auto replicate = static_cast<std::size_t>(first_trial / together % replicates);
        std::uint64_t change = shift_[replicate];
        // The higher ones of the point's number are common to all of these trials.
        std::uint64_t high = first_trial / draw_block;
        for (std::size_t j = std::bit_width(together) - 1; high != 0 && j < bits; ++j, high >>= 1)
            if (high & 1)
                change ^= direction_[j];
        shifted({pattern_.data() + skip, count}, change, uniform.data());
        uniform = uniform.subspan(count);
        first_trial += count;
    }
}

} // namespace holdable::stats
