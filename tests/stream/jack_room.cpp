// SPDX-License-Identifier: GPL-3.0-or-later
// A room as a client of a JACK server: what is played into "in" comes back from "out", convolved with a
// response. Programs that use PortAudio see it as a sound device of its name. It can misbehave on request:
//   jack_room NAME RESPONSE.wav [gain G] [noise RMS] [ppm P] [delay SECONDS] [lose AT_SECONDS] [seed N]
//             [garbage VALUE] [freewheel]
// Times count from the first sound that comes in. Prints "ready" once it plays, "sound" once it hears some.
// With garbage, every sample that comes back is the value, such as 1e38 or nan.
#include "files/audio_file.hpp"
#include "signal/fft.hpp"

#include <jack/jack.h>

#include <algorithm>
#include <atomic>
#include <chrono>
#include <cmath>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <memory>
#include <numbers>
#include <optional>
#include <random>
#include <string>
#include <thread>
#include <vector>

using namespace ebbmark;

namespace {

struct Behaviour {
    double gain = 1, noise = 0, ppm = 0, delay_s = 0, lose_at_s = -1;
    std::uint64_t seed = 7; ///< of the noise
    std::optional<float> garbage;
    bool freewheel = false;
};

std::atomic<bool> leaving = false;

/// Convolution block by block: the response in parts of one block, each with a spectrum of two blocks.
class Convolution {
  public:
    Convolution(const std::vector<double>& response, std::size_t block)
        : block_(block), fft_(2 * block), window_(2 * block) {
        for (std::size_t from = 0; from < response.size(); from += block) {
            const std::size_t to = std::min(response.size(), from + block);
            parts_.push_back(
                fft_.forward(std::vector<double>(response.begin() + static_cast<std::ptrdiff_t>(from),
                                                 response.begin() + static_cast<std::ptrdiff_t>(to))));
        }
        past_.assign(parts_.size(), std::vector<Complex>(fft_.bins()));
    }

    /// One block in, one block out, without delay.
    std::vector<double> next(const float* input) {
        std::copy(window_.begin() + static_cast<std::ptrdiff_t>(block_), window_.end(), window_.begin());
        std::copy(input, input + block_, window_.begin() + static_cast<std::ptrdiff_t>(block_));
        std::rotate(past_.rbegin(), past_.rbegin() + 1, past_.rend());
        past_.front() = fft_.forward(window_);
        std::vector<Complex> sum(fft_.bins());
        for (std::size_t p = 0; p < parts_.size(); ++p)
            for (std::size_t bin = 0; bin < sum.size(); ++bin)
                sum[bin] += past_[p][bin] * parts_[p][bin];
        const auto both = fft_.inverse(sum);
        return {both.begin() + static_cast<std::ptrdiff_t>(block_), both.end()};
    }

  private:
    std::size_t block_;
    RealFft fft_;
    std::vector<double> window_;
    std::vector<std::vector<Complex>> parts_, past_;
};

/// A delay line that is read at another speed than it is written: a clock that runs apart.
class OtherClock {
  public:
    OtherClock(double delay_samples, double ppm) : delay_(delay_samples + reach), step_(1 + ppm * 1e-6) {}

    double next(double sample) {
        line_[written_++ % line_.size()] = sample;
        const double place = static_cast<double>(read_++) / step_ - delay_;
        const double whole = std::floor(place), part = place - whole;
        double sum = 0;
        for (int k = 1 - reach; k <= reach; ++k) {
            const double at = whole + k;
            if (at < 0)
                continue;
            const double x = std::numbers::pi * (part - k);
            const double sinc = std::abs(x) < 1e-9 ? 1 : std::sin(x) / x;
            // Hann window: aliases 90 dB down below 0.9 of half the rate at this reach.
            sum +=
                sinc * (0.5 + 0.5 * std::cos(x / reach)) * line_[static_cast<std::size_t>(at) % line_.size()];
        }
        return sum;
    }

