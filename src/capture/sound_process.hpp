// SPDX-License-Identifier: GPL-3.0-or-later
// A process of its own for whatever calls a sound driver, and memory that both processes see. Drivers abort,
// hang and raise signals where their server dies; what was recorded by then, and how this program ends, must
// not depend on them.
#pragma once

#include <sys/types.h>

#include <cstddef>
#include <functional>
#include <string>

namespace ebbmark {

/// Zeroed memory that a process started later shares.
class SharedMemory {
  public:
    /// Throws Error(unusable) where there is not so much.
    explicit SharedMemory(std::size_t bytes);
    ~SharedMemory();
    SharedMemory(const SharedMemory&) = delete;
    SharedMemory& operator=(const SharedMemory&) = delete;

    void* data() const { return data_; }

  private:
    void* data_;
    std::size_t bytes_;
};

class SoundProcess {
  public:
    /// Runs `call` in a process that has nothing of this one's but memory, and keeps the drivers' chatter.
    /// It ignores Ctrl-C, and ends when the call returns. Throws Error(device) where there is none to be had.
    explicit SoundProcess(const std::function<void()>& call);
    /// Waits 2 s for its end at most, then ends it.
    ~SoundProcess();
    SoundProcess(const SoundProcess&) = delete;
    SoundProcess& operator=(const SoundProcess&) = delete;

    bool runs();

  private:
    pid_t pid_;
    bool ended_ = false;
};

} // namespace ebbmark
