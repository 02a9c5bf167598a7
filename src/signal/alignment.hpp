// SPDX-License-Identifier: GPL-3.0-or-later
// Two responses of one room against each other. Another temperature of the air changes the speed of sound by
// half its part in the absolute temperature: all of the response is longer or shorter, the later the more.
#pragma once

#include "signal/excitation.hpp"

#include <cstddef>
#include <span>
#include <vector>

namespace ebbmark {

/// By how much a later response lags an earlier one.
struct Alignment {
    double lag_samples = 0; ///< of the direct sound
    double stretch = 0;     ///< seconds more per second after it; 0 where none stands out of the noise
};

/// `earlier` and `later` are of one length, with their direct sound at `arrival`. The lag alone is found to a
/// fraction of a sample; the stretch from the lags of stretches of time up to 0.25 s after the direct sound.
Alignment align(std::span<const double> earlier, std::span<const double> later, std::size_t arrival,
                const Excitation& excitation);

/// `response` with its direct sound, at `arrival`, earlier by the lag and the rest by the stretch, same
/// length. Lags of more than a few samples wrap round.
std::vector<double> aligned(std::span<const double> response, std::size_t arrival, const Alignment& lag);

} // namespace ebbmark
