// SPDX-License-Identifier: MIT
#include "holdable/model/block.hpp"

#include "holdable/base/clones.ipp"
#include "holdable/base/elementary.hpp"

#include <algorithm>
#include <cmath>

namespace holdable::model {
namespace {

using Size = std::size_t;

// The common operations, as wide as the machine allows. Two operands may be the same row.

HOLDABLE_CLONES
void negate(const double* a, double* __restrict y, Size count) {
    for (Size t = 0; t < count; ++t)
        y[t] = -a[t];
}

HOLDABLE_CLONES
void add(const double* a, const double* b, double* __restrict y, Size count) {
    for (Size t = 0; t < count; ++t)
        y[t] = a[t] + b[t];
}

HOLDABLE_CLONES
void subtract(const double* a, const double* b, double* __restrict y, Size count) {
    for (Size t = 0; t < count; ++t)
        y[t] = a[t] - b[t];
}

HOLDABLE_CLONES
void multiply(const double* a, const double* b, double* __restrict y, Size count) {
    for (Size t = 0; t < count; ++t)
        y[t] = a[t] * b[t];
}

HOLDABLE_CLONES
void divide(const double* a, const double* b, double* __restrict y, Size count) {
    for (Size t = 0; t < count; ++t)
        y[t] = a[t] / b[t];
}

HOLDABLE_CLONES
void root(const double* a, double* __restrict y, Size count) {
    for (Size t = 0; t < count; ++t)
        y[t] = std::sqrt(a[t]);
}

HOLDABLE_CLONES
void magnitude(const double* a, double* __restrict y, Size count) {
    for (Size t = 0; t < count; ++t)
        y[t] = std::abs(a[t]);
}

HOLDABLE_CLONES
void least(const double* a, const double* b, double* __restrict y, Size count) {
    for (Size t = 0; t < count; ++t)
        y[t] = b[t] < a[t] ? b[t] : a[t];
}

HOLDABLE_CLONES
void most(const double* a, const double* b, double* __restrict y, Size count) {
    for (Size t = 0; t < count; ++t)
        y[t] = a[t] < b[t] ? b[t] : a[t];
}

/// Any other function, one value at a time.
template <auto f>
OnRow each(BlockRegisters::Row a) {
    return {[](const double* x, double* y, Size count) { std::transform(x, x + count, y, f); },
            a.values};
}

template <auto f>
OnRows each(BlockRegisters::Row a, BlockRegisters::Row b) {
    return {[](const double* x, const double* z, double* y, Size count) {
                std::transform(x, x + count, z, y, f);
            },
            a.values,
            b.values};
}

} // namespace

void BlockRegisters::resize(const Tape& tape) {
    const Size registers = tape.registers();
    if (own_.size() < registers * most)
        own_.resize(registers * most);
    rows_.resize(registers);
    for (Size r = 0; r < registers; ++r)
        rows_[r] = own_.data() + r * most;
}

void BlockRegisters::set(std::size_t input, double same) {
    rows_[input] = own_.data() + input * most;
    std::fill_n(rows_[input], most, same);
}

// clang-format off
using Row = BlockRegisters::Row;
OnRow operator-(Row a) { return {negate, a.values}; }
OnRows operator+(Row a, Row b) { return {add, a.values, b.values}; }
OnRows operator-(Row a, Row b) { return {subtract, a.values, b.values}; }
OnRows operator*(Row a, Row b) { return {multiply, a.values, b.values}; }
OnRows operator/(Row a, Row b) { return {divide, a.values, b.values}; }
OnRows pow(Row a, Row b) { return each<[](double x, double y) { return std::pow(x, y); }>(a, b); }
OnRow sqrt(Row a) { return {root, a.values}; }
OnRow exp(Row a) { return {elementary::exp, a.values}; }
OnRow log(Row a) { return {elementary::log, a.values}; }
OnRow log10(Row a) { return each<[](double x) { return std::log10(x); }>(a); }
OnRow sin(Row a) { return each<[](double x) { return std::sin(x); }>(a); }
OnRow cos(Row a) { return each<[](double x) { return std::cos(x); }>(a); }
OnRow tan(Row a) { return each<[](double x) { return std::tan(x); }>(a); }
OnRow asin(Row a) { return each<[](double x) { return std::asin(x); }>(a); }
OnRow acos(Row a) { return each<[](double x) { return std::acos(x); }>(a); }
OnRow atan(Row a) { return each<[](double x) { return std::atan(x); }>(a); }
OnRows atan2(Row a, Row b) { return each<[](double y, double x) { return std::atan2(y, x); }>(a, b); }
OnRow sinh(Row a) { return each<[](double x) { return std::sinh(x); }>(a); }
OnRow cosh(Row a) { return each<[](double x) { return std::cosh(x); }>(a); }
OnRow tanh(Row a) { return each<[](double x) { return std::tanh(x); }>(a); }
OnRow abs(Row a) { return {magnitude, a.values}; }
OnRows min(Row a, Row b) { return {least, a.values, b.values}; }
OnRows max(Row a, Row b) { return {most, a.values, b.values}; }
OnRows hypot(Row a, Row b) { return each<[](double x, double y) { return std::hypot(x, y); }>(a, b); }
// clang-format on

} // namespace holdable::model
