// SPDX-License-Identifier: GPL-3.0-or-later
// Recordings in which something went wrong: is it found, and is nothing found where all is well?
#include "rates.hpp"
#include "recording_judge.hpp"
#include "signal/faults.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace ebbmark::bench {

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
               tests::rate(found_right, cases), tests::rate(false_alarms, cases));
}

namespace {

void quantise(std::vector<double>& samples, int bits) {
    const double steps = std::ldexp(1.0, bits - 1);
    for (double& x : samples)
        x = std::clamp(std::round(x * steps), -steps, steps - 1) / steps;
}

} // namespace

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
    fmt::print("clipping: found {}\n  false alarms {}\n", tests::rate(clipped_found, clipped),
               tests::rate(clipped_false, recordings));
    fmt::print("lost samples: found {}\n  false alarms {}\n", tests::rate(lost_found, lost),
               tests::rate(lost_false, recordings));
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
        tests::rate(found_moving, moving), tests::rate(false_alarms, cases), tests::rate(wrong, printed),
        worst.text());
}

} // namespace ebbmark::bench
