// SPDX-License-Identifier: MIT
/// How many mistakes of one file are told: a file of nothing but mistakes is not to fill the
/// screen.
#pragma once

#include "holdable/base/error.hpp"

#include <cstddef>

namespace holdable {

/// So many mistakes of one file are told.
inline constexpr std::size_t most_mistakes = 100;

/// [mistakes-many], in place of those that are not told. @param where the first of them is, or the
/// last that is told
Diagnostic more_mistakes(Location where);

} // namespace holdable
