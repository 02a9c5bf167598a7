// SPDX-License-Identifier: GPL-3.0-or-later
// A recording divided by the sweep: every sweep in it shrinks to the room's response, where it started.
#pragma once

#include "signal/excitation.hpp"
#include "signal/fft.hpp"

#include <span>
#include <vector>

namespace ebbmark {

/// Linear spectral division for recordings of up to one length. Inside the sweep's band the division is exact
/// to 1e-10; outside, the result fades out with zero phase over a third of an octave below and 1/96 above.
class Compressor {
  public:
    Compressor(const Excitation& excitation, std::size_t longest_recording);

    /// Circular, of size(): sample n is what a sweep that starts at recording sample n adds up to. The last
    /// excitation-length of samples is what lies before the recording's start.
    std::vector<double> operator()(std::span<const double> recording);

    std::size_t size() const { return fft_.size(); }

  private:
    RealFft fft_;
    std::vector<Complex> divisor_; ///< one over the sweep's spectrum, where it may be used
};

/// How much of a frequency the division keeps: 1 inside the band, 0 well outside.
double band_weight(double hz, double from_hz, double to_hz);

/// Samples [first, first + count) of a circular result; `first` may be negative.
std::vector<double> cut(std::span<const double> circle, std::ptrdiff_t first, std::size_t count);

/// Standard deviation of the noise in `samples`, from the median magnitude of a part of them, so that the
/// responses in it count little; 0 where there are none.
double scatter(std::span<const double> samples);

} // namespace ebbmark
