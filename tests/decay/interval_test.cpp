// SPDX-License-Identifier: GPL-3.0-or-later
#include "decay/decay.hpp"
#include "decay/interval.hpp"
#include "relative.hpp"
#include "responses.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace ebbmark;
using namespace ebbmark::tests;

TEST_CASE("the scatter formula gives the standard's figures") {
    // Source: from memory of ISO 3382-2 clause 7; one position, n = 10, octave 1 kHz (B = 710 Hz), T = 0.5 s.
    const double bandwidth_time = 710 * 0.5;
    CHECK(0.5 * relative_scatter(DecayQuantity::t20, bandwidth_time) / std::sqrt(2.0) ==
          relative(0.01801).epsilon(1e-3));
    CHECK(0.5 * relative_scatter(DecayQuantity::t30, bandwidth_time) / std::sqrt(2.0) ==
          relative(0.01108).epsilon(1e-3));
}

TEST_CASE("intervals hold the value, are not symmetric, and narrow with the bandwidth") {
    for (const auto quantity : {DecayQuantity::edt, DecayQuantity::t20, DecayQuantity::t30}) {
        const Measured narrow = with_interval(quantity, 0.5, 20), wide = with_interval(quantity, 0.5, 700);
        CHECK(*narrow.low < 0.5);
        CHECK(*narrow.high > 0.5);
        CHECK(*narrow.low < *wide.low);
        CHECK(*narrow.high > *wide.high);
        CHECK(std::log(0.5 / *wide.low) > std::log(*wide.high / 0.5));
    }
}

TEST_CASE("95 % intervals hold the ensemble's decay time in about 95 % of responses") {
    // 120 responses in 6 octaves: 720 values, of which 3 standard deviations are 2.3 %; and single responses
    // share nothing between octaves.
    int held = 0, count = 0;
    for (std::uint64_t run = 0; run < 120; ++run) {
        Gaussian gaussian(7000 + run);
        Signal signal = silence(1.6, 8000);
        add_decaying_noise(signal, 0.05, 0.6, gaussian);
        add_noise(signal, 0.003, gaussian);
        DecayOptions options;
        options.width = BandWidth::octave;
        options.from_hz = 63;
        options.to_hz = 2000;
        for (const BandDecay& band : analyse_decay(signal, options).bands) {
            REQUIRE(band.t20_s);
            held += *band.t20_s.low <= 0.6 && 0.6 <= *band.t20_s.high;
            ++count;
        }
    }
    CHECK(count == 720);
    CHECK(held > 0.92 * count);
    CHECK(held < 0.98 * count);
}
