// SPDX-License-Identifier: MIT
/// What to fix or measure next, as a page of 80 columns: the caution before any procedure, then
/// what helps, the least that does it, what one contributor alone would have to do, and what a
/// check may come out as.
#pragma once

#include "holdable/answer/improve.hpp"

#include <string>

namespace holdable {

/// The page. Of what helps the best are told in full.
std::string improve_text(const Improvement& improvement);

} // namespace holdable
