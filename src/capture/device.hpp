// SPDX-License-Identifier: GPL-3.0-or-later
// What every sound device can do: play one signal and record at the same time.
#pragma once

#include "base/signal.hpp"
#include "room/geometry.hpp"

#include <cstddef>
#include <functional>
#include <memory>
#include <string>
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

/// What a driver said about its stream while it ran. It may say nothing of a loss, and cry out about none.
struct StreamMessage {
    std::size_t at_sample = 0;
    std::string text; ///< such as "input overflow"
};

enum class Ending {
    complete,    ///< every sample that was planned arrived
    interrupted, ///< the watcher ended it
    failed       ///< the device did; `fault` says how
};

struct Recording {
    std::vector<Signal> channels; ///< the microphone, then the electrical loopback where there is one
    std::vector<StreamMessage> messages;
    Ending ending = Ending::complete;
    std::string fault;                  ///< a sentence with the mend
    std::size_t impossible_samples = 0; ///< of any channel: no sound (capture/impossible_samples.hpp)
};

/// How far a take has come.
struct Meter {
    double done_s = 0;
    double whole_s = 0;
    double peak_dbfs = -200; ///< of what was recorded since the last look
};

/// Is called at least ten times a second while sound is played; false ends it, faded, at once.
using Watch = std::function<bool(const Meter&)>;

class SoundDevice {
  public:
    virtual ~SoundDevice() = default;

    virtual std::string name() const = 0;
    /// What plays: another one may be louder at the same level.
    virtual std::string output_name() const = 0;
    virtual int output_channel() const = 0; ///< from 1
    virtual double rate_hz() const = 0;
    /// Recorded channels: 1, or 2 with a loopback.
    virtual int inputs() const = 0;
    /// True where no sound is made: whatever comes from it says so everywhere.
    virtual bool simulated() const = 0;

    /// Tells where things stand. A real device has no use for it.
    virtual void set_up(const Situation&) {}

    /// Plays `output` (rate_hz(), within ±1) from its first to its last sample and records for as long.
    /// What was recorded comes back also where the stream fails half way. Throws Error(device) where it does
    /// not begin, Error(unusable) where the signal does not fit the device.
    virtual Recording play_and_record(const Signal& output, const Watch& watch) = 0;
    Recording play_and_record(const Signal& output) {
        return play_and_record(output, [](const Meter&) { return true; });
    }

  protected:
    SoundDevice() = default;
    SoundDevice(const SoundDevice&) = default;
    SoundDevice& operator=(const SoundDevice&) = default;
};

/// Which devices to use, and how. Channels count from 1.
struct DeviceChoice {
    std::string output; ///< number or part of the name of the list of devices, or "virtual:ROOM.toml"
    std::string input;
    double rate_hz = 48000;
    int output_channel = 1;
    int input_channel = 1;
    int loopback_channel = 0; ///< of the input; 0: none
};

/// "virtual:ROOM.toml" is a room that lives in this program. Throws Error(device) where there is no such
/// device, the name fits several, or it cannot do what is asked; Error(unusable) for a virtual room that
/// cannot be used.
std::unique_ptr<SoundDevice> open_device(const DeviceChoice& choice);

} // namespace ebbmark
