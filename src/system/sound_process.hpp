// SPDX-License-Identifier: GPL-3.0-or-later
// A process of its own for whatever calls a sound driver, and memory that both processes see. Drivers abort,
// hang and raise signals where their server dies; what was recorded by then, and how this program ends, must
// not depend on them. Another system, where a process cannot go on from a copy of this one or its sound
// library must not be used there (macOS): the process starts the program anew with a command of its own, is
// told the devices, and opens the memory by its name; capture/duplex_stream then passes no function over.
#pragma once

#include <cstddef>
#include <functional>

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
    long process_;
    bool ended_ = false;
};

/// In the sound process: whether the process of this number, which started it, has ended.
bool starter_ended(long starter);

/// In the sound process: ends it after so long, whatever a driver does then.
void end_after(unsigned seconds);

} // namespace ebbmark
