// SPDX-License-Identifier: MIT
#include "holdable/model/tape.hpp"

#include "holdable/base/error.hpp"

#include <fmt/format.h>

namespace holdable::model {

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
