// SPDX-License-Identifier: GPL-3.0-or-later
// What is left out because hum or another sound may stand in it.
#include "work/hum_bands.hpp"

#include <doctest/doctest.h>

using namespace ebbmark;

namespace {

ResponseDecay decays(double from_hz, double to_hz) {
    ResponseDecay decay;
    for (const Band& band : bands_between(BandWidth::third, from_hz, to_hz)) {
        BandDecay one;
        one.band = band;
        one.t20_s = {0.6, 0.5, 0.7, {}};
        one.at_most_s = 0.1;
        one.filter_decay_s = 0.02;
        decay.bands.push_back(one);
    }
    return decay;
}

std::vector<double> emptied(const ResponseDecay& decay) {
    std::vector<double> bands;
    for (const BandDecay& band : decay.bands)
        if (band.t20_s.empty == Empty::disturbed)
            bands.push_back(band.band.nominal_hz);
    return bands;
}

} // namespace

// Source: published. IEC 61260-1:2014: the thirds 40, 50 and 63 Hz meet at 44.7 and 56.2 Hz.
TEST_CASE(
    "hum empties the band that holds its line, with the neighbours whose skirts reach it, and no other") {
    ResponseDecay decay = decays(31.5, 100);
    leave_out_near(decay, {50});
    CHECK(emptied(decay) == std::vector<double>{40, 50, 63});
    decay = decays(31.5, 100);
    leave_out_near(decay, {46});
    CHECK(emptied(decay) == std::vector<double>{40, 50});
    CHECK(!decay.bands[1].at_most_s);
    CHECK(decay.bands[1].filter_decay_s == 0.02);
    CHECK(decay.bands[1].notes == std::vector<DecayNote>{HumReaches{}});
    CHECK(decay.bands[0].t20_s == Measured{0.6, 0.5, 0.7, {}});
}

TEST_CASE("another sound empties the bands that hold its middles, neighbours stay") {
    ResponseDecay decay = decays(31.5, 100);
    leave_out_disturbed(decay, {63.1});
    CHECK(emptied(decay) == std::vector<double>{63});
    CHECK(decay.bands[3].notes == std::vector<DecayNote>{SoundWouldMove{}});
    CHECK(is_disturbed(bands_between(BandWidth::octave, 63, 63).front(), {50.1}));
    CHECK(!is_disturbed(bands_between(BandWidth::octave, 63, 63).front(), {40}));
    CHECK(is_near(bands_between(BandWidth::octave, 63, 63).front(), {100}));
    CHECK(!is_near(bands_between(BandWidth::octave, 63, 63).front(), {110}));
}

TEST_CASE("beside a line no mode is told, and each line is named once") {
    Ringing ringing;
    for (const double hz : {49.5, 50.8, 51.5, 80.0}) {
        MeasuredMode mode;
        mode.hz = Measured::of(hz);
        ringing.modes.push_back(mode);
    }
    ringing.unresolved = {{120, 140, Empty::overlap}};
    leave_out_near(ringing, {150, 50, 50.2, 250}, 20, 200);
    REQUIRE(ringing.modes.size() == 2);
    CHECK(*ringing.modes[0].hz == 51.5);
    REQUIRE(ringing.unresolved.size() == 3); // by frequency; 250 Hz lies beyond what is told
    CHECK(ringing.unresolved[0].from_hz == 49);
    CHECK(ringing.unresolved[0].to_hz == 51);
    CHECK(ringing.unresolved[0].why == Empty::disturbed);
    CHECK(ringing.unresolved[1].why == Empty::overlap);
    CHECK(ringing.unresolved[2].from_hz == 149);
}
