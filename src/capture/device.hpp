// SPDX-License-Identifier: GPL-3.0-or-later
// What every sound device can do: play one signal and record at the same time.
#pragma once

#include "base/signal.hpp"
#include "room/geometry.hpp"

#include <memory>
#include <string>
#include <string_view>
#include <vector>

namespace ebbmark {

/// Where things stand for the next take. People see to it before a real device; a virtual room reads it.
struct Situation {
    std::string visit;
    Point source{};
    Point microphone{};
    bool is_return = false; ///< the microphone was moved away and put back
    int take = 1;           ///< counts within the visit, from 1; the air changes from take to take
};

struct Recording {
    std::vector<Signal> channels; ///< the microphone, then the electrical loopback where there is one
    std::size_t lost_samples = 0; ///< dropped by the stream, as far as the device knows
};

class SoundDevice {
  public:
    virtual ~SoundDevice() = default;

    virtual std::string name() const = 0;
    virtual double rate_hz() const = 0;
    /// Recorded channels: 1, or 2 with a loopback.
    virtual int inputs() const = 0;
    /// True where no sound is made: whatever comes from it says so everywhere.
    virtual bool simulated() const = 0;

    /// Tells where things stand. A real device has no use for it.
    virtual void set_up(const Situation&) {}

    /// Plays `output` (rate_hz(), within ±1) from its first to its last sample and records for as long.
    /// Throws Error(device) where the stream fails, Error(unusable) where the signal does not fit the device.
    virtual Recording play_and_record(const Signal& output) = 0;

  protected:
    SoundDevice() = default;
    SoundDevice(const SoundDevice&) = default;
    SoundDevice& operator=(const SoundDevice&) = default;
};

/// "virtual:ROOM.toml" is a room that lives in this program. Throws Error(device) for any other name and
/// Error(unusable) for a room that cannot be used.
std::unique_ptr<SoundDevice> open_device(std::string_view name);

} // namespace ebbmark
