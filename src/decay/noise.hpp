// SPDX-License-Identifier: GPL-3.0-or-later
// Where a decay meets the noise: a decay plus constant noise fitted to the band's energy.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace ebbmark {

/// Squared envelope of one band. `onset` is the index of the first value after the direct sound's arrival,
/// `end` that of the first value that the recording no longer supports.
struct BandEnergy {
    std::span<const double> energy;
    std::size_t onset = 0;
    std::size_t end = 0;
    double step_s = 0;
    double bandwidth_hz = 0;
};

/// What ends the usable part of a decay.
enum class DecayEnd { noise, length, disturbed };

/// The late part as level · exp(−rate (t − crossing)) + noise, t from the onset.
struct Tail {
    bool decays = false;   ///< false: nothing but noise, the rest is then 0
    double noise = 0;      ///< mean energy of the noise
    double rate_per_s = 0; ///< of energy; 6 ln 10 / T
    double truncation_s = 0;
    double level = 0; ///< of the decay alone at the truncation
    DecayEnd end = DecayEnd::noise;
    double noise_deviation = 1; ///< standard deviation over mean of the noise's envelope: 1 for random noise,
                                ///< near 0 for a steady tone; 1 where not known
    double noise_change_db = 0; ///< later half of the noise over its earlier half, where more than chance
    double event_s = -1;        ///< start of another sound in or after the decay; −1: none
};

/// Sums from the end, so that the mean of any stretch costs two look-ups at full relative accuracy.
/// `sums` gets end + 1 values; it may be used again for the next band.
void sum_from_end(std::span<const double> values, std::size_t end, std::vector<double>& sums);

/// Maximum likelihood for block means that scatter like band-limited Gaussian noise (gamma distribution, mean
/// as modelled), iterated because the stretch that is fitted depends on the crossing: the noise handling of
/// Lundeby et al., Acustica 81 (1995) 344, with the model of Xiang, JASA 98 (1995) 2112, on energy.
/// `sums` from sum_from_end over the whole of `band`.
Tail find_tail(const BandEnergy& band, std::span<const double> sums);

} // namespace ebbmark
