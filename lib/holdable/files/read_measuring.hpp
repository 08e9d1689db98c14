// SPDX-License-Identifier: MIT
/// Reads what a gauge's readings err by: the keys that a gauging and a gauge of the shop share.
#pragma once

#include "holdable/base/date.hpp"
#include "holdable/decide/inspection.hpp"
#include "holdable/files/reader.hpp"

#include <optional>

namespace holdable {

/// The keys "instrument", "bias" or "linearity", "master", "repeats", and "study" or "scatter" and
/// "operators". Explained in docs/gauging.md. @param day a certificate that ran out before is
/// remarked on; none: it is not known yet
void read_measuring(const Reader& field, std::optional<Date> day, decide::Inspection& inspection);

/// The same but for the instrument itself. @param usual scatter of a reading where none is stated
void read_use(const Reader& field,
              std::optional<Date> day,
              decide::Inspection& inspection,
              const std::optional<decide::Doubt>& usual = {});

/// The expansion of the named material, into what is given; faults are reported.
void read_expansion(const Reader& material, decide::Body& body);

} // namespace holdable
