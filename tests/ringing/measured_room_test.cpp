// SPDX-License-Identifier: GPL-3.0-or-later
// A real listening room (data/measured/README.md): 5 microphones, 3 loudspeakers, no coordinates, real noise.
#include "files/audio_file.hpp"
#include "ringing/ringing.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <cmath>

using namespace ebbmark;

namespace {

std::vector<Signal> responses_of(const std::vector<int>& microphones, const std::vector<int>& speakers) {
    std::vector<Signal> made;
    for (const int microphone : microphones)
        for (const int speaker : speakers)
            made.push_back(read_audio(fmt::format("data/measured/listening-room/mic{}_speaker{}.wav", microphone, speaker)).channel(1));
    return made;
}

} // namespace

TEST_CASE("modes from disjoint halves of a measured room's positions agree within their intervals") {
    const RingingOptions options{20, 120};
    const Ringing a = measure_ringing(responses_of({1, 2, 3, 4, 5}, {1}), options);
    const Ringing b = measure_ringing(responses_of({1, 2, 3, 4, 5}, {5, 9}), options);
    int pairs = 0, agreeing = 0;
    for (const MeasuredMode& mode : a.modes)
        for (const MeasuredMode& other : b.modes) {
            // One mode in both where the frequencies differ by less than half the resonance.
            if (std::abs(*mode.hz - *other.hz) > 0.5 * *mode.hz / mode.q())
                continue;
            ++pairs;
            const double difference = std::abs(std::log(*mode.t60_s / *other.t60_s));
            const bool agrees = difference < 1.96 * std::hypot(mode.t60_deviation, other.t60_deviation);
            agreeing += agrees;
            INFO(*mode.hz, " Hz ", *mode.t60_s, " s; ", *other.hz, " Hz ", *other.t60_s, " s");
            CHECK_UNARY(agrees || difference < 0.35);
        }
    INFO(pairs, " pairs, ", agreeing, " agree");
    CHECK(pairs >= 6);
    CHECK(agreeing >= pairs - 2);
}
