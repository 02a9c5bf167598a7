// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/bands.hpp"
#include "base/signal.hpp"

#include <vector>

namespace ebbmark {

/// The third octaves in which the direct sound can be told from what follows 3 ms after it: 1.6 to 8 kHz.
std::vector<Band> direct_sound_bands();

/// Levels of the first 3 ms of a response in those bands, in dB against their mean: what loudspeaker and
/// direction make of the spectrum, not the distance. Empty where the response is silent or its rate too low.
std::vector<double> direct_sound_levels_db(const Signal& response);

} // namespace ebbmark
