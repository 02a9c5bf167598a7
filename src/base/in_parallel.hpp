// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <algorithm>
#include <atomic>
#include <cstddef>
#include <future>
#include <thread>
#include <vector>

namespace ebbmark {

/// Calls work(i) for i = 0 … count − 1 on `threads` threads (0: as many as the processor has). Each call must
/// write to a place of its own only, so that the order does not matter.
template <class Work>
void in_parallel(std::size_t count, int threads, const Work& work) {
    const std::size_t wanted =
        threads > 0 ? static_cast<std::size_t>(threads) : std::thread::hardware_concurrency();
    std::atomic<std::size_t> next = 0;
    const auto run = [&] {
        for (std::size_t i = next++; i < count; i = next++)
            work(i);
    };
    std::vector<std::future<void>> others;
    for (std::size_t t = 1; t < std::min(count, wanted); ++t)
        others.push_back(std::async(std::launch::async, run));
    run();
    for (auto& other : others)
        other.get();
}

} // namespace ebbmark
