// SPDX-License-Identifier: GPL-3.0-or-later
// All modes of a room fitted to all positions, window by window of frequency.
#pragma once

#include "ringing/exponentials.hpp"
#include "ringing/spectra.hpp"

#include <Eigen/Core>
#include <vector>

namespace ebbmark {

/// A pole with what the fit knows about it.
struct FittedPole {
    Pole pole;
    Eigen::VectorXcd amplitude; ///< at the onset, per position, in the responses' unit
    double hz_deviation = 0;    ///< standard deviation, hidden modes allowed for
    double decay_deviation = 0; ///< the same of ln decay
    double decay_by_noise = 0;  ///< standard deviation of ln decay by the noise alone
};

struct RoomFit {
    std::vector<FittedPole> poles; ///< by frequency
    Eigen::VectorXd scale;         ///< frequency scale per position, mean 1
};

/// `start`, where given: the fit of a larger set of positions, cut to these; its poles and air are where this
/// one's own search for the order begins.
RoomFit fit_room(LowResponses responses, double from_hz, double to_hz, const RoomFit* start = nullptr);

} // namespace ebbmark
