// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <algorithm>
#include <atomic>
#include <cstddef>
#include <exception>
#include <future>
#include <mutex>
#include <thread>
#include <vector>

namespace ebbmark {

/// Calls work(i) for i = 0 … count − 1 on `threads` threads (0: as many as the processor has). Each call must
/// write to a place of its own only, so that the order does not matter. Where calls throw, what the first of
/// them in order threw is passed on: all before it were begun, none after need be.
template <class Work>
void in_parallel(std::size_t count, int threads, const Work& work) {
    const std::size_t wanted =
        threads > 0 ? static_cast<std::size_t>(threads) : std::thread::hardware_concurrency();
    std::atomic<std::size_t> next = 0;
    std::mutex failing;
    std::size_t first_failed = count;
    std::exception_ptr failure;
    const auto run = [&] {
        for (std::size_t i = next++; i < count; i = next++)
            try {
                work(i);
            } catch (...) {
                const std::lock_guard lock(failing);
                if (i < first_failed)
                    first_failed = i, failure = std::current_exception();
                next = count;
            }
    };
    std::vector<std::future<void>> others;
    for (std::size_t t = 1; t < std::min(count, wanted); ++t)
        others.push_back(std::async(std::launch::async, run));
    run();
    for (auto& other : others)
        other.get();
    if (failure)
        std::rethrow_exception(failure);
}

} // namespace ebbmark
