// SPDX-License-Identifier: MIT
/// A tape: formulas as a flat list of instructions, run for any kind of value.
///
/// Registers are numbered: the inputs come first, then one register an instruction. Each
/// instruction reads registers before its own, so one pass from front to back computes everything.
/// The list knows nothing of what a value is; `evaluate` is written once and runs for doubles, for
/// rows of trials and for derivatives.
#pragma once

#include "holdable/base/elementary.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <vector>

namespace holdable::model {

/// What an instruction does with its one or two operands.
enum class Operation : std::uint8_t {
    constant,
    negate,
    add,
    subtract,
    multiply,
    divide,
    power,
    sqrt,
    exp,
    log,
    log10,
    sin,
    cos,
    tan,
    asin,
    acos,
    atan,
    atan2,
    sinh,
    cosh,
    tanh,
    abs,
    min,
    max,
    hypot
};

/// One step of a tape.
struct Instruction {
    Operation operation;      ///< what to do
    std::uint32_t first = 0;  ///< register of the first operand (unused by `constant`)
    std::uint32_t second = 0; ///< register of the second operand (used by two-operand operations)
    double constant = 0;      ///< the value of `constant`
};

/// Formulas ready to run.
struct Tape {
    std::size_t inputs = 0;             ///< number of inputs; they are the first registers
    std::vector<Instruction> code;      ///< instruction i writes register inputs + i
    std::vector<std::uint32_t> outputs; ///< register of each output

    std::size_t registers() const { return inputs + code.size(); }
};

/// Writes the same value to a register, where registers are not rows of their own.
template <class Value>
void set_constant(Value& result, double constant) {
    result = Value(constant);
}

/// Runs the tape over `registers`, one for each of `tape.registers()`, of which the caller has
/// filled the first `tape.inputs`.
///
/// A register has the operators and, beside it or in std, the functions of `Operation`; exp and log
/// of doubles are those of holdable/base/elementary.hpp. A function outside its domain gives what
/// the register's kind gives there (NaN for a double).
template <class Registers>
void evaluate(const Tape& tape, Registers& registers) {
    using elementary::exp, elementary::log;
    using std::abs, std::acos, std::asin, std::atan, std::atan2, std::cos, std::cosh, std::hypot,
        std::log10, std::max, std::min, std::pow, std::sin, std::sinh, std::sqrt, std::tan,
        std::tanh;
    std::size_t target = tape.inputs;
    for (const auto& step : tape.code) {
        const auto& a = registers[step.first];
        const auto& b = registers[step.second];
        auto&& result = registers[target++];
        // clang-format off
        switch (step.operation) {
        case Operation::constant: set_constant(result, step.constant); break;
        case Operation::negate:   result = -a; break;
        case Operation::add:      result = a + b; break;
        case Operation::subtract: result = a - b; break;
        case Operation::multiply: result = a * b; break;
        case Operation::divide:   result = a / b; break;
        case Operation::power:    result = pow(a, b); break;
        case Operation::sqrt:     result = sqrt(a); break;
        case Operation::exp:      result = exp(a); break;
        case Operation::log:      result = log(a); break;
        case Operation::log10:    result = log10(a); break;
        case Operation::sin:      result = sin(a); break;
        case Operation::cos:      result = cos(a); break;
        case Operation::tan:      result = tan(a); break;
        case Operation::asin:     result = asin(a); break;
        case Operation::acos:     result = acos(a); break;
        case Operation::atan:     result = atan(a); break;
        case Operation::atan2:    result = atan2(a, b); break;
        case Operation::sinh:     result = sinh(a); break;
        case Operation::cosh:     result = cosh(a); break;
        case Operation::tanh:     result = tanh(a); break;
        case Operation::abs:      result = abs(a); break;
        case Operation::min:      result = min(a, b); break;
        case Operation::max:      result = max(a, b); break;
        case Operation::hypot:    result = hypot(a, b); break;
        }
        // clang-format on
    }
}

/// For each output, whether it hangs on each input.
std::vector<std::vector<bool>> dependencies(const Tape& tape);

/// The outputs for one set of input values (SI), in the order of `tape.outputs`.
/// @throws NumericError if an output is not a finite number there
std::vector<double> values(const Tape& tape, const std::vector<double>& inputs);

} // namespace holdable::model
