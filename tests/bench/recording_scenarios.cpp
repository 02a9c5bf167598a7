// SPDX-License-Identifier: GPL-3.0-or-later
// How well recordings become responses, against a truth that is known:
//   recording_scenarios SCENARIO [CASES [FIRST-CASE]]
//   recording_scenarios heard CASES FIRST-CASE FOLDER    with recorded words, such as Debian's alsa-utils has
//   recording_scenarios long FILE.wav    writes ten minutes at 192 kHz with one sweep somewhere in them
// Constants were chosen on cases below 100,000; judge with cases from 500,001 on.
#include "recording_judge.hpp"
#include "signal/fft.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdint>
#include <fstream>
#include <functional>
#include <map>
#include <string>

using namespace ebbmark;
using namespace ebbmark::bench;

namespace {

double seconds_of(const std::function<void()>& work) {
    double best = 1e9;
    for (int n = 0; n < 5; ++n) {
        const auto start = std::chrono::steady_clock::now();
        work();
        best =
            std::min(best, std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count());
    }
    return best;
}

void speed(int, int) {
    Dice dice(1);
    Sweep sweep;
    sweep.seconds = 20;
    sweep.repeats = 1;
    const auto room = invented_room(0.4, rate_hz, dice);
    const Signal recording = recorded(played(sweep), room, dice);
    const Signal drifting{with_clock(recording.samples, 100), rate_hz};
    const Excitation excitation = excitation_of(sweep);
    const double bare = seconds_of([&] {
        RealFft fft(fast_fft_size(recording.size() + excitation.sweep.size()));
        const auto a = fft.forward(recording.samples), b = fft.forward(excitation.sweep.samples);
        (void)b;
        (void)fft.inverse(a);
    });
    const double plain = seconds_of([&] { (void)deconvolve(recording, excitation, {}, {true}); });
    const double corrected = seconds_of([&] { (void)deconvolve(drifting, excitation); });
    fmt::print("20 s sweep: transforms {:.3f} s, deconvolution {:.3f} s = {:.2f} times, with drift {:.3f} s "
               "= {:.2f} times\n",
               bare, plain, plain / bare, corrected, corrected / bare);
}

/// Ten minutes at 192 kHz, 16 bits, as a recorder left running writes them: noise, and one sweep after eight
/// minutes.
void write_long(const std::string& path) {
    constexpr double high_rate_hz = 192000;
    Sweep sweep;
    sweep.rate_hz = high_rate_hz;
    Dice dice(1);
    const auto heard = convolved(played(sweep).samples, invented_room(0.4, high_rate_hz, dice));
    std::vector<double> samples(static_cast<std::size_t>(600 * high_rate_hz));
    std::copy(heard.begin(), heard.end(), samples.begin() + static_cast<std::ptrdiff_t>(480 * high_rate_hz));
    add_noise(samples, 1e-4, dice);
    std::ofstream file(path, std::ios::binary);
    const auto put = [&](std::uint32_t value, int bytes) {
        for (int i = 0; i < bytes; ++i)
            file.put(static_cast<char>(value >> (8 * i)));
    };
    const auto bytes = static_cast<std::uint32_t>(2 * samples.size());
    file << "RIFF";
    put(36 + bytes, 4);
    file << "WAVEfmt ";
    put(16, 4);
    put(1, 2);
    put(1, 2);
    put(static_cast<std::uint32_t>(high_rate_hz), 4);
    put(static_cast<std::uint32_t>(2 * high_rate_hz), 4);
    put(2, 2);
    put(16, 2);
    file << "data";
    put(bytes, 4);
    for (const double x : samples)
        put(static_cast<std::uint32_t>(static_cast<std::int32_t>(std::lround(8192 * x))) & 0xFFFF, 2);
}

} // namespace

int main(int argc, char** argv) {
    const std::map<std::string, std::function<void(int, int)>> scenarios{{"response", response},
                                                                         {"short", short_sweeps},
                                                                         {"drift", drift},
                                                                         {"air", air},
                                                                         {"disturbance", disturbance},
                                                                         {"speed", speed},
                                                                         {"faults", faults},
                                                                         {"hum", hum},
                                                                         {"quiet", quiet}};
    if (argc == 3 && std::string(argv[1]) == "long") {
        write_long(argv[2]);
        return 0;
    }
    if (argc == 5 && std::string(argv[1]) == "heard") {
        heard(std::stoi(argv[2]), std::stoi(argv[3]), argv[4]);
        return 0;
    }
    const auto scenario = argc > 1 ? scenarios.find(argv[1]) : scenarios.end();
    if (scenario == scenarios.end()) {
        fmt::print(stderr,
                   "recording_scenarios response|short|drift|air|disturbance|faults|hum|speed|quiet [CASES "
                   "[FIRST-CASE]]\n");
        return 2;
    }
    scenario->second(argc > 2 ? std::stoi(argv[2]) : 10, argc > 3 ? std::stoi(argv[3]) : 1);
}
