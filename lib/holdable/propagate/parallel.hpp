// SPDX-License-Identifier: MIT
/// Work cut into numbered tasks and done by several threads.
#pragma once

#include <cstddef>
#include <functional>

namespace holdable::propagate {

/// Calls `task(i)` once for each i < count, on `threads` threads (0 = all cores). A task may write
/// only what belongs to its number; then the number of threads changes nothing. The exception of
/// the lowest number that threw is thrown again.
void parallel(std::size_t count, unsigned threads, const std::function<void(std::size_t)>& task);

} // namespace holdable::propagate
