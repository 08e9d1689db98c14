// SPDX-License-Identifier: MIT
/// The spread of an input whose law a test expects to be of one kind.
#pragma once

#include "holdable/propagate/input.hpp"

#include <boost/test/unit_test.hpp>

#include <variant>

namespace holdable::tests {

/// Half-width of a rectangular law.
inline double half_width(const Input& input) {
    BOOST_REQUIRE(std::holds_alternative<stats::Rectangular>(input.law));
    return std::get<stats::Rectangular>(input.law).half_width;
}

/// Standard uncertainty of a normal law.
inline double sigma(const Input& input) {
    BOOST_REQUIRE(std::holds_alternative<stats::Normal>(input.law));
    return std::get<stats::Normal>(input.law).standard;
}

} // namespace holdable::tests
