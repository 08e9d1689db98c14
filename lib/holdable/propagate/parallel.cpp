// SPDX-License-Identifier: MIT
#include "holdable/propagate/parallel.hpp"

#include <algorithm>
#include <atomic>
#include <exception>
#include <mutex>
#include <system_error>
#include <thread>
#include <vector>

namespace holdable::propagate {
namespace {

constexpr unsigned most_threads = 256; // more gain nothing, and each takes its stack

} // namespace

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
        const std::size_t wanted = std::min<std::size_t>(std::min(threads, most_threads), count);
        try {
            for (std::size_t i = 1; i < wanted; ++i)
                others.emplace_back(work);
        } catch (const std::system_error&) { // the system gives no more: those there are do it all
        }
        work();
    }
    if (failure)
        std::rethrow_exception(failure);
}

} // namespace holdable::propagate
