// SPDX-License-Identifier: MIT
/// What must hold of any bytes as a formula: they are refused at a column of it, or they become a
/// tape that reads only registers before its own; blanks around it change nothing; a block of
/// trials has the bits of a lone one; and its value and derivatives are finite, or it is said that
/// there are none.
#pragma once

#include "fuzz/quantity.hpp"
#include "holdable/model/block.hpp"
#include "holdable/model/derivatives.hpp"
#include "holdable/model/formula.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace holdable::fuzz {

inline bool same(const model::Tape& a, const model::Tape& b) {
    const auto equal = [](const model::Instruction& x, const model::Instruction& y) {
        return x.operation == y.operation && x.first == y.first && x.second == y.second &&
               std::bit_cast<std::uint64_t>(x.constant) == std::bit_cast<std::uint64_t>(y.constant);
    };
    return a.outputs == b.outputs &&
           std::equal(a.code.begin(), a.code.end(), b.code.begin(), b.code.end(), equal);
}

/// What does not hold; empty if all does.
inline std::string fault_of_formula(std::string_view text) {
    using namespace model;
    static const std::vector<model::Input> inputs = {
        {"a"}, {"b"}, {"l", kind_of(parse_unit("mm"))}, {"m", kind_of(parse_unit("mm"))}};
    Compiler compiler(inputs);
    try {
        compiler.output(text);
    } catch (const InputError& error) {
        return fault_of_words(error, text);
    }
    const auto& tape = compiler.tape();
    for (std::size_t i = 0; i < tape.code.size(); ++i) {
        const auto& step = tape.code[i];
        const auto before = tape.inputs + i;
        if (step.operation == Operation::constant ? !std::isfinite(step.constant)
                                                  : step.first >= before || step.second >= before)
            return "an instruction that cannot run";
    }
    Compiler again(inputs);
    try {
        again.output(" " + std::string(text) + "\n");
    } catch (const InputError& error) {
        return text.size() + 2 > Compiler::most_text
                   ? ""
                   : "refused with a blank: " + std::string(error.what());
    }
    if (!same(tape, again.tape()))
        return "blanks change it";
    const std::vector<double> point = {0.75, -1.5, 0.012, 0.02};
    std::vector<double> lone(point);
    lone.resize(tape.registers());
    evaluate(tape, lone);
    BlockRegisters block;
    block.resize(tape);
    for (std::size_t i = 0; i < point.size(); ++i)
        block.set(i, point[i]);
    evaluate(tape, block);
    const auto out = tape.outputs[0];
    const double value = lone[out];
    for (std::size_t t = 0; t < BlockRegisters::most; ++t) {
        const double in_block = block.values(out)[t];
        if (in_block != value && !(std::isnan(in_block) && std::isnan(value)))
            return "a block of trials differs";
    }
    try {
        const auto d = derivatives(tape, 0, point, {0, 1, 2, 3});
        if (!std::isfinite(value) || d.order < 0 || d.order > 3)
            return "derivatives of no value";
        for (std::size_t i = 0; i < 4; ++i) {
            if (!std::isfinite(d.first[i]))
                return "a derivative that is not finite";
            for (std::size_t j = 0; j < 4; ++j)
                if (!std::isfinite(d.second[i][j]) || !std::isfinite(d.third[i][j]))
                    return "a higher derivative that is not finite";
        }
        return {};
    } catch (const NumericError&) {
        return std::isfinite(value) ? "no derivatives of a finite value" : "";
    }
}

} // namespace holdable::fuzz
