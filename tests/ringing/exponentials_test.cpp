// SPDX-License-Identifier: GPL-3.0-or-later
#include "relative.hpp"
#include "ringing/exponentials.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <numbers>

using namespace ebbmark;

TEST_CASE("decay time, half-power width and Q hang together as the textbooks have it") {
    // Source: closed form, (3 ln 10 / π) / T60 = 2.198807 / T60; H. Kuttruff, Room Acoustics, prints 2.2.
    const Pole a{40, decay_rate(1.5)};
    CHECK(a.half_power_hz() == relative(1.4659).epsilon(1e-4));
    CHECK(a.t60_s() == relative(1.5).epsilon(1e-12));
    const Pole b{50, decay_rate(0.8)};
    CHECK(b.half_power_hz() == relative(2.7485).epsilon(1e-4));
}

TEST_CASE("an exponential's spectrum is the integral that it claims to be") {
    // Source: closed form against a sum of 200,000 terms (midpoint rule, error below 1e-8 of the value).
    const double duration = 0.7;
    const Pole pole{31.4, decay_rate(0.9)};
    Eigen::VectorXd hz(3);
    hz << 14 / duration, 22 / duration, 40 / duration;
    const auto made = exponentials(hz, {pole}, duration);
    for (Eigen::Index k = 0; k < 3; ++k) {
        std::complex<double> value = 0, slope = 0;
        const int steps = 200000;
        for (int n = 0; n < steps; ++n) {
            const double t = (n + 0.5) * duration / steps;
            const auto wave =
                std::exp((pole.exponent() - std::complex<double>(0, 2 * std::numbers::pi * hz(k))) * t);
            value += wave * duration / static_cast<double>(steps);
            slope += t * wave * duration / static_cast<double>(steps);
        }
        CHECK(std::abs(made.value(k, 0) - value) < 1e-7 * std::abs(value));
        CHECK(std::abs(made.slope(k, 0) - slope) < 1e-7 * std::abs(slope));
    }
}

TEST_CASE("the half-power width is where the spectrum of a long decay has fallen by 3 dB") {
    // Source: closed form, |1/(δ + jω)|² halves at ω = δ.
    const Pole pole{60, decay_rate(0.5)};
    const double duration = 20; // long after the decay: the record's end plays no part
    Eigen::VectorXd hz(2);
    hz << 60, std::round((60 + pole.half_power_hz() / 2) * duration) / duration;
    const auto made = exponentials(hz, {pole}, duration);
    const double fall = 20 * std::log10(std::abs(made.value(0, 0)) / std::abs(made.value(1, 0)));
    CHECK(fall == relative(3.01).epsilon(0.02)); // the bin lies within 0.025 Hz of the width's edge
}
