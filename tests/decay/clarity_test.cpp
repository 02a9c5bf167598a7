// SPDX-License-Identifier: GPL-3.0-or-later
#include "decay/clarity.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <vector>

using namespace ebbmark;

namespace {

/// Energy exp(−a t), mean over each step, at the step of a recording at 48 kHz, for one and a half T.
BandDecay decay_of_exponential(double decay_s, std::optional<Line>& t20, std::optional<Line>& t30) {
    const double a = 6 * std::log(10.0) / decay_s, step_s = 1.0 / 48000;
    std::vector<double> energy(static_cast<std::size_t>(1.5 * decay_s / step_s)), sums;
    for (std::size_t n = 0; n < energy.size(); ++n)
        energy[n] = std::exp(-a * static_cast<double>(n) * step_s) * -std::expm1(-a * step_s) / (a * step_s);
    BandDecay decay;
    decay.band = band_at(BandWidth::octave, 0);
    const BandEnergy band{energy, 0, energy.size(), step_s, decay.band.bandwidth_hz()};
    sum_from_end(energy, energy.size(), sums);
    const Tail tail = find_tail(band, sums);
    REQUIRE(tail.decays);
    const EnergyCurve curve = integrate_backwards(band, tail);
    add_clarity(decay, curve, 0, Empty::noise);
    t20 = fit_line(curve, -5, -25);
    t30 = fit_line(curve, -5, -35);
    return decay;
}

/// Half of the last printed digit, and as much again for a value that lies on the edge.
void check_printed(double value, double printed, int digits) {
    CHECK(std::abs(value - printed) <= 0.51 * std::pow(10.0, -digits));
}

} // namespace

TEST_CASE("clarity, definition and centre time of an exponential are right to the printed digit") {
    // Source: closed form, ISO 3382-1:2009 A.2.3 and A.2.4: for energy exp(−a t), a = 6 ln 10 / T, early over
    // late is exp(a t) − 1, D50 = 1 − exp(−a · 50 ms), Ts = 1 / a. Evaluated outside this program.
    struct Row {
        double decay_s, c50_db, c80_db, d50, ts_ms;
    };
    constexpr Row rows[] = {
        {0.2, 14.8604, 23.9827, 0.96838, 14.4765}, {0.3, 9.5424, 15.8895, 0.90000, 21.7147},
        {0.4, 6.6496, 11.7170, 0.82217, 28.9530},  {0.5, 4.7437, 9.0956, 0.74881, 36.1912},
        {0.8, 1.3716, 4.7437, 0.57830, 57.9059},   {1, -0.0206, 3.0534, 0.49881, 72.3824},
        {1.5, -2.3292, 0.3715, 0.36904, 108.5736}, {2, -3.8454, -1.3206, 0.29205, 144.7648}};
    for (const Row& row : rows) {
        CAPTURE(row.decay_s);
        std::optional<Line> t20, t30;
        const BandDecay decay = decay_of_exponential(row.decay_s, t20, t30);
        REQUIRE((decay.c50_db && decay.c80_db && decay.d50_percent && decay.ts_ms && t20 && t30));
        check_printed(*decay.c50_db, row.c50_db, 4);
        check_printed(*decay.c80_db, row.c80_db, 4);
        check_printed(*decay.d50_percent / 100, row.d50, 5);
        check_printed(*decay.ts_ms, row.ts_ms, 4);
        check_printed(t20->decay_s, row.decay_s, 5);
        check_printed(t30->decay_s, row.decay_s, 5);
    }
}

TEST_CASE("a limit that the band filter cannot resolve leaves clarity empty and the centre time not") {
    EnergyCurve curve;
    curve.step_s = 0.001, curve.tail_rate_per_s = 14, curve.range_db = 40;
    for (int n = 0; n < 600; ++n)
        curve.remaining.push_back(std::exp(-0.014 * n));
    curve.tail_energy = curve.remaining.back();
    BandDecay decay;
    decay.band = band_at(BandWidth::octave, -6); // 16 Hz: B = 11.2 Hz, 1 / B = 90 ms
    add_clarity(decay, curve, 0, Empty::noise);
    CHECK(decay.c50_db.empty == Empty::filter);
    CHECK(decay.c80_db.empty == Empty::filter);
    CHECK(decay.d50_percent.empty == Empty::filter);
    CHECK(decay.ts_ms);
    curve.range_db = needed_range_early_db - 1;
    add_clarity(decay, curve, 0, Empty::noise);
    CHECK(decay.ts_ms.empty == Empty::noise);
}
