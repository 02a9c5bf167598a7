// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/random.hpp"
#include "signal/fft.hpp"
#include "signal/sweep.hpp"
#include "signal/sweep_line.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <numbers>

using namespace ebbmark;

namespace {

constexpr double rate_hz = 48000;

/// Noise that falls by 60 dB in `t60_s`, after `onset_s`, over noise that does not.
Signal room(double t60_s, double noise, double seconds, std::uint64_t seed, double onset_s = 0.05) {
    Random random(seed);
    Signal response{std::vector<double>(static_cast<std::size_t>(seconds * rate_hz)), rate_hz};
    for (std::size_t n = 0; n < response.size(); ++n) {
        const double t_s = static_cast<double>(n) / rate_hz - onset_s;
        const double envelope = t_s < 0 ? 0 : std::exp(-6.907755 * t_s / t60_s);
        response.samples[n] = envelope * random.normal_pair().real() + noise * random.normal_pair().real();
    }
    return response;
}

Signal played_in(const Signal& room, const Signal& sound, double noise, std::uint64_t seed) {
    RealFft fft(fast_fft_size(room.size() + sound.size()));
    const auto a = fft.forward(room.samples);
    std::vector<Complex> product(a.begin(), a.end());
    const auto b = fft.forward(sound.samples);
    double energy = 0;
    for (std::size_t k = 0; k < product.size(); ++k)
        product[k] *= b[k];
    const auto whole = fft.inverse(product);
    Signal recording{{whole.begin(), whole.begin() + static_cast<std::ptrdiff_t>(sound.size())},
                     sound.rate_hz};
    for (const double x : recording.samples)
        energy += x * x;
    const double rms = std::sqrt(energy / static_cast<double>(recording.size()));
    Random random(seed);
    for (double& x : recording.samples)
        x += noise * rms * random.normal_pair().real();
    return recording;
}

Sweep sweep_of(double start_hz, double stop_hz, double seconds, int repeats) {
    Sweep sweep;
    sweep.start_hz = start_hz;
    sweep.stop_hz = stop_hz;
    sweep.seconds = seconds;
    sweep.repeats = repeats;
    sweep.repeat_period_s = seconds + sweep.tail_silence_s + 2;
    return sweep;
}

} // namespace

TEST_CASE("a sweep is told in every room and noise, alone and repeated") {
    for (const double seconds : {2.0, 8.0})
        for (const double t60_s : {0.2, 3.0})
            for (const double noise : {0.0, 0.1})
                for (const int repeats : {1, 2}) {
                    CAPTURE(seconds);
                    CAPTURE(t60_s);
                    CAPTURE(noise);
                    CAPTURE(repeats);
                    const Signal sound = whole_signal(sweep_of(20, 20000, seconds, repeats));
                    CHECK(is_sweep_recording(played_in(room(t60_s, 0, 2, 3), sound, noise, 4)));
                }
    CHECK(is_sweep_recording(whole_signal(sweep_of(20, 300, 10, 1))));
    CHECK(is_sweep_recording(whole_signal(sweep_of(100, 10000, 1, 1))));
}

TEST_CASE("no response is taken for a sweep, however noisy, long or early") {
    for (std::uint64_t seed = 1; seed <= 3; ++seed)
        for (const double noise : {0.0, 1e-3, 0.1, 10.0})
            for (const double seconds : {0.3, 1.0, 4.0}) {
                CAPTURE(seed);
                CAPTURE(noise);
                CAPTURE(seconds);
                CHECK(!is_sweep_recording(room(0.5, noise, seconds, seed, 0.05)));
                CHECK(!is_sweep_recording(room(2, noise, seconds, seed, 0.2 * seconds)));
            }
    // Pre-ringing: half of a band-limited impulse without phase comes before its peak.
    Signal ringing{std::vector<double>(48000), rate_hz};
    for (std::size_t n = 0; n < ringing.size(); ++n) {
        const double t_s = (static_cast<double>(n) - 24000.3) / rate_hz, x = 2 * std::numbers::pi * t_s;
        ringing.samples[n] = (std::sin(8000 * x) - std::sin(40 * x)) / x;
    }
    CHECK(!is_sweep_recording(ringing));
    // The closest that a loudspeaker comes: crossovers delay the low bands, which is a falling line.
    Signal click{std::vector<double>(48000), rate_hz};
    click.samples[100] = 1;
    CHECK(!is_sweep_recording(click));
    CHECK(!is_sweep_recording({std::vector<double>(48000), rate_hz})); // silence
}