  private:
    static constexpr int reach = 64;
    double delay_, step_;
    std::vector<double> line_ = std::vector<double>(1 << 18);
    std::size_t written_ = 0, read_ = 0;
};

struct Room {
    jack_client_t* client = nullptr;
    jack_port_t* in = nullptr;
    jack_port_t* out = nullptr;
    std::size_t block = 0;
    double rate_hz = 0;
    Behaviour behaviour;
    std::unique_ptr<Convolution> convolution;
    std::unique_ptr<OtherClock> clock;
    std::mt19937_64 random;
    std::size_t heard = 0; ///< samples since the first sound
    std::atomic<bool> sounds = false;
};

double noise_sample(Room& room) { // uniform, of the asked root mean square
    const double part = static_cast<double>(room.random() >> 11) * 0x1p-53;
    return room.behaviour.noise * std::sqrt(12.0) * (part - 0.5);
}

int process(jack_nframes_t count, void* user) {
    Room& room = *static_cast<Room*>(user);
    const auto* in = static_cast<const float*>(jack_port_get_buffer(room.in, count));
    auto* out = static_cast<float*>(jack_port_get_buffer(room.out, count));
    std::fill(out, out + count, 0.0f);
    if (count != room.block)
        return 0;
    if (room.heard > 0 || std::any_of(in, in + count, [](float x) { return x != 0; }))
        room.heard += count, room.sounds = true;
    const auto sound = room.convolution->next(in);
    for (std::size_t i = 0; i < count; ++i) {
        const double heard = room.clock ? room.clock->next(sound[i]) : sound[i];
        out[i] = static_cast<float>(std::clamp(room.behaviour.gain * heard + noise_sample(room), -1.0, 1.0));
    }
    const auto lost = static_cast<std::size_t>(std::max(0.0, room.behaviour.lose_at_s) * room.rate_hz);
    if (room.behaviour.lose_at_s >= 0 && room.heard > lost && room.heard <= lost + count)
        std::fill(out, out + count, 0.0f);
    if (room.behaviour.garbage)
        std::fill(out, out + count, *room.behaviour.garbage);
    return 0;
}

/// Tells PortAudio one block of delay: with less it computes an absurd one.
void tell_latency(jack_latency_callback_mode_t mode, void* user) {
    Room& room = *static_cast<Room*>(user);
    jack_latency_range_t range{static_cast<jack_nframes_t>(room.block),
                               static_cast<jack_nframes_t>(room.block)};
    jack_port_set_latency_range(mode == JackCaptureLatency ? room.out : room.in, mode, &range);
}

Behaviour behaviour_of(int count, char** words) {
    Behaviour result;
    for (int i = 3; i < count; ++i) {
        const std::string word = words[i];
        if (word == "freewheel") {
            result.freewheel = true;
            continue;
        }
        const double value = i + 1 < count ? std::atof(words[++i]) : 0;
        if (word == "gain")
            result.gain = value;
        else if (word == "noise")
            result.noise = value;
        else if (word == "seed")
            result.seed = static_cast<std::uint64_t>(value);
        else if (word == "ppm")
            result.ppm = value;
        else if (word == "delay")
            result.delay_s = value;
        else if (word == "garbage")
            result.garbage = static_cast<float>(value);
        else if (word == "lose")
            result.lose_at_s = value;
        else
            std::fprintf(stderr, "unknown word %s\n", word.c_str()), std::exit(2);
    }
    return result;
}

void say(const char* word) {
    std::puts(word);
    std::fflush(stdout);
}

/// Runs the server as fast as it can while something is connected. Before a stream is open that would hang
/// it.
void steer(const Room& room) {
    int connected = 0;
    bool fast = false, said = false;
    while (!leaving) {
        std::this_thread::sleep_for(std::chrono::milliseconds(20));
        if (!said && room.sounds)
            said = true, say("sound");
        if (!room.behaviour.freewheel)
            continue;
        const bool linked = jack_port_connected(room.in) > 0 && jack_port_connected(room.out) > 0;
        connected = linked ? connected + 1 : 0;
        if (fast != (connected > 15))
            jack_set_freewheel(room.client, (fast = !fast) ? 1 : 0);
    }
}

} // namespace

int main(int count, char** words) {
    if (count < 3)
        return 2;
    Room room;
    room.behaviour = behaviour_of(count, words);
    room.random.seed(room.behaviour.seed);
    room.client = jack_client_open(words[1], JackNoStartServer, nullptr);
    if (room.client == nullptr)
        return 1;
    room.block = jack_get_buffer_size(room.client);
    room.rate_hz = jack_get_sample_rate(room.client);
    const Signal response = read_audio(words[2]).channel(1);
    if (response.rate_hz != room.rate_hz)
        return 2;
    room.convolution = std::make_unique<Convolution>(response.samples, room.block);
    if (room.behaviour.ppm != 0 || room.behaviour.delay_s > 0)
        room.clock = std::make_unique<OtherClock>(room.behaviour.delay_s * room.rate_hz, room.behaviour.ppm);
    for (const int number : {SIGTERM, SIGINT})
        std::signal(number, [](int) { leaving = true; });
    jack_set_process_callback(room.client, process, &room);
    jack_set_latency_callback(room.client, tell_latency, &room);
    jack_on_shutdown(
        room.client, [](void*) { leaving = true; }, nullptr);
    constexpr unsigned long like_hardware = JackPortIsPhysical | JackPortIsTerminal;
    room.in =
        jack_port_register(room.client, "in", JACK_DEFAULT_AUDIO_TYPE, JackPortIsInput | like_hardware, 0);
    room.out =
        jack_port_register(room.client, "out", JACK_DEFAULT_AUDIO_TYPE, JackPortIsOutput | like_hardware, 0);
    if (room.in == nullptr || room.out == nullptr || jack_activate(room.client) != 0)
        return 1;
    say("ready");
    steer(room);
    jack_client_close(room.client);
    return 0;
}
