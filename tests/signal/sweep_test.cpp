// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "relative.hpp"
#include "signal/excitation.hpp"
#include "signal/sweep.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string>

using namespace ebbmark;

TEST_CASE("harmonic leads and time per octave of an exponential sweep") {
    // Source: published. Farina, AES 108th Convention (2000): lead of order n is T ln n / ln(f2/f1); the
    // values are that formula's to six decimals.
    struct Row {
        double seconds, start, stop, constant, two, three, four, five;
    };
    for (const Row& row : {Row{10, 20, 20000, 1.447648, 1.003433, 1.590404, 2.006867, 2.329900},
                           Row{5, 20, 20000, 0.723824, 0.501717, 0.795202, 1.003433, 1.164950},
                           Row{20, 15, 22000, 2.743203, 1.901443, 3.013716, 3.802887, 4.415015}}) {
        Sweep sweep;
        sweep.seconds = row.seconds;
        sweep.start_hz = row.start;
        sweep.stop_hz = row.stop;
        CHECK(sweep.rate_constant_s() == relative(row.constant).epsilon(1e-6));
        CHECK(sweep.harmonic_lead_s(2) == relative(row.two).epsilon(1e-6));
        CHECK(sweep.harmonic_lead_s(3) == relative(row.three).epsilon(1e-6));
        CHECK(sweep.harmonic_lead_s(4) == relative(row.four).epsilon(1e-6));
        CHECK(sweep.harmonic_lead_s(5) == relative(row.five).epsilon(1e-6));
    }
}

TEST_CASE("the signal has its level, its silences and equal repeats") {
    Sweep sweep;
    sweep.seconds = 2;
    sweep.repeat_period_s = 3;
    sweep.level_dbfs = -6;
    const Signal whole = whole_signal(sweep);
    CHECK(whole.size() == static_cast<std::size_t>((0.5 + 3 + 2 + 2) * 48000));
    const auto peak = *std::max_element(whole.samples.begin(), whole.samples.end());
    CHECK(20 * std::log10(peak) == relative(-6).epsilon(1e-4));
    CHECK(std::all_of(whole.samples.begin(), whole.samples.begin() + 24000, [](double x) { return x == 0; }));
    CHECK(std::all_of(whole.samples.end() - 95999, whole.samples.end(), [](double x) { return x == 0; }));
    CHECK(std::equal(whole.samples.begin() + 24000, whole.samples.begin() + 24000 + 96000,
                     whole.samples.begin() + 24000 + 144000));
}

TEST_CASE("the sweep passes each frequency when it should") {
    // Source: closed form. Zero crossings per second around time_of_s(f) are 2 f.
    Sweep sweep;
    sweep.seconds = 10;
    const Signal one = one_sweep(sweep);
    for (const double hz : {100.0, 1000.0, 5000.0}) {
        const auto middle = static_cast<std::size_t>(sweep.time_of_s(hz) * one.rate_hz);
        int crossings = 0;
        const std::size_t half = 2400;
        for (std::size_t n = middle - half; n < middle + half; ++n)
            crossings += (one.samples[n] < 0) != (one.samples[n + 1] < 0);
        // Over ±0.05 s the mean of f exp(t/L) exceeds f by (0.05/L)²/6 and the count is whole.
        CHECK(crossings / 0.1 / 2 == relative(hz).epsilon(0.06 * 100 / hz + 0.002));
    }
}

TEST_CASE("a described phase shifts the start of the sine") {
    Sweep sweep;
    sweep.fade_in_s = 0;
    sweep.phase_rad = 1.0;
    CHECK(one_sweep(sweep).samples[0] == relative(std::pow(10, -12.0 / 20) * std::sin(1.0)));
}

TEST_CASE("an impossible sweep is refused with its field and value") {
    const auto refused = [](auto change, const char* field) {
        Sweep sweep;
        change(sweep);
        try {
            check(sweep);
            FAIL("accepted: " << field);
        } catch (const Error& error) {
            CHECK(error.kind() == ErrorKind::unusable);
            CHECK(std::string(error.what()).find(field) != std::string::npos);
        }
    };
    CHECK_NOTHROW(check(Sweep{}));
    refused([](Sweep& s) { s.start_hz = 0; }, "start_hz");
    refused([](Sweep& s) { s.stop_hz = 10; }, "stop_hz");
    refused([](Sweep& s) { s.stop_hz = 30000; }, "stop_hz");
    refused([](Sweep& s) { s.seconds = -1; }, "seconds");
    refused([](Sweep& s) { s.rate_hz = 4000; }, "rate_hz");
    refused([](Sweep& s) { s.level_dbfs = 3; }, "level_dbfs");
    refused([](Sweep& s) { s.repeats = 0; }, "repeats");
    refused([](Sweep& s) { s.repeat_period_s = 5; }, "repeat_period_s");
    refused([](Sweep& s) { s.fade_in_s = 9; }, "fade_in_s");
    refused([](Sweep& s) { s.start_hz = std::nan(""); }, "start_hz");
}

TEST_CASE("a short sweep says how good it is and how long it should be") {
    // Source: own output, the worst cases of tests/bench, recording_scenarios short.
    Sweep sweep;
    sweep.seconds = 3;
    const auto note = short_sweep(excitation_of(sweep));
    REQUIRE(note);
    CHECK(std::round(note->error_db) == -54);
    CHECK(note->clear_from_s == 5);
    sweep.seconds = 5;
    CHECK(!short_sweep(excitation_of(sweep)));
}
