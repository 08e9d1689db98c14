// SPDX-License-Identifier: MIT
// How long the engine takes. Whole runs on one thread, as a user starts them: compile, draw,
// transform, model, moments, intervals. Each case first asks for a known result, so that nothing
// fast and wrong is measured; a failure is an error of the run.
//
// `per_trial` is seconds a trial ("25n" is 25 ns).
#include "holdable/propagate/agreement.hpp"
#include "holdable/propagate/first_order.hpp"
#include "holdable/propagate/promise.hpp"
#include "propagate/examples.hpp"

#include <benchmark/benchmark.h>
#include <cmath>
#include <string>

using namespace holdable;
using namespace holdable::propagate;

namespace {

constexpr std::uint64_t trials = 1'000'000;

/// Six normal and six rectangular inputs of u = 1: u_c = √12.
Budget additive() {
    auto normal = examples::sum_of(6, stats::Normal{0, 1, {}});
    const auto rectangular = examples::sum_of(6, stats::Rectangular{0, std::sqrt(3.0), {}});
    for (auto input : rectangular.inputs) {
        input.name = "r" + input.name;
        normal.outputs[0].formula += " + " + input.name;
        normal.inputs.push_back(input);
    }
    return normal;
}

void run_monte_carlo(benchmark::State& state, const Budget& b, double standard) {
    for (auto _ : state) {
        const auto result = monte_carlo(b, {.trials = trials, .threads = 1});
        if (std::abs(*result.outputs[0].standard / standard - 1) > 0.01)
            state.SkipWithError("wrong standard uncertainty");
    }
    state.counters["per_trial"] =
        benchmark::Counter(double(trials) * double(state.iterations()),
                           benchmark::Counter::kIsRate | benchmark::Counter::kInvert);
}

/// JCGM 101:2008 9.5: 36 nm, by quadrature 35.9.
void end_gauge(benchmark::State& state) {
    run_monte_carlo(state, examples::end_gauge_nine(), 35.9);
}

void twelve_inputs(benchmark::State& state) {
    run_monte_carlo(state, additive(), std::sqrt(12.0));
}

/// The law of propagation alone, GUM H.1: u_c = 31.7 nm.
void gum_only(benchmark::State& state) {
    const auto b = examples::end_gauge_gum();
    for (auto _ : state)
        if (std::abs(gum(b).outputs[0].standard - 31.7) > 0.1)
            state.SkipWithError("wrong standard uncertainty");
}

/// A part as a machine with its checks gives it: 300 inputs of knowledge, 30 of the part, four
/// positions of two ends each.
PartModel part_model() {
    PartModel m;
    const int inputs = 330;
    for (int i = 0; i < inputs; ++i) {
        Input input;
        input.name = "input " + std::to_string(i);
        input.law = i % 3 == 0 ? stats::Distribution(stats::Rectangular{0, 2e-6, {}})
                               : stats::Distribution(stats::Normal{0, 1e-6, {}});
        input.sharing = i < 300 ? Sharing::job : Sharing::part;
        m.inputs.push_back(input);
    }
    for (int k = 0; k < 4; ++k) {
        Characteristic c;
        c.name = "position " + std::to_string(k);
        c.reduction = Reduction::twice_worst;
        c.known = Eigen::VectorXd::Constant(4, 2e-6);
        c.effect.resize(4, inputs);
        for (int e = 0; e < 4; ++e)
            for (int i = 0; i < inputs; ++i)
                c.effect(e, i) = std::sin(1.0 + i + 7 * e + 31 * k) / 4;
        c.upper = 40e-6;
        m.characteristics.push_back(c);
    }
    return m;
}

void first_order_of_a_part(benchmark::State& state) {
    const auto m = part_model();
    for (auto _ : state)
        for (std::size_t c = 0; c < m.characteristics.size(); ++c)
            benchmark::DoNotOptimize(first_order(m, c, 0.95).limit);
}

void promise_of_a_part(benchmark::State& state) {
    const auto m = part_model();
    PromiseOptions o;
    o.threads = 1;
    std::size_t worlds = 0, parts = 0;
    for (auto _ : state) {
        const auto result = promise(m, o);
        worlds = result.worlds;
        parts = result.parts_in_world;
        if (!(result.promises[0].smallest > result.promises[0].next_part_limit))
            state.SkipWithError("assured with less than the next part needs");
    }
    state.counters["worlds"] = static_cast<double>(worlds);
    state.counters["parts"] = static_cast<double>(parts);
}

/// A face of 9 × 9 points, 60 inputs of knowledge, 30 of the part and noise of each point: a
/// minimum zone a part.
PartModel face_model() {
    PartModel m;
    const int inputs = 90 + 81;
    for (int i = 0; i < inputs; ++i) {
        Input input;
        input.name = "input " + std::to_string(i);
        input.law = stats::Normal{0, i < 90 ? 1e-6 : 0.3e-6, {}};
        input.sharing = i < 60 ? Sharing::job : Sharing::part;
        m.inputs.push_back(input);
    }
    Characteristic c;
    c.name = "flatness";
    c.reduction = Reduction::width;
    c.known = Eigen::VectorXd::Zero(81);
    c.free.resize(81, 2);
    c.effect = Eigen::MatrixXd::Zero(81, inputs);
    for (int e = 0; e < 81; ++e) {
        const double x = e % 9 / 8.0 - 0.5;
        const double y = e / 9 / 8.0 - 0.5;
        c.free.row(e) << x, y;
        for (int i = 0; i < 90; ++i)
            c.effect(e, i) = std::sin(1.0 + i + (2 + i % 5) * x + (3 + i % 7) * y) / 4;
        c.effect(e, 90 + e) = 1;
    }
    c.upper = 10e-6;
    m.characteristics = {c};
    return m;
}

/// Twelve holes that may shift and turn as one.
PartModel pattern_model() {
    PartModel m;
    Characteristic c;
    c.name = "pattern";
    c.reduction = Reduction::twice_worst;
    c.known = Eigen::VectorXd::Zero(24);
    c.free = Eigen::MatrixXd::Zero(24, 3);
    c.effect = Eigen::MatrixXd::Zero(24, 48);
    for (int i = 0; i < 12; ++i) {
        const double turn = i * std::acos(-1.0) / 6;
        c.free.middleRows<2>(2 * i) << 1, 0, -std::sin(turn), 0, 1, std::cos(turn);
    }
    for (int i = 0; i < 48; ++i) {
        Input input;
        input.name = "input " + std::to_string(i);
        input.law = stats::Normal{0, 1e-6, {}};
        input.sharing = i < 24 ? Sharing::job : Sharing::part;
        m.inputs.push_back(input);
        c.effect(i % 24, i) = 1;
    }
    c.upper = 8e-6;
    m.characteristics = {c};
    return m;
}

/// A promise whose sampling never grows: so many worlds × parts a second.
void run_zone(benchmark::State& state, const PartModel& m) {
    PromiseOptions o;
    o.threads = 1;
    o.most_worlds = o.worlds;
    for (auto _ : state) {
        const auto p = promise(m, o).promises[0];
        double sum = 0;
        for (const Share& s : p.shares)
            sum += s.share;
        if (!(p.smallest > p.next_part_limit) || std::abs(sum - 1) > 0.1)
            state.SkipWithError("assured with less than the next part needs, or wrong shares");
    }
    state.counters["worlds_x_parts"] =
        benchmark::Counter(double(o.worlds) * double(o.parts_in_world) * double(state.iterations()),
                           benchmark::Counter::kIsRate);
}

void flatness_of_81_points(benchmark::State& state) {
    run_zone(state, face_model());
}

void pattern_of_12_holes(benchmark::State& state) {
    run_zone(state, pattern_model());
}

BENCHMARK(end_gauge)->Unit(benchmark::kMillisecond);
BENCHMARK(twelve_inputs)->Unit(benchmark::kMillisecond);
BENCHMARK(gum_only)->Unit(benchmark::kMicrosecond);
BENCHMARK(first_order_of_a_part)->Unit(benchmark::kMicrosecond);
BENCHMARK(promise_of_a_part)->Unit(benchmark::kMillisecond);
BENCHMARK(flatness_of_81_points)->Unit(benchmark::kMillisecond);
BENCHMARK(pattern_of_12_holes)->Unit(benchmark::kMillisecond);

} // namespace

BENCHMARK_MAIN();
