// SPDX-License-Identifier: MIT
/// Registers for a block of trials: rows of doubles that go through a tape together.
///
/// Each element is computed by the very operation a lone double gets, so a trial has the same bits
/// alone and in a block. A block is small enough that the registers of a usual formula stay in the
/// cache, and long enough that reading the tape costs nothing. Inputs are read where their draws
/// lie; what is computed is written once, at its place.
#pragma once

#include "holdable/model/tape.hpp"

#include <cstddef>
#include <vector>

namespace holdable::model {

/// The registers of a tape for up to `most` trials.
class BlockRegisters {
  public:
    static constexpr std::size_t most = 256; ///< trials in a block

    /// Makes room for a tape; inputs are to be set. Allocates only what an earlier one did not.
    void resize(const Tape& tape);

    /// Trials in the block from now on, 1 to `most`.
    void trials(std::size_t count) { count_ = count; }

    /// The input is the same in every trial (SI).
    void set(std::size_t input, double same);

    /// The input is `values`, one a trial (SI), which stay where they are.
    void set(std::size_t input, double* values) { rows_[input] = values; }

    /// What register r holds, one value a trial.
    const double* values(std::size_t r) const { return rows_[r]; }

    struct Row;

    /// Register r, for `evaluate`.
    Row operator[](std::size_t r) const;

  private:
    std::vector<double*> rows_;
    std::vector<double> own_; ///< a row a register
    std::size_t count_ = most;
};

/// An operation that waits for the row to write its result to.
struct OnRow {
    void (*run)(const double* a, double* result, std::size_t count);
    const double* a;
};

/// The same of two rows.
struct OnRows {
    void (*run)(const double* a, const double* b, double* result, std::size_t count);
    const double *a, *b;
};

/// One register. Rows that are read and written are never the same.
struct BlockRegisters::Row {
    double* values;
    std::size_t count;

    void operator=(const OnRow& f) const { f.run(f.a, values, count); }

    void operator=(const OnRows& f) const { f.run(f.a, f.b, values, count); }

    friend void set_constant(Row row, double same) {
        for (std::size_t t = 0; t < row.count; ++t)
            row.values[t] = same;
    }

    // clang-format off
    friend OnRow operator-(Row a);
    friend OnRows operator+(Row a, Row b);
    friend OnRows operator-(Row a, Row b);
    friend OnRows operator*(Row a, Row b);
    friend OnRows operator/(Row a, Row b);
    friend OnRows pow(Row a, Row b);
    friend OnRow sqrt(Row a);
    friend OnRow exp(Row a);
    friend OnRow log(Row a);
    friend OnRow log10(Row a);
    friend OnRow sin(Row a);
    friend OnRow cos(Row a);
    friend OnRow tan(Row a);
    friend OnRow asin(Row a);
    friend OnRow acos(Row a);
    friend OnRow atan(Row a);
    friend OnRows atan2(Row a, Row b);
    friend OnRow sinh(Row a);
    friend OnRow cosh(Row a);
    friend OnRow tanh(Row a);
    friend OnRow abs(Row a);
    friend OnRows min(Row a, Row b);
    friend OnRows max(Row a, Row b);
    friend OnRows hypot(Row a, Row b);
    // clang-format on
};

inline BlockRegisters::Row BlockRegisters::operator[](std::size_t r) const {
    return {rows_[r], count_};
}

} // namespace holdable::model
