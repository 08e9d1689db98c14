// SPDX-License-Identifier: MIT
// Blocks of trials, against the same tape run for lone doubles: the promise is equal bits, so the
// comparison is of bits. The formula uses every operation; a test of its own checks that.
#include "holdable/model/block.hpp"

#include "holdable/model/formula.hpp"

#include <boost/test/unit_test.hpp>

#include <bit>
#include <cmath>
#include <cstdint>
#include <set>
#include <vector>

using namespace holdable::model;

namespace {

Tape every_operation() {
    Compiler compiler(numbers({"x", "y"}));
    compiler.output("-x + x*y - x/y + x^y + sqrt(x) + exp(y) + log(x) + log10(x)");
    compiler.output("sin(x) + cos(y) + tan(x) + asin(y/4) + acos(y/4) + atan(x) + atan2(x, y)");
    compiler.output("sinh(x) + cosh(y) + tanh(x) + abs(y) + min(x, y) + max(x, y) + hypot(x, y)");
    compiler.output("sqrt(y - 2) + log(-x)"); // NaN in some or all trials
    compiler.output("1 + 1");
    return compiler.tape();
}

} // namespace

BOOST_AUTO_TEST_SUITE(block)

BOOST_AUTO_TEST_CASE(the_formula_uses_every_operation) {
    const Tape tape = every_operation();
    std::set<Operation> used;
    for (const auto& step : tape.code)
        used.insert(step.operation);
    BOOST_TEST(used.size() == static_cast<std::size_t>(Operation::hypot) + 1);
}

BOOST_AUTO_TEST_CASE(a_trial_has_the_same_bits_alone_and_in_a_block) {
    const Tape tape = every_operation();
    std::vector<double> x(BlockRegisters::most), y(x.size());
    for (std::size_t t = 0; t < x.size(); ++t) {
        x[t] = 0.01 + 0.0185 * static_cast<double>(t);
        y[t] = 3.9 - 0.025 * static_cast<double>(t);
    }
    BlockRegisters registers;
    registers.resize(tape);
    for (const std::size_t count : {x.size(), std::size_t{1}, std::size_t{77}}) {
        registers.trials(count);
        registers.set(0, x.data());
        registers.set(1, y.data());
        evaluate(tape, registers);
        std::vector<double> lone(tape.registers());
        for (std::size_t t = 0; t < count; ++t) {
            lone[0] = x[t];
            lone[1] = y[t];
            evaluate(tape, lone);
            for (const auto output : tape.outputs) {
                const double a = lone[output], b = registers.values(output)[t];
                BOOST_TEST((std::bit_cast<std::uint64_t>(a) == std::bit_cast<std::uint64_t>(b) ||
                            (std::isnan(a) && std::isnan(b))));
            }
        }
    }
}

BOOST_AUTO_TEST_CASE(an_input_may_be_the_same_in_every_trial) {
    Compiler compiler(numbers({"x", "y"}));
    compiler.output("x*y");
    std::vector<double> x{1, 2, 3};
    BlockRegisters registers;
    registers.resize(compiler.tape());
    registers.trials(x.size());
    registers.set(0, x.data());
    registers.set(1, 5.0);
    evaluate(compiler.tape(), registers);
    const double* product = registers.values(compiler.tape().outputs[0]);
    BOOST_TEST(std::vector(product, product + 3) == std::vector({5.0, 10.0, 15.0}),
               boost::test_tools::per_element());
}

BOOST_AUTO_TEST_SUITE_END()
