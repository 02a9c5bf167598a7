// SPDX-License-Identifier: GPL-3.0-or-later
// Streams that play and record at the same time.
#pragma once

#include "capture/device.hpp"
#include "system/sound_process.hpp"

#include <memory>
#include <string>

namespace ebbmark {

/// The drivers are called from another process (system/sound_process): they may abort or hang, and this one
/// keeps what arrived.
class DuplexStream {
  public:
    /// Throws Error(device) where there are no such devices, or they do not fit together.
    explicit DuplexStream(DeviceChoice choice);

    const DeviceChoice& choice() const { return choice_; }
    const std::string& name() const { return name_; } ///< of both devices, for people
    const std::string& output_name() const { return output_name_; }

    /// Plays `output` on one channel and records for as long: the microphone's channel, then the loopback's.
    /// One callback copies samples between buffers that were made before; it takes no lock and no memory.
    /// Complete means that all samples arrived, whatever the driver says. A stream that stands still for 3 s,
    /// or that its driver ends, is a failed one. Comes back before the stream is closed. Throws Error(device)
    /// where it cannot be opened.
    Recording run(const Signal& output, const Watch& watch);

  private:
    DeviceChoice choice_;
    std::string name_, output_name_;
    std::unique_ptr<SoundProcess> process_; ///< of the last stream, which it may still be closing
};

} // namespace ebbmark
