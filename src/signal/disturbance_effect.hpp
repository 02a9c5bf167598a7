// SPDX-License-Identifier: GPL-3.0-or-later
// What another sound in a recording does to decay times.
#pragma once

#include "base/bands.hpp"
#include "base/signal.hpp"
#include "signal/disturbances.hpp"
#include "signal/excitation.hpp"

#include <vector>

namespace ebbmark {

/// An estimate for one third octave.
struct MovedBand {
    Band band;
    double t20_percent = 0;
};

/// By how much disturbances move T20, by third octaves of the excitation from 25 Hz to 8 kHz; bands without a
/// T20 are left out. A sound lies in the response of a band as long after its start as it came after the
/// sweep had passed the band, with its energy against the sweep's. Where the sweep hides a sound in a band,
/// it counts as strong there as where it was seen next to it, or less where it is narrow and falls off
/// towards it. `lead_s`: from the response's start to the arrival; `used`: the sweeps that the response is
/// the mean of.
std::vector<MovedBand> moved_by(const std::vector<Disturbance>& disturbances, const Signal& response,
                                double lead_s, std::size_t used, const Excitation& excitation);

} // namespace ebbmark
