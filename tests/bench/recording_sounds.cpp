// SPDX-License-Identifier: GPL-3.0-or-later
// Other sounds in a recording: are they found where they move a decay time, and is nothing found where there
// is none?
#include "files/audio_file.hpp"
#include "rates.hpp"
#include "recording_judge.hpp"
#include "signal/recording.hpp"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <filesystem>
#include <map>
#include <numbers>
#include <string>

namespace ebbmark::bench {

namespace {

double decibels(double db) {
    return std::pow(10, db / 20);
}

Sweep any_sweep(double from_hz, int repeats, Dice& dice) {
    Sweep sweep;
    sweep.start_hz = from_hz;
    sweep.stop_hz = 22000;
    sweep.seconds = dice.uniform(3, 30);
    sweep.repeats = repeats;
    sweep.repeat_period_s = sweep.seconds + 3;
    sweep.lead_silence_s = dice.uniform(0.5, 2);
    sweep.tail_silence_s = dice.uniform(2, 4);
    return sweep;
}

bool is_told(const Recovered& recovered) {
    for (const QualityCheck& check : recovered.checks)
        if (check.name == CheckName::disturbance)
            return !check.held();
    return false;
}

/// Recorded words, in order of their names; none where the folder is not there.
std::vector<std::vector<double>> words_in(const std::string& folder) {
    std::vector<std::filesystem::path> paths;
    std::error_code ignored;
    for (const auto& entry : std::filesystem::directory_iterator(folder, ignored))
        if (entry.path().extension() == ".wav" && entry.path().stem() != "Noise")
            paths.push_back(entry.path());
    std::sort(paths.begin(), paths.end());
    std::vector<std::vector<double>> words;
    for (const auto& path : paths) {
        const Signal word = read_audio(path).channel(1);
        if (word.rate_hz == rate_hz)
            words.push_back(word.samples);
    }
    return words;
}

void add_ringing(std::vector<double>& sound, double hz, double t60_s, double height) {
    for (std::size_t n = 0; n < sound.size(); ++n) {
        const double t_s = static_cast<double>(n) / rate_hz;
        sound[n] += height * std::exp(-6.907755 * t_s / t60_s) * std::sin(2 * std::numbers::pi * hz * t_s);
    }
}

/// Invented: a leaf that falls shut. Panel tones at 40 to 180 Hz, and the rattle of the latch.
std::vector<double> door_slam(Dice& dice) {
    std::vector<double> sound(static_cast<std::size_t>(0.8 * rate_hz));
    for (int tone = 0; tone < 6; ++tone)
        add_ringing(sound, dice.uniform(40, 180), dice.uniform(0.15, 0.5), dice.uniform(0.3, 1));
    for (std::size_t n = 0; n < sound.size(); ++n)
        sound[n] += 0.5 * dice.normal() * std::exp(-static_cast<double>(n) / (0.02 * rate_hz));
    return sound;
}

/// Invented: a heel on a floor. The floor's tones at 25 to 80 Hz, and a click of 3 ms.
std::vector<double> step(Dice& dice) {
    std::vector<double> sound(static_cast<std::size_t>(0.5 * rate_hz));
    for (int tone = 0; tone < 3; ++tone)
        add_ringing(sound, dice.uniform(25, 80), dice.uniform(0.1, 0.3), dice.uniform(0.3, 1));
    for (std::size_t n = 0; n < sound.size(); ++n)
        sound[n] += 0.4 * dice.normal() * std::exp(-static_cast<double>(n) / (0.003 * rate_hz));
    return sound;
}

} // namespace

void quiet(int cases, int first_case) {
    std::map<std::string, std::pair<int, int>> told;
    for (int n = 0; n < cases; ++n) {
        Dice dice(static_cast<std::uint64_t>(first_case + n));
        const double from_hz = n % 2 == 0 ? 10 : 40;
        const int repeats = n / 2 % 2 + 1;
        const Sweep sweep = any_sweep(from_hz, repeats, dice);
        const double t60_s = dice.uniform(0.2, 1.2), snr_db = dice.uniform(40, 100);
        const double second = n / 4 % 2 == 0 ? 0 : 0.03; // every other pair of cases distorts
        Signal recording = recorded(played(sweep, second, second), invented_room(t60_s, rate_hz, dice), dice);
        add_noise(recording.samples, sweep_level(recording, sweep) * decibels(-snr_db), dice);
        const auto found = deconvolve(recording, excitation_of(sweep));
        const bool any = !found.disturbances.empty();
        auto& [alarms, all] = told[fmt::format("from {:g} Hz, {} sweep(s)", from_hz, repeats)];
        alarms += any;
        ++all;
        if (any) {
            const Disturbance& d = found.disturbances.front();
            fmt::print(
                "  case {}: {:.0f} s from {:g} Hz, {} sweeps, room {:.2f} s, noise {:.0f} dB: {} at {:.2f} s "
                "of the recording, {:.0f} to {:.0f} Hz, {:.0f} dB\n",
                first_case + n, sweep.seconds, from_hz, repeats, t60_s, snr_db, found.disturbances.size(),
                d.from_s, d.from_hz, d.to_hz, d.above_noise_db);
        }
    }
    int alarms = 0;
    for (const auto& [name, one] : told) {
        fmt::print("{}: false alarms {}\n", name, tests::rate(one.first, one.second));
        alarms += one.first;
    }
    fmt::print("all: false alarms {}\n", tests::rate(alarms, cases));
}

void heard(int cases, int first_case, const std::string& folder) {
    const auto words = words_in(folder);
    if (words.empty())
        fmt::print("no recorded words of {:g} Hz in {}: voices are left out\n", rate_hz, folder);
    struct Count {
        int moving = 0, found = 0, still = 0, still_found = 0;
    };
    std::map<std::string, Count> counts;
    for (int n = 0; n < cases; ++n) {
        Dice dice(static_cast<std::uint64_t>(first_case + n));
        const int kind = n % 3, repeats = n / 3 % 2 + 1;
        if (kind == 0 && words.empty())
            continue;
        const double t60_s = dice.uniform(0.2, 0.9);
        const Sweep sweep = any_sweep(n / 6 % 2 == 0 ? 10 : 40, repeats, dice);
        Signal recording = recorded(played(sweep), invented_room(t60_s, rate_hz, dice), dice);
        const double loud = sweep_level(recording, sweep);
        add_noise(recording.samples, loud * decibels(-dice.uniform(50, 80)), dice);
        const Excitation excitation = excitation_of(sweep);
        const auto clean = deconvolve(recording, excitation);
        const auto dry = kind == 0   ? words[dice.below(words.size())]
                         : kind == 1 ? door_slam(dice)
                                     : step(dice);
        const auto sound = convolved(dry, invented_room(t60_s, rate_hz, dice));
        double most = 0; // level: the sound's loudest 50 ms against the sweep's mean
        for (std::size_t at = 0; at + 2400 < sound.size(); at += 1200)
            most = std::max(most, level({sound, rate_hz}, static_cast<double>(at) / rate_hz,
                                        static_cast<double>(at + 2400) / rate_hz));
        const double height = loud * decibels(-dice.uniform(0, 40)) / most;
        const auto start = static_cast<std::size_t>(
            (clean.delay_s +
             static_cast<double>(dice.below(static_cast<std::size_t>(repeats))) * sweep.repeat_period_s +
             dice.uniform(0, sweep.seconds + 0.5)) *
            rate_hz);
        for (std::size_t i = 0; i < sound.size() && start + i < recording.size(); ++i)
            recording.samples[start + i] += height * sound[i];
        const auto recovered = recover(recording, excitation);
        const double moved = t20_change_percent(recovered.found, clean, t60_s);
        const bool told = is_told(recovered);
        Count& count = counts[fmt::format(
            "{}, {} sweep(s)", std::array{"voice", "door (invented)", "step (invented)"}[kind], repeats)];
        (moved >= 5 ? count.moving : count.still) += 1;
        (moved >= 5 ? count.found : count.still_found) += told;
        if (moved >= 5 && !told)
            fmt::print(
                "  missed case {}: kind {}, {:.1f} s from {:g} Hz, {} sweeps, room {:.2f} s, at {:.2f} s: "
                "{:.0f} %\n",
                first_case + n, kind, sweep.seconds, sweep.start_hz, repeats, t60_s,
                static_cast<double>(start) / rate_hz - clean.delay_s, moved);
    }
    int moving = 0, found = 0;
    for (const auto& [name, count] : counts) {
        fmt::print("{}: of those that move a T20 by 5 % found {}; of the others told {} of {}\n", name,
                   tests::rate(count.found, count.moving), count.still_found, count.still);
        moving += count.moving, found += count.found;
    }
    fmt::print("all: found {}\n", tests::rate(found, moving));
}

} // namespace ebbmark::bench
