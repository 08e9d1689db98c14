// SPDX-License-Identifier: MIT
#include "holdable/model/tape.hpp"

#include "holdable/base/error.hpp"

#include <fmt/format.h>

namespace holdable::model {
namespace {

bool has_two_operands(Operation operation) {
    using enum Operation;
    switch (operation) {
    case add:
    case subtract:
    case multiply:
    case divide:
    case power:
    case atan2:
    case min:
    case max:
    case hypot:
        return true;
    default:
        return false;
    }
}

} // namespace

std::vector<std::vector<bool>> dependencies(const Tape& tape) {
    std::vector<std::vector<bool>> of(tape.registers(), std::vector<bool>(tape.inputs));
    for (std::size_t i = 0; i < tape.inputs; ++i)
        of[i][i] = true;
    for (std::size_t k = 0; k < tape.code.size(); ++k) {
        const auto& step = tape.code[k];
        if (step.operation == Operation::constant)
            continue;
        for (std::size_t i = 0; i < tape.inputs; ++i)
            of[tape.inputs + k][i] =
                of[step.first][i] || (has_two_operands(step.operation) && of[step.second][i]);
    }
    std::vector<std::vector<bool>> result;
    for (const auto output : tape.outputs)
        result.push_back(of[output]);
    return result;
}

std::vector<double> values(const Tape& tape, const std::vector<double>& inputs) {
    assert(inputs.size() == tape.inputs);
    std::vector<double> registers = inputs;
    registers.resize(tape.registers());
    evaluate(tape, registers);
    std::vector<double> result;
    for (const auto output : tape.outputs) {
        result.push_back(registers[output]);
        if (!std::isfinite(result.back()))
            throw NumericError(fmt::format(
                "output {} is not a number at these inputs: a division by zero, a root or "
                "logarithm of a negative number, or an overflow; check the values of its inputs",
                result.size()));
    }
    return result;
}

} // namespace holdable::model
