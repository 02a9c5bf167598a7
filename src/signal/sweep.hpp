// SPDX-License-Identifier: GPL-3.0-or-later
// Exponential sine sweep: A. Farina, AES 108th Convention (2000), with raised-cosine fades.
#pragma once

#include "base/signal.hpp"

namespace ebbmark {

/// The test signal. x(t) = a sin(2π f1 L (exp(t/L) − 1) + phase), L = seconds / ln(f2/f1).
struct Sweep {
    double start_hz = 16;
    double stop_hz = 20000;
    double seconds = 10;
    double rate_hz = 48000;
    double level_dbfs = -12; ///< peak
    double phase_rad = 0;
    double fade_in_s = 0.1;
    double fade_out_s = 0.005;
    double lead_silence_s = 0.5;
    int repeats = 2;
    double repeat_period_s = 14; ///< start to start
    double tail_silence_s = 2;

    /// Seconds per e-fold of frequency.
    double rate_constant_s() const;
    /// When, after its start, the sweep passes a frequency; also how much earlier than the linear response
    /// the response of harmonic order n lies: L ln n.
    double time_of_s(double frequency_hz) const;
    double harmonic_lead_s(double order) const;

    friend bool operator==(const Sweep&, const Sweep&) = default;
};

/// Throws Error(unusable) naming the field where 0 < start < stop ≤ rate/2, lengths ≥ 0, fades inside the
/// sweep, repeats 1 … 64, period ≥ seconds, level ≤ 0, rate 8 to 192 kHz is not so, or all of it is over an
/// hour.
void check(const Sweep& sweep);

/// One sweep alone, without silence.
Signal one_sweep(const Sweep& sweep);

/// The whole signal to be played: lead silence, all repeats, tail silence.
Signal whole_signal(const Sweep& sweep);

} // namespace ebbmark
