// SPDX-License-Identifier: GPL-3.0-or-later
#include "capture/impossible_samples.hpp"

#include <fmt/format.h>

#include <cmath>

namespace ebbmark {

namespace {

constexpr double most_possible = 1000; // re full scale; floating-point devices may go above 1

}

void refuse_impossible_samples(Recording& recording) {
    for (Signal& channel : recording.channels)
        for (double& sample : channel.samples) {
            if (std::abs(sample) <= most_possible)
                continue;
            ++recording.impossible_samples;
            if (!std::isfinite(sample))
                sample = 0;
        }
    if (recording.impossible_samples == 0)
        return;
    recording.ending = Ending::failed;
    recording.fault =
        fmt::format("the sound device gave {} samples that are no sound (no numbers, or more than 60 dB "
                    "above full scale; "
                    "what is no number stands as 0 in the file): choose another input, driver family or rate "
                    "(ebbmark devices), or restart the sound server, and repeat the take",
                    recording.impossible_samples);
}

} // namespace ebbmark
