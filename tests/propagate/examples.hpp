// SPDX-License-Identifier: MIT
// Short ways to write budgets in tests, and published budgets used by more than one of them.
#pragma once

#include "holdable/propagate/budget.hpp"

#include <cmath>
#include <string>
#include <vector>

namespace holdable::propagate::examples {

/// An input whose law is in SI units, or in an unknown unit of its own.
inline BudgetInput input(std::string name, stats::Distribution law, const char* unit = "") {
    BudgetInput result{.name = std::move(name), .parts = {{.law = std::move(law)}}};
    if (*unit)
        result.unit.unit = parse_unit(unit);
    return result;
}

inline Budget budget(std::vector<BudgetInput> inputs, std::string formula) {
    Budget result;
    result.inputs = std::move(inputs);
    result.outputs = {{"y", std::move(formula)}};
    return result;
}

inline BudgetUnit nanometre() {
    return {parse_unit("nm")};
}

/// x1 + … + xn with the same law.
inline Budget sum_of(std::size_t n, const stats::Distribution& law) {
    std::vector<BudgetInput> inputs;
    std::string formula;
    for (std::size_t i = 1; i <= n; ++i) {
        const std::string name = "x" + std::to_string(i);
        inputs.push_back(input(name, law));
        formula += (i > 1 ? " + " : "") + name;
    }
    return budget(std::move(inputs), formula);
}

/// End gauge, GUM H.1: d has three parts, theta two. SI inside, output in nanometres beyond 50 mm.
inline Budget end_gauge_gum() {
    using namespace stats;
    Budget b =
        budget({input("ls", Normal{50.000623e-3, 25e-9, 18}, "mm"),
                {.name = "d",
                 .parts = {{Normal{0, 5.8e-9, 24}}, {Normal{0, 3.9e-9, 5}}, {Normal{0, 6.7e-9, 8}}},
                 .value = 215e-9,
                 .unit = nanometre()},
                input("alpha_s", Rectangular{11.5e-6, 2e-6}, "ppm/K"),
                {.name = "theta",
                 .parts = {{Normal{-0.1, 0.2}}, {Arcsine{0, 0.5}}},
                 .unit = {parse_unit("K")}},
                input("dalpha", Rectangular{0, 1e-6, 50}, "ppm/K"),
                input("dtheta", Rectangular{0, 0.05, 2}, "K"),
                input("nominal", Fixed{50e-3}, "mm")},
               "x - nominal");
    b.steps = {{"x", "ls + d - ls*(dalpha*theta + alpha_s*dtheta)"}};
    b.outputs.front().unit = nanometre();
    b.coverage = 0.99;
    return b;
}

/// End gauge with nine inputs, JCGM 101:2008 9.5, Table 10 (alpha_s by its limits).
inline Budget end_gauge_nine() {
    using namespace stats;
    Budget b =
        budget({input("ls", Student{50.000623e-3, 25e-9, 18}, "mm"),
                input("d0", Student{215e-9, 6e-9, 24}, "nm"),
                input("d1", Student{0, 4e-9, 5}, "nm"),
                input("d2", Student{0, 7e-9, 8}, "nm"),
                input("alpha_s", Rectangular{11.5e-6, 2e-6}, "ppm/K"),
                input("theta0", Normal{-0.1, 0.2}, "K"),
                input("delta", Arcsine{0, 0.5}, "K"),
                input("dalpha", InexactRectangular{0, 1e-6, 0.1e-6}, "ppm/K"),
                input("dtheta", InexactRectangular{0, 0.05, 0.025}, "K"),
                input("nominal", Fixed{50e-3}, "mm")},
               "ls + d0 + d1 + d2 - ls*(dalpha*(theta0 + delta) + alpha_s*dtheta) - nominal");
    b.outputs.front().unit = nanometre();
    b.coverage = 0.99;
    return b;
}

/// Six sets of readings taken together, JCGM 102:2011 9.4 (the data of GUM H.2, Table H.2);
/// SI but for the opaque volt, milliampere and ohm: the output factor is 1/mA = kilo-ohms.
inline Budget impedance() {
    using namespace stats;
    Budget b;
    b.inputs = {
        input("v", Readings{{5.007, 4.994, 5.005, 4.990, 4.999, 4.999}}),
        input("i", Readings{{19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3, 19.661e-3}}),
        input("phi", Readings{{1.0456, 1.0438, 1.0468, 1.0428, 1.0433, 1.0445}})};
    b.correlations = {{"v", "i"}, {"i", "phi"}};
    b.outputs = {{"r", "v/i*cos(phi)"}, {"x", "v/i*sin(phi)"}, {"z", "v/i"}};
    return b;
}

} // namespace holdable::propagate::examples
