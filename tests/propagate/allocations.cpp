// SPDX-License-Identifier: MIT
// The trial loop allocates nothing: as many allocations in a run of 2^20 trials as in one of 2^18,
// counted in the program's own operator new. A program by itself, for it replaces that operator.
// Exact: one allocation a block of trials would be 384 more. And what a run takes in all: the outer
// values of a long run, and of a streaming run the same whatever its length.
#include "examples.hpp"
#include "holdable/propagate/monte_carlo.hpp"

#include <boost/test/unit_test.hpp>

#include <atomic>
#include <cstdlib>
#include <new>
#include <string>

namespace {

std::atomic<std::size_t> allocations{0};
std::atomic<std::size_t> bytes{0};

} // namespace

#if defined(__GNUC__) && !defined(__clang__)
#pragma GCC diagnostic ignored "-Wmismatched-new-delete" // it sees through half of what is replaced
#endif

void* operator new(std::size_t size) {
    ++allocations;
    bytes += size;
    if (void* memory = std::malloc(size == 0 ? 1 : size))
        return memory;
    throw std::bad_alloc();
}

void* operator new(std::size_t size, std::align_val_t align) {
    ++allocations;
    bytes += size;
    const auto to = static_cast<std::size_t>(align);
    if (void* memory = std::aligned_alloc(to, (size + to - 1) / to * to))
        return memory;
    throw std::bad_alloc();
}

void operator delete(void* memory) noexcept {
    std::free(memory);
}

void operator delete(void* memory, std::size_t) noexcept {
    std::free(memory);
}

void operator delete(void* memory, std::align_val_t) noexcept {
    std::free(memory);
}

void operator delete(void* memory, std::size_t, std::align_val_t) noexcept {
    std::free(memory);
}

using namespace holdable;
using namespace holdable::propagate;
using namespace holdable::propagate::examples;

namespace {

std::size_t allocations_of(const Budget& b, MonteCarloOptions options) {
    options.threads = 1;
    monte_carlo(b, options); // builds tables of laws once, and what a thread works in
    const std::size_t before = allocations;
    monte_carlo(b, options);
    return allocations - before;
}

} // namespace

BOOST_AUTO_TEST_SUITE(allocations_of_runs)

BOOST_AUTO_TEST_CASE(more_trials_allocate_no_more) {
    // A law of each sampler, an input of two parts, a copula, a multivariate normal.
    Budget b = budget({input("n", stats::Normal{0, 1, {}}),
                       input("t", stats::Student{0, 1, 5}),
                       input("r", stats::Triangular{0, 1}),
                       input("s", stats::Arcsine{0, 1}),
                       input("z", stats::Trapezoid{0, 1, 0.5}),
                       input("w", stats::InexactRectangular{0, 1, 0.5}),
                       input("g", stats::Gamma{4, 2}),
                       input("a", stats::Normal{3.5, 1, {}}),
                       input("c", stats::Rectangular{0, 1}),
                       input("e", stats::Normal{0, 1, {}}),
                       input("f", stats::Normal{0, 1, {}})},
                      "n + t*r + s + z + w + g + a*c + exp(e*f/10)");
    b.inputs[0].parts.push_back(b.inputs[0].parts[0]);
    b.correlations = {{"a", "c", 0.5}, {"e", "f", 0.5}};
    for (const bool quasi : {false, true}) {
        const auto few = allocations_of(b, {.trials = 1 << 18, .quasi = quasi});
        const auto many = allocations_of(b, {.trials = 1 << 20, .quasi = quasi});
        BOOST_TEST(few > 0);
        // Replicates of low discrepancy are gathered in lists that double as they grow.
        BOOST_TEST(many <= few + (quasi ? 16 * 4 : 0), few << ", then " << many);
    }
}

BOOST_AUTO_TEST_CASE(several_outputs_allocate_no_more_either) {
    Budget b = sum_of(3, stats::Normal{0, 1, {}});
    for (int k = 0; k < 2; ++k) {
        b.outputs.push_back(b.outputs.front());
        b.outputs.back().name += std::to_string(k);
    }
    const auto few = allocations_of(b, {.trials = 1 << 18});
    BOOST_TEST(allocations_of(b, {.trials = 1 << 20}) == few);
}

BOOST_AUTO_TEST_CASE(memory_of_long_and_of_streaming_runs) {
    const auto b = sum_of(3, stats::Normal{0, 1, {}});
    const auto bytes_of = [&](MonteCarloOptions options) {
        options.threads = 1;
        monte_carlo(b, options);
        const std::size_t before = bytes;
        monte_carlo(b, options);
        return static_cast<double>(bytes - before);
    };
    // Room for an eighth of the values a side, of which half fills; all values would be 8 bytes.
    BOOST_TEST((bytes_of({.trials = 1 << 22}) - bytes_of({.trials = 1 << 21})) / (1 << 21) < 2.1);
    // Streaming: moments and counts of each block of 2048.
    BOOST_TEST((bytes_of({.trials = 1 << 22, .streaming = true}) -
                bytes_of({.trials = 1 << 21, .streaming = true})) /
                   (1 << 21) <
               0.2);
}

BOOST_AUTO_TEST_SUITE_END()
