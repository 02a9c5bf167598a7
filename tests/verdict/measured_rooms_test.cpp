// SPDX-License-Identifier: GPL-3.0-or-later
// One room in two states of its panels, one microphone place, two repeats of each state
// (data/measured/README.md).
#include "files/audio_file.hpp"
#include "verdict/comparison.hpp"

#include <doctest/doctest.h>

using namespace ebbmark;

namespace {

ResponseDecay analyse(const char* name, BandWidth width) {
    DecayOptions options;
    options.width = width;
    options.from_hz = 40;
    options.to_hz = 8000;
    return analyse_decay(read_audio(std::string("data/measured/variable-room/") + name + ".wav").channel(1),
                         options);
}

bool is_changed(const BandFinding& band) {
    return band.finding == Finding::shorter || band.finding == Finding::longer;
}

} // namespace

TEST_CASE("open panels are found from 250 Hz to 4 kHz, with the repeats as returns or as two samples") {
    for (const BandWidth width : {BandWidth::octave, BandWidth::third}) {
        const auto b1 = analyse("before-1", width), b2 = analyse("before-2", width);
        const auto a1 = analyse("after-1", width), a2 = analyse("after-2", width);
        CompareOptions with_returns, unpaired;
        with_returns.returns = {{b1, b2}, {a1, a2}};
        unpaired.paired = false;
        for (const Comparison& found :
             {compare({b1}, {a1}, with_returns), compare({b1, b2}, {a1, a2}, unpaired)})
            for (const BandFinding& band : found.bands)
                if (band.band.nominal_hz >= 250 && band.band.nominal_hz <= 4000)
                    CHECK_MESSAGE(band.finding == Finding::shorter, label(band.band));
    }
}

TEST_CASE("two repeats of one state give no finding") {
    for (const BandWidth width : {BandWidth::octave, BandWidth::third})
        for (const char* state : {"before", "after"}) {
            const auto first = analyse((std::string(state) + "-1").c_str(), width);
            const auto second = analyse((std::string(state) + "-2").c_str(), width);
            CompareOptions options;
            options.returns = {{first, second}, {second, first}};
            for (const auto& each : {options, CompareOptions{}})
                for (const BandFinding& band : compare({first}, {second}, each).bands)
                    CHECK_MESSAGE(!is_changed(band), label(band.band));
        }
}
