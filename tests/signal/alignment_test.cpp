// SPDX-License-Identifier: GPL-3.0-or-later
// Rates and errors over many cases: tests/bench, recording_scenarios air.
#include "../bench/simulated_recording.hpp"
#include "relative.hpp"
#include "signal/alignment.hpp"
#include "signal/recording.hpp"
#include "signal/samples.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

using namespace ebbmark;
using namespace ebbmark::bench;

namespace {

constexpr double rate_hz = 48000;
constexpr std::size_t arrival = 12000;

/// Half a second of a room of 0.4 s, with some silence before it; `ppm`: all of it takes longer.
std::vector<double> response(double ppm, double noise, std::uint64_t noise_seed) {
    Dice dice(5);
    const auto room = invented_room(0.4, rate_hz, dice);
    std::vector<double> stretched = ppm == 0 ? room : with_clock(room, ppm);
    stretched.insert(stretched.begin(), arrival, 0.0);
    stretched.resize(2 * arrival);
    for (int pass = 0; pass < 8; ++pass) // little is left above 20 kHz, where resampling keeps nothing
        for (std::size_t n = 1; n < stretched.size(); ++n)
            stretched[n - 1] = 0.5 * (stretched[n - 1] + stretched[n]);
    Dice more(noise_seed);
    add_noise(stretched, noise, more);
    return stretched;
}

Excitation whole_band() {
    return excitation_of(Sweep{});
}

} // namespace

TEST_CASE("air that warms up between two sweeps is seen as a stretch and taken out") {
    // Source: closed form. Half of one part in 293 per degree; 0.1 degrees make 171 ppm.
    for (const double ppm : {-171.0, 17.1, 171.0, 1706.0}) {
        CAPTURE(ppm);
        const auto first = response(0, 1e-5, 1), second = response(ppm, 1e-5, 2);
        const Alignment lag = align(first, second, arrival, whole_band());
        CHECK(1e6 * lag.stretch == relative(ppm).epsilon(0.02));
        CHECK(std::abs(lag.lag_samples) < 0.05);
        const auto moved = aligned(second, arrival, lag);
        double apart = 0;
        for (std::size_t n = 0; n < moved.size(); ++n)
            apart += (moved[n] - first[n]) * (moved[n] - first[n]);
        CHECK(10 * std::log10(apart / energy(first)) <
              -35); // of the part above 20 kHz, resampling keeps less
    }
}

TEST_CASE("a clock's lag is no stretch, and noise alone makes none") {
    const auto first = response(0, 3e-4, 1), second = response(0, 3e-4, 2);
    const Alignment none = align(first, second, arrival, whole_band());
    CHECK(none.stretch == 0);
    CHECK(std::abs(none.lag_samples) < 0.01);
    auto later = first;
    std::rotate(later.begin(), later.end() - 3, later.end());
    const Alignment lag = align(first, later, arrival, whole_band());
    CHECK(lag.stretch == 0);
    CHECK(lag.lag_samples == relative(3).epsilon(1e-4));
}
