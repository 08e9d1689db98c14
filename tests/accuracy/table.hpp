// SPDX-License-Identifier: MIT
/// The rows of the table of accuracy, and what makes them.
#pragma once

#include "wide.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <string>
#include <utility>
#include <vector>

using wide::Big;

struct Row {
    std::string function, domain, measure;
    double bound;
    double worst;
};

inline std::vector<Row> rows;

/// The largest of some errors.
class Worst {
  public:
    void operator()(const Big& error) {
        const double e = abs(error).convert_to<double>();
        if (!(e <= worst_))
            worst_ = std::isnan(e) ? std::numeric_limits<double>::infinity() : e;
    }

    void relative(double computed, const Big& reference) {
        if (reference == 0)
            (*this)(computed == 0 ? 0 : 1);
        else
            (*this)((computed - reference) / reference);
    }

    void add(std::string function, std::string domain, std::string measure, double bound) const {
        rows.push_back({std::move(function), std::move(domain), std::move(measure), bound, worst_});
    }

  private:
    double worst_ = 0;
};

/// Chances from 2^-53 to 1 - 2^-53, over all octaves of both tails.
inline std::vector<double> chances(int step = 1) {
    std::vector<double> p{0.5};
    for (int octave = 1; octave <= 52; octave += step)
        for (const double place : {0.5, 0.61, 0.83}) {
            p.push_back(std::ldexp(place, -octave));
            p.push_back(1 - std::ldexp(place, -octave));
        }
    p.push_back(0x1p-53);
    p.push_back(1 - 0x1p-53);
    return p;
}

/// x − x(p), from the wide distribution function and density at x.
inline Big off(const Big& cdf, const Big& p, const Big& density) {
    return (cdf - p) / density;
}
