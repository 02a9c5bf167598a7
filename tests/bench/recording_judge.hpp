// SPDX-License-Identifier: GPL-3.0-or-later
// How a response is held against its truth, and what the scenarios of recordings share.
#pragma once

#include "base/bands.hpp"
#include "signal/deconvolution.hpp"
#include "simulated_recording.hpp"

#include <span>
#include <string>
#include <vector>

namespace ebbmark::bench {

constexpr double rate_hz = 48000;

/// Energy of the difference over the truth's, in decibels, between 20 Hz and 20 kHz, after the common delay
/// (known only to a sample) is taken out.
double error_db(const Deconvolved& found, std::span<const double> truth, double gain = 1);

class Spread {
  public:
    void add(double value) { values_.push_back(value); }
    /// Median, 99th per cent, worst, number.
    std::string text() const;

  private:
    std::vector<double> values_;
};

Sweep quick_sweep(int repeats, double seconds = 3);

/// A sound as the room gives it back, after up to 0.4 s of silence.
Signal recorded(const Signal& sound, std::span<const double> room, Dice& dice);

/// Standard deviation of the first sweep as recorded.
double sweep_level(const Signal& recording, const Sweep& sweep);

/// T20 of a response in one third octave, integrated backwards from `end_s` after its start: least squares
/// from −5 to −25 dB. Of its own kind on purpose: what is judged here is the response and not the evaluation
/// of decays.
double t20_s(const Signal& response, const Band& band, double end_s);

/// Greatest change of T20, by octaves from 63 Hz to 8 kHz, against a reference through the same band limits.
double t20_change_percent(const Deconvolved& found, const Deconvolved& reference, double t60_s);

/// What a recording without faults may be: noisy, distorted, drifting.
Signal faultless(const Sweep& sweep, std::span<const double> room, Dice& dice);

// The scenarios, each with its number of cases and the first of them.
void response(int cases, int first_case);
void short_sweeps(int cases, int first_case);
void drift(int cases, int first_case);
void air(int cases, int first_case);
void disturbance(int cases, int first_case);
void faults(int cases, int first_case);
void hum(int cases, int first_case);
void quiet(int cases, int first_case);
/// `folder` holds recorded words as WAV files of 48 kHz.
void heard(int cases, int first_case, const std::string& folder);

} // namespace ebbmark::bench
