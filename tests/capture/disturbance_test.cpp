// SPDX-License-Identifier: GPL-3.0-or-later
#include "capture/disturbance.hpp"
#include "signal/samples.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace ebbmark;
using doctest::Approx;

namespace {

double power_db(std::span<const double> samples) {
    return 10 * std::log10(energy(samples) / static_cast<double>(samples.size()));
}

/// Power of a spectrum's part, in dB of the samples' mean square.
double part_db(std::span<const Complex> spectrum, double step_hz, double from_hz, double to_hz) {
    double sum = 0;
    for (std::size_t bin = 1; bin < spectrum.size(); ++bin)
        if (const double hz = static_cast<double>(bin) * step_hz; hz >= from_hz && hz < to_hz)
            sum += std::norm(spectrum[bin]);
    const double count = 2 * static_cast<double>(spectrum.size() - 1);
    return 10 * std::log10(2 * sum / (count * count));
}

} // namespace

TEST_CASE("normal numbers have mean 0, variance 1 and the same values everywhere") {
    Random random(1);
    double sum = 0, squares = 0;
    constexpr int count = 100000;
    for (int i = 0; i < count; ++i) {
        const auto pair = random.normal_pair();
        sum += pair.real() + pair.imag();
        squares += std::norm(pair);
    }
    // Source: closed form; four standard errors of 200,000 numbers.
    CHECK(std::abs(sum / (2 * count)) < 4 / std::sqrt(2.0 * count));
    CHECK(std::abs(squares / (2 * count) - 1) < 4 * std::sqrt(2.0 / (2 * count)));
    CHECK(seed_for(1, "a") != seed_for(1, "b"));
    CHECK(seed_for(1, "a") != seed_for(2, "a"));
}

TEST_CASE("noise has the stated level and slope") {
    const double rate_hz = 48000;
    RealFft fft(192000);
    std::vector<Complex> spectrum(fft.bins());
    VirtualNoise noise;
    noise.level_db = 60;
    noise.slope_db_per_octave = -5;
    Random random(3);
    add_noise(spectrum, rate_hz, noise, 100, random);
    const double step_hz = rate_hz / 192000;
    // Source: closed form. 40 dB under a full-scale sine of mean square 1/2; 4 s of it leave 0.2 dB of
    // chance, most of the power being in the lowest octave.
    CHECK(std::abs(part_db(spectrum, step_hz, 20, 20000) - (-40 - 3.01)) < 0.6);
    CHECK(std::abs(part_db(spectrum, step_hz, 500, 1000) - part_db(spectrum, step_hz, 1000, 2000) - 5) < 0.3);
    CHECK(power_db(fft.inverse(spectrum)) > part_db(spectrum, step_hz, 20, 20000));
}

TEST_CASE("hum is a sine of the stated level with weaker harmonics") {
    std::vector<double> samples(48000);
    VirtualNoise noise;
    noise.hum_db = 80;
    Random random(3);
    add_hum(samples, 48000, noise, 100, random);
    RealFft fft(48000);
    const auto spectrum = fft.forward(samples);
    // Source: closed form: 20 dB under full scale is a peak of 0.1.
    CHECK(std::abs(spectrum[50]) / 24000 == Approx(0.1).epsilon(1e-6));
    CHECK(std::abs(spectrum[100]) / 24000 == Approx(0.05).epsilon(0.01));
    CHECK(std::abs(spectrum[75]) / 24000 < 1e-9);
}

TEST_CASE("a slam begins when stated and rises to its peak") {
    std::vector<double> samples(96000);
    Random random(3);
    add_slam(samples, 48000, {"before", 1, 0.5, 94}, 100, random);
    CHECK(energy(std::span(samples).first(24000)) == 0);
    CHECK(std::abs(samples[strongest(samples)]) > 0.4);
    CHECK(std::abs(samples[strongest(samples)]) < 1.0);
}

TEST_CASE("the converter clips at full scale and rounds to its bits") {
    std::vector<double> samples = {0, 0.3, 1.7, -2, 1e-9};
    convert(samples, 16);
    CHECK(samples[0] == 0);
    CHECK(samples[1] == Approx(0.3).epsilon(1e-4));
    CHECK(samples[1] * 32768 == std::round(samples[1] * 32768));
    CHECK(samples[2] == 32767.0 / 32768);
    CHECK(samples[3] == -1);
    CHECK(samples[4] == 0);
}
