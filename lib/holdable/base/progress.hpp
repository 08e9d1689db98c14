// SPDX-License-Identifier: MIT
/// How far a long computation has come, for whoever waits. It changes no digit of any result.
#pragma once

#include <cstddef>
#include <functional>
#include <mutex>
#include <string_view>

namespace holdable {

/// What is being done, and how much of it is done.
struct Step {
    std::string_view doing; ///< in shop words, as "simulating parts"
    std::size_t done = 0;   ///< how many of `of` (count)
    std::size_t of = 0;     ///< in all (count); 0: not known beforehand
};

/// Is told of each step; empty: nobody waits. Called on any thread, but never twice at once, so it
/// should be quick; it must not throw.
using Progress = std::function<void(const Step&)>;

/// Tells of work that several threads do together.
class Told {
  public:
    /// Says that nothing is done yet. @param of how many tasks, 0: not known
    Told(const Progress& progress, std::string_view doing, std::size_t of, std::size_t done = 0)
        : progress_(progress), step_{doing, done, of} {
        if (progress_)
            progress_(step_);
    }

    /// Says that some more are done.
    void add(std::size_t more = 1) {
        if (!progress_)
            return;
        const std::lock_guard lock(guard_);
        step_.done += more;
        progress_(step_);
    }

  private:
    const Progress& progress_;
    std::mutex guard_;
    Step step_;
};

} // namespace holdable
