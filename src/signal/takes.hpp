// SPDX-License-Identifier: GPL-3.0-or-later
// Where the sweeps are in a long recording, looked for at a low rate.
#pragma once

#include "signal/excitation.hpp"
#include "signal/resampling.hpp"

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

namespace ebbmark {

/// The part of a recording that belongs to one take: its sweeps with what comes before and after.
struct TakePart {
    std::size_t first = 0; ///< sample
    std::size_t count = 0;
    int sweeps = 0;

    friend bool operator==(const TakePart&, const TakePart&) = default;
};

/// Takes in a recording that comes in pieces, in order of time: sweeps one repeat period apart belong to one
/// take, up to the excitation's number of repeats. Sweeps up to 30 dB below the loudest are found, on
/// condition that they stand out of the noise. Each part starts up to 2 s before its first sweep and ends up
/// to 10 s after its last, without another's sweeps. Work memory: about a tenth of the recording's.
class TakeSearch {
  public:
    explicit TakeSearch(const Excitation& excitation);
    void add(std::span<const double> samples);
    /// After the last piece.
    std::vector<TakePart> takes();
    /// The same, which must be `wanted` in number: one for each position, in the order given. Throws
    /// Error(unusable) that says how many there are, and when.
    std::vector<TakePart> takes(std::size_t wanted);

  private:
    const Excitation& excitation_;
    Excitation low_;
    std::optional<Resampler> resampler_; ///< none where the sweep has to be looked for at its own rate
    std::vector<double> samples_;
    std::size_t length_ = 0;
};

/// The same for a recording that is there.
std::vector<TakePart> takes_in(std::span<const double> recording, const Excitation& excitation);
std::vector<TakePart> takes_in(std::span<const double> recording, const Excitation& excitation,
                               std::size_t wanted);

/// Whether a recording holds so much else than the test signal that it should be cut to the part with the
/// sweeps.
bool is_long(double recording_s, const Excitation& excitation);

} // namespace ebbmark
