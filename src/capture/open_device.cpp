// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "capture/device.hpp"
#include "capture/duplex_stream.hpp"
#include "capture/virtual_room.hpp"
#include "capture/virtual_room_file.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace ebbmark {

namespace {

constexpr std::string_view virtual_prefix = "virtual:";

/// A loudspeaker and a microphone on this computer's devices.
class StreamDevice final : public SoundDevice {
  public:
    explicit StreamDevice(DeviceChoice choice) : choice_(std::move(choice)) {
        if (system_.devices().empty())
            throw Error(ErrorKind::device, no_devices_text(system_.hosts()));
        const SoundDeviceInfo to = choose_device(system_.devices(), choice_.output, Direction::output);
        const SoundDeviceInfo from = choose_device(system_.devices(), choice_.input, Direction::input);
        if (to.host != from.host)
            throw Error(ErrorKind::device,
                        fmt::format("\"{}\" and \"{}\" belong to different driver families and "
                                    "cannot be used together; choose both from one",
                                    to.label(), from.label()));
        require(to, choice_.output_channel, to.outputs, "output");
        require(from, std::max(choice_.input_channel, choice_.loopback_channel), from.inputs, "input");
        output_name_ = to.label();
        name_ = to.label() == from.label() ? to.label() : to.label() + " / " + from.label();
    }

    std::string name() const override { return name_; }
    std::string output_name() const override { return output_name_; }
    int output_channel() const override { return choice_.output_channel; }
    double rate_hz() const override { return choice_.rate_hz; }
    int inputs() const override { return choice_.loopback_channel > 0 ? 2 : 1; }
    bool simulated() const override { return false; }
    using SoundDevice::play_and_record;
    Recording play_and_record(const Signal& output, const Watch& watch) override {
        if (output.rate_hz != choice_.rate_hz)
            throw Error(ErrorKind::unusable, fmt::format("the device runs at {} Hz, the signal at {} Hz",
                                                         choice_.rate_hz, output.rate_hz));
        return run_stream(system_, choice_, output, watch);
    }

  private:
    static void require(const SoundDeviceInfo& device, int channel, int channels, const char* what) {
        if (channel > channels)
            throw Error(ErrorKind::device, fmt::format("\"{}\" has no {} channel {}; it has {}",
                                                       device.label(), what, channel, channels));
    }

    DeviceChoice choice_;
    SoundSystem system_;
    std::string name_, output_name_;
};

} // namespace

std::unique_ptr<SoundDevice> open_device(const DeviceChoice& choice) {
    if (!choice.output.starts_with(virtual_prefix))
        return std::make_unique<StreamDevice>(choice);
    const std::string path = choice.output.substr(virtual_prefix.size());
    return std::make_unique<VirtualRoom>(read_room_description(path), choice.output, choice.rate_hz);
}

} // namespace ebbmark
