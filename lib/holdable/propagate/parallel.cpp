// SPDX-License-Identifier: MIT
#include "holdable/propagate/parallel.hpp"

#include <algorithm>
#include <atomic>
#include <exception>
#include <mutex>
#include <thread>
#include <vector>

namespace holdable::propagate {

void parallel(std::size_t count, unsigned threads, const std::function<void(std::size_t)>& task) {
    if (threads == 0)
        threads = std::max(1U, std::thread::hardware_concurrency());
    std::atomic<std::size_t> next{0};
    std::mutex guard;
    std::size_t failed = count;
    std::exception_ptr failure;
    const auto work = [&] {
        for (std::size_t i = next++; i < count; i = next++) {
            try {
                task(i);
            } catch (...) {
                const std::lock_guard lock(guard);
                if (i < failed) {
                    failed = i;
                    failure = std::current_exception();
                }
            }
        }
    };
    {
        std::vector<std::jthread> others;
        const std::size_t wanted = std::min<std::size_t>(threads, count);
        for (std::size_t i = 1; i < wanted; ++i)
            others.emplace_back(work);
        work();
    }
    if (failure)
        std::rethrow_exception(failure);
}

} // namespace holdable::propagate
