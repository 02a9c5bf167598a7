// SPDX-License-Identifier: GPL-3.0-or-later
// A level that is loud enough and no louder: quiet short sweeps, raised in steps.
#pragma once

#include "base/bands.hpp"
#include "base/measured.hpp"
#include "capture/device.hpp"
#include "signal/sweep.hpp"

#include <optional>
#include <vector>

namespace ebbmark {

/// Decay range that is aimed at: T30 needs 45 dB (ISO 3382-2), and 3 dB for a day that is less quiet.
constexpr double aimed_decay_range_db = 48;

struct LevelOptions {
    double limit_dbfs = -12; ///< nothing is played louder
    double first_dbfs = -48;
    double start_hz = 20; ///< the source's own lowest frequency
    double stop_hz = 20000;
    double from_hz = 40; ///< of the bands that must reach the decay range
    double to_hz = 200;
};

enum class LevelEnd {
    enough,     ///< the bands of interest reach their decay range
    limit,      ///< the limit was reached before
    clipping,   ///< the next step clipped the recording
    distortion, ///< the next step distorted a band of interest by more than 10 %
    stopped     ///< by the watcher or by a fault of the device
};

struct LevelStep {
    double level_dbfs = 0;
    double peak_dbfs = 0;                 ///< recorded
    std::optional<double> least_range_db; ///< of the bands of interest; absent where the sweep drowns
    std::optional<double> most_distortion_percent;
};

struct LevelBand {
    Band band;
    double noise_dbfs = 0;              ///< in the band, without the sweep
    std::optional<double> range_db;     ///< decay range with the test sweep at the level proposed
    std::optional<double> predicted_db; ///< with the sweep proposed
    bool of_interest = false;
};

struct FoundLevel {
    std::vector<LevelStep> steps;
    LevelEnd end = LevelEnd::limit;
    std::string fault; ///< of the device, where it failed
    std::vector<LevelBand> bands;
    std::optional<Sweep> sweep; ///< what is proposed; nothing where not even the sweep was found
};

/// Listens, then plays test sweeps of 3 s from `first_dbfs` upwards by 6 dB each, never above `limit_dbfs`.
/// A longer sweep or a repeat lowers the noise by 3 dB a doubling, so quiet and long is preferred to loud.
/// Throws as SoundDevice::play_and_record does.
FoundLevel find_level(SoundDevice& device, const LevelOptions& options, const Watch& watch);

/// The shortest of some sweeps that gains `gain_db` over the test sweep; the longest where none does.
Sweep sweep_for_gain(const LevelOptions& options, double rate_hz, double level_dbfs, double gain_db);

/// From the first to the last sample of what is played.
double whole_duration_s(const Sweep& sweep);

} // namespace ebbmark
