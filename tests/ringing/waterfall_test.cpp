// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "relative.hpp"
#include "ringing/waterfall.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>

using namespace ebbmark;

namespace {

Signal damped(double hz, double t60_s, double rate_hz = 4000, double seconds = 2, double delay_s = 0) {
    Signal made{std::vector<double>(static_cast<std::size_t>(rate_hz * seconds), 0.0), rate_hz};
    for (std::size_t n = 0; n < made.size(); ++n) {
        const double t = static_cast<double>(n) / rate_hz - delay_s;
        if (t >= 0)
            made.samples[n] =
                std::exp(-3 * std::numbers::ln10 * t / t60_s) * std::cos(2 * std::numbers::pi * hz * t);
    }
    return made;
}

std::size_t nearest(const Waterfall& waterfall, double hz) {
    std::size_t best = 0;
    for (std::size_t k = 0; k < waterfall.hz.size(); ++k)
        if (std::abs(waterfall.hz[k] - hz) < std::abs(waterfall.hz[best] - hz))
            best = k;
    return best;
}

} // namespace

TEST_CASE("an exponential decay falls at its own rate from slice to slice") {
    // Source: closed form, level −60 t / T60 dB. 0.3 dB: the onset's own half window and the mirror
    // frequency.
    for (const double t60 : {0.4, 0.8}) {
        for (const double delay : {0.0, 0.3}) {
            const auto waterfall = make_waterfall(damped(60, t60, 4000, 2, delay));
            const std::size_t k = nearest(waterfall, 60);
            CHECK(waterfall.level_db[0][k] > -0.5);
            for (std::size_t i = 5; i < 40; ++i)
                CHECK(std::abs(waterfall.level_db[i][k] - waterfall.level_db[5][k] +
                               60 * (waterfall.time_s[i] - waterfall.time_s[5]) / t60) < 0.3);
            CHECK(*waterfall.decay_s[k] == relative(t60).epsilon(0.02));
        }
    }
}

TEST_CASE("the box of resolution is that of the window") {
    // Source: closed form, the Fourier integral (midpoint sum) of a window that rises within 30 ms and falls
    // within 0.4 s, both as half a Hann window, has fallen to half its power at half the width.
    const auto waterfall = make_waterfall(damped(100, 0.5));
    const auto power = [](double hz) {
        std::complex<double> sum = 0;
        for (int n = -300; n < 4000; ++n) {
            const double t = (n + 0.5) * 1e-4;
            const double part = t < 0 ? t / 0.03 : t / 0.4;
            sum += (0.5 + 0.5 * std::cos(std::numbers::pi * part)) *
                   std::polar(1.0, -2 * std::numbers::pi * hz * t);
        }
        return std::norm(sum);
    };
    CHECK(power(waterfall.resolution_hz / 2) / power(0) == relative(0.5).epsilon(0.01));
    // Source: closed form, for both halves (∫w²)²/∫w⁴ = (3/8)²/(35/128) of their length.
    CHECK(waterfall.resolution_s == relative(9.0 / 64 / (35.0 / 128) * 0.43).epsilon(0.01));
}

TEST_CASE("two modes that beat have no decay time of their own") {
    Signal both = damped(60, 0.8);
    const Signal other = damped(63, 0.8);
    for (std::size_t n = 0; n < both.size(); ++n)
        both.samples[n] += other.samples[n];
    const auto waterfall = make_waterfall(both);
    CHECK(waterfall.decay_s[nearest(waterfall, 61.5)].empty == Empty::overlap);
}

TEST_CASE("ridges are the frequencies that ring on") {
    Signal both = damped(40, 0.9);
    const Signal other = damped(120, 0.5);
    for (std::size_t n = 0; n < both.size(); ++n)
        both.samples[n] += other.samples[n];
    const auto waterfall = make_waterfall(both);
    const auto found = ridges(waterfall, 2);
    REQUIRE(found.size() == 2);
    // Half a step of the axis of 1/24 octave is 1.5 %.
    CHECK(waterfall.hz[found[0]] == relative(40).epsilon(0.015));
    CHECK(waterfall.hz[found[1]] == relative(120).epsilon(0.015));
    CHECK(*waterfall.decay_s[found[0]] == relative(0.9).epsilon(0.03));
}

TEST_CASE("what the slices cannot show is empty with its reason") {
    auto noisy = damped(60, 0.4);
    unsigned state = 1;
    for (double& sample : noisy.samples) {
        state = state * 1664525u + 1013904223u;
        sample += 0.05 * (static_cast<double>(state >> 8) / (1 << 24) - 0.5);
    }
    const auto waterfall = make_waterfall(noisy);
    CHECK(waterfall.decay_s[nearest(waterfall, 300)].empty == Empty::noise);
    const auto slow = make_waterfall(damped(60, 5));
    CHECK(slow.decay_s[nearest(slow, 60)].empty.has_value());
}

TEST_CASE("axes: 1 Hz steps or 1/24 octave") {
    WaterfallOptions options;
    options.axis = WaterfallAxis::linear;
    CHECK(make_waterfall(damped(60, 0.4), options).hz.size() == 491);
    const auto octave = make_waterfall(damped(60, 0.4));
    CHECK(octave.hz[24] == relative(20));
}

TEST_CASE("a waterfall of what is none is refused") {
    CHECK_THROWS_AS(make_waterfall(Signal{std::vector<double>(4000, 0.0), 4000}), Error);
    CHECK_THROWS_AS(make_waterfall(damped(60, 0.4, 4000, 0.3)), Error);
    CHECK_THROWS_AS(make_waterfall(damped(60, 0.4, 1000)), Error);
}
