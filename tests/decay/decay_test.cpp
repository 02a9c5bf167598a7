// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "decay/decay.hpp"
#include "relative.hpp"
#include "responses.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace ebbmark;
using namespace ebbmark::tests;

namespace {

const BandDecay& band_of(const ResponseDecay& decay, double nominal_hz) {
    for (const BandDecay& band : decay.bands)
        if (band.band.nominal_hz == nominal_hz)
            return band;
    FAIL("no such band");
    return decay.bands.front();
}

DecayOptions bands(BandWidth width, double from_hz = 20, double to_hz = 10000) {
    DecayOptions options;
    options.width = width;
    options.from_hz = from_hz;
    options.to_hz = to_hz;
    return options;
}

} // namespace

TEST_CASE("damped sines of known decay time keep it through filter, onset and integration") {
    // Source: closed form. 0.1 % from 125 Hz, 0.2 % (EDT 0.4 %) at 63 Hz, wherever B · T ≥ 4.
    int checked = 0;
    for (const double rate_hz : {44100.0, 48000.0, 96000.0})
        for (const int index : {-12, -9, -6, -3, 0, 3, 6}) {
            const double hz = band_at(BandWidth::third, index).exact_hz;
            const double decay_s = 0.8;
            Signal signal = silence(2.5, rate_hz);
            add_damped_sine(signal, 0.1, hz, decay_s, 0.5, 1.0);
            for (const BandWidth width : {BandWidth::octave, BandWidth::third}) {
                const auto decay = analyse_decay(signal, bands(width, hz / 1.1, hz * 1.1));
                REQUIRE(decay.bands.size() == 1);
                const BandDecay& band = decay.bands.front();
                const double tolerance = hz < 100 ? 0.002 : 0.001;
                REQUIRE(band.t30_s);
                CHECK(*band.t20_s == relative(decay_s).epsilon(tolerance));
                CHECK(*band.t30_s == relative(decay_s).epsilon(tolerance));
                CHECK(*band.edt_s == relative(decay_s).epsilon(hz < 100 ? 0.004 : 0.001));
                ++checked;
            }
        }
    CHECK(checked == 42);
}

TEST_CASE("a noisy response gives T20 where the range allows and T30 only where it does") {
    Gaussian gaussian(11);
    Signal signal = silence(3, 48000);
    add_decaying_noise(signal, 0.05, 0.8, gaussian);
    add_noise(signal, 0.01, gaussian); // 40 dB
    const auto decay = analyse_decay(signal, bands(BandWidth::octave, 500, 8000));
    CHECK(decay.onset_s == relative(0.05).epsilon(0.01));
    int held = 0;
    for (const BandDecay& band : decay.bands) {
        REQUIRE(band.t20_s);
        held += *band.t20_s.low < 0.8 && *band.t20_s.high > 0.8;
        CHECK_FALSE(band.t30_s);
        CHECK(band.t30_s.empty == Empty::noise);
        CHECK(band.curvature_percent.empty == Empty::noise);
        // 2 dB: chance in the energy of one response, three standard deviations at 500 Hz.
        CHECK(std::abs(*band.decay_range_db - 40) < 2);
        CHECK(band.curve.size() <= 201);
        CHECK(band.curve.size() > 50);
    }
    CHECK(held >= 4); // of 5 intervals of 95 %
}

TEST_CASE("clarity of an exponential decay is that of the closed form") {
    // Source: closed form, ISO 3382-1 A.2; noise of T = 0.5 s: C50 4.7437, C80 9.0956 dB, D50 74.881 %,
    // Ts 36.19 ms. Tolerances: chance in the energy of single responses of 8000 · 0.5 independent values,
    // mean of 8.
    double c50 = 0, c80 = 0, d50 = 0, ts = 0;
    for (std::uint64_t run = 0; run < 8; ++run) {
        Gaussian gaussian(100 + run);
        Signal signal = silence(1.5, 48000);
        add_decaying_noise(signal, 0.02, 0.5, gaussian);
        const auto decay = analyse_decay(signal, bands(BandWidth::octave, 4000, 4000));
        const BandDecay& band = decay.bands.front();
        c50 += *band.c50_db / 8, c80 += *band.c80_db / 8, d50 += *band.d50_percent / 8, ts += *band.ts_ms / 8;
    }
    CHECK(c50 == relative(4.7437).epsilon(0.05));
    CHECK(c80 == relative(9.0956).epsilon(0.04));
    CHECK(d50 == relative(74.881).epsilon(0.01));
    CHECK(ts == relative(36.191).epsilon(0.02));
}

