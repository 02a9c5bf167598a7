// SPDX-License-Identifier: GPL-3.0-or-later
// The same sound at another rate. The only place that knows soxr.
#pragma once

#include <memory>
#include <span>
#include <vector>

namespace ebbmark {

/// Sample k of the result is the sound at input sample k · step; 0.01 ≤ step ≤ 100. Frequencies up to 0.91 of
/// the lower of both Nyquist limits are kept within 0.002 dB, images and aliases are 160 dB down, time zero
/// stays. Throws std::bad_alloc where memory is short.
std::vector<double> resampled(std::span<const double> samples, double step);

/// The same for a signal that comes in pieces.
class Resampler {
  public:
    explicit Resampler(double step);
    /// Appends to `result` what can be said by now.
    void add(std::span<const double> samples, std::vector<double>& result);
    /// After the last piece: the rest.
    void finish(std::vector<double>& result);

  private:
    void process(const double* samples, std::size_t count, std::vector<double>& result);

    struct Close {
        void operator()(void* state) const;
    };
    std::unique_ptr<void, Close> state_;
    double step_;
};

} // namespace ebbmark
