// SPDX-License-Identifier: GPL-3.0-or-later
#include "signal/resampling.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <numbers>
#include <utility>
#include <vector>

using namespace ebbmark;

TEST_CASE("a resampled tone is the same tone at other times") {
    // Source: closed form, a sine at the new sample times. Away from the ends, where the tone is cut. The
    // filter's edge is allowed 0.002 dB, 2.3e-4 of the amplitude; well below it 1e-5 is wanted, −100 dB.
    for (const auto& [part, tolerance] :
         {std::pair(0.41, 2.3e-4), std::pair(0.3, 1e-5), std::pair(0.01, 1e-5)}) {
        const double turn = 2 * std::numbers::pi * part; // 0.41: 19.7 kHz of 48 kHz
        std::vector<double> tone(20000);
        for (std::size_t n = 0; n < tone.size(); ++n)
            tone[n] = std::sin(turn * static_cast<double>(n));
        for (const double step : {1 + 3e-4, 1 - 1e-6, 0.9}) {
            const auto result = resampled(tone, step);
            CHECK(std::abs(static_cast<double>(result.size()) - 20000 / step) <= 1);
            double worst = 0;
            for (std::size_t n = 2000; n < result.size() - 2000; ++n)
                worst = std::max(worst, std::abs(result[n] - std::sin(turn * static_cast<double>(n) * step)));
            CHECK(worst < tolerance);
        }
    }
    CHECK(resampled({}, 1.001).empty());
}
