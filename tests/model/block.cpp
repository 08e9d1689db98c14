// SPDX-License-Identifier: MIT
// Blocks of trials, against the same tape run for lone doubles: the promise is equal bits, so the
// comparison is of bits. The formula uses every operation; a test of its own checks that.
#include "holdable/model/block.hpp"

#include "holdable/model/formula.hpp"

#include <boost/test/unit_test.hpp>

#include <bit>
#include <cstdint>
#include <set>

using namespace holdable::model;

namespace {

Tape every_operation() {
    Compiler compiler({"x", "y"});
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
    std::vector<Block> blocks(tape.registers());
    for (std::size_t t = 0; t < Block::size; ++t) {
        blocks[0][t] = 0.01 + 0.037 * static_cast<double>(t);
        blocks[1][t] = 3.9 - 0.05 * static_cast<double>(t);
    }
    evaluate(tape, blocks);
    std::vector<double> lone(tape.registers());
    for (std::size_t t = 0; t < Block::size; ++t) {
        lone[0] = blocks[0][t];
        lone[1] = blocks[1][t];
        evaluate(tape, lone);
        for (const auto output : tape.outputs) {
            const double a = lone[output], b = blocks[output][t];
            BOOST_TEST((std::bit_cast<std::uint64_t>(a) == std::bit_cast<std::uint64_t>(b) ||
                        (std::isnan(a) && std::isnan(b))));
        }
    }
}

BOOST_AUTO_TEST_SUITE_END()
