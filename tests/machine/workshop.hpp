// SPDX-License-Identifier: MIT
/// A small invented shop for tests: one machine, one indicator, one square, one level.
#pragma once

#include "holdable/machine/shop.hpp"

namespace holdable::tests {

/// A machine with 600 × 400 × 400 mm of travel, of the class "entry vmc", without checks.
inline Shop workshop() {
    Shop shop;
    shop.name = "test shop";
    shop.machine = "the mill";
    shop.travel = {Travel{0, 0.6, 0.3}, Travel{0, 0.4, 0.2}, Travel{-0.4, 0, -0.2}};
    shop.nose_to_table = 0.6;
    shop.machine_class = "entry vmc";
    shop.indicators.push_back(
        {"lever", 1e-6, 0.01, Evidence::typical, 0.5e-6, 0, Evidence::typical, {}});
    shop.squares.push_back(
        {"black", 0.25, 0, 0, 40e-6, 1e-6, Evidence::specification, Evidence::typical, {}});
    shop.levels.push_back({"long", 20e-6, 0.2, 0.05, Evidence::typical, {}});
    return shop;
}

/// A check of Z with the square, readings still empty.
inline SquareCheck square_check(Axis across) {
    SquareCheck check;
    check.name = across == Axis::x ? "ZX" : "ZY";
    check.date = parse_date("2026-11-20");
    check.across = across;
    check.square = "black";
    check.indicator = "lever";
    check.place = {0.3, 0.2, -0.35};
    check.gauge_length = 0.1;
    check.base = 0.1;
    check.stations = {-0.34, -0.28, -0.22, -0.16, -0.10};
    return check;
}

/// A run of X with the level on the table, readings still empty. @param points X or Y
inline LevelCheck level_check(Axis points) {
    LevelCheck check;
    check.name = "run";
    check.date = parse_date("2026-11-20");
    check.axis = Axis::x;
    check.points = points;
    check.level = "long";
    check.stations = {0.0, 0.15, 0.3, 0.45, 0.6};
    return check;
}

} // namespace holdable::tests
