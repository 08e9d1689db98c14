// SPDX-License-Identifier: MIT
/// A block of trials: many doubles that go through a tape together.
///
/// Each element is computed by the very operation a lone double gets, so a trial has the same bits
/// alone and in a block. A block is small enough that the registers of a usual formula stay in the
/// cache, and long enough that reading the tape costs nothing.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>

namespace holdable::model {

/// Values of one register for `size` trials.
struct alignas(64) Block {
    static constexpr std::size_t size = 128;

    std::array<double, size> value; ///< one value a trial (SI)

    Block() = default;

    /// The same value in every trial.
    explicit Block(double same) { value.fill(same); }

    double& operator[](std::size_t trial) { return value[trial]; }

    double operator[](std::size_t trial) const { return value[trial]; }
};

namespace detail {

template <class Function>
Block each(const Block& a, Function f) {
    Block result;
    for (std::size_t t = 0; t < Block::size; ++t)
        result.value[t] = f(a.value[t]);
    return result;
}

template <class Function>
Block each(const Block& a, const Block& b, Function f) {
    Block result;
    for (std::size_t t = 0; t < Block::size; ++t)
        result.value[t] = f(a.value[t], b.value[t]);
    return result;
}

} // namespace detail

// clang-format off
inline Block operator-(const Block& a) { return detail::each(a, [](double x) { return -x; }); }
inline Block operator+(const Block& a, const Block& b) { return detail::each(a, b, [](double x, double y) { return x + y; }); }
inline Block operator-(const Block& a, const Block& b) { return detail::each(a, b, [](double x, double y) { return x - y; }); }
inline Block operator*(const Block& a, const Block& b) { return detail::each(a, b, [](double x, double y) { return x * y; }); }
inline Block operator/(const Block& a, const Block& b) { return detail::each(a, b, [](double x, double y) { return x / y; }); }
inline Block pow(const Block& a, const Block& b) { return detail::each(a, b, [](double x, double y) { return std::pow(x, y); }); }
inline Block sqrt(const Block& a) { return detail::each(a, [](double x) { return std::sqrt(x); }); }
inline Block exp(const Block& a) { return detail::each(a, [](double x) { return std::exp(x); }); }
inline Block log(const Block& a) { return detail::each(a, [](double x) { return std::log(x); }); }
inline Block log10(const Block& a) { return detail::each(a, [](double x) { return std::log10(x); }); }
inline Block sin(const Block& a) { return detail::each(a, [](double x) { return std::sin(x); }); }
inline Block cos(const Block& a) { return detail::each(a, [](double x) { return std::cos(x); }); }
inline Block tan(const Block& a) { return detail::each(a, [](double x) { return std::tan(x); }); }
inline Block asin(const Block& a) { return detail::each(a, [](double x) { return std::asin(x); }); }
inline Block acos(const Block& a) { return detail::each(a, [](double x) { return std::acos(x); }); }
inline Block atan(const Block& a) { return detail::each(a, [](double x) { return std::atan(x); }); }
inline Block atan2(const Block& a, const Block& b) { return detail::each(a, b, [](double y, double x) { return std::atan2(y, x); }); }
inline Block sinh(const Block& a) { return detail::each(a, [](double x) { return std::sinh(x); }); }
inline Block cosh(const Block& a) { return detail::each(a, [](double x) { return std::cosh(x); }); }
inline Block tanh(const Block& a) { return detail::each(a, [](double x) { return std::tanh(x); }); }
inline Block abs(const Block& a) { return detail::each(a, [](double x) { return std::abs(x); }); }
inline Block min(const Block& a, const Block& b) { return detail::each(a, b, [](double x, double y) { return std::min(x, y); }); }
inline Block max(const Block& a, const Block& b) { return detail::each(a, b, [](double x, double y) { return std::max(x, y); }); }
inline Block hypot(const Block& a, const Block& b) { return detail::each(a, b, [](double x, double y) { return std::hypot(x, y); }); }

// clang-format on

} // namespace holdable::model
