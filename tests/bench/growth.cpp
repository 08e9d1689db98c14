// SPDX-License-Identifier: MIT
// How time grows: with trials and inputs of a budget, with points, features and worlds of a part,
// with the readings of a machine's checks. One thread. A line each: what, how many, CPU seconds,
// the least of three runs. tests/bench/growth makes tables and docs/growth.svg of it.
#include "holdable/machine/state.hpp"
#include "holdable/propagate/monte_carlo.hpp"
#include "holdable/propagate/promise.hpp"
#include "machine/workshop.hpp"
#include "propagate/examples.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <ctime>
#include <functional>
#include <limits>
#include <string>

using namespace holdable;
using Eigen::Index;

namespace {

double cpu_seconds() {
    timespec t{};
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return static_cast<double>(t.tv_sec) + 1e-9 * static_cast<double>(t.tv_nsec);
}

/// Prints the least of three runs, after one that fills tables and caches.
void say(const char* what, double many, const std::function<void()>& run) {
    run();
    double least = std::numeric_limits<double>::infinity();
    for (int i = 0; i < 3; ++i) {
        const double begun = cpu_seconds();
        run();
        least = std::min(least, cpu_seconds() - begun);
    }
    std::printf("%s %.0f %.4g\n", what, many, least);
    std::fflush(stdout);
}

void budgets() {
    const auto run = [](const propagate::Budget& budget, std::size_t trials) {
        return [&budget, trials] { propagate::monte_carlo(budget, {.trials = trials, .threads = 1}); };
    };
    const auto twelve = propagate::examples::sum_of(12, stats::Normal{0, 1, {}});
    for (const std::size_t trials : {10'000, 30'000, 100'000, 300'000, 1'000'000, 3'000'000})
        say("trials", static_cast<double>(trials), run(twelve, trials));
    for (const std::size_t inputs : {5, 10, 20, 50, 100, 200}) {
        const auto budget = propagate::examples::sum_of(inputs, stats::Normal{0, 1, {}});
        say("inputs", static_cast<double>(inputs), run(budget, 100'000));
    }
}

/// 300 inputs of knowledge and 30 of the part.
PartModel part_without_characteristics() {
    PartModel m;
    for (int i = 0; i < 330; ++i) {
        Input input;
        input.name = "input " + std::to_string(i);
        input.law = i % 3 == 0 ? stats::Distribution(stats::Rectangular{0, 2e-6, {}})
                               : stats::Distribution(stats::Normal{0, 1e-6, {}});
        input.sharing = i < 300 ? Sharing::job : Sharing::part;
        m.inputs.push_back(input);
    }
    return m;
}

/// A face of so many points, whose zone stands or floats.
Characteristic face(Index points, bool floats) {
    Characteristic c;
    c.name = "face";
    c.reduction = Reduction::width;
    c.known = Eigen::VectorXd::Zero(points);
    c.effect.resize(points, 330);
    Eigen::MatrixXd free(points, 2);
    const auto side = static_cast<Index>(std::ceil(std::sqrt(static_cast<double>(points))));
    for (Index e = 0; e < points; ++e) {
        const double x = static_cast<double>(e % side) / static_cast<double>(side) - 0.5;
        const double y = static_cast<double>(e / side) / static_cast<double>(side) - 0.5;
        free.row(e) << x, y;
        for (int i = 0; i < 330; ++i)
            c.effect(e, i) = std::sin(1.0 + i + (2 + i % 5) * x + (3 + i % 7) * y) / 4;
    }
    if (floats)
        c.free = free;
    c.upper = 20e-6;
    return c;
}

/// A position of both ends of a hole.
Characteristic position(int number) {
    Characteristic c;
    c.name = "position " + std::to_string(number);
    c.reduction = Reduction::twice_worst;
    c.known = Eigen::VectorXd::Constant(4, 2e-6);
    c.effect.resize(4, 330);
    for (int e = 0; e < 4; ++e)
        for (int i = 0; i < 330; ++i)
            c.effect(e, i) = std::sin(1.0 + i + 7 * e + 31 * number) / 4;
    c.upper = 40e-6;
    return c;
}

void parts() {
    PromiseOptions o;
    o.threads = 1;
    for (const bool floats : {false, true})
        for (const Index points : {25, 81, 200, 400, 800}) {
            auto m = part_without_characteristics();
            m.characteristics = {face(points, floats)};
            say(floats ? "points_floating" : "points", static_cast<double>(points), [&] {
                first_look(m, o, true);
            });
        }
    for (const int features : {1, 2, 4, 8, 16}) {
        auto m = part_without_characteristics();
        for (int k = 0; k < features; ++k)
            m.characteristics.push_back(position(k));
        say("features", features, [&] { promise(m, o); });
    }
}

/// Runs of a level on the table, fifty stations at most.
Shop levelled(int readings) {
    auto shop = tests::workshop();
    for (int left = readings; left > 0; left -= 50) {
        auto check = tests::level_check(left % 100 == 0 ? Axis::x : Axis::y);
        const int stations = std::min(left, 50);
        check.name = "run " + std::to_string(left);
        check.stations.clear();
        for (int i = 0; i < stations; ++i)
            check.stations.push_back(0.6 * i / (stations - 1));
        check.readings.assign(check.stations.size(), 0);
        shop.level_checks.push_back(check);
    }
    return shop;
}

void readings() {
    for (const int many : {10, 30, 100, 300, 1000}) {
        const auto shop = levelled(many);
        int seen = 0;
        for (const auto& check : solve(shop, parse_date("2026-11-25")).checks)
            seen += check.readings;
        say("readings", seen, [&] { solve(shop, parse_date("2026-11-25")); });
    }
}

} // namespace

int main() {
    readings();
    parts();
    budgets();
    return 0;
}
