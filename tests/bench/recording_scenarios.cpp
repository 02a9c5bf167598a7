// SPDX-License-Identifier: GPL-3.0-or-later
// How well recordings become responses, against a truth that is known:
//   recording_scenarios response|drift|disturbance|faults|hum|speed [CASES [FIRST-CASE]]
#include "signal/deconvolution.hpp"
#include "signal/fft.hpp"
#include "simulated_recording.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <functional>
#include <map>
#include <numbers>
#include <string>

using namespace ebbmark;
using namespace ebbmark::bench;

namespace {

constexpr double rate_hz = 48000;

struct Comparison {
    double error_db = 0; ///< energy of the difference over the truth's, both within 20 Hz and 20 kHz
    double moved_samples = 0;
};

/// Compares after the common delay (known only to a sample) is taken out, between 20 Hz and 20 kHz.
Comparison compare(const Deconvolved& found, std::span<const double> truth, double gain = 1) {
    RealFft fft(fast_fft_size(found.response.size() + truth.size() + 4800));
    auto a = fft.forward(found.response.samples);
    const auto b = fft.forward(truth);
    const auto size = static_cast<double>(fft.size());
    const auto inside = [&](std::size_t k) {
        const double hz = static_cast<double>(k) * rate_hz / size;
        return hz >= 20 && hz <= 20000;
    };
    double moved = std::round(found.lead_s * rate_hz);
    for (int pass = 0; pass < 6; ++pass) {
        double top = 0, bottom = 0;
        for (std::size_t k = 1; k < a.size(); ++k) {
            const double turn = 2 * std::numbers::pi * static_cast<double>(k) / size;
            if (!inside(k) || (pass < 3 && static_cast<double>(k) * rate_hz / size > 4000))
                continue;
            const Complex cross = a[k] * std::conj(b[k]) * std::polar(1.0, turn * moved);
            top -= turn * cross.imag();
            bottom += turn * turn * std::abs(cross);
        }
        moved += top / bottom;
    }
    double error = 0, whole = 0;
    for (std::size_t k = 0; k < a.size(); ++k) {
        if (!inside(k))
            continue;
        const double turn = 2 * std::numbers::pi * static_cast<double>(k) / size;
        error += std::norm(a[k] * std::polar(1.0, turn * moved) - gain * b[k]);
        whole += std::norm(gain * b[k]);
    }
    return {10 * std::log10(error / whole), moved - found.lead_s * rate_hz};
}

struct Spread {
    std::vector<double> values;
    void add(double value) { values.push_back(value); }
    std::string text() {
        std::sort(values.begin(), values.end());
        return fmt::format("median {:8.3f}  worst {:8.3f}  ({} cases)", values[values.size() / 2],
                           values.back(), values.size());
    }
};

Sweep quick_sweep(int repeats, double seconds = 3) {
    Sweep sweep;
    sweep.seconds = seconds;
    sweep.repeats = repeats;
    sweep.repeat_period_s = seconds + 2.5;
    return sweep;
}

Signal recorded(const Signal& sound, std::span<const double> room, Dice& dice) {
    Signal recording{convolved(sound.samples, room), rate_hz};
    recording.samples.insert(recording.samples.begin(), dice.below(20000), 0.0);
    return recording;
}

/// Standard deviation of the first sweep as recorded.
double sweep_level(const Signal& recording, const Sweep& sweep) {
    return level(recording, sweep.lead_silence_s + 0.5, sweep.lead_silence_s + sweep.seconds);
}

void response(int cases, int first_case) {
    for (const double seconds : {1.9, 3.0, 10.0}) {
        std::map<std::string, Spread> errors, harmonics;
        const int count = seconds > 5 ? std::max(1, cases / 10) : cases;
        for (int n = 0; n < count; ++n) {
            Dice dice(static_cast<std::uint64_t>(first_case + n));
            const Sweep sweep = quick_sweep(1, seconds);
            const auto room = invented_room(dice.uniform(0.2, 0.6), rate_hz, dice);
            const Signal clean = recorded(played(sweep), room, dice);
            const Excitation excitation = excitation_of(sweep);
            const auto judge = [&](const std::string& name, const Signal& recording, double gain = 1) {
                const auto found = deconvolve(recording, excitation);
                errors[name].add(compare(found, room, gain).error_db);
                return found;
            };
            judge("perfect", clean);
            const double sweep_rms = sweep_level(clean, sweep);
            for (const double snr_db : {60.0, 40.0, 20.0}) {
                Signal noisy = clean;
                const double deviation = sweep_rms * std::pow(10, -snr_db / 20);
                add_noise(noisy.samples, deviation, dice);
                const auto found = deconvolve(noisy, excitation);
                const double error = compare(found, room).error_db;
                errors[fmt::format("noise {:.0f} dB", snr_db)].add(error);
                // Closed form: noise density s^2/rate over the sweep's a^2 L/(4 f), summed to 20 kHz, times
                // the length.
                const double constant_s = seconds / std::log(sweep.stop_hz / sweep.start_hz);
                const double amplitude = std::pow(10, sweep.level_dbfs / 20);
                double truth = 0;
                for (const double x : room)
                    truth += x * x;
                const double kept_s = found.response.duration_s() - 0.69 * found.lead_s; // faded in
                const double expected = 2 * kept_s * deviation * deviation * 20000 /
                                        (rate_hz * amplitude * amplitude * constant_s * truth);
                errors[fmt::format("noise {:.0f} dB, off closed form", snr_db)].add(
                    std::abs(error - 10 * std::log10(expected)));
            }
            Signal distorted = recorded(played(sweep, 0.03, 0.03), room, dice);
            add_noise(distorted.samples, sweep_rms * std::pow(10, -70.0 / 20), dice);
            const auto found = judge("3 % harmonics, noise 70 dB", distorted);
            for (const BandDistortion& band : found.distortion)
                for (const int order : {2, 3})
                    if (const auto percent = band.percent[static_cast<std::size_t>(order) - 2];
                        percent && order * band.band.upper_hz < 18000 && band.band.lower_hz > 20)
                        harmonics[fmt::format("harmonic {}, dB", order)].add(
                            std::abs(20 * std::log10(*percent / 3)));
            // A sound card with a first-order low-pass, common to both channels.
            std::vector<double> card(2400);
            for (std::size_t i = 300; i < card.size(); ++i)
                card[i] = 0.7 * std::pow(0.3, static_cast<double>(i - 300));
            Signal heard{convolved(clean.samples, card), rate_hz},
                looped{convolved(played(sweep).samples, card), rate_hz};
            looped.samples.insert(looped.samples.begin(),
                                  clean.size() - played(sweep).size() - room.size() + 1, 0.0);
            looped.samples.resize(heard.size());
            add_noise(heard.samples, sweep_rms * std::pow(10, -70.0 / 20), dice);
            add_noise(looped.samples, sweep_rms * std::pow(10, -90.0 / 20), dice);
            errors["loopback, noise 70 dB"].add(
                compare(deconvolve(heard, excitation, looped), room).error_db);
        }
        for (auto& [name, spread] : errors)
            fmt::print("sweep {:5.2f} s  {:36} {}\n", seconds, name, spread.text());
        for (auto& [name, spread] : harmonics)
            fmt::print("sweep {:5.2f} s  {:36} {}\n", seconds, name, spread.text());
    }
}

void drift(int cases, int first_case) {
    for (const int repeats : {2, 1})
        for (const double ppm : {-300.0, -100.0, -20.0, 20.0, 100.0, 300.0}) {
            Spread error, wrong;
            for (int n = 0; n < cases; ++n) {
                Dice dice(static_cast<std::uint64_t>(first_case + n));
                Sweep sweep;
                sweep.repeats = repeats;
                const auto room = invented_room(dice.uniform(0.2, 0.6), rate_hz, dice);
                Signal recording = recorded(played(sweep), room, dice);
                recording.samples = with_clock(recording.samples, ppm);
                add_noise(recording.samples, sweep_level(recording, sweep) * std::pow(10, -70.0 / 20), dice);
                const auto found = deconvolve(recording, excitation_of(sweep));
                error.add(compare(found, room).error_db);
                wrong.add(std::abs(found.drift_ppm.value_or(0) - ppm));
            }
            fmt::print("{} sweeps {:+5.0f} ppm  error dB {}   wrong by ppm {}\n", repeats, ppm, error.text(),
                       wrong.text());
        }
}

void disturbance(int cases, int first_case) {
    int found_right = 0, false_alarms = 0;
    for (int n = 0; n < cases; ++n) {
        Dice dice(static_cast<std::uint64_t>(first_case + n));
        const Sweep sweep = quick_sweep(4, 2);
        const auto room = invented_room(dice.uniform(0.2, 0.6), rate_hz, dice);
        Signal recording = recorded(played(sweep), room, dice);
        const double deviation = sweep_level(recording, sweep) * std::pow(10, -dice.uniform(40, 70) / 20);
        add_noise(recording.samples, deviation, dice);
        const Excitation excitation = excitation_of(sweep);
        false_alarms += deconvolve(recording, excitation).disturbances.empty() ? 0 : 1;
        // White noise of this deviation has a share of it in the burst's quarter octave.
        const double hz = 60 * std::pow(150, dice.uniform(0, 1));
        const double in_band = deviation * std::sqrt(0.175 * hz / (rate_hz / 2));
        const auto burst = noise_burst(hz, dice.uniform(0.1, 0.6),
                                       in_band * std::pow(10, dice.uniform(20, 40) / 20), rate_hz, dice);
        const auto sweep_index = dice.below(4);
        const double at_s = found_right >= 0 ? static_cast<double>(recording.size()) / rate_hz : 0;
        const double lead_s =
            at_s - played(sweep).duration_s() - static_cast<double>(room.size() - 1) / rate_hz;
        const double start_s = lead_s + sweep.lead_silence_s +
                               static_cast<double>(sweep_index) * sweep.repeat_period_s +
                               dice.uniform(0, 2.4);
        const auto start = static_cast<std::size_t>(start_s * rate_hz);
        for (std::size_t i = 0; i < burst.size() && start + i < recording.size(); ++i)
            recording.samples[start + i] += burst[i];
        const auto found = deconvolve(recording, excitation);
        const bool left_out =
            found.sweeps_used == 3 && !found.disturbances.empty() &&
            std::all_of(found.disturbances.begin(), found.disturbances.end(),
                        [&](const Disturbance& d) { return d.sweep == static_cast<int>(sweep_index); });
        found_right += left_out ? 1 : 0;
        if (!left_out)
            fmt::print("  missed case {}: {:.0f} Hz, sweep {}, at {:.2f} s of it, used {}\n", first_case + n,
                       hz, sweep_index,
                       start_s - lead_s - sweep.lead_silence_s -
                           static_cast<double>(sweep_index) * sweep.repeat_period_s,
                       found.sweeps_used);
    }
    fmt::print("disturbance in one of four: left out {:.2f} %, false alarms {:.2f} % of {} cases\n",
               100.0 * found_right / cases, 100.0 * false_alarms / cases, cases);
}

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

} // namespace

int main(int argc, char** argv) {
    const std::map<std::string, std::function<void(int, int)>> scenarios{
        {"response", response}, {"drift", drift}, {"disturbance", disturbance}, {"speed", speed}};
    const auto scenario = argc > 1 ? scenarios.find(argv[1]) : scenarios.end();
    if (scenario == scenarios.end()) {
        fmt::print(stderr, "recording_scenarios response|drift|disturbance|speed [CASES [FIRST-CASE]]\n");
        return 2;
    }
    scenario->second(argc > 2 ? std::stoi(argv[2]) : 10, argc > 3 ? std::stoi(argv[3]) : 1);
}
