// SPDX-License-Identifier: GPL-3.0-or-later
#include "capture/duplex_stream.hpp"

#include "base/error.hpp"
#include "capture/impossible_samples.hpp"
#include "capture/sound_system.hpp"
#include "system/process.hpp"

#include <fmt/format.h>
#include <portaudio.h>

#include <algorithm>
#include <array>
#include <atomic>
#include <chrono>
#include <cmath>
#include <cstddef>
#include <functional>
#include <new>
#include <span>
#include <thread>

namespace ebbmark {

namespace {

constexpr auto look = std::chrono::milliseconds(50);
// Looks without a new sample until a stream counts as standing still: 3 s. Looks are counted and not seconds,
// so that a program that was itself stopped does not blame the stream.
constexpr int most_idle_looks = 60;
constexpr double fade_s = 0.02; // where playing ends early

constexpr int most_opening_looks = 600; // 30 s
constexpr unsigned most_closing_s = 5;

// A sound server that has much to do refuses or drops a new client for a moment. Nothing was played by then,
// so it is asked again, as a new client.
constexpr int most_openings = 3;
constexpr auto between_openings = std::chrono::milliseconds(700);

struct Event {
    std::size_t at_sample;
    PaStreamCallbackFlags flags;
};

enum class Stage {
    opening,
    ready,   ///< the devices fit, or the stream runs
    ended,   ///< the driver ended the stream, or all of it was played
    refused, ///< `text` and `kind` say why
};

constexpr std::size_t most_loopbacks = 1;

/// All that the sound process and this one tell each other, and all that the callback touches. It lies in
/// shared memory, so that each sample that arrived is here whatever becomes of the other process.
struct Exchange {
    std::atomic<Stage> stage = Stage::opening;
    ErrorKind kind = ErrorKind::device;
    std::array<char, 2000> text{}; ///< ends with a zero; so does `more`
    std::array<char, 500> more{};

    std::span<float> output;
    std::array<std::span<float>, 1 + most_loopbacks> recorded; ///< by channel, in full length
    std::array<int, 1 + most_loopbacks> input_channels{};      ///< of the device's, from 0
    std::size_t channels = 1;
    int output_channel = 0, outputs = 1, inputs = 1;
    std::size_t fade_samples = 1;

