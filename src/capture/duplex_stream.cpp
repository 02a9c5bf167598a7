// SPDX-License-Identifier: GPL-3.0-or-later
#include "capture/duplex_stream.hpp"

#include "base/error.hpp"
#include "capture/time_limit.hpp"

#include <fmt/format.h>
#include <portaudio.h>

#include <algorithm>
#include <array>
#include <atomic>
#include <cmath>
#include <memory>

namespace ebbmark {

namespace {

constexpr auto look = std::chrono::milliseconds(50);
// Looks without a new sample until a stream counts as standing still: 3 s. Looks are counted and not seconds,
// so that a program that was itself stopped does not blame the stream.
constexpr int most_idle_looks = 60;
constexpr double fade_s = 0.02; // where playing ends early

struct Event {
    std::size_t at_sample;
    PaStreamCallbackFlags flags;
};

/// All that the callback touches; it may outlive the call that made it where the driver hangs.
struct Exchange {
    std::vector<float> output;
    std::vector<std::vector<float>> recorded; ///< by channel, made in full length
    std::vector<int> input_channels;          ///< of the device's, from 0
    int output_channel = 0, outputs = 1, inputs = 1;
    std::size_t fade_samples = 1;

    std::atomic<std::size_t> done = 0;
    std::atomic<float> peak = 0;
    std::atomic<bool> stop = false;
    std::size_t faded = 0;
    std::array<Event, 256> events{};
    std::atomic<std::size_t> event_count = 0;
};

void note_flags(Exchange& exchange, PaStreamCallbackFlags flags, std::size_t at) {
    const std::size_t count = exchange.event_count.load(std::memory_order_relaxed);
    if ((flags & ~static_cast<PaStreamCallbackFlags>(paPrimingOutput)) != 0 &&
        count < exchange.events.size()) {
        exchange.events[count] = {at, flags};
        exchange.event_count.store(count + 1, std::memory_order_release);
    }
}

void record(Exchange& exchange, const float* input, std::size_t at, std::size_t count) {
    float peak = exchange.peak.load(std::memory_order_relaxed);
    const auto step = static_cast<std::size_t>(exchange.inputs);
    for (std::size_t c = 0; c < exchange.recorded.size(); ++c) {
        const float* from = input + exchange.input_channels[c];
        for (std::size_t i = 0; i < count; ++i) {
            const float value = from[i * step];
            exchange.recorded[c][at + i] = value;
            if (c == 0)
                peak = std::max(peak, std::abs(value));
        }
    }
    exchange.peak.store(peak, std::memory_order_relaxed);
}

void play(Exchange& exchange, float* output, std::size_t at, std::size_t count, bool stopping) {
    const auto step = static_cast<std::size_t>(exchange.outputs);
    for (std::size_t i = 0; i < count; ++i) {
        float gain = 1;
        if (stopping)
            gain = std::max(0.0f, 1 - static_cast<float>(exchange.faded++) /
                                          static_cast<float>(exchange.fade_samples));
        output[i * step + static_cast<std::size_t>(exchange.output_channel)] = gain * exchange.output[at + i];
    }
}

extern "C" int on_block(const void* input, void* output, unsigned long frames,
                        const PaStreamCallbackTimeInfo*, PaStreamCallbackFlags flags, void* user) {
    Exchange& exchange = *static_cast<Exchange*>(user);
    const std::size_t at = exchange.done.load(std::memory_order_relaxed);
    const std::size_t count = std::min<std::size_t>(frames, exchange.output.size() - at);
    const bool stopping = exchange.stop.load(std::memory_order_relaxed);
    note_flags(exchange, flags, at);
    auto* played = static_cast<float*>(output);
    std::fill(played, played + frames * static_cast<std::size_t>(exchange.outputs), 0.0f);
    play(exchange, played, at, count, stopping);
    if (input != nullptr)
        record(exchange, static_cast<const float*>(input), at, count);
    exchange.done.store(at + count, std::memory_order_release);
    const bool faded = stopping && exchange.faded >= exchange.fade_samples;
    return at + count == exchange.output.size() || faded ? paComplete : paContinue;
}

std::string words_of(PaStreamCallbackFlags flags) {
    std::string text;
    for (const auto& [flag, word] :
         {std::pair{paInputUnderflow, "input underflow"}, std::pair{paInputOverflow, "input overflow"},
          std::pair{paOutputUnderflow, "output underflow"}, std::pair{paOutputOverflow, "output overflow"}})
        if ((flags & flag) != 0)
            text += (text.empty() ? "" : ", ") + std::string(word);
    return text;
}

std::shared_ptr<Exchange> exchange_for(const DeviceChoice& choice, const Signal& output,
                                       const SoundDeviceInfo& to, const SoundDeviceInfo& from) {
    auto exchange = std::make_shared<Exchange>();
    exchange->output.assign(output.samples.begin(), output.samples.end());
    exchange->input_channels = {choice.input_channel - 1};
    if (choice.loopback_channel > 0)
        exchange->input_channels.push_back(choice.loopback_channel - 1);
    exchange->recorded.assign(exchange->input_channels.size(), std::vector<float>(output.size()));
    exchange->output_channel = choice.output_channel - 1;
    // Two channels where there are two: some drivers change the level when they make two of one.
    exchange->outputs = std::max(choice.output_channel, std::min(2, to.outputs));
    exchange->inputs = std::max({choice.input_channel, choice.loopback_channel, std::min(2, from.inputs)});
    exchange->fade_samples = static_cast<std::size_t>(fade_s * output.rate_hz) + 1;
    return exchange;
}

PaStream* open_stream(const DeviceChoice& choice, Exchange& exchange, const SoundDeviceInfo& to,
                      const SoundDeviceInfo& from) {
    PaStreamParameters in{from.number, exchange.inputs, paFloat32,
                          Pa_GetDeviceInfo(from.number)->defaultHighInputLatency, nullptr};
    PaStreamParameters out{to.number, exchange.outputs, paFloat32,
                           Pa_GetDeviceInfo(to.number)->defaultHighOutputLatency, nullptr};
    PaStream* stream = nullptr;
    const PaError code = Pa_OpenStream(&stream, &in, &out, choice.rate_hz, paFramesPerBufferUnspecified,
                                       paClipOff | paDitherOff, on_block, &exchange);
    if (code == paInvalidSampleRate)
        throw Error(
            ErrorKind::device,
            fmt::format("\"{}\" and \"{}\" do not run at {} Hz together; what they prefer: --rate {} or "
                        "--rate {}",
                        to.label(), from.label(), choice.rate_hz, to.rate_hz, from.rate_hz));
    if (code != paNoError)
        throw Error(ErrorKind::device,
                    fmt::format("\"{}\" and \"{}\" cannot be opened together: {}. Does another "
                                "program use them?",
                                to.label(), from.label(), Pa_GetErrorText(code)));
    return stream;
}

/// Watches until the stream ends one way or another.
void follow(PaStream* stream, Exchange& exchange, double rate_hz, const Watch& watch, Recording& recording) {
    const std::size_t planned = exchange.output.size();
    std::size_t last = 0;
    int idle = 0;
    while (true) {
        std::this_thread::sleep_for(look);
        const bool active = Pa_IsStreamActive(stream) == 1;
        const std::size_t done = exchange.done.load(std::memory_order_acquire);
        const float peak = exchange.peak.exchange(0, std::memory_order_relaxed);
        idle = done == last ? idle + 1 : 0;
        last = done;
        if (done == planned)
            return;
        if (recording.ending != Ending::interrupted &&
            !watch({static_cast<double>(done) / rate_hz, static_cast<double>(planned) / rate_hz,
                    20 * std::log10(std::max(static_cast<double>(peak), 1e-10))})) {
            recording.ending = Ending::interrupted;
            exchange.stop = true;
        }
        if (recording.ending == Ending::interrupted && (!active || idle > 10))
            return;
        if (!active || idle >= most_idle_looks) {
            recording.ending = Ending::failed;
            recording.fault =
                fmt::format("the sound device {} after {:.1f} of {:.1f} s: was it unplugged, or did its "
                            "sound server end? "
                            "Check it and repeat the take",
                            active ? "stood still" : "stopped", static_cast<double>(done) / rate_hz,
                            static_cast<double>(planned) / rate_hz);
            return;
        }
    }
}

} // namespace

Recording run_stream(SoundSystem& system, const DeviceChoice& choice, const Signal& output,
                     const Watch& watch) {
    const SoundDeviceInfo& to = choose_device(system.devices(), choice.output, Direction::output);
    const SoundDeviceInfo& from = choose_device(system.devices(), choice.input, Direction::input);
    const auto exchange = exchange_for(choice, output, to, from);
    PaStream* stream = open_stream(choice, *exchange, to, from);
    Recording recording;
    if (const PaError code = Pa_StartStream(stream); code != paNoError) {
        Pa_CloseStream(stream);
        throw Error(ErrorKind::device,
                    fmt::format("\"{}\" does not start: {}", to.label(), Pa_GetErrorText(code)));
    }
    follow(stream, *exchange, output.rate_hz, watch, recording);
    const bool failed = recording.ending == Ending::failed;
    if (!finishes_in_time(2, [stream, failed, kept = exchange] {
            failed ? Pa_AbortStream(stream) : Pa_StopStream(stream);
            Pa_CloseStream(stream);
        }))
        system.give_up();
    const std::size_t done = exchange->done.load(std::memory_order_acquire);
    for (const std::vector<float>& channel : exchange->recorded)
        recording.channels.push_back(
            {{channel.begin(), channel.begin() + static_cast<std::ptrdiff_t>(done)}, output.rate_hz});
    const std::size_t count = exchange->event_count.load(std::memory_order_acquire);
    for (std::size_t i = 0; i < count; ++i)
        recording.messages.push_back({exchange->events[i].at_sample, words_of(exchange->events[i].flags)});
    return recording;
}

} // namespace ebbmark
