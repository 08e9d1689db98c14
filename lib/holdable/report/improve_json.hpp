// SPDX-License-Identifier: MIT
/// What to fix or measure next, for programs.
#pragma once

#include "holdable/answer/improve.hpp"
#include "holdable/report/origin.hpp"

#include <string>

namespace holdable {

/// `improve-result/1`: SI units and minutes, every number unrounded; keys in docs/results.md.
std::string improve_json(const Improvement& improvement, const Origin& origin = {});

} // namespace holdable
