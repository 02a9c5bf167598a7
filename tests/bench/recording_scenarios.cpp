// SPDX-License-Identifier: GPL-3.0-or-later
// How well recordings become responses, against a truth that is known:
//   recording_scenarios response|drift|disturbance|faults|hum|speed [CASES [FIRST-CASE]]
//   recording_scenarios long FILE.wav    writes ten minutes at 192 kHz with one sweep somewhere in them
// Constants were chosen on cases below 100,000; judge with cases from 500,001 on.
#include "base/bands.hpp"
#include "signal/deconvolution.hpp"
#include "signal/faults.hpp"
#include "signal/fft.hpp"
#include "simulated_recording.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdint>
#include <fstream>
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

/// A rate in per cent with its 95 % interval: E. B. Wilson, J. Am. Stat. Assoc. 22 (1927) 209.
std::string rate_text(int hits, int of) {
    if (of == 0)
        return "none of 0";
    const double z = 1.959964, n = of, p = hits / n, wide = z * z / n;
    const double middle = (p + wide / 2) / (1 + wide);
    const double half = z / (1 + wide) * std::sqrt(p * (1 - p) / n + wide / (4 * n));
    return fmt::format("{:.2f} % of {} (95 %: {:.2f} to {:.2f})", 100 * p, of,
                       100 * std::max(0.0, middle - half), 100 * std::min(1.0, middle + half));
}

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

/// T20 of a response in one third octave, integrated backwards from `end_s` after its start: least squares
/// from −5 to −25 dB. Of its own kind on purpose: what is judged here is the response and not the evaluation
/// of decays.
double t20_s(const Signal& response, const Band& band, double end_s) {
    std::vector<double> samples = response.samples;
    samples.resize(std::min(samples.size(), static_cast<std::size_t>(end_s * rate_hz)));
    RealFft fft(fast_fft_size(2 * samples.size()));
    auto spectrum = fft.forward(samples);
    for (std::size_t k = 0; k < spectrum.size(); ++k) {
        const double hz = static_cast<double>(k) * rate_hz / static_cast<double>(fft.size());
        const double octaves = hz > 0 ? std::log2(hz / band.exact_hz) : 99;
        spectrum[k] /= std::sqrt(1 + std::pow(6 * octaves, 6));
    }
    const auto filtered = fft.inverse(spectrum);
    std::vector<double> left(samples.size() + 1);
    for (std::size_t n = samples.size(); n-- > 0;)
        left[n] = left[n + 1] + filtered[n] * filtered[n];
    double count = 0, t = 0, tt = 0, y = 0, ty = 0;
    for (std::size_t n = 0; n < samples.size(); ++n) {
        const double level_db = 10 * std::log10(left[n] / left[0]), time_s = static_cast<double>(n) / rate_hz;
        if (level_db > -5 || level_db < -25)
            continue;
        ++count;
        t += time_s;
        tt += time_s * time_s;
        y += level_db;
        ty += time_s * level_db;
    }
    return -60 / ((count * ty - t * y) / (count * tt - t * t));
}

/// Greatest change of T20 from 63 Hz to 8 kHz against the truth's, as a response through the same band
/// limits.
double t20_change_percent(const Deconvolved& found, const Deconvolved& reference, double t60_s) {
    double worst = 0;
    for (const Band& band : bands_between(BandWidth::third, 63, 8000)) {
        const double truth = t20_s(reference.response, band, reference.lead_s + t60_s);
        worst =
            std::max(worst, 100 * std::abs(t20_s(found.response, band, found.lead_s + t60_s) / truth - 1));
    }
    return worst;
}

