// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "decay/decay.hpp"
#include "responses.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

using namespace ebbmark;
using namespace ebbmark::tests;

namespace {

void check_measured(const Measured& measured) {
    CHECK(measured.value.has_value() != measured.empty.has_value());
    for (const auto& number : {measured.value, measured.low, measured.high})
        if (number)
            CHECK(std::isfinite(*number));
}

// Every value is finite or empty with a reason; or the whole is refused.
void check_sound(const Signal& signal) {
    for (const BandWidth width : {BandWidth::octave, BandWidth::third}) {
        DecayOptions options;
        options.width = width;
        options.from_hz = 16;
        options.to_hz = 20000;
        try {
            const ResponseDecay decay = analyse_decay(signal, options);
            CHECK(std::isfinite(decay.onset_s));
            for (const BandDecay& band : decay.bands) {
                for (const Measured& measured :
                     {band.edt_s, band.t20_s, band.t30_s, band.nonlinearity_permille, band.curvature_percent,
                      band.c50_db, band.c80_db, band.d50_percent, band.ts_ms, band.decay_range_db})
                    check_measured(measured);
                for (const DecayPoint& point : band.curve)
                    CHECK(std::isfinite(point.level_db));
            }
        } catch (const Error& error) {
            CHECK(error.kind() == ErrorKind::rejected);
        }
    }
}

void check_rejected(const Signal& signal) {
    CHECK_THROWS_AS(analyse_decay(signal, {}), Error);
}

} // namespace

TEST_CASE("silence, single samples and constants are refused, not crashed on") {
    check_rejected(silence(1, 48000));
    check_rejected({{0, 0}, 48000});
    check_sound({{1.0}, 48000});
    check_sound({{1.0, -0.5}, 48000});
    check_sound({{0.0, 1.0, 0.0}, 8000});
    check_sound({std::vector<double>(48000, 0.25), 48000});
    check_sound({std::vector<double>(100, 0.25), 192000});
}

TEST_CASE("nothing but noise is refused") {
    for (std::uint64_t run = 0; run < 5; ++run) {
        Gaussian gaussian(run + 1);
        Signal noise = silence(2, 48000);
        add_noise(noise, 0.1, gaussian);
        check_rejected(noise);
    }
}

TEST_CASE("odd responses give finite values or reasons") {
    Gaussian gaussian(3);
    for (const double rate_hz : {8000.0, 22050.0, 192000.0}) {
        Signal signal = silence(0.6, rate_hz);
        add_decaying_noise(signal, 0, 0.3, gaussian); // onset at the first sample
        check_sound(signal);
        for (double& sample : signal.samples)
            sample = std::clamp(sample, -0.3, 0.3); // clipped
        check_sound(signal);
        for (double& sample : signal.samples)
            sample = std::round(sample * 128) / 128; // coarse steps, the tail exactly zero
        check_sound(signal);
        signal.samples.resize(signal.size() / 20); // 30 ms
        check_sound(signal);
        for (double& sample : signal.samples)
            sample = sample * 1e-12 + 0.4; // a whisper on a large offset
        check_sound(signal);
    }
    Signal impulse = silence(0.5, 48000);
    impulse.samples[100] = 1;
    check_sound(impulse);
    Signal sine = silence(1, 48000);
    add_damped_sine(sine, 0, 100, 1e9);
    check_sound(sine);
    Signal growing = silence(1, 48000);
    add_decaying_noise(growing, 0, -0.5, gaussian, 1e-9);
    check_sound(growing);
}
