// SPDX-License-Identifier: MIT
// Prints a digest of the bits that the engine's vectorised loops give: draws of every kind, random
// and of low discrepancy, through every law, then a tape. Built once for each instruction set from
// the same sources, and once over the library, whose loops choose when the program starts.
// tests/paths/equal.cmake wants all digests alike; independent, for each is other machine code.
// Exact: the engine promises equal bits.
#include "holdable/model/block.hpp"
#include "holdable/model/formula.hpp"
#include "holdable/stats/distribution.hpp"
#include "holdable/stats/random.hpp"
#include "holdable/stats/sobol.hpp"

#include <cstdint>
#include <cstdio>
#include <cstring>
#include <span>
#include <vector>

using namespace holdable;

namespace {

void mix(std::uint64_t& digest, std::span<const double> values) {
    for (const double x : values) {
        std::uint64_t bits = 0;
        std::memcpy(&bits, &x, sizeof bits);
        digest = (digest ^ bits) * 0x100000001b3;
        digest ^= digest >> 29;
    }
}

} // namespace

void print_digest() {
    std::vector<double> u(100'000), y;
    const auto print = [&](const char* what) {
        std::uint64_t digest = 0xcbf29ce484222325;
        mix(digest, y);
        std::printf("%s %016llx\n", what, static_cast<unsigned long long>(digest));
    };
    y = u;
    stats::Sobol(3, stats::name_hash("x"), 5).fill(77, y);
    print("sobol");
    stats::fill_uniform(3, stats::name_hash("x"), 77, u);
    y = u;
    print("uniform");
    const auto through = [&](const char* what, const stats::Distribution& law) {
        y = u;
        stats::sampler(law)(y);
        print(what);
    };
    through("normal", stats::Normal{1, 2, {}});
    through("student", stats::Student{1, 2, 5});
    through("rectangular", stats::Rectangular{1, 2});
    through("triangular", stats::Triangular{1, 2});
    through("arcsine", stats::Arcsine{1, 2});
    through("trapezoid", stats::Trapezoid{1, 2, 0.5});
    through("inexact", stats::InexactRectangular{1, 2, 0.5});
    through("gamma", stats::Gamma{4, 2});

    model::Compiler compiler(model::numbers({"x", "y"}));
    compiler.output("-x + x*y - x/(y + 5) + sqrt(y + 4) + abs(y) + min(x, y) + max(x, 0.3) + exp(x) + log(y + 3)");
    const auto& tape = compiler.tape();
    model::BlockRegisters registers;
    registers.resize(tape);
    constexpr std::size_t most = model::BlockRegisters::most;
    std::vector<double> a(most), b(most);
    registers.set(0, a.data());
    registers.set(1, b.data());
    y.clear();
    for (std::size_t first = 0; first + 2 * most <= u.size(); first += most) {
        for (std::size_t t = 0; t < most; ++t) {
            a[t] = 8 * u[first + t] - 4;
            b[t] = 4 * u[first + most + t] - 2;
        }
        model::evaluate(tape, registers);
        const double* out = registers.values(tape.outputs[0]);
        y.insert(y.end(), out, out + most);
    }
    print("tape");
}
