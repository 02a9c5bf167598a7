// SPDX-License-Identifier: GPL-3.0-or-later
// The sound devices of this computer, by way of PortAudio.
#pragma once

#include <memory>
#include <string>
#include <string_view>
#include <vector>

namespace ebbmark {

struct SoundDeviceInfo {
    int number = 0;   ///< in the list
    std::string host; ///< the driver's family, such as "ALSA"
    std::string name;
    int inputs = 0;
    int outputs = 0;
    double rate_hz = 0; ///< the rate that it prefers
    bool default_input = false;
    bool default_output = false;

    std::string label() const { return host + ": " + name; }
};

enum class Direction { input, output };

/// The one device with this number, this label or name, or whose label has this text in it, in any case,
/// and that has channels in this direction. Throws Error(device) naming what there is.
const SoundDeviceInfo& choose_device(const std::vector<SoundDeviceInfo>& devices, std::string_view asked,
                                     Direction direction);

/// Keeps the sound library open as long as it lives. What drivers print is kept back
/// (system/quiet_drivers).
class SoundSystem {
  public:
    /// Throws Error(device) where the library does not start.
    SoundSystem();
    /// Takes 2 s at most, also where the library hangs because its server died.
    ~SoundSystem();
    SoundSystem(const SoundSystem&) = delete;
    SoundSystem& operator=(const SoundSystem&) = delete;

    const std::vector<SoundDeviceInfo>& devices() const { return devices_; }
    const std::vector<std::string>& hosts() const { return hosts_; }

  private:
    std::vector<SoundDeviceInfo> devices_;
    std::vector<std::string> hosts_;
};

/// What to do where there is no device at all; `hosts` are the families that were asked.
std::string no_devices_text(const std::vector<std::string>& hosts);

} // namespace ebbmark
