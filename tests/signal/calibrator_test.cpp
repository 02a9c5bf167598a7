// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "signal/calibrator.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <numbers>
#include <random>

using namespace ebbmark;

namespace {

Signal tone(double hz, double amplitude, double seconds = 4, double wobble = 0, double noise = 1e-5) {
    std::mt19937_64 generator(1);
    Signal signal{std::vector<double>(static_cast<std::size_t>(seconds * 48000)), 48000};
    for (std::size_t n = 0; n < signal.size(); ++n) {
        const double time_s = static_cast<double>(n) / 48000;
        signal.samples[n] =
            amplitude * (1 + wobble * std::sin(3 * time_s)) * std::sin(2 * std::numbers::pi * hz * time_s) +
            noise * (static_cast<double>(generator() >> 11) * 0x1p-52 - 1);
    }
    return signal;
}

} // namespace

TEST_CASE("94 dB is 1.0024 Pa and 114 dB ten times as much") {
    // Source: closed form, 20 µPa · 10^(L/20) (ISO 1683), effective value of a sine amplitude/√2.
    const auto low = read_calibrator(tone(1000.7, 0.1), 94);
    CHECK(std::abs(low.hz - 1000.7) < 0.01);
    CHECK(std::abs(low.level_dbfs + 23.0103) < 0.001);
    CHECK(low.pascal_per_unit == doctest::Approx(1.0023745 / 0.0707107).epsilon(1e-4));
    CHECK(low.accepted());
    const auto high = read_calibrator(tone(1000.7, 0.1), 114);
    CHECK(high.pascal_per_unit == doctest::Approx(10 * low.pascal_per_unit).epsilon(1e-9));
}

TEST_CASE("a wrong tone, a loose seat, other sound and clipping are each refused by their own check") {
    const auto failing = [](const Signal& signal) {
        std::string names;
        for (const QualityCheck& check : read_calibrator(signal, 94).checks)
            if (!check.held())
                names += std::string(code(check.name)) + " ";
        return names;
    };
    CHECK(failing(tone(1000, 0.1)) == "");
    CHECK(failing(tone(1030, 0.1)) == "frequency ");
    CHECK(failing(tone(1000, 0.1, 4, 0.03)).find("stability") != std::string::npos);
    CHECK(failing(tone(1000, 0.1, 4, 0, 0.02)).find("purity") != std::string::npos);
    Signal loud = tone(1000, 1.5);
    for (double& x : loud.samples)
        x = std::fmin(1, std::fmax(-1, x));
    CHECK(failing(loud).find("level") != std::string::npos);
    CHECK_THROWS_AS(read_calibrator(tone(1000, 0.1, 1), 94), Error);
    CHECK_THROWS_AS(read_calibrator(Signal{std::vector<double>(200000), 48000}, 94), Error);
}
