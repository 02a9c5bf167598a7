// SPDX-License-Identifier: GPL-3.0-or-later
#include "capture/impossible_samples.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>

using namespace ebbmark;

namespace {

Recording with(std::vector<double> samples) {
    Recording recording;
    recording.channels = {{std::move(samples), 48000}};
    return recording;
}

} // namespace

TEST_CASE("what no converter makes is counted, and the recording has failed") {
    const double infinite = std::numeric_limits<double>::infinity(), none = std::nan("");
    Recording recording = with({0.5, 1e38, -infinite, none, -0.5});
    refuse_impossible_samples(recording);
    CHECK(recording.ending == Ending::failed);
    CHECK(recording.impossible_samples == 3);
    CHECK(recording.fault.find("3 samples") != std::string::npos);
    // What a file can hold stays as it came.
    CHECK(recording.channels[0].samples == std::vector{0.5, 1e38, 0.0, 0.0, -0.5});
}

TEST_CASE("samples above full scale of a floating-point device are sound") {
    Recording recording = with({0.5, 3.5, -2});
    refuse_impossible_samples(recording);
    CHECK(recording.ending == Ending::complete);
    CHECK(recording.impossible_samples == 0);
}
