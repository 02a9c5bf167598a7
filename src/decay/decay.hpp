// SPDX-License-Identifier: GPL-3.0-or-later
// Decay times and clarity per band from an impulse response: ISO 3382-1:2009 and ISO 3382-2:2008.
#pragma once

#include "base/bands.hpp"
#include "base/measured.hpp"
#include "base/signal.hpp"
#include "decay/notes.hpp"

#include <optional>
#include <string>
#include <vector>

namespace ebbmark {

/// Form of an energy decay curve.
enum class DecayShape { single, double_slope, unclear };

/// "single", "double" or "unclear".
std::string name(DecayShape shape);

/// One point of an energy decay curve: time after the onset, level below the curve's start.
struct DecayPoint {
    double time_s = 0;
    double level_db = 0;
};

/// Everything that is said about one band of one response.
struct BandDecay {
    Band band;
    Measured edt_s; ///< 0 to −10 dB, ISO 3382-1 A.2.2
    Measured t20_s; ///< −5 to −25 dB
    Measured t30_s; ///< −5 to −35 dB
    /// Upper bound where the decay is shorter than the band filter can show.
    std::optional<double> at_most_s;
    Measured nonlinearity_permille; ///< xi of the longest range given, ISO 3382-2 B.2
    Measured curvature_percent;     ///< C = 100 (T30/T20 − 1), ISO 3382-2 B.3
    DecayShape shape = DecayShape::unclear;
    std::optional<double> early_slope_s; ///< both decay times of a double slope
    std::optional<double> late_slope_s;
    Measured c50_db;
    Measured c80_db;
    Measured d50_percent;
    Measured ts_ms;
    Measured decay_range_db;              ///< from the decay's start to the noise
    std::optional<double> bandwidth_time; ///< B · T of the longest range given
    double filter_decay_s = 0;            ///< T20 of the band filter alone, as it pollutes the decay
    std::optional<double> truncation_s;   ///< where the decay meets the noise, after the onset
    std::vector<DecayPoint> curve;        ///< energy decay curve down to the truncation, for drawing
    std::vector<DecayNote> notes;
};

/// All bands of one response. `onset_s` counts from the first sample.
struct ResponseDecay {
    double onset_s = 0;
    std::vector<BandDecay> bands;
};

struct DecayOptions {
    BandWidth width = BandWidth::third;
    double from_hz = 20;
    double to_hz = 10000; ///< bands above 0.4 × rate are left out in any case
    /// What the excitation reached; bands that it does not reach wholly are empty (`source`).
    double source_from_hz = 0;
    double source_to_hz = 1e9;
};

/// Analyses an impulse response of at least 2 samples at 8 to 192 kHz, all samples finite.
/// Silence, or a response with nothing but noise, gives Error(rejected); what single bands cannot
/// support is empty there.
ResponseDecay analyse_decay(const Signal& response, const DecayOptions& options);

} // namespace ebbmark