TEST_CASE("a decay shorter than the filter can show has an upper bound instead of a value") {
    Gaussian gaussian(5);
    Signal signal = silence(1.5, 48000);
    add_decaying_noise(signal, 0.3, 0.08, gaussian); // B · T = 1.2 in the third octave at 63 Hz
    const auto decay = analyse_decay(signal, bands(BandWidth::third, 63, 63));
    const BandDecay& band = decay.bands.front();
    CHECK_FALSE(band.t20_s);
    CHECK(band.t20_s.empty == Empty::filter);
    REQUIRE(band.at_most_s);
    CHECK(*band.at_most_s >= 4 / band.band.bandwidth_hz());
}

TEST_CASE("bands that the test signal does not wholly reach are empty and say so") {
    Gaussian gaussian(6);
    Signal signal = silence(1.5, 48000);
    add_decaying_noise(signal, 0.1, 0.4, gaussian);
    DecayOptions options = bands(BandWidth::octave, 63, 4000);
    options.source_from_hz = 60;
    options.source_to_hz = 2900;
    const auto decay = analyse_decay(signal, options);
    for (const double hz : {63.0, 4000.0}) {
        CHECK(band_of(decay, hz).t20_s.empty == Empty::source);
        CHECK(band_of(decay, hz).ts_ms.empty == Empty::source);
        CHECK(band_of(decay, hz).notes == std::vector<DecayNote>{SourceFallsShort{}});
    }
    CHECK(band_of(decay, 1000).t30_s);
}

TEST_CASE("a recording that stops before the noise says length, not noise") {
    Gaussian gaussian(7);
    Signal signal = silence(0.7, 48000);
    add_decaying_noise(signal, 0.1, 1.5, gaussian); // 24 dB of decay
    signal.samples.resize(signal.size() + 48000);   // zeros that an editor appended
    const auto decay = analyse_decay(signal, bands(BandWidth::octave, 500, 2000));
    for (const BandDecay& band : decay.bands) {
        CHECK_FALSE(band.t20_s);
        CHECK(band.t20_s.empty == Empty::length);
    }
}

TEST_CASE("a second event in the tail is not taken for decay or noise") {
    Gaussian gaussian(8);
    Signal signal = silence(3, 48000);
    add_decaying_noise(signal, 0.1, 0.5, gaussian);
    add_decaying_noise(signal, 1.5, 0.5, gaussian, 0.2);
    add_noise(signal, 0.001, gaussian);
    const auto decay = analyse_decay(signal, bands(BandWidth::octave, 500, 4000));
    for (const BandDecay& band : decay.bands) {
        REQUIRE(band.t30_s);
        CHECK(*band.t30_s == relative(0.5).epsilon(0.1));
        CHECK_FALSE(band.notes.empty());
    }
}

TEST_CASE("a second event within the range is never called a single slope, and the reason is told") {
    // Source: property. 12 dB down at 0.3 T it lifts the curve at −18 dB by 7 dB and T20 by a third.
    for (std::uint64_t run = 0; run < 5; ++run) {
        Gaussian gaussian(900 + run);
        Signal signal = silence(3, 48000);
        add_decaying_noise(signal, 0.1, 0.8, gaussian);
        add_decaying_noise(signal, 0.1 + 0.3 * 0.8, 0.8, gaussian, std::pow(10, -12.0 / 20));
        add_noise(signal, 0.001, gaussian);
        const auto decay = analyse_decay(signal, bands(BandWidth::octave, 500, 4000));
        for (const BandDecay& band : decay.bands) {
            REQUIRE(band.t20_s);
            CHECK(*band.t20_s > 0.9);
            CHECK(band.shape != DecayShape::single);
            CHECK_FALSE(band.notes.empty());
        }
    }
}
