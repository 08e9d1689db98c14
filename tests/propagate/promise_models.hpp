// SPDX-License-Identifier: MIT
/// Small parts for the tests of promises, and how near a sampled number must come.
#pragma once

#include "holdable/propagate/promise.hpp"

#include <boost/test/unit_test.hpp>

#include <cmath>
#include <string>

namespace holdable::promise_models {

inline constexpr double alarm = 6.2; ///< standard errors; two-sided normal tail 6e-10

inline Input input(std::string name, stats::Distribution law, Sharing sharing = Sharing::job) {
    Input i;
    i.name = std::move(name);
    i.meaning = "meaning of " + i.name;
    i.law = std::move(law);
    i.sharing = sharing;
    return i;
}

inline stats::Distribution normal(double standard) {
    return stats::Normal{0, standard, {}};
}

/// One signed number with unit effect of every input.
inline Characteristic size(double known, std::optional<double> lower, double upper, int inputs) {
    Characteristic c;
    c.name = "size";
    c.known = Eigen::VectorXd::Constant(1, known);
    c.effect = Eigen::MatrixXd::Ones(1, inputs);
    c.lower = lower;
    c.upper = upper;
    return c;
}

/// The example: bias 3, knowledge 4, scatter 2.5, limits ±12 (µm; the numbers have no unit here).
inline PartModel example() {
    PartModel m;
    m.inputs = {input("geometry", normal(4)), input("repeat", normal(2.5), Sharing::part)};
    m.characteristics = {size(3, -12.0, 12, 2)};
    return m;
}

inline PromiseOptions levels(double p, double c, std::size_t worlds = 32000) {
    PromiseOptions o;
    o.parts = p;
    o.confidence = c;
    o.worlds = worlds;
    return o;
}

inline void near(double seen, double expected, double error, double rounding, const char* what) {
    BOOST_TEST(std::abs(seen - expected) <= alarm * error + rounding,
               what << ": " << seen << " wanted " << expected << " +- " << error);
    // A test whose tolerance swallows everything tests nothing.
    BOOST_TEST(alarm * error + rounding < 0.15 * std::abs(expected), what << " error " << error);
}

} // namespace holdable::promise_models
