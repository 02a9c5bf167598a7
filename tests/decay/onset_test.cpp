// SPDX-License-Identifier: GPL-3.0-or-later
#include "decay/onset.hpp"
#include "relative.hpp"
#include "responses.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace ebbmark;
using namespace ebbmark::tests;

TEST_CASE("the onset is found to the sample in a clean response, and at the first sample") {
    Gaussian gaussian(1);
    Signal signal = silence(1, 48000);
    signal.samples[4800] = 1;
    CHECK(find_onset_s(signal) == 0.1);
    signal.samples[4800] = 0;
    signal.samples[0] = 1;
    CHECK(find_onset_s(signal) == 0);
    CHECK(find_onset_s(silence(1, 48000)) == 0);
}

TEST_CASE("a direct sound 15 dB weaker than a reflection is still the onset") {
    Signal signal = silence(1, 48000);
    signal.samples[4800] = 0.18;
    signal.samples[4800 + 480] = -1; // 10 ms later
    CHECK(find_onset_s(signal) == 0.1);
}

TEST_CASE("a burst of noise well before the response is not the onset") {
    Gaussian gaussian(2);
    Signal signal = silence(1, 48000);
    for (std::size_t n = 1000; n < 1400; ++n)
        signal.samples[n] = 0.2 * gaussian();
    add_decaying_noise(signal, 0.2, 0.4, gaussian);
    CHECK(find_onset_s(signal) == relative(0.2).epsilon(0.001));
}

TEST_CASE("noise 20 dB under the decay does not move the onset by more than 5 ms") {
    for (std::uint64_t run = 0; run < 50; ++run) {
        Gaussian gaussian(100 + run);
        Signal signal = silence(1, 16000);
        add_decaying_noise(signal, 0.25, 0.5, gaussian);
        add_noise(signal, 0.1, gaussian);
        CHECK(std::abs(find_onset_s(signal) - 0.25) < 0.005);
    }
}

TEST_CASE("a bass tone that starts in treble noise far below it is found where it starts") {
    for (std::uint64_t run = 0; run < 20; ++run) {
        Gaussian gaussian(300 + run);
        Signal signal = silence(1.5, 48000);
        add_damped_sine(signal, 0.2, 80, 0.8, 1, 1);
        add_noise(signal, 0.005, gaussian);
        CHECK(std::abs(find_onset_s(signal) - 0.2) < 0.002);
    }
}
