// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "capture/device.hpp"
#include "signal/sweep.hpp"

#include <cmath>

namespace ebbmark {

/// Hears what it plays, a little later and quieter, over a quiet noise; as long as `heard` says.
class Echo : public SoundDevice {
  public:
    std::string name() const override { return "echo"; }
    std::string output_name() const override { return "echo"; }
    int output_channel() const override { return 1; }
    double rate_hz() const override { return 48000; }
    int inputs() const override { return 1; }
    bool simulated() const override { return is_simulated; }
    void set_up(const Situation& situation) override { last = situation; }
    Recording play_and_record(const Signal& output, const Watch&) override {
        Recording recording;
        Signal microphone{std::vector<double>(output.size(), 0.0), 48000};
        for (std::size_t i = 0; i < microphone.size(); ++i)
            microphone.samples[i] = 1e-6 * std::sin(0.7 * static_cast<double>(i * i % 9973)) +
                                    (i >= late ? gain * output.samples[i - late] : 0);
        microphone.samples.resize(static_cast<std::size_t>(heard * static_cast<double>(output.size())));
        recording.channels = {microphone};
        recording.ending = ending;
        recording.fault = ending == Ending::failed ? "the cable was pulled" : "";
        recording.messages = messages;
        return recording;
    }

    double gain = 0.3, heard = 1;
    std::size_t late = 480;
    Ending ending = Ending::complete;
    bool is_simulated = false;
    std::vector<StreamMessage> messages;
    Situation last;
};

inline const Sweep brief_sweep{20, 20000, 2, 48000, -12, 0, 0.1, 0.005, 0.5, 1, 2, 1};

} // namespace ebbmark
