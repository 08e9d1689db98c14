// SPDX-License-Identifier: MIT
/// How far the linear signed numbers of a characteristic are from the truth, where its points bend.
#pragma once

#include "holdable/propagate/promise.hpp"

namespace holdable::propagate {

/// The largest difference, over a sample of parts, between the value with what moves across counted
/// and without (m); 0 where nothing bends.
///
/// The next order, t²/(2 r); what follows it is smaller by d/r again.
/// @throws NumericError where shapes do not fit
double left_out_by_bending(const PartModel& part,
                           std::size_t characteristic,
                           const PromiseOptions& options);

} // namespace holdable::propagate
