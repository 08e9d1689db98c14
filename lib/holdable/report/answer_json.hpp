// SPDX-License-Identifier: MIT
/// The answer to a job for programs: `answer-result/1`.
#pragma once

#include "holdable/answer/answer.hpp"
#include "holdable/report/origin.hpp"

#include <string>

namespace holdable {

/// Everything in the answer, lengths in metres and angles in radians at full precision, standard
/// errors of the simulation beside them, and the words and rounded numbers of the page as `text`.
/// What was not computed is null. The phone sentence is `say`.
/// @throws NumericError if a number is not finite
std::string answer_json(const Answer& answer, const Origin& origin = {});

} // namespace holdable
