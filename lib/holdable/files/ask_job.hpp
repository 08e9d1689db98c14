// SPDX-License-Identifier: MIT
/// From a question in one line to a job: what the line leaves out is filled, and said.
///
/// What is taken, all of it listed in `assumed` where the line does not say it (common practice, no
/// source): the middle of the travel as place; a part over the middle half of the travel, as high
/// as its deepest hole, 1 in (25 mm) over the table; its whole top, milled in the same set-up, as
/// face A; the edges at its corner as A|B|C; holes bored, the tool 3 in (75 mm) longer than they
/// are deep; a face mill Ø3 in (80 mm) with three quarters of that as step; all else of the process
/// as is typical for the trade; steel; one part; 20 °C, as jobs have it.
#pragma once

#include "holdable/files/ask.hpp"
#include "holdable/machine/shop.hpp"
#include "holdable/part/job.hpp"

#include <string>
#include <vector>

namespace holdable {

/// A job made from a line.
struct AskedJob {
    Job job;
    std::vector<std::string> assumed; ///< what the line left out, in shop words
};

/// Fills what the line leaves out.
/// @throws InputError by column [ask-travel, ask-reach, outside-part, size-places]
AskedJob job_from(const AskedQuestion& question, const Shop& shop);

} // namespace holdable
