// SPDX-License-Identifier: GPL-3.0-or-later
// Low-frequency spectra of all positions of a room, at common bins.
#pragma once

#include "base/signal.hpp"

#include <Eigen/Core>
#include <span>
#include <vector>

namespace ebbmark {

/// Responses from their onset on, reduced to what the modes need: one rate, one length.
class LowResponses {
  public:
    /// Content well above `to_hz` is dropped. Throws Error(unusable) where rates differ or are too low for
    /// `to_hz`, a response is silent, or the shortest ends within 0.3 s after its onset.
    LowResponses(std::span<const Signal> responses, std::span<const double> onset_s, double to_hz);

    std::size_t positions() const { return signals_.size(); }
    double duration_s() const;

    /// These positions only, as long as all.
    LowResponses at(std::span<const std::size_t> positions) const;

    /// Leaves out what comes long after the sound between these frequencies has sunk into the noise.
    void cut_at_noise(double from_hz, double to_hz);

    /// Frequencies that go on evenly after the sound has sunk into the noise (mains hum, a fan): lines of the
    /// spectrum there, as strong in the second half as in the first. Call after cut_at_noise(); none where
    /// less than 0.4 s are left.
    std::vector<double> steady_lines(double from_hz, double to_hz) const;

    /// The multiples of 1/duration_s in [from_hz, to_hz].
    Eigen::VectorXd bins(double from_hz, double to_hz) const;

    /// Fourier integrals ∫ p(t) exp(−j 2π f t) dt over the record at these bins: bins × positions. `scale`
    /// has one factor per position by which its frequencies lie too high (warmer air); its time axis is
    /// stretched by that.
    Eigen::MatrixXcd spectra(const Eigen::VectorXd& scale, double from_hz, double to_hz) const;

  private:
    std::vector<Signal> signals_;
    double rate_hz_ = 0;
    std::size_t size_ = 0; ///< samples in use
};

} // namespace ebbmark
