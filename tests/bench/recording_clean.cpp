// SPDX-License-Identifier: GPL-3.0-or-later
// Recordings in which nothing went wrong: how far is the response from the truth?
#include "rates.hpp"
#include "recording_judge.hpp"
#include "signal/recording.hpp"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <map>
#include <string>

namespace ebbmark::bench {

namespace {

double decibels(double db) {
    return std::pow(10, db / 20);
}

void print(const std::map<std::string, Spread>& spreads) {
    for (const auto& [name, spread] : spreads)
        fmt::print("{:40} {}\n", name, spread.text());
}

/// Noise density s²/rate over the sweep's a² L/(4 f), summed to 20 kHz, times the length.
double expected_error_db(const Deconvolved& found, const Sweep& sweep, std::span<const double> room,
                         double deviation) {
    double truth = 0;
    for (const double x : room)
        truth += x * x;
    const double kept_s = found.response.duration_s() - 0.69 * found.lead_s; // faded in
    const double amplitude = decibels(sweep.level_dbfs);
    return 10 * std::log10(2 * kept_s * deviation * deviation * 20000 /
                           (rate_hz * amplitude * amplitude * sweep.rate_constant_s() * truth));
}

/// A sound card with a first-order low-pass, common to both channels.
Deconvolved with_loopback(const Signal& clean, const Sweep& sweep, double sweep_rms, std::size_t room_size,
                          Dice& dice) {
    std::vector<double> card(2400);
    for (std::size_t i = 300; i < card.size(); ++i)
        card[i] = 0.7 * std::pow(0.3, static_cast<double>(i - 300));
    const Signal sent = played(sweep);
    Signal heard{convolved(clean.samples, card), rate_hz}, looped{convolved(sent.samples, card), rate_hz};
    looped.samples.insert(looped.samples.begin(), clean.size() - sent.size() - room_size + 1, 0.0);
    looped.samples.resize(heard.size());
    add_noise(heard.samples, sweep_rms * decibels(-70), dice);
    add_noise(looped.samples, sweep_rms * decibels(-90), dice);
    return deconvolve(heard, excitation_of(sweep), looped);
}

void add_harmonics(std::map<std::string, Spread>& spreads, const Deconvolved& found) {
    for (const BandDistortion& band : found.distortion) {
        if (3 * band.band.upper_hz >= 18000)
            continue;
        for (const int order : {2, 3})
            if (const auto percent = band.percent[static_cast<std::size_t>(order) - 2])
                spreads[fmt::format("harmonic {} off, dB", order)].add(
                    std::abs(20 * std::log10(*percent / 3)));
        if (band.total_percent)
            spreads["harmonics together off, dB"].add(
                std::abs(20 * std::log10(*band.total_percent / std::hypot(3, 3))));
    }
}

} // namespace

void response(int cases, int first_case) {
    std::map<std::string, Spread> spreads;
    for (int n = 0; n < cases; ++n) {
        Dice dice(static_cast<std::uint64_t>(first_case + n));
        const Sweep sweep = quick_sweep(1, 10);
        const Excitation excitation = excitation_of(sweep);
        const double t60_s = dice.uniform(0.2, 0.6);
        const auto room = invented_room(t60_s, rate_hz, dice);
        const Signal clean = recorded(played(sweep), room, dice);
        const auto perfect = deconvolve(clean, excitation);
        spreads["perfect, dB"].add(error_db(perfect, room));
        const double sweep_rms = sweep_level(clean, sweep);
        for (const double snr_db : {60.0, 40.0, 20.0}) {
            Signal noisy = clean;
            add_noise(noisy.samples, sweep_rms * decibels(-snr_db), dice);
            const auto found = deconvolve(noisy, excitation);
            const double error = error_db(found, room);
            spreads[fmt::format("noise {:.0f} dB, dB", snr_db)].add(error);
            spreads[fmt::format("noise {:.0f} dB, off closed form, dB", snr_db)].add(
                std::abs(error - expected_error_db(found, sweep, room, sweep_rms * decibels(-snr_db))));
        }
        Signal distorted = recorded(played(sweep, 0.03, 0.03), room, dice);
        add_noise(distorted.samples, sweep_rms * decibels(-70), dice);
        const auto found = deconvolve(distorted, excitation);
        spreads["3 % harmonics, noise 70 dB, dB"].add(error_db(found, room));
        spreads["the same, T20 change, per cent"].add(t20_change_percent(found, perfect, t60_s));
        add_harmonics(spreads, found);
        spreads["loopback, noise 70 dB, dB"].add(
            error_db(with_loopback(clean, sweep, sweep_rms, room.size(), dice), room));
    }
    print(spreads);
}

void short_sweeps(int cases, int first_case) {
    for (const double seconds : {2.0, 3.0, 4.0, 5.0, 7.0}) {
        std::map<std::string, Spread> spreads;
        const Sweep sweep = quick_sweep(1, seconds);
        for (int n = 0; n < cases; ++n) {
            Dice dice(static_cast<std::uint64_t>(first_case + n));
            const auto room = invented_room(dice.uniform(0.2, 0.6), rate_hz, dice);
            Signal clean = recorded(played(sweep), room, dice);
            spreads["perfect, dB"].add(error_db(deconvolve(clean, excitation_of(sweep)), room));
            Signal distorted = recorded(played(sweep, 0.03, 0.03), room, dice);
            add_noise(distorted.samples, sweep_level(clean, sweep) * decibels(-70), dice);
            const auto found = deconvolve(distorted, excitation_of(sweep));
            spreads["3 % harmonics, noise 70 dB, dB"].add(error_db(found, room));
            add_harmonics(spreads, found);
        }
        fmt::print("sweep of {:g} s, {:.2f} s per octave\n", seconds, sweep.harmonic_lead_s(2));
        print(spreads);
    }
}

void drift(int cases, int first_case) {
    constexpr std::array<double, 6> all_ppm{-300, -100, -20, 20, 100, 300};
    for (const int repeats : {2, 1}) {
        std::map<std::string, Spread> spreads;
        for (int n = 0; n < cases; ++n) {
            Dice dice(static_cast<std::uint64_t>(first_case + n));
            const double ppm = all_ppm[static_cast<std::size_t>(n) % all_ppm.size()];
            const Sweep sweep = quick_sweep(repeats, 10);
            const double t60_s = dice.uniform(0.2, 0.6);
            const auto room = invented_room(t60_s, rate_hz, dice);
            Signal recording = recorded(played(sweep), room, dice);
            const auto steady = deconvolve(recording, excitation_of(sweep), {}, {.shared_clock = true});
            recording.samples = with_clock(recording.samples, ppm);
            add_noise(recording.samples, sweep_level(recording, sweep) * decibels(-70), dice);
            const auto found = deconvolve(recording, excitation_of(sweep));
            spreads["error of the response, dB"].add(error_db(found, room));
            spreads["clock wrong by, ppm"].add(std::abs(found.drift_ppm.value_or(0) - ppm));
            spreads["T20 change, per cent"].add(t20_change_percent(found, steady, t60_s));
        }
        fmt::print("{} sweep(s) of 10 s, {} cases of +-20, +-100, +-300 ppm\n", repeats, cases);
        print(spreads);
    }
}

namespace {

constexpr double ppm_per_kelvin = -1706; // half a part in 293.15: delays go with the root of the temperature

/// The room when the air is warmer by some degrees, the microphone 2 m from the loudspeaker.
std::vector<double> warmer(std::span<const double> room, double kelvin) {
    std::vector<double> delayed(static_cast<std::size_t>(2 / 343.2 * rate_hz));
    delayed.insert(delayed.end(), room.begin(), room.end());
    return kelvin == 0 ? delayed : with_clock(delayed, ppm_per_kelvin * kelvin);
}

/// Sweeps of one take, of which each finds the air warmer by `kelvin` over the whole take.
Signal in_changing_air(const Sweep& sweep, std::span<const double> room, double kelvin) {
    const Signal one = one_sweep(sweep);
    Signal take{std::vector<double>(whole_signal(sweep).size() + 2 * room.size()), rate_hz};
    for (int repeat = 0; repeat < sweep.repeats; ++repeat) {
        const double part = sweep.repeats > 1 ? static_cast<double>(repeat) / (sweep.repeats - 1) - 0.5 : 0;
        const auto heard = convolved(one.samples, warmer(room, kelvin * part));
        const auto start = static_cast<std::size_t>(
            std::llround((sweep.lead_silence_s + repeat * sweep.repeat_period_s) * rate_hz));
        for (std::size_t i = 0; i < heard.size() && start + i < take.size(); ++i)
            take.samples[start + i] += heard[i];
    }
    return take;
}

bool failed(const Recovered& recovered, CheckName name) {
    for (const QualityCheck& check : recovered.checks)
        if (check.name == name)
            return !check.held();
    return false;
}

} // namespace

void air(int cases, int first_case) {
    for (const double kelvin : {0.0, 0.02, 0.05, 0.1, 0.3, 1.0}) {
        std::map<std::string, Spread> spreads;
        int disturbed = 0, varying = 0, alone = 0, rejected = 0;
        for (int n = 0; n < cases; ++n) {
            Dice dice(static_cast<std::uint64_t>(first_case + n));
            const Sweep sweep = quick_sweep(2, 5);
            const double t60_s = dice.uniform(0.2, 0.6);
            const auto room = invented_room(t60_s, rate_hz, dice);
            const auto steady = deconvolve(in_changing_air(sweep, room, 0), excitation_of(sweep));
            Signal take = in_changing_air(sweep, room, kelvin);
            add_noise(take.samples, sweep_level(take, sweep) * decibels(-60), dice);
            const auto found = recover(take, excitation_of(sweep));
            disturbed += failed(found, CheckName::disturbance);
            varying += failed(found, CheckName::variation);
            rejected += !found.accepted();
            alone += found.found.sweeps_used < 2;
            spreads["T20 change, per cent"].add(t20_change_percent(found.found, steady, t60_s));
            spreads["clock wrong by, ppm"].add(std::abs(found.found.drift_ppm.value_or(0)));
        }
        fmt::print("{:g} K within a take of two sweeps\n", kelvin);
        print(spreads);
        fmt::print("rejected {}\ndisturbance {}\nvariation {}\none sweep used {}\n",
                   tests::rate(rejected, cases), tests::rate(disturbed, cases), tests::rate(varying, cases),
                   tests::rate(alone, cases));
    }
}

} // namespace ebbmark::bench
