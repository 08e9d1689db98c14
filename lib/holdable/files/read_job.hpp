// SPDX-License-Identifier: MIT
/// Reads `job/1`: what a customer asks for, and how the shop means to cut it.
///
/// Every key is explained in docs/files.md.
#pragma once

#include "holdable/files/document.hpp"
#include "holdable/machine/shop.hpp"
#include "holdable/part/job.hpp"

#include <string>
#include <vector>

namespace holdable {

/// Reads a job. Remarks on what looks odd are its `notes`.
/// @param file name put into diagnostics
/// @throws InputError with all that is wrong with the file
Job read_job(const Node& root, const std::string& file);

/// What looks odd where the two files meet: checks made after the day of the job, which are not
/// used.
std::vector<std::string> notes_between(const Shop& shop, Date job);

} // namespace holdable
