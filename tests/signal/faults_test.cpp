// SPDX-License-Identifier: GPL-3.0-or-later
#include "signal/faults.hpp"
#include "signal/sweep.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

using namespace ebbmark;

namespace {

std::vector<double> sixteen_bit(std::vector<double> samples, double gain) {
    for (double& x : samples)
        x = std::clamp(std::round(x * gain * 32768), -32768.0, 32767.0) / 32768;
    return samples;
}

} // namespace

TEST_CASE("a sweep in 16 bits is not taken for clipped, at any level below full scale") {
    const auto sweep = one_sweep({});
    for (const double gain : {0.01, 0.3, 1.0, 3.9})
        CHECK(clipped_samples(sixteen_bit(sweep.samples, gain), sweep.rate_hz) == 0);
}

TEST_CASE("flat tops are counted, high and low in frequency") {
    const auto sweep = one_sweep({});
    CHECK(clipped_samples(sixteen_bit(sweep.samples, 5), sweep.rate_hz) > 1000);
    Sweep bass;
    bass.stop_hz = 40;
    CHECK(clipped_samples(sixteen_bit(one_sweep(bass).samples, 5), 48000) > 1000);
}

TEST_CASE("silence and single peaks are not clipped") {
    CHECK(clipped_samples({}, 48000) == 0);
    CHECK(clipped_samples(std::vector<double>(100, 0.0), 48000) == 0);
    std::vector<double> click(100, 0.0);
    click[50] = 1;
    CHECK(clipped_samples(click, 48000) == 0);
}
