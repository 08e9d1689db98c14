// SPDX-License-Identifier: MIT
/// Outside references of the tests: tests/reference/*.json, each set with source and provenance
/// (`text`: read in the source; `memory`: recalled; `recomputed`: by another method).
#pragma once

#include <nlohmann/json.hpp>

#include <cmath>
#include <fstream>
#include <stdexcept>
#include <string>
#include <vector>

namespace holdable::reference {

/// tests/reference/`name`.json.
inline nlohmann::json load(const std::string& name) {
    std::ifstream file(std::string(HOLDABLE_REFERENCE) + "/" + name + ".json");
    if (!file)
        throw std::runtime_error("no reference file " + name);
    return nlohmann::json::parse(file);
}

/// The sets under a key of it, at least one.
inline nlohmann::json sets(const std::string& name, const std::string& key) {
    auto list = load(name).at(key);
    if (!list.is_array() || list.empty())
        throw std::runtime_error("no sets in reference file " + name);
    return list;
}

inline std::vector<double> numbers(const nlohmann::json& list) {
    return list.get<std::vector<double>>();
}

/// Digits in which x agrees with a certified value: −log10 of the relative (of 0: absolute)
/// difference, at most 15, as the certified values have.
inline double digits(double x, double certified) {
    const double difference = std::abs(certified == 0 ? x : x / certified - 1);
    return difference > 1e-15 ? -std::log10(difference) : 15.0;
}

} // namespace holdable::reference