void response(int cases, int first_case) {
    for (const double seconds : {3.0, 10.0}) {
        std::map<std::string, Spread> errors, harmonics;
        for (int n = 0; n < cases; ++n) {
            Dice dice(static_cast<std::uint64_t>(first_case + n));
            const Sweep sweep = quick_sweep(1, seconds);
            const double t60_s = dice.uniform(0.2, 0.6);
            const auto room = invented_room(t60_s, rate_hz, dice);
            const Signal clean = recorded(played(sweep), room, dice);
            const Excitation excitation = excitation_of(sweep);
            const auto judge = [&](const std::string& name, const Signal& recording, double gain = 1) {
                const auto found = deconvolve(recording, excitation);
                errors[name].add(compare(found, room, gain).error_db);
                return found;
            };
            const auto perfect = judge("perfect", clean);
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
            errors["3 % harmonics, T20 change, per cent"].add(t20_change_percent(found, perfect, t60_s));
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
            Spread error, wrong, change;
            for (int n = 0; n < cases; ++n) {
                Dice dice(static_cast<std::uint64_t>(first_case + n));
                Sweep sweep;
                sweep.repeats = repeats;
                const double t60_s = dice.uniform(0.2, 0.6);
                const auto room = invented_room(t60_s, rate_hz, dice);
                Signal recording = recorded(played(sweep), room, dice);
                const auto steady = deconvolve(recording, excitation_of(sweep), {}, {true});
                recording.samples = with_clock(recording.samples, ppm);
                add_noise(recording.samples, sweep_level(recording, sweep) * std::pow(10, -70.0 / 20), dice);
                const auto found = deconvolve(recording, excitation_of(sweep));
                error.add(compare(found, room).error_db);
                wrong.add(std::abs(found.drift_ppm.value_or(0) - ppm));
                change.add(t20_change_percent(found, steady, t60_s));
            }
            fmt::print("{} sweeps {:+5.0f} ppm  error dB {}   wrong by ppm {}   T20 change % {}\n", repeats,
                       ppm, error.text(), wrong.text(), change.text());
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
    fmt::print("disturbance in one of four: found and left out {}\n  false alarms {}\n",
               rate_text(found_right, cases), rate_text(false_alarms, cases));
}

/// What a recording without faults may be: noisy, distorted, drifting.
Signal faultless(const Sweep& sweep, std::span<const double> room, Dice& dice) {
    const double part = dice.uniform(0, 0.03);
    Signal recording = recorded(played(sweep, part, part / 2), room, dice);
    if (dice.below(2) == 0)
        recording.samples = with_clock(recording.samples, dice.uniform(-300, 300));
    add_noise(recording.samples, sweep_level(recording, sweep) * std::pow(10, -dice.uniform(35, 75) / 20),
              dice);
    return recording;
}

void quantise(std::vector<double>& samples, int bits) {
    const double steps = std::ldexp(1.0, bits - 1);
    for (double& x : samples)
        x = std::clamp(std::round(x * steps), -steps, steps - 1) / steps;
}

void faults(int cases, int first_case) {
    int clipped = 0, clipped_found = 0, clipped_false = 0, lost = 0, lost_found = 0, lost_false = 0,
        recordings = 0;
    for (int n = 0; n < cases; ++n) {
        Dice dice(static_cast<std::uint64_t>(first_case + n));
        const Sweep sweep = quick_sweep(1 + static_cast<int>(dice.below(2)), dice.uniform(2, 5));
        const auto room = invented_room(dice.uniform(0.2, 0.6), rate_hz, dice);
        Signal recording = faultless(sweep, room, dice);
        double peak = 0;
        for (const double x : recording.samples)
            peak = std::max(peak, std::abs(x));
        const double gain = dice.uniform(0.05, 0.9) / peak;
        for (double& x : recording.samples)
            x *= gain;
        const int bits = dice.below(2) == 0 ? 16 : 24;
        Signal clean = recording;
        quantise(clean.samples, bits);
        ++recordings;
        clipped_false += clipped_samples(clean.samples, rate_hz) > 0 ? 1 : 0;
        const auto false_breaks = breaks(clean.samples, rate_hz);
        if (!false_breaks.empty()) {
            ++lost_false;
            fmt::print("  false break in case {} at {:.3f} s\n", first_case + n,
                       static_cast<double>(false_breaks[0]) / rate_hz);
        }

        Signal hot = recording;
        const double push = std::pow(10, dice.uniform(0, 6) / 20) * 1.0002 / (gain * peak);
        for (double& x : hot.samples)
            x *= push;
        std::size_t run = 0, longest = 0;
        for (const double x : hot.samples) {
            run = std::abs(x) > 1 + 2 * std::ldexp(1.0, 1 - bits) ? run + 1 : 0;
            longest = std::max(longest, run);
        }
        quantise(hot.samples, bits);
        if (longest >= 3) {
            ++clipped;
            const bool found = clipped_samples(hot.samples, rate_hz) > 0;
            clipped_found += found ? 1 : 0;
            if (!found)
                fmt::print("  clipping missed in case {}: longest run {} samples\n", first_case + n, longest);
        }

        // Samples lost somewhere in the sweep: cut out, set to zero, held, or the last ones repeated.
        const auto length = static_cast<std::size_t>(8 * std::pow(300, dice.uniform(0, 1)));
        const double lead_s = static_cast<double>(recording.size()) / rate_hz - played(sweep).duration_s() -
                              static_cast<double>(room.size()) / rate_hz;
        const auto start = static_cast<std::size_t>(
            (std::max(0.0, lead_s) + sweep.lead_silence_s + dice.uniform(0.05, 0.95) * sweep.seconds) *
            rate_hz);
        const int kind = static_cast<int>(dice.below(4));
        std::vector<double> broken = recording.samples;
        const auto from = broken.begin() + static_cast<std::ptrdiff_t>(start),
                   to = from + static_cast<std::ptrdiff_t>(length);
        if (kind == 0)
            broken.erase(from, to);
        else if (kind == 1)
            std::fill(from, to, 0.0);
        else if (kind == 2)
            std::fill(from, to, broken[start - 1]);
        else
            std::copy(from - static_cast<std::ptrdiff_t>(length), from, from);
        // What is missing where the sound should have gone on, in the first 2 ms.
        double missing = 0;
        const std::size_t judged = std::min<std::size_t>(length, 96);
        for (std::size_t i = 0; i < judged; ++i)
            missing += std::pow(recording.samples[start + i] - broken[start + i], 2);
        quantise(broken, bits);
        const double noise = std::hypot(level(recording, 0, 0.3), 0.3 * std::ldexp(1.0, 1 - bits));
        if (missing > 10 * noise * noise * static_cast<double>(judged)) {
            ++lost;
            const auto found = breaks(broken, rate_hz);
            const bool right = std::any_of(found.begin(), found.end(), [&](std::size_t at) {
                return at + 2000 > start && at < start + length + 2000;
            });
            lost_found += right ? 1 : 0;
            if (!right)
                fmt::print("  loss missed in case {}: kind {}, {} samples at {:.2f} of the sweep, missing "
                           "{:.1f} dB over noise\n",
                           first_case + n, kind, length,
                           (static_cast<double>(start) / rate_hz - lead_s - 0.5) / sweep.seconds,
                           10 * std::log10(missing / (noise * noise * static_cast<double>(judged))));
        }
    }
    fmt::print("clipping: found {}\n  false alarms {}\n", rate_text(clipped_found, clipped),
               rate_text(clipped_false, recordings));
    fmt::print("lost samples: found {}\n  false alarms {}\n", rate_text(lost_found, lost),
               rate_text(lost_false, recordings));
}

void hum(int cases, int first_case) {
    int moving = 0, found_moving = 0, false_alarms = 0, printed = 0, wrong = 0;
    Spread worst;
    for (int n = 0; n < cases; ++n) {
        Dice dice(static_cast<std::uint64_t>(first_case + n));
        const Sweep sweep = quick_sweep(1 + static_cast<int>(dice.below(2)), dice.uniform(4, 10));
        const double t60_s = dice.uniform(0.2, 0.8);
        const auto room = invented_room(t60_s, rate_hz, dice);
        const Signal clean = faultless(sweep, room, dice);
        const Excitation excitation = excitation_of(sweep);
        const auto plain = deconvolve(clean, excitation);
        false_alarms += plain.hum.lines.empty() ? 0 : 1;
        Signal humming = clean;
        const double mains_hz = (dice.below(2) == 0 ? 50 : 60) + dice.uniform(-0.1, 0.1);
        const double loud = sweep_level(clean, sweep) * std::pow(10, -dice.uniform(10, 60) / 20);
        for (int order = 1; order <= 7; order += static_cast<int>(1 + dice.below(2))) {
            const double amplitude = loud * dice.uniform(0.2, 1) / order, phase = dice.uniform(0, 6.28),
                         slow = dice.uniform(0, 0.1);
            for (std::size_t i = 0; i < humming.size(); ++i) {
                const double t_s = static_cast<double>(i) / rate_hz;
                humming.samples[i] +=
                    amplitude * (1 + slow * std::sin(0.5 * t_s)) *
                    std::sin(2 * std::numbers::pi * order * (mains_hz * t_s + 0.01 * std::sin(0.3 * t_s)) +
                             phase);
            }
        }
        const auto kept = deconvolve(humming, excitation, {}, {false, false});
        const auto removed = deconvolve(humming, excitation);
        bool moves = false;
        for (const Band& band : bands_between(BandWidth::third, 40, 1000)) {
            const auto of = [&](const Deconvolved& found) {
                return t20_s(found.response, band, found.lead_s + t60_s);
            };
            const double truth = of(plain);
            moves = moves || std::abs(of(kept) / truth - 1) > 0.01;
            const bool flagged =
                std::any_of(removed.hum.lines.begin(), removed.hum.lines.end(), [&](const HumLine& line) {
                    return line.decay_range_db < least_hum_range_db && line.hz > 0.87 * band.lower_hz &&
                           line.hz < 1.15 * band.upper_hz;
                });
            if (flagged)
                continue;
            ++printed;
            const double error = std::abs(of(removed) / truth - 1);
            worst.add(100 * error);
            wrong += error > 0.01 ? 1 : 0;
            if (error > 0.01) {
                fmt::print("  case {}: {} Hz, T20 {:.3f} s, {:.1f} % off, lines", first_case + n,
                           band.nominal_hz, truth, 100 * error);
                for (const HumLine& line : removed.hum.lines)
                    fmt::print(" {:.1f} Hz {:.1f} dB", line.hz, line.decay_range_db);
                fmt::print("\n");
            }
        }
        moving += moves ? 1 : 0;
        found_moving += moves && !removed.hum.lines.empty() ? 1 : 0;
        if (moves && removed.hum.lines.empty())
            fmt::print("  hum missed in case {}\n", first_case + n);
    }
    fmt::print(
        "hum that moves a T20 by 1 %: found {}\n  false alarms {}\n  printed T20 off by more than 1 %: "
        "{}; per cent {}\n",
        rate_text(found_moving, moving), rate_text(false_alarms, cases), rate_text(wrong, printed),
        worst.text());
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
    const std::map<std::string, std::function<void(int, int)>> scenarios{
        {"response", response}, {"drift", drift},   {"disturbance", disturbance},
        {"speed", speed},       {"faults", faults}, {"hum", hum}};
    if (argc == 3 && std::string(argv[1]) == "long") {
        write_long(argv[2]);
        return 0;
    }
    const auto scenario = argc > 1 ? scenarios.find(argv[1]) : scenarios.end();
    if (scenario == scenarios.end()) {
        fmt::print(stderr,
                   "recording_scenarios response|drift|disturbance|faults|hum|speed [CASES [FIRST-CASE]]\n");
        return 2;
    }
    scenario->second(argc > 2 ? std::stoi(argv[2]) : 10, argc > 3 ? std::stoi(argv[3]) : 1);
}
