// SPDX-License-Identifier: GPL-3.0-or-later
#include "capture/sound_system.hpp"

#include "base/error.hpp"
#include "capture/time_limit.hpp"
#include "system/quiet_drivers.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <portaudio.h>

#include <algorithm>
#include <cctype>
#include <charconv>

namespace ebbmark {

namespace {

std::string in_lower_case(std::string_view text) {
    std::string result(text);
    for (char& letter : result)
        letter = static_cast<char>(std::tolower(static_cast<unsigned char>(letter)));
    return result;
}

int channels(const SoundDeviceInfo& device, Direction direction) {
    return direction == Direction::input ? device.inputs : device.outputs;
}

std::string listing(const std::vector<const SoundDeviceInfo*>& devices) {
    std::vector<std::string> lines;
    for (const SoundDeviceInfo* device : devices)
        lines.push_back(fmt::format("{} \"{}\"", device->number, device->label()));
    return fmt::format("{}", fmt::join(lines, ", "));
}

} // namespace

const SoundDeviceInfo& choose_device(const std::vector<SoundDeviceInfo>& devices, std::string_view asked,
                                     Direction direction) {
    const char* what = direction == Direction::input ? "recording" : "playing";
    std::vector<const SoundDeviceInfo*> able, part;
    for (const SoundDeviceInfo& device : devices)
        if (channels(device, direction) > 0)
            able.push_back(&device);
    if (able.empty())
        throw Error(ErrorKind::device,
                    fmt::format("no sound device for {} was found; see ebbmark devices", what));
    int number = 0;
    const auto read = std::from_chars(asked.data(), asked.data() + asked.size(), number);
    const bool is_number = read.ec == std::errc() && read.ptr == asked.data() + asked.size();
    for (const SoundDeviceInfo* device : able) {
        if ((is_number && device->number == number) || device->label() == asked)
            return *device;
        if (!is_number && in_lower_case(device->label()).find(in_lower_case(asked)) != std::string::npos)
            part.push_back(device);
    }
    const auto exact = [&](const SoundDeviceInfo* device) { return device->name == asked; };
    if (std::count_if(part.begin(), part.end(), exact) == 1)
        return **std::find_if(part.begin(), part.end(), exact);
    if (part.size() == 1)
        return *part.front();
    if (part.empty())
        throw Error(ErrorKind::device, fmt::format("there is no sound device \"{}\" for {}; there are {}",
                                                   asked, what, listing(able)));
    throw Error(ErrorKind::device, fmt::format("\"{}\" fits several devices for {}: {}; give the number",
                                               asked, what, listing(part)));
}

SoundSystem::SoundSystem() {
    keep_drivers_quiet();
    if (const PaError code = Pa_Initialize(); code != paNoError)
        throw Error(ErrorKind::device,
                    fmt::format("the sound system does not start: {}", Pa_GetErrorText(code)));
    for (PaHostApiIndex index = 0; index < Pa_GetHostApiCount(); ++index) {
        const PaHostApiInfo& host = *Pa_GetHostApiInfo(index);
        hosts_.emplace_back(host.name);
        for (int i = 0; i < host.deviceCount; ++i) {
            const int number = Pa_HostApiDeviceIndexToDeviceIndex(index, i);
            const PaDeviceInfo& info = *Pa_GetDeviceInfo(number);
            devices_.push_back({number, host.name, info.name, info.maxInputChannels, info.maxOutputChannels,
                                info.defaultSampleRate, number == host.defaultInputDevice,
                                number == host.defaultOutputDevice});
        }
    }
}

SoundSystem::~SoundSystem() {
    finishes_in_time(2, [] { Pa_Terminate(); });
}

std::string no_devices_text(const std::vector<std::string>& hosts) {
    return fmt::format(
        "no sound device was found; asked were {}. Is a sound card plugged in and switched on (on Linux: cat "
        "/proc/asound/cards)? With PulseAudio or PipeWire the ALSA plugins must be installed "
        "(libasound2-plugins "
        "or pipewire-alsa). A JACK server must run before this program, as the same user. What the drivers "
        "said: "
        "ebbmark devices --verbose. Recordings made elsewhere need no device: ebbmark import.",
        hosts.empty() ? "none" : fmt::format("{}", fmt::join(hosts, ", ")));
}

} // namespace ebbmark
