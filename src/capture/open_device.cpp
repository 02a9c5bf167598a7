// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "capture/device.hpp"
#include "capture/duplex_stream.hpp"
#include "capture/virtual_room.hpp"
#include "capture/virtual_room_file.hpp"

#include <fmt/format.h>

namespace ebbmark {

namespace {

constexpr std::string_view virtual_prefix = "virtual:";

/// A loudspeaker and a microphone on this computer's devices.
class StreamDevice final : public SoundDevice {
  public:
    explicit StreamDevice(const DeviceChoice& choice) : stream_(choice) {}

    std::string name() const override { return stream_.name(); }
    std::string output_name() const override { return stream_.output_name(); }
    int output_channel() const override { return stream_.choice().output_channel; }
    double rate_hz() const override { return stream_.choice().rate_hz; }
    int inputs() const override { return stream_.choice().loopback_channel > 0 ? 2 : 1; }
    bool simulated() const override { return false; }
    using SoundDevice::play_and_record;
    Recording play_and_record(const Signal& output, const Watch& watch) override {
        if (output.rate_hz != rate_hz())
            throw Error(ErrorKind::unusable, fmt::format("the device runs at {} Hz, the signal at {} Hz",
                                                         rate_hz(), output.rate_hz));
        return stream_.run(output, watch);
    }

  private:
    DuplexStream stream_;
};

} // namespace

std::unique_ptr<SoundDevice> open_device(const DeviceChoice& choice) {
    if (!choice.output.starts_with(virtual_prefix))
        return std::make_unique<StreamDevice>(choice);
    const std::string path = choice.output.substr(virtual_prefix.size());
    return std::make_unique<VirtualRoom>(read_room_description(path), choice.output, choice.rate_hz);
}

} // namespace ebbmark
