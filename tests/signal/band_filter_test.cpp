// SPDX-License-Identifier: GPL-3.0-or-later
#include "relative.hpp"
#include "signal/band_filter.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>

using namespace ebbmark;

namespace {

constexpr double g = 1.9952623149688795; // 10^(3/10)
constexpr double no_limit = std::numeric_limits<double>::infinity();

struct Row {
    double exponent, least_db, most_db;
};

// Source: published. IEC 61260-1:2014 Table 1, class 1, relative attenuation for octaves from mid-band
// outwards; at the band edge both values of the step.
constexpr std::array<Row, 10> class_1 = {{{0, -0.4, 0.4},
                                          {1.0 / 8, -0.4, 0.5},
                                          {1.0 / 4, -0.4, 0.7},
                                          {3.0 / 8, -0.4, 1.4},
                                          {1.0 / 2, -0.4, 5.3},
                                          {1.0 / 2, 1.2, no_limit},
                                          {1, 16.6, no_limit},
                                          {2, 40.5, no_limit},
                                          {3, 60, no_limit},
                                          {4, 70, no_limit}}};

// IEC 61260-1:2014, Formula 9: the break points of narrower bands.
double omega(BandWidth width, double exponent) {
    const double octave = std::pow(g, exponent);
    if (width == BandWidth::octave)
        return octave;
    return 1 + (std::pow(g, 1.0 / 6) - 1) / (std::pow(g, 0.5) - 1) * (octave - 1);
}

// Attenuation of the real code path at one frequency, from its answer to a unit impulse at `impulse_s`: the
// sum over 12 / B to both sides, beyond which the ringing is far gone. Where the rate ends before the band's
// skirt does (six times mid-band at most), the edge there rings for longer and everything is summed.
double measured_attenuation_db(const AnalyticBand& answer, const Band& band, double rate_hz, double impulse_s,
                               double hz) {
    const auto size = static_cast<std::ptrdiff_t>(answer.samples.size());
    const auto wrapped = static_cast<std::ptrdiff_t>(answer.wrapped);
    const auto index = [&](double time_s) { return static_cast<std::ptrdiff_t>(time_s / answer.step_s); };
    const double reach_s = 6 * band.exact_hz < rate_hz / 2 ? 12 / band.bandwidth_hz() : 1e3;
    const std::ptrdiff_t from = std::max(-wrapped, index(impulse_s - reach_s));
    const std::ptrdiff_t to = std::min(size - wrapped, index(impulse_s + reach_s));
    const double turn = -2 * std::numbers::pi * hz * answer.step_s;
    const Complex step = std::polar(1.0, turn);
    Complex sum = 0, phasor = std::polar(1.0, turn * static_cast<double>(from));
    for (std::ptrdiff_t n = from; n < to; ++n, phasor *= step)
        sum += answer.samples[static_cast<std::size_t>(n < 0 ? n + size : n)] * phasor;
    // The analytic signal is twice the band's positive frequencies; the grid's step makes up for its density.
    return -20 * std::log10(std::max(std::abs(sum) * answer.step_s / 2, 1e-30));
}

struct Limits {
    double least_db, most_db;
};

// IEC 61260-1:2014, Formula 11: between break points linear in lg Ω; beyond the last the minimum stays.
Limits limits_at(BandWidth width, double place) {
    for (std::size_t row = 0; row + 1 < class_1.size(); ++row) {
        const double from = omega(width, class_1[row].exponent), to = omega(width, class_1[row + 1].exponent);
        if (place < from || place >= to)
            continue;
        const double t = std::log(place / from) / std::log(to / from);
        const Row &a = class_1[row], &b = class_1[row + 1];
        return {a.least_db + t * (b.least_db - a.least_db),
                a.most_db == no_limit ? no_limit : a.most_db + t * (b.most_db - a.most_db)};
    }
    return {class_1.back().least_db, no_limit};
}

} // namespace

TEST_CASE("break points of third octaves are those printed in the standard") {
    // Source: published. IEC 61260-1:2014, Table F.1.
    CHECK(omega(BandWidth::third, 1.0 / 8) == relative(1.02667).epsilon(5e-6));
    CHECK(omega(BandWidth::third, 1.0 / 2) == relative(1.12202).epsilon(5e-6));
    CHECK(omega(BandWidth::third, 1) == relative(1.29437).epsilon(5e-6));
    CHECK(omega(BandWidth::third, 4) == relative(5.39195).epsilon(5e-6));
}

