// SPDX-License-Identifier: MIT
#include "holdable/model/derivatives.hpp"
#include "holdable/propagate/agreement.hpp"
#include "holdable/propagate/gum.hpp"
#include "holdable/propagate/monte_carlo.hpp"
#include "holdable/propagate/promise.hpp"
#include "holdable/stats/distribution.hpp"
#include "holdable/stats/random.hpp"
#include "holdable/stats/sobol.hpp"
#include "propagate/examples.hpp"
#include "table.hpp"

#include <utility>
#include <vector>

namespace holdable::determinism {
namespace {

using namespace propagate;

void laws(Table& table) {
    std::vector<double> u(20'000), y(u.size());
    stats::Sobol(3, stats::name_hash("x"), 5).fill(77, y);
    table.draws("engine/sobol", y);
    stats::fill_uniform(3, stats::name_hash("x"), 77, u);
    table.draws("engine/uniform", u);
    const std::vector<std::pair<const char*, stats::Distribution>> all = {
        {"normal", stats::Normal{1, 2, {}}},
        {"normal-few-dof", stats::Normal{1, 2, 4}},
        {"student", stats::Student{1, 2, 5}},
        {"student-few-dof", stats::Student{1, 2, 1.5}},
        {"rectangular", stats::Rectangular{1, 2}},
        {"triangular", stats::Triangular{1, 2}},
        {"arcsine", stats::Arcsine{1, 2}},
        {"trapezoid", stats::Trapezoid{1, 2, 0.5}},
        {"inexact-rectangular", stats::InexactRectangular{1, 2, 0.5}},
        {"exponential", stats::Exponential{2}},
        {"gamma", stats::Gamma{4, 2}},
        {"readings", stats::Readings{{1.1, 1.3, 0.9, 1.2, 1.05}}}};
    for (const auto& [name, law] : all) {
        y = u;
        stats::sampler(law)(y);
        table.draws(std::string("engine/") + name, y);
    }
}

void interval(Table& table, const std::string& name, const stats::Interval& interval) {
    table.number(name + "/low", interval.low);
    table.number(name + "/high", interval.high);
}

void by_gum(Table& table, const std::string& name, const Budget& budget) {
    const auto result = gum(budget);
    for (const auto& y : result.outputs) {
        const auto at = name + "/" + y.name + "/gum/";
        table.number(at + "value", y.value);
        table.number(at + "standard", y.standard);
        table.number(at + "k", y.k);
        table.number(at + "expanded", y.expanded);
    }
}

void by_draws(Table& table,
              const std::string& name,
              const Budget& budget,
              const MonteCarloOptions& options) {
    const auto result = monte_carlo(budget, options);
    table.number(name + "/without_value", static_cast<double>(result.without_value));
    if (result.ellipsoid_factor)
        table.number(name + "/ellipsoid", *result.ellipsoid_factor);
    if (result.rectangle_factor)
        table.number(name + "/rectangle", *result.rectangle_factor);
    for (const auto& y : result.outputs) {
        const auto at = name + "/" + y.name;
        table.number(at + "/value", y.value);
        table.number(at + "/value_error", y.value_error);
        if (y.standard)
            table.number(at + "/standard", *y.standard);
        interval(table, at + "/interval", y.interval);
        interval(table, at + "/interval_error", y.interval_error);
        interval(table, at + "/shortest", y.shortest);
        interval(table, at + "/shortest_raw", y.shortest_raw);
        table.number(at + "/skewness", y.skewness);
    }
}

/// Correlated inputs, steps, and trials without a value.
Budget of_all() {
    auto b = examples::end_gauge_nine();
    b.inputs.push_back(examples::input("a", stats::Normal{3.5, 1, {}}));
    b.inputs.push_back(examples::input("c", stats::Rectangular{0, 1}));
    b.correlations = {{"a", "c", 0.5}};
    b.outputs.push_back({"root", "sqrt(a) + c*sin(a) + exp(-c)"});
    b.coverage = 0.9;
    return b;
}

Input input(std::string name, stats::Distribution law, Sharing sharing, Evidence evidence) {
    Input i;
    i.name = std::move(name);
    i.law = std::move(law);
    i.sharing = sharing;
    i.evidence = evidence;
    return i;
}

/// A bore with two errors that all parts share and two that each has for itself: its axis, its
/// size, its position at both ends, and three points of a face with a zone that floats (m).
PartModel part() {
    PartModel m;
    m.inputs = {input("square", stats::Normal{0, 4e-6, {}}, Sharing::job, Evidence::measured),
                input("tram", stats::Rectangular{0, 6e-6}, Sharing::setup, Evidence::assumed),
                input("approach", stats::Normal{0, 2.5e-6, {}}, Sharing::part, Evidence::measured),
                input("edge", stats::Triangular{0, 5e-6}, Sharing::part, Evidence::typical)};
    const auto add = [&](const char* name, Reduction reduction, const Eigen::MatrixXd& effect) {
        Characteristic c;
        c.name = name;
        c.reduction = reduction;
        c.effect = effect;
        c.known = Eigen::VectorXd::LinSpaced(effect.rows(), 1e-6, 3e-6);
        c.upper = 20e-6;
        m.characteristics.push_back(c);
    };
    add("size", Reduction::signed_value, Eigen::RowVector4d(1, 0.5, 1, 0.2));
    m.characteristics.back().lower = -18e-6;
    Eigen::MatrixXd axis(2, 4);
    axis << 1, 0, 0.5, 0.1, 0, 1, 0.2, 0.5;
    add("axis", Reduction::magnitude, axis);
    Eigen::MatrixXd ends(4, 4);
    ends << axis, 0.5 * axis;
    add("position", Reduction::twice_worst, ends);
    Eigen::MatrixXd face(4, 4);
    face << 1, 0, 0.1, 0, 0, 1, 0, 0.1, -1, 0.3, 0.2, 0, 0.4, -1, 0, 0.2;
    add("flatness", Reduction::width, face);
    m.characteristics.back().free = Eigen::MatrixXd(4, 2);
    m.characteristics.back().free << 0, 0, 1, 0, 1, 1, 0, 1.1;
    return m;
}

void promises(Table& table) {
    PromiseOptions options;
    options.worlds = 500;
    options.parts_in_world = 300;
    options.most_worlds = 1000;
    options.quantity = 20;
    const auto result = promise(part(), options);
    for (const auto& p : result.promises) {
        const auto at = "engine/promise/" + p.name + "/";
        table.number(at + "smallest", p.smallest);
        table.number(at + "smallest_error", p.smallest_error);
        table.number(at + "smallest_9973", p.smallest_9973);
        table.number(at + "next_part", p.next_part);
        table.number(at + "assured_yield", p.assured_yield);
        table.number(at + "gamma", p.gamma);
        table.number(at + "gamma_without_guesses", p.gamma_without_guesses);
        table.number(at + "next_part_limit", p.next_part_limit);
        table.number(at + "first_order_limit", p.first_order_limit);
        table.number(at + "worlds", static_cast<double>(p.worlds));
        for (const auto& share : p.shares)
            table.number(at + "share of " + share.name, share.share);
    }
    table.number("engine/promise/whole_part", result.whole_part);
    table.number("engine/promise/whole_part_assured", result.whole_part_assured);
    table.number("engine/promise/all_good", result.all_good);
    table.number("engine/promise/expected_out", result.expected_out);
}

} // namespace

void engine(Table& table) {
    laws(table);
    const std::pair<const char*, Budget> budgets[] = {{"end-gauge", examples::end_gauge_gum()},
                                                      {"nine-inputs", examples::end_gauge_nine()},
                                                      {"impedance", examples::impedance()},
                                                      {"all", of_all()}};
    for (const auto& [name, budget] : budgets) {
        const auto at = std::string("engine/budget/") + name;
        by_gum(table, at, budget);
        by_draws(table, at + "/random", budget, {.trials = 20'000});
    }
    by_draws(table,
             "engine/budget/nine-inputs/quasi",
             examples::end_gauge_nine(),
             {.trials = 32'768, .quasi = true});
    promises(table);
}

} // namespace holdable::determinism
