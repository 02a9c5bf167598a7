// SPDX-License-Identifier: GPL-3.0-or-later
// Equal sweeps of one recording: where they are, which of them count, and their average.
#pragma once

#include "signal/alignment.hpp"
#include "signal/disturbances.hpp"
#include "signal/excitation.hpp"

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

namespace ebbmark {

/// Highest samples of the responses in a divided recording of `length` samples, in order: the strongest one
/// and its neighbours a repeat period away, as many as the excitation has.
std::vector<std::size_t> find_repeats(std::span<const double> divided, const Excitation& excitation,
                                      std::size_t length);

/// Where the repeats are, to a fraction of a sample.
struct Places {
    std::vector<double> samples;
    std::vector<double> stretch; ///< of each response, against the first: the air changed
};

/// From the likeness of the responses around the peaks.
Places exact_places(std::span<const double> divided, const std::vector<std::size_t>& peaks,
                    const Excitation& excitation);

/// The recorder's clock against the player's ×1e6: median over all pairs of `places`, which are at least two.
double drift_of_repeats_ppm(const std::vector<double>& places, const Excitation& excitation);

/// Indices of the sweeps that no disturbance is known to touch; where all are touched, of the least touched.
std::vector<std::size_t> undisturbed(std::size_t sweeps, const std::vector<Disturbance>& disturbances);

struct Averaged {
    std::vector<double> samples;
    /// Energy of the differences beyond noise, over that of the response, in its first 80 ms; two sweeps or
    /// more.
    std::optional<double> variation_db;
    int used = 0;
};

// Above this the repeats are not the same response: an average would lose the late, high part of the decay.
constexpr double most_variation_db = -20;

/// `count` samples of the average response, from `lead` samples before the places on, in the air of the
/// first. Of repeats that vary by more than most_variation_db the first alone.
Averaged average_repeats(std::span<const double> divided, const Places& places, std::size_t lead,
                         std::size_t count, const Excitation& excitation);

} // namespace ebbmark
