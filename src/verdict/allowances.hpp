// SPDX-License-Identifier: GPL-3.0-or-later
// What moves a decay time between two measurements in which nothing changed, where the data cannot tell it.
#pragma once

#include "base/bands.hpp"

namespace ebbmark {

/// Standard deviation of ln T between a microphone and another one 5 cm beside it: 34 places of a measured
/// room in each of two states (README), rounded up over both. Above 2 kHz the two decays are independent. An
/// upper bound for a microphone that is put back to its marks.
double beside_deviation(const Band& band);

/// A fifth of that, for 1 cm: no microphone is put back better, and no interval rests on less.
double put_back_deviation(const Band& band);

/// Variance of ln(T after/T before) from air that nobody recorded on one day: 20 °C ± 1 K and 50 % ± 10 %
/// relative humidity in each state, equally likely within (ISO 9613-1; JCGM 100:2008 4.3.7).
double unrecorded_air_variance(const Band& band, double decay_s);

/// Variance of ln(T after/T before) that all places share where nobody recorded that both states were
/// measured with one microphone and one loudspeaker: between the two microphones of the measured room the
/// mean over its places differs so, in the bands from 50 to 125 Hz, beyond what their scatter explains
/// (README).
double another_microphone_variance();

/// Variance between the values of one loudspeaker and those of another over that of single values, in the
/// same room: counted once per state where states are not paired. From four loudspeakers with five
/// microphones in a measured room (README).
double loudspeaker_share(const Band& band);

} // namespace ebbmark
