// SPDX-License-Identifier: MIT
/// Parts that are measured: what passes and what is refused, before there is a part.
///
/// A part has the value X of its characteristic, the reduction of d = known + effect · ξ. What is
/// read of it is
///
///     M = reduction(d + e) + v,
///
/// e what the measurement misses of the signed numbers (as on the machine that cut the part, which
/// does not see its own errors), v what errs in the value itself (as a gauge by its certificate).
/// All stand in the same inputs ξ, so whatever is shared between cutting and measuring moves both
/// in the same trial. X comes from what is known of the process before a part is measured: it is
/// the prior of JCGM 106:2012, clause 9, and needs no law of its own.
#pragma once

#include "holdable/propagate/promise.hpp"

#include <Eigen/Core>

#include <functional>
#include <limits>
#include <span>

namespace holdable {

/// What a measurement of a characteristic errs by, over the inputs of its part.
struct MeasurementError {
    Eigen::VectorXd known;        ///< mean of e, shape q (m)
    Eigen::MatrixXd effect;       ///< of each input on e, q × n
    double value_known = 0;       ///< mean of v (m)
    Eigen::VectorXd value_effect; ///< of each input on v, shape n
};

/// Readings that are accepted (m); of a value with two limits counted from their middle.
struct Accepted {
    double low = -std::numeric_limits<double>::infinity();
    double high = std::numeric_limits<double>::infinity();
};

/// What becomes of the next part.
struct MeasuredParts {
    double bad = 0;                ///< chance that it is beyond the tolerance
    double accepted = 0;           ///< chance that its reading is accepted
    double accepted_bad = 0;       ///< both: passed and bad
    double refused_good = 0;       ///< refused and good
    double accepted_bad_error = 0; ///< standard error of that chance
    double refused_good_error = 0; ///< standard error of that chance
    double error_mean = 0;         ///< of M − X (m)
    double error_standard = 0;     ///< standard deviation of M − X (m)
    /// The C-quantile over knowledge of the P-quantile over parts of how far readings lie out, by
    /// the measure that was given (m).
    double outermost = 0;
    std::size_t worlds = 0, parts_in_world = 0; ///< draws behind these numbers
};

/// Draws parts and their readings together.
///
/// 1000 worlds × 4000 parts, 250 × 1000 where a zone floats, more where P or C ask for it. Chances
/// are those of the next part, over knowledge and parts alike.
/// @param few a tenth of the parts will do, as for the mean and the spread of M − X
/// @param part its inputs hold those of the measurement @param c number of the characteristic
/// @param out replaces readings by how far they lie out, of which `outermost` is taken
/// @throws NumericError as `promise`
MeasuredParts measured_parts(const PartModel& part,
                             std::size_t c,
                             const MeasurementError& error,
                             const Accepted& accepted,
                             const std::function<void(std::span<double>)>& out,
                             const PromiseOptions& options,
                             bool few = false);

} // namespace holdable
