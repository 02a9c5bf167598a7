// SPDX-License-Identifier: GPL-3.0-or-later
#include "relative.hpp"
#include "ringing/summary.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <numbers>

using namespace ebbmark;

TEST_CASE("audibility thresholds are those quoted") {
    // Source: published, second-hand: Stephenson 2012 (abstract) 0.85 s at 32 Hz, 0.2 s above 100 Hz; Avis,
    // Fazenda, Davies 2007 as quoted, Q = 16: 1.1, 0.56, 0.28 s at 32, 63, 125 Hz.
    CHECK(audibility_threshold(32).stephenson_s == relative(0.85));
    CHECK(audibility_threshold(150).stephenson_s == relative(0.2));
    CHECK(audibility_threshold(32).q16_s == relative(1.1).epsilon(0.01));
    CHECK(audibility_threshold(63).q16_s == relative(0.56).epsilon(0.01));
    CHECK(audibility_threshold(125).q16_s == relative(0.28).epsilon(0.01));
}

TEST_CASE("energy left of an exponential decay is the exponential") {
    // Source: closed form, 60 dB per T60: after 0.1, 0.2, 0.3 s at T60 = 0.6 s 10, 20, 30 dB are gone. A
    // sine's energy swings by 1/(ω T) of itself, below 0.2 dB here.
    Signal signal{std::vector<double>(4000, 0.0), 2000};
    for (std::size_t n = 0; n < signal.size(); ++n) {
        const double t = static_cast<double>(n) / 2000;
        signal.samples[n] =
            std::exp(-3 * std::numbers::ln10 * t / 0.6) * std::sin(2 * std::numbers::pi * 80 * t);
    }
    const auto left = energy_left_db({&signal, 1});
    CHECK(*left[0] == relative(-10).epsilon(0.03));
    CHECK(*left[1] == relative(-20).epsilon(0.03));
    CHECK(*left[2] == relative(-30).epsilon(0.03));
}

TEST_CASE("energy that sinks into the noise is empty") {
    Signal signal{std::vector<double>(4000, 0.0), 2000};
    unsigned state = 1;
    for (std::size_t n = 0; n < signal.size(); ++n) {
        const double t = static_cast<double>(n) / 2000;
        state = state * 1664525u + 1013904223u;
        signal.samples[n] =
            std::exp(-3 * std::numbers::ln10 * t / 0.2) * std::sin(2 * std::numbers::pi * 80 * t) +
            0.005 * (static_cast<double>(state >> 8) / (1 << 24) - 0.5);
    }
    const auto left = energy_left_db({&signal, 1});
    CHECK(*left[0] == relative(-30).epsilon(0.1));
    CHECK(left[2].empty == Empty::noise);
}

TEST_CASE("the longest-ringing modes come first, at most five") {
    Ringing ringing;
    for (const double t60 : {0.3, 0.9, 0.5, 0.2, 0.7, 0.4, 0.6}) {
        MeasuredMode mode;
        mode.hz = Measured::of(50);
        mode.t60_s = Measured::of(t60);
        ringing.modes.push_back(mode);
    }
    CHECK(longest_ringing(ringing) == std::vector<std::size_t>{1, 4, 6, 2, 5});
}
