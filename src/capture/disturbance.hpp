// SPDX-License-Identifier: GPL-3.0-or-later
// What a recorder adds: noise, hum, slams, and its converter.
#pragma once

#include "base/random.hpp"
#include "capture/room_description.hpp"
#include "signal/fft.hpp"

#include <span>

namespace ebbmark {

/// Adds steady noise to a spectrum as RealFft::forward gives it; levels relative to `full_scale_db`, the
/// level of a full-scale sine. Portable: same random numbers, same noise.
void add_noise(std::span<Complex> spectrum, double rate_hz, const VirtualNoise& noise, double full_scale_db,
               Random& random);

/// Adds hum: the fundamental and its harmonics to the tenth, each 6 dB below the one before.
void add_hum(std::span<double> samples, double rate_hz, const VirtualNoise& noise, double full_scale_db,
             Random& random);

/// Adds a slam: a burst around 50 Hz that dies away with 0.15 s of decay time constant, and its rattle.
void add_slam(std::span<double> samples, double rate_hz, const DoorSlam& slam, double full_scale_db,
              Random& random);

/// Clips at ±1 and rounds to 2^(bits−1) steps.
void convert(std::span<double> samples, int bits);

} // namespace ebbmark
