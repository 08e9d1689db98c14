// SPDX-License-Identifier: MIT
/// The next part by first-order propagation: what a hand calculation after the GUM gives.
#pragma once

#include "holdable/propagate/promise.hpp"

#include <Eigen/Core>

#include <optional>

namespace holdable::propagate {

/// The value of the next part, to first order about the means of all inputs.
struct FirstOrder {
    double value = 0;                ///< d, or its reduction (m)
    double standard_uncertainty = 0; ///< of that value (m)
    double limit = 0;            ///< half-width about the middle of the limits, or upper limit (m)
    bool applies = true;         ///< value at least 2u where the reduction has a kink
    Eigen::VectorXd sensitivity; ///< of the value to each input, shape n (m per its unit)
    double dof = 0;              ///< effective, of that uncertainty; 1e6 and more: normal
};

/// Within what the share `p` of next parts lies, of a normal value or, with few degrees of freedom,
/// one of the t law. @param dof of u; 0 or 1e6 and more: normal @param middle of the limits: half
/// the width about it; none: the upper limit (m)
double
first_order_limit(double value, double u, double dof, std::optional<double> middle, double p);

/// For the share `p` of the parts, in (0.5, 1). Few degrees of freedom widen the limit by the t law
/// (Welch-Satterthwaite, GUM G.4.1; inputs of one `scale` are one term).
FirstOrder first_order(const PartModel& part, std::size_t characteristic, double p);

} // namespace holdable::propagate