TEST_CASE("the response lies within every row of the class 1 limits, on both sides and between the rows") {
    int checked = 0;
    for (const BandWidth width : {BandWidth::octave, BandWidth::third})
        for (const Band& band : bands_between(width, 16, 20000))
            for (std::size_t row = 0; row + 1 < class_1.size(); ++row)
                for (int part = 0; part <= 10; ++part) {
                    const Row &from = class_1[row], &to = class_1[row + 1];
                    const double t = part / 10.0;
                    const double a = omega(width, from.exponent), b = omega(width, to.exponent);
                    // Formula 11: limits between break points are linear in lg Ω.
                    const double place = a * std::pow(b / a, t);
                    const double least = from.least_db + t * (to.least_db - from.least_db);
                    const double most = part == 0    ? from.most_db
                                        : part == 10 ? to.most_db
                                                     : from.most_db + t * (to.most_db - from.most_db);
                    for (const double side : {place, 1 / place}) {
                        const double gain = std::abs(band_filter_response(band, band.exact_hz * side));
                        const double attenuation = -20 * std::log10(std::max(gain, 1e-30));
                        CHECK(attenuation >= least);
                        if (most < no_limit)
                            CHECK(attenuation <= most);
                        ++checked;
                    }
                }
    CHECK(checked == 43 * 9 * 11 * 2);
}

TEST_CASE("what the filter bank does to an impulse is class 1 in every band at every rate") {
    // Octaves and thirds from 16 Hz to 0.4 times the rate; every row of the table, above and below mid-band,
    // at the break point itself and a little to both sides of it, as far as the rate has frequencies.
    int bands = 0, checked = 0, outside = 0;
    for (const double rate_hz : {8000.0, 16000.0, 44100.0, 48000.0, 96000.0, 192000.0})
        for (const BandWidth width : {BandWidth::octave, BandWidth::third}) {
            Signal impulse{std::vector<double>(static_cast<std::size_t>(0.3 * rate_hz)), rate_hz};
            const double impulse_s = 0.1;
            impulse.samples[static_cast<std::size_t>(std::lround(impulse_s * rate_hz))] =
                rate_hz; // unit area
            const auto all = bands_between(width, 16, 20000);
            BandFilterBank bank(impulse, all.front().bandwidth_hz());
            for (const Band& band : all) {
                if (band.exact_hz > 0.4 * rate_hz)
                    continue;
                ++bands;
                const AnalyticBand answer = bank.analytic(band);
                for (std::size_t row = 0; row < class_1.size(); ++row)
                    for (const double beside : {-1e-4, 0.0, 1e-4})
                        for (const double direction : {1.0, -1.0}) {
                            const double break_point = omega(width, class_1[row].exponent);
                            const double place = break_point * (1 + beside);
                            const double hz = band.exact_hz * std::pow(place, direction);
                            // Beyond the grid of the envelope there is nothing by construction.
                            if (place < 1 || hz >= std::min(rate_hz / 2, 0.999 / answer.step_s))
                                continue;
                            const Limits limits = beside == 0
                                                      ? Limits{class_1[row].least_db, class_1[row].most_db}
                                                      : limits_at(width, place);
                            const double db = measured_attenuation_db(answer, band, rate_hz, impulse_s, hz);
                            // 0.001 dB: ringing beyond −100 dB is cut.
                            outside += db < limits.least_db - 0.001 || db > limits.most_db + 0.001;
                            ++checked;
                        }
            }
        }
    CHECK(outside == 0);
    CHECK(bands == 238);
    CHECK(checked == 13330);
}

TEST_CASE("the group delay is that of the response's phase") {
    // Source: property. Delay is the negative slope of phase over angular frequency.
    for (const Band& band : {band_at(BandWidth::octave, -3), band_at(BandWidth::third, -13)})
        for (const double ratio : {0.8, 0.95, 1.0, 1.1, 1.4}) {
            const double hz = band.exact_hz * ratio, step = hz * 1e-6;
            const double turn =
                std::arg(band_filter_response(band, hz + step) / band_filter_response(band, hz - step));
            CHECK(band_filter_group_delay_s(band, hz) ==
                  relative(-turn / (2 * step) / (2 * std::numbers::pi)).epsilon(1e-4));
        }
    // Closed form: two radians of the prototype over half the bandwidth, 2 / (π B), at mid-band.
    const Band octave = band_at(BandWidth::octave, 0);
    CHECK(band_filter_group_delay_s(octave, 1000) ==
          relative(2 / std::numbers::pi / octave.bandwidth_hz()).epsilon(1e-12));
}

TEST_CASE("a filter that runs backwards rings before an impulse and is silent after it") {
    Signal impulse{std::vector<double>(48000), 48000};
    impulse.samples[24000] = 1;
    const Band band = band_at(BandWidth::octave, -3);
    BandFilterBank bank(impulse, band.bandwidth_hz());
    const BandEnvelope envelope = bank.envelope(band);
    double before = 0, after = 0, mean_time = 0;
    for (std::size_t n = 0; n < envelope.energy.size(); ++n) {
        const double time = envelope.start_s + static_cast<double>(n) * envelope.step_s - 0.5;
        // One period of leeway for the tapered skirt.
        (time < 1 / band.exact_hz ? before : after) += envelope.energy[n];
        mean_time += time * envelope.energy[n];
    }
    CHECK(after < 1e-5 * before);
    // Source: property. The centre of the energy lies the mean group delay before the impulse; the tapered
    // skirt and the decimated envelope move it by 0.2 %.
    CHECK(mean_time / (before + after) == relative(-envelope.group_delay_s).epsilon(3e-3));
}
