// SPDX-License-Identifier: GPL-3.0-or-later
// What a fit leaves out: modes that lie so close to others, or are so weak, that the data does not show them,
// and yet pull at their neighbours' damping.
#pragma once

#include "ringing/window_fit.hpp"

namespace ebbmark {

/// Fisher information about (hz, ln decay) of the poles with hidden modes allowed for: a random field of
/// modes of the local damping and strength, as dense as in a room of 40 m³ (M. Long, Architectural Acoustics,
/// 2nd ed., Eq. 8.46), thinned by the chance that the order search would have found one at that place.
Eigen::MatrixXd information_with_hidden(const Window& window, const Projection& at,
                                        const std::vector<Pole>& poles);

} // namespace ebbmark
