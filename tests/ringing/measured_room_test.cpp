// SPDX-License-Identifier: GPL-3.0-or-later
// A real listening room (data/measured/README.md): 5 microphones, 3 loudspeakers, no coordinates, real noise.
#include "files/audio_file.hpp"
#include "ringing/ringing.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <array>
#include <cmath>

using namespace ebbmark;

namespace {

std::vector<Signal> responses_of(const std::vector<int>& microphones, const std::vector<int>& speakers) {
    std::vector<Signal> made;
    for (const int microphone : microphones)
        for (const int speaker : speakers)
            made.push_back(read_audio(fmt::format("data/measured/listening-room/mic{}_speaker{}.wav",
                                                  microphone, speaker))
                               .channel(1));
    return made;
}

} // namespace

TEST_CASE("modes from disjoint halves of a measured room's positions agree within their intervals") {
    const RingingOptions options{20, 120};
    const std::vector<std::array<Ringing, 2>> halves = {
        {measure_ringing(responses_of({1, 2, 3, 4, 5}, {1}), options),
         measure_ringing(responses_of({1, 2, 3, 4, 5}, {5, 9}), options)},
        {measure_ringing(responses_of({1, 2, 3}, {1, 5, 9}), options),
         measure_ringing(responses_of({4, 5}, {1, 5, 9}), options)}};
    int pairs = 0, agreeing = 0;
    for (const auto& half : halves)
        for (const MeasuredMode& mode : half[0].modes)
            for (const MeasuredMode& other : half[1].modes) {
                // One and the same where the frequencies differ by less than a quarter of the resonance:
                // twice the largest shift that an interval here allows.
                if (std::abs(*mode.hz - *other.hz) > 0.25 * *mode.hz / mode.q())
                    continue;
                const double difference = std::log(*mode.t60_s / *other.t60_s);
                const double deviation = std::hypot(mode.t60_deviation, other.t60_deviation);
                INFO(*mode.hz, " Hz ", *mode.t60_s, " s; ", *other.hz, " Hz ", *other.t60_s,
                     " s: ", difference / deviation);
                ++pairs;
                agreeing += std::abs(difference) < 1.96 * deviation;
            }
    INFO(pairs, " pairs, ", agreeing, " within their 95 % interval");
    CHECK(pairs >= 10);
    CHECK(agreeing >= 0.8 * pairs);
}
