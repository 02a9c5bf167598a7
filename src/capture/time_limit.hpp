// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <chrono>
#include <functional>
#include <future>
#include <thread>

namespace ebbmark {

/// Runs a call that may never return in a thread of its own. False where it has not returned after so many
/// seconds; it then goes on by itself, so all that it uses must be its own.
inline bool finishes_in_time(double seconds, std::function<void()> call) {
    std::packaged_task<void()> task(std::move(call));
    const std::future<void> done = task.get_future();
    std::thread(std::move(task)).detach();
    return done.wait_for(std::chrono::duration<double>(seconds)) == std::future_status::ready;
}

} // namespace ebbmark
