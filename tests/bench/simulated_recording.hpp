// SPDX-License-Identifier: GPL-3.0-or-later
// Recordings whose truth is known: a sweep through an invented room, with one thing or another gone wrong.
// Shares no code with what is judged, but for the plain sweep and the transform.
#pragma once

#include "base/signal.hpp"
#include "signal/sweep.hpp"

#include <array>
#include <cstdint>
#include <random>
#include <span>
#include <vector>

namespace ebbmark::bench {

/// Uniform and normal numbers that are the same on every machine.
class Dice {
  public:
    explicit Dice(std::uint64_t seed) : generator_(seed) {}
    double uniform(double low, double high);
    double normal();
    std::size_t below(std::size_t count) { return generator_() % count; }

  private:
    std::mt19937_64 generator_;
};

/// A direct sound of height 1 at sample 0, six early reflections, and noise that decays by 60 dB in t60_s.
std::vector<double> invented_room(double t60_s, double rate_hz, Dice& dice);

std::vector<double> convolved(std::span<const double> a, std::span<const double> b);

/// What is played, with harmonics 2 and 3 of these parts of the fundamental: each a sweep of its own, faded
/// out before half the rate, as a converter does with a real loudspeaker's.
Signal played(const Sweep& sweep, double second = 0, double third = 0);

/// The same sound recorded by a clock that runs fast by `ppm`. Windowed sinc of 96 samples, error below −110
/// dB up to 0.84 of the Nyquist frequency.
std::vector<double> with_clock(std::span<const double> samples, double ppm);

/// Standard deviation of the sound in [from_s, to_s).
double level(const Signal& signal, double from_s, double to_s);

void add_noise(std::vector<double>& samples, double deviation, Dice& dice);

/// A sound of `seconds` around `hz`, a quarter octave wide, with the standard deviation `deviation` and soft
/// ends.
std::vector<double> noise_burst(double hz, double seconds, double deviation, double rate_hz, Dice& dice);

} // namespace ebbmark::bench
