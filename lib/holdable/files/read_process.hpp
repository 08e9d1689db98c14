// SPDX-License-Identifier: MIT
/// Reads the key "process" of a job: what a shop knows of how it cuts.
#pragma once

#include "holdable/files/reader.hpp"
#include "holdable/part/job.hpp"

namespace holdable {

/// Fills `process`, `process_typical` and `notes` of a job.
void read_process(const Reader& field, Job& job);

} // namespace holdable
