// SPDX-License-Identifier: GPL-3.0-or-later
// All modes of a room fitted to all positions, window by window of frequency.
#pragma once

#include "ringing/spectra.hpp"
#include "ringing/window_fit.hpp"

#include <vector>

namespace ebbmark {

/// A pole with what the fit knows about it.
struct FittedPole {
    Pole pole;
    Eigen::VectorXcd amplitude;     ///< per position, units of the responses
    Eigen::Matrix2d covariance = Eigen::Matrix2d::Zero();     ///< of (hz, ln decay) from the noise, all neighbours free
    double worth = 0;               ///< growth of the cost without it, in units of the noise
};

struct RoomFit {
    std::vector<FittedPole> poles; ///< by frequency
    Eigen::VectorXd scale;         ///< frequency scale per position
};

RoomFit fit_room(LowResponses responses, double from_hz, double to_hz);

} // namespace ebbmark
