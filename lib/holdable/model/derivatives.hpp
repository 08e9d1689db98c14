// SPDX-License-Identifier: MIT
/// Derivatives of a tape's output, exact to rounding, as far as the second-order law needs them.
///
/// GUM 5.1.2 needs f_i; the note there adds, for the next order, f_ij² / 2 + f_i f_ijj for every
/// pair. They come from running the tape on truncated Taylor series (derivatives.cpp), without
/// differences and so without a step to choose.
///
/// Where the function has a kink or a pole the derivatives do not exist: |x| and hypot(x, y) at
/// zero, min of two equal values, sqrt at zero, atan2 across its cut. `order` says how far they do;
/// the caller then says that first (or second) order does not apply.
#pragma once

#include "holdable/model/tape.hpp"

#include <vector>

namespace holdable::model {

/// Value and partial derivatives of one output, by the inputs asked for (SI units).
struct Derivatives {
    double value = 0;                        ///< f
    std::vector<double> first;               ///< first[i] = f_i
    std::vector<std::vector<double>> second; ///< second[i][j] = f_ij, symmetric
    std::vector<std::vector<double>> third;  ///< third[i][j] = f_ijj
    int order = 3; ///< all derivatives up to this order exist (0 to 3); those beyond are zero
};

/// Derivatives of output `output` at `inputs` (SI), by the inputs numbered in `varying`.
/// @throws NumericError if the output is not a finite number there
Derivatives derivatives(const Tape& tape,
                        std::size_t output,
                        const std::vector<double>& inputs,
                        const std::vector<std::size_t>& varying);

} // namespace holdable::model