    std::atomic<std::size_t> done = 0;
    std::atomic<float> peak = 0;
    std::atomic<bool> stop = false;
    std::size_t faded = 0;
    std::array<Event, 256> events{};
    std::atomic<std::size_t> event_count = 0;
};
// Two processes look at them: no lock of one of them may stand in between.
static_assert(std::atomic<Stage>::is_always_lock_free && std::atomic<std::size_t>::is_always_lock_free &&
              std::atomic<float>::is_always_lock_free && std::atomic<bool>::is_always_lock_free);

template <std::size_t size>
void put(std::array<char, size>& to, const std::string& text) {
    to[text.copy(to.data(), size - 1)] = '\0';
}

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
    for (std::size_t c = 0; c < exchange.channels; ++c) {
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

void require(const SoundDeviceInfo& device, int channel, int channels, const char* what) {
    if (channel > channels)
        throw Error(ErrorKind::device, fmt::format("\"{}\" has no {} channel {}; it has {}", device.label(),
                                                   what, channel, channels));
}

struct Devices {
    SoundDeviceInfo to, from;
};

Devices devices_for(const SoundSystem& system, const DeviceChoice& choice) {
    if (system.devices().empty())
        throw Error(ErrorKind::device, no_devices_text(system.hosts()));
    const SoundDeviceInfo to = choose_device(system.devices(), choice.output, Direction::output);
    const SoundDeviceInfo from = choose_device(system.devices(), choice.input, Direction::input);
    if (to.host != from.host)
        throw Error(ErrorKind::device,
                    fmt::format("\"{}\" and \"{}\" belong to different driver families and "
                                "cannot be used together; choose both from one",
                                to.label(), from.label()));
    require(to, choice.output_channel, to.outputs, "output");
    require(from, std::max(choice.input_channel, choice.loopback_channel), from.inputs, "input");
    return {to, from};
}

/// The exchange for one recording, in memory that is large enough for it.
Exchange& exchange_in(const SharedMemory& memory, const DeviceChoice& choice, const Signal& output) {
    Exchange& exchange = *new (memory.data()) Exchange;
    exchange.input_channels[0] = choice.input_channel - 1;
    if (choice.loopback_channel > 0)
        exchange.input_channels[exchange.channels++] = choice.loopback_channel - 1;
    auto* samples = reinterpret_cast<float*>(static_cast<std::byte*>(memory.data()) + sizeof(Exchange));
    exchange.output = {samples, output.size()};
    std::copy(output.samples.begin(), output.samples.end(), samples);
    for (std::size_t c = 0; c < exchange.channels; ++c)
        exchange.recorded[c] = {samples + (c + 1) * output.size(), output.size()};
    exchange.output_channel = choice.output_channel - 1;
    exchange.fade_samples = static_cast<std::size_t>(fade_s * output.rate_hz) + 1;
    return exchange;
}

std::size_t bytes_for(const DeviceChoice& choice, std::size_t samples) {
    return sizeof(Exchange) + (choice.loopback_channel > 0 ? 3 : 2) * samples * sizeof(float);
}

/// What may go well a moment later.
class NotNow : public Error {
  public:
    using Error::Error;
};

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
        throw NotNow(ErrorKind::device,
                     fmt::format("\"{}\" and \"{}\" cannot be opened together: {}. Does another "
                                 "program use them?",
                                 to.label(), from.label(), Pa_GetErrorText(code)));
    return stream;
}

struct StartedStream {
    std::unique_ptr<SoundSystem> system; ///< lives as long as the stream
    PaStream* stream = nullptr;
};

StartedStream start(Exchange& exchange, const DeviceChoice& choice) {
    StartedStream started{std::make_unique<SoundSystem>(), nullptr};
    const auto [to, from] = devices_for(*started.system, choice);
    // Two channels where there are two: some drivers change the level when they make two of one.
    exchange.outputs = std::max(choice.output_channel, std::min(2, to.outputs));
    exchange.inputs = std::max({choice.input_channel, choice.loopback_channel, std::min(2, from.inputs)});
    started.stream = open_stream(choice, exchange, to, from);
    if (const PaError code = Pa_StartStream(started.stream); code != paNoError)
        throw NotNow(ErrorKind::device,
                     fmt::format("\"{}\" does not start: {}", to.label(), Pa_GetErrorText(code)));
    return started;
}

/// Throws the last attempt's Error.
StartedStream start_patiently(Exchange& exchange, const DeviceChoice& choice, long other) {
    for (int opening = 1;; ++opening) {
        try {
            return start(exchange, choice);
        } catch (const NotNow&) {
            if (opening == most_openings || exchange.done > 0 || starter_ended(other))
                throw;
        }
        std::this_thread::sleep_for(between_openings);
    }
}

/// In the sound process: an error becomes a text for the other one.
void refuse_in(Exchange& exchange, const Error& error) {
    exchange.kind = error.kind();
    put(exchange.text, error.what());
    exchange.stage.store(Stage::refused, std::memory_order_release);
}

/// In the sound process: plays, and tells of it in the exchange. Closing comes last: by then all that counts
/// is in the memory of both, and a server that died may do what it likes.
void serve(Exchange& exchange, const DeviceChoice& choice, long other) {
    try {
        for (const std::span<float> channel : exchange.recorded)
            std::fill(channel.begin(), channel.end(), 0.0f); // no page is fetched within the callback
        const StartedStream started = start_patiently(exchange, choice, other);
        PaStream* stream = started.stream;
        exchange.stage.store(Stage::ready, std::memory_order_release);
        while (Pa_IsStreamActive(stream) == 1 && exchange.done < exchange.output.size()) {
            std::this_thread::sleep_for(std::chrono::milliseconds(10));
            if (starter_ended(other))
                exchange.stop = true; // nobody listens any more
        }
        exchange.stage.store(Stage::ended, std::memory_order_release);
        end_after(most_closing_s); // where the driver hangs
        Pa_StopStream(stream);
        Pa_CloseStream(stream);
    } catch (const Error& error) {
        refuse_in(exchange, error);
    }
}

/// Waits until the sound process is ready, refuses, or is no more; false where the watcher ends it.
bool await_ready(Exchange& exchange, SoundProcess& process, const std::function<bool()>& goes_on) {
    for (int looks = 0;; ++looks) {
        const bool runs = process.runs(); // before the stage: what it said last counts
        const Stage stage = exchange.stage.load(std::memory_order_acquire);
        if (stage == Stage::refused)
            throw Error(exchange.kind, exchange.text.data());
        if (stage != Stage::opening)
            return true;
        if (!runs || looks >= most_opening_looks)
            throw Error(
                ErrorKind::device,
                fmt::format("the sound system {} while the device was opened: was it unplugged, or did "
                            "its sound server end? Check it and start again",
                            runs ? "gave no answer for 30 s" : "broke down"));
        if (!goes_on())
            return false;
        std::this_thread::sleep_for(look);
    }
}

/// Watches until the stream ends one way or another.
void follow(Exchange& exchange, SoundProcess& process, double rate_hz, const Watch& watch,
            Recording& recording) {
    const std::size_t planned = exchange.output.size();
    std::size_t last = 0;
    int idle = 0;
    while (true) {
        std::this_thread::sleep_for(look);
        const bool active = process.runs() && exchange.stage.load(std::memory_order_acquire) == Stage::ready;
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

/// What arrived.
void collect(const Exchange& exchange, double rate_hz, Recording& recording) {
    const std::size_t done = exchange.done.load(std::memory_order_acquire);
    for (std::size_t c = 0; c < exchange.channels; ++c) {
        const auto samples = exchange.recorded[c].first(done);
        recording.channels.push_back({{samples.begin(), samples.end()}, rate_hz});
    }
    const std::size_t count = exchange.event_count.load(std::memory_order_acquire);
    for (std::size_t i = 0; i < count; ++i)
        recording.messages.push_back({exchange.events[i].at_sample, words_of(exchange.events[i].flags)});
}

} // namespace

DuplexStream::DuplexStream(DeviceChoice choice) : choice_(std::move(choice)) {
    const SharedMemory memory(bytes_for(choice_, 0));
    Exchange& exchange = exchange_in(memory, choice_, {});
    SoundProcess process([&] {
        try {
            SoundSystem system;
            const auto [to, from] = devices_for(system, choice_);
            put(exchange.text, to.label() == from.label() ? to.label() : to.label() + " / " + from.label());
            put(exchange.more, to.label());
            exchange.stage.store(Stage::ready, std::memory_order_release);
        } catch (const Error& error) {
            refuse_in(exchange, error);
        }
    });
    await_ready(exchange, process, [] { return true; });
    name_ = exchange.text.data();
    output_name_ = exchange.more.data();
}

Recording DuplexStream::run(const Signal& output, const Watch& watch) {
    process_.reset(); // one stream is closed before the next one opens
    const SharedMemory memory(bytes_for(choice_, output.size()));
    Exchange& exchange = exchange_in(memory, choice_, output);
    const long here = this_process();
    process_ = std::make_unique<SoundProcess>([&] { serve(exchange, choice_, here); });
    Recording recording;
    const double whole_s = output.duration_s();
    if (await_ready(exchange, *process_, [&] { return watch({0, whole_s, Meter{}.peak_dbfs}); }))
        follow(exchange, *process_, output.rate_hz, watch, recording);
    else {
        recording.ending = Ending::interrupted;
        exchange.stop = true;
    }
    collect(exchange, output.rate_hz, recording);
    refuse_impossible_samples(recording);
    return recording;
}

} // namespace ebbmark
